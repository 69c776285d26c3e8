//! What changed between two writings of the same formulas, as data.
//!
//! Blocks are matched by name, ingredients by what they are, phases by what is in them, steps in their order. Spelling,
//! layout, comments and the order of lines within a phase are no changes. Everything stands in the order of the new
//! writing; what was taken out, at its old place.
#![deny(clippy::float_arithmetic)]

mod canon;
mod facts;
mod lines;
mod order;
mod pairs;
mod phases;
mod steps;
mod sums;
mod variants;

pub use lines::{Amount, LineChange};
pub use order::common;
pub use phases::PhaseChange;
pub use steps::StepChange;
pub use sums::SumChange;
pub use variants::VariantChange;

use crate::resolve::Resolved;
use notation::{Block, BlockKind, Word, read_block};
use order::{Slot, interleaved};
use pairs::pairs;

/// Something before and after; none where it was not there.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Turn<T> {
    /// As it was.
    pub from: Option<T>,
    /// As it is.
    pub to: Option<T>,
}

impl<T> Turn<T> {
    /// From something to something else.
    pub fn both(from: T, to: T) -> Turn<T> {
        Turn { from: Some(from), to: Some(to) }
    }

    /// What was not there before.
    pub fn come(to: T) -> Turn<T> {
        Turn { from: None, to: Some(to) }
    }

    /// What is no longer there.
    pub fn gone(from: T) -> Turn<T> {
        Turn { from: Some(from), to: None }
    }

    /// As it is, or as it was where it is no longer there.
    pub fn last(&self) -> Option<&T> {
        self.to.as_ref().or(self.from.as_ref())
    }

    /// Whether it was not there before.
    pub fn is_new(&self) -> bool {
        self.from.is_none() && self.to.is_some()
    }

    /// Whether it is no longer there.
    pub fn is_gone(&self) -> bool {
        self.from.is_some() && self.to.is_none()
    }
}

impl<T: PartialEq> Turn<T> {
    /// Whether both are different.
    pub fn differs(&self) -> bool {
        self.from != self.to
    }
}

/// A block of one of the two writings, and what it means where it is a formula.
#[derive(Clone, Copy, Debug)]
pub struct Side<'a> {
    /// As it is written.
    pub block: &'a Block,
    /// As it is meant; none for blocks that are no formula.
    pub resolved: Option<&'a Resolved>,
}

/// What became of a block. One that came or went is told as a whole: nothing but its name and its size.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct BlockChange {
    /// What it is.
    pub kind: BlockKind,
    /// Its name.
    pub name: Turn<String>,
    /// Which version it says it is.
    pub version: Turn<String>,
    /// How many ingredients, and in how many phases; none for a block that is no formula.
    pub size: Turn<(usize, usize)>,
    /// Its lines that are neither ingredients nor phases nor steps; the version is not among them.
    pub facts: Vec<FactChange>,
    /// Phases with their ingredients.
    pub phases: Vec<PhaseChange>,
    /// Its method.
    pub steps: Vec<StepChange>,
    /// What follows from it.
    pub sums: Vec<SumChange>,
    /// Its variants, as far as they changed in another way than it did.
    pub variants: Vec<VariantChange>,
}

impl BlockChange {
    /// Whether nothing that the notation knows has changed.
    pub fn is_empty(&self) -> bool {
        let kept = self.name.from.is_some() && self.name.to.is_some();
        kept && !self.name.differs()
            && !self.version.differs()
            && self.facts.is_empty()
            && self.phases.is_empty()
            && self.steps.is_empty()
            && self.sums.is_empty()
            && self.variants.is_empty()
    }
}

/// A line that says a fact.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct FactChange {
    /// Its word; none for a line that cannot be read.
    pub word: Option<Word>,
    /// What it says.
    pub said: Turn<String>,
}

/// What became of all blocks, those that are the same included, in the order of the new writing.
pub fn compare(before: &[Side<'_>], after: &[Side<'_>]) -> Vec<BlockChange> {
    let matched = pairs(before, after);
    let slots = interleaved(&matched, after.len());
    let told = slots.into_iter().filter_map(|slot| match slot {
        Slot::Gone(old) => before.get(old).map(|old| lone(Some(*old), None)),
        Slot::Kept(old, new) => Some(both(*before.get(old)?, *after.get(new)?)),
        Slot::Come(new) => after.get(new).map(|new| lone(None, Some(*new))),
    });
    told.collect()
}

fn version(side: Side<'_>) -> Option<String> {
    side.resolved?.formula.header.version.as_ref().map(|(version, _)| version.clone())
}

fn size(side: Side<'_>) -> Option<(usize, usize)> {
    side.resolved.map(|resolved| (resolved.formula.items.len(), resolved.formula.phases.len()))
}

/// A block that came or went. What stands before the first block is none, and is told line by line.
fn lone(from: Option<Side<'_>>, to: Option<Side<'_>>) -> BlockChange {
    let mut change = whole(from, to);
    if change.kind == BlockKind::Loose {
        let nothing = read_block("");
        let block = |side: Option<Side<'_>>| side.map_or(nothing.clone(), |side| side.block.clone());
        change.facts = facts::facts(&block(from), &block(to));
    }
    change
}

/// A block and its name, with nothing told of what is in it.
fn whole(from: Option<Side<'_>>, to: Option<Side<'_>>) -> BlockChange {
    let name = |side: Side<'_>| side.block.name().to_owned();
    BlockChange {
        kind: to.or(from).map_or(BlockKind::Loose, |side| side.block.kind),
        name: Turn { from: from.map(name), to: to.map(name) },
        version: Turn { from: from.and_then(version), to: to.and_then(version) },
        size: Turn { from: from.and_then(size), to: to.and_then(size) },
        facts: Vec::new(),
        phases: Vec::new(),
        steps: Vec::new(),
        sums: Vec::new(),
        variants: Vec::new(),
    }
}

fn both(from: Side<'_>, to: Side<'_>) -> BlockChange {
    let mut change = whole(Some(from), Some(to));
    change.facts = facts::facts(from.block, to.block);
    if let (Some(old), Some(new)) = (from.resolved, to.resolved) {
        let old_side = phases::Body { block: from.block, formula: &old.formula };
        let new_side = phases::Body { block: to.block, formula: &new.formula };
        change.phases = phases::phases(old_side, new_side);
        change.steps = steps::steps(&old.formula, &new.formula);
        change.sums = sums::sums(&old.formula, &new.formula);
        change.variants = variants::variants((from.block, old), (to.block, new), &change);
    }
    change
}
