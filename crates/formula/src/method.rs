//! The method: what each step heats, cools, adds and names.

mod act;
mod bench;
mod kept;
mod timeline;
mod unlisted;
mod wording;

use crate::formula::{Formula, Item, Phase};
use crate::known::Known;
pub use act::{Act, Named, Scope};
use kept::{Kept, words_mean_the_same};
use notation::{Block, Span, fold};
use std::cell::OnceCell;
pub(crate) use timeline::timeline;
pub use timeline::{Exposure, How, Late, Meeting, Reach, Said, Timeline, acts, heats};
use unlisted::unlisted;
use wording::{Called, Wording, labels, names_items, names_phase, words_of};

/// A step.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Step {
    /// Its words.
    pub text: String,
    /// Where they stand.
    pub span: Span,
    /// Phases that it names, by label or kind.
    pub phases: Vec<usize>,
    /// Lines that it names.
    pub items: Vec<usize>,
    /// Whether it takes everything.
    pub everything: bool,
    /// What it does, one thing after the other.
    pub acts: Vec<Act>,
    /// Known names that it adds although no line lists them.
    pub unlisted: Vec<(String, Span)>,
}

impl Step {
    /// Whether one of these words stands in it.
    pub fn says(&self, any: &[&str]) -> bool {
        words_of(&fold(&self.text)).iter().any(|word| any.contains(word))
    }

    /// Whether it names a line, or the phase in which it stands.
    pub fn names(&self, at: usize, item: &Item) -> bool {
        self.items.contains(&at) || item.phase.is_some_and(|phase| self.phases.contains(&phase))
    }

    /// Whether it brings the batch into its pack, or the pack to the shelf.
    pub fn ends(&self) -> bool {
        const ENDING: &[&str] = &[
            "fill",
            "pot",
            "bottle",
            "bottles",
            "jar",
            "jars",
            "tin",
            "tins",
            "tube",
            "tubes",
            "mould",
            "moulds",
            "mold",
            "molds",
            "press",
            "label",
            "cap",
            "store",
            "set",
            "pack",
            "package",
            "decant",
            "container",
            "containers",
            "pots",
            "serve",
        ];
        words_of(&fold(&self.text)).iter().any(|word| ENDING.contains(word))
    }
}

/// What a step does with the temperature.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Thermal {
    /// Nothing.
    None,
    /// Heats to it.
    Heats,
    /// Keeps what is warm as it is.
    Holds,
    /// Cools to it.
    Cools,
}

/// Words that take all that is left.
const EVERYTHING: &[&str] = &[
    "everything",
    "all ingredients",
    "all the ingredients",
    "all phases",
    "all the phases",
    "all parts",
    "all of it",
    "the rest",
    "whole batch",
    "remaining",
    "other ingredients",
    "both phases",
    "two phases",
    "three phases",
    "both parts",
];

/// What the steps of a formula are read from.
pub(crate) struct Reading<'a> {
    pub(crate) block: &'a Block,
    pub(crate) phases: &'a [Phase],
    pub(crate) items: &'a [Item],
    /// Names of what a variant replaced or omitted, each with the name of what stands in its place.
    pub(crate) renamed: &'a [(String, Option<String>)],
    pub(crate) known: &'a dyn Known,
    /// The formula as it was before a change of the text: a step whose words mean the same is not read again.
    pub(crate) before: Option<&'a Formula>,
}

/// Reads the steps whose words stand at `spans`.
pub(crate) fn steps(reading: &Reading<'_>, spans: &[Span]) -> Vec<Step> {
    let Reading { block, phases, items, renamed, known, before } = *reading;
    let called: OnceCell<Vec<Called<'_>>> = OnceCell::new();
    let called = || called.get_or_init(|| items.iter().map(|item| Called::of(item, renamed)).collect());
    let kept =
        Kept::of(before.filter(|before| renamed.is_empty() && words_mean_the_same(before, phases, items)));
    let mut steps: Vec<Step> = Vec::new();
    let mut breath = 0;
    for span in spans {
        let first = steps.iter().all(|step| step.items.is_empty() && step.phases.is_empty());
        let mut step = kept.step(block.at(*span), *span, first, breath).unwrap_or_else(|| {
            let mut step = step(block, *span, first, phases, called());
            step.acts = act::acts(&step, breath, phases, called());
            step
        });
        breath = step.acts.last().map_or(breath, |act| act.breath + 1);
        // What names mean may have changed.
        step.unlisted = unlisted(&step.text, *span, items, renamed, known);
        steps.push(step);
    }
    steps
}

fn step(block: &Block, span: Span, first: bool, phases: &[Phase], called: &[Called<'_>]) -> Step {
    let text = block.at(span);
    let folded = fold(text);
    let said = Wording::of(&folded);
    let words = &said.words;
    let mut named_phases = labels(text, phases);
    for (at, phase) in phases.iter().enumerate() {
        if !named_phases.contains(&at) && names_phase(&said, phase) {
            named_phases.push(at);
        }
    }
    let everything = EVERYTHING.iter().any(|phrase| folded.contains(phrase)) || takes_all(words);
    let named_items = names_items(&said, called);
    // "Heat, combine and blend" at the head of a method, with no object, is about all there is.
    let objectless = first && is_objectless(text, phases, called);
    let everything = everything || objectless;
    Step {
        text: text.to_owned(),
        span,
        phases: named_phases,
        items: named_items,
        everything,
        acts: Vec::new(),
        unlisted: Vec::new(),
    }
}

/// `mix all`, `mix it all`: whatever there is.
fn takes_all(words: &[&str]) -> bool {
    let joins = |word: &&str| {
        ["mix", "combine", "blend", "stir", "melt", "weigh", "heat", "rub", "work", "knead"].contains(word)
    };
    words.windows(2).any(|pair| matches!(pair, [verb, "all"] if joins(verb)))
        || words.windows(3).any(|three| matches!(three, [verb, "it" | "them", "all"] if joins(verb)))
}

/// Whether the first clause brings things together without saying which.
fn is_objectless(text: &str, phases: &[Phase], called: &[Called<'_>]) -> bool {
    const JOINING: &[&str] =
        &["mix", "combine", "blend", "melt", "heat", "warm", "sift", "stir", "whisk", "shake"];
    let clause = text.split(';').next().and_then(|head| head.split(". ").next()).unwrap_or(text);
    let folded = fold(clause);
    let said = Wording::of(&folded);
    said.words.iter().any(|word| JOINING.contains(word))
        && labels(clause, phases).is_empty()
        && !phases.iter().any(|phase| names_phase(&said, phase))
        && names_items(&said, called).is_empty()
}
