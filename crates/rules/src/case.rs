//! All that a rule may see.

use formula::law::Breach;
use formula::preservation::{self, Preservative};
use formula::reckon::{self, Emulsion};
use formula::{Formula, Known, Record, Resolved, Settings};
use notation::{Block, Date, Span};
use std::cell::OnceCell;

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
    /// What several rules ask for, worked out for the first.
    pub(crate) worked_out: &'a WorkedOut,
}

/// What several rules ask about one formula.
#[derive(Default)]
pub(crate) struct WorkedOut {
    pub(crate) breaches: OnceCell<Vec<Breach>>,
    emulsion: OnceCell<Option<Emulsion>>,
    preservatives: OnceCell<Vec<Preservative>>,
    needs_preserving: OnceCell<bool>,
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

    /// The emulsion that it makes; none where it makes none.
    pub fn emulsion(&self) -> Option<&'a Emulsion> {
        self.worked_out.emulsion.get_or_init(|| reckon::emulsion(self.formula)).as_ref()
    }

    /// Everything that preserves it, in the order of the lines.
    pub fn preservatives(&self) -> &'a [Preservative] {
        self.worked_out.preservatives.get_or_init(|| preservation::preservatives(self.formula))
    }

    /// Whether it has to be preserved at all.
    pub fn needs_preserving(&self) -> bool {
        *self.worked_out.needs_preserving.get_or_init(|| preservation::needs_preserving(self.formula))
    }

    /// Whether this is the parent, not a variant.
    pub fn is_parent(&self) -> bool {
        self.formula.variant.is_none()
    }
}

/// What a rule of records sees: one batch as it was made, and what it was made from.
#[derive(Clone, Copy)]
pub struct Made<'a> {
    /// The record's block; all spans of findings count from its start.
    pub block: &'a Block,
    /// The record.
    pub record: &'a Record,
    /// The formula that it is of, with its variants; none where the file holds none of that name.
    pub resolved: Option<&'a Resolved>,
    /// The formula or variant that was made; none where it is not there.
    pub formula: Option<&'a Formula>,
    /// What names mean.
    pub known: &'a dyn Known,
}

impl<'a> Made<'a> {
    pub(crate) fn of(
        block: &'a Block,
        record: &'a Record,
        resolved: Option<&'a Resolved>,
        known: &'a dyn Known,
    ) -> Made<'a> {
        let variant = record.of.as_ref().and_then(|of| of.variant.as_ref());
        let formula = resolved.and_then(|resolved| match variant {
            None => Some(&resolved.formula),
            Some((wanted, _)) => resolved.variant(wanted),
        });
        Made { block, record, resolved, formula, known }
    }

    /// The formula that was made, where the record is of the version that it now is: what it says was the plan.
    pub fn plan(&self) -> Option<&'a Formula> {
        self.formula.filter(|formula| self.record.is_of(formula))
    }
}
