//! Changes that stand ready at a place of a text: fixes of what is found there, and rewritings that keep the product.

mod amounts;
mod balance;
mod describe;
mod ground;
mod moves;
mod scaling;
mod swap;
mod units;
mod variants;

pub use describe::NewFile;
pub use scaling::Scaled;

use crate::{Page, allowing};
use ground::Ground;
use notation::{Edits, Span};
use rules::{Finding, Safety};

/// What a change is for.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum ActionKind {
    /// Settles a finding.
    Fix,
    /// Lets a finding be, with a reason.
    Allow,
    /// Writes the same thing in another way.
    Rewrite,
    /// Puts a line elsewhere.
    Move,
    /// Makes something new of what stands there.
    Extract,
    /// Puts something else in the place of an ingredient.
    Swap,
}

/// A change that stands ready.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Action {
    /// What it does, in the imperative.
    pub title: String,
    /// What it is for.
    pub kind: ActionKind,
    /// Whether it is the one to take without further thought.
    pub preferred: bool,
    /// The finding that it is about.
    pub finding: Option<Finding>,
    /// The changes of this text. Bytes from the file's start.
    pub edits: Edits,
    /// What another file gets.
    pub file: Option<NewFile>,
}

impl Action {
    fn new(kind: ActionKind, title: impl Into<String>, edits: Edits) -> Action {
        Action { title: title.into(), kind, preferred: false, finding: None, edits, file: None }
    }

    fn shifted(mut self, by: u32) -> Action {
        self.edits = self.edits.shifted(by);
        self
    }
}

impl Page {
    /// The fixes of the findings that touch a span, then for each finding the change that allows it. The first safe fix
    /// of a finding is preferred. What several findings ask for alike stands there once.
    pub fn fixes(&self, within: Span) -> Vec<Action> {
        let mut actions: Vec<Action> = Vec::new();
        let findings = self.findings_in(within);
        let mut put = |action: Action| {
            let same = |other: &Action| other.title == action.title && other.edits == action.edits;
            if !actions.iter().any(same) {
                actions.push(action);
            }
        };
        for finding in &findings {
            let mut preferred = true;
            for fix in &finding.fixes {
                let safe = fix.safety == Safety::Safe;
                put(Action {
                    preferred: safe && preferred,
                    finding: Some(finding.clone()),
                    ..Action::new(ActionKind::Fix, &fix.title, fix.edits.clone())
                });
                preferred &= !safe;
            }
        }
        for finding in &findings {
            if let Some(fix) = allowing(self, finding) {
                let action = Action::new(ActionKind::Allow, fix.title, fix.edits);
                put(Action { finding: Some(finding.clone()), ..action });
            }
        }
        actions
    }

    /// The rewritings that stand ready for the formula and the lines that a span touches.
    pub fn rewritings(&self, within: Span) -> Vec<Action> {
        let Some(ground) = Ground::of(self, within) else { return Vec::new() };
        let mut actions = Vec::new();
        actions.extend(units::conversions(&ground));
        actions.extend(balance::taking_the_rest(&ground));
        actions.extend(moves::to_phases(&ground));
        actions.extend(variants::without(&ground));
        actions.extend(amounts::into_grams(&ground));
        actions.extend(amounts::into_percents(&ground));
        actions.extend(scaling::offers(&ground));
        actions.retain(|action| action.edits.apply(&ground.block.text) != *ground.block.text);
        actions.into_iter().map(|action| action.shifted(ground.start)).collect()
    }
}
