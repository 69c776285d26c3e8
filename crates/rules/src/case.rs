//! All that a rule may see.

use formula::{Formula, Known, Resolved, Settings};
use notation::{Block, Date, Span};

/// What a rule of the writing sees: one block of any kind.
#[derive(Clone, Copy)]
pub struct Writing<'a> {
    /// The block, its lines and slips.
    pub block: &'a Block,
    /// What its names mean.
    pub known: &'a dyn Known,
}

/// What a rule of formulas sees: one formula, parent or variant.
#[derive(Clone, Copy)]
pub struct Case<'a> {
    /// The block in which it is written; all spans count from its start.
    pub block: &'a Block,
    /// The formula to be judged.
    pub formula: &'a Formula,
    /// The parent and all variants.
    pub resolved: &'a Resolved,
    /// What names mean.
    pub known: &'a dyn Known,
    /// The day whose law counts.
    pub law_day: Date,
}

impl<'a> Case<'a> {
    /// The workshop's settings.
    pub fn settings(&self) -> &'a Settings {
        self.known.settings()
    }

    /// The text under a span.
    pub fn at(&self, span: Span) -> &'a str {
        self.block.at(span)
    }

    /// Whether this is the parent, not a variant.
    pub fn is_parent(&self) -> bool {
        self.formula.variant.is_none()
    }
}
