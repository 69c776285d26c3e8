//! Small figures shown between the words of a text: what amounts come to, and running totals.

use crate::Page;
use formula::{Exact, Formula, Item, Written};
use notation::{Dimension, Span};

/// What a hint tells.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum HintKind {
    /// Grams beside a percent, a percent beside grams.
    Amount,
    /// The running total at the end of a phase.
    Total,
    /// What the balance line comes to.
    Balance,
}

/// A hint.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Hint {
    /// The byte of the file behind which it is shown.
    pub at: u32,
    /// What is shown.
    pub text: String,
    /// What it tells.
    pub kind: HintKind,
    /// Where the figure comes from.
    pub tip: String,
}

impl Page {
    /// The hints between two bytes, in order. Only of what is written in the formula itself, not in its variants.
    pub fn hints(&self, within: Span) -> Vec<Hint> {
        let mut hints = Vec::new();
        for leaf in self.leaves() {
            let end = leaf.start + leaf.block().text.len() as u32;
            if end < within.start || within.end < leaf.start {
                continue;
            }
            if let Some(resolved) = leaf.resolved() {
                let own = hints_of(&resolved.formula);
                hints.extend(own.into_iter().map(|hint| Hint { at: hint.at + leaf.start, ..hint }));
            }
        }
        hints.retain(|hint| within.start <= hint.at && hint.at <= within.end);
        hints
    }
}

fn hints_of(formula: &Formula) -> Vec<Hint> {
    let mut hints = Vec::new();
    let mut sum = Exact::zero();
    for (at, item) in formula.items.iter().enumerate() {
        if let Some(share) = item.mid() {
            sum = &sum + share;
            hints.extend(amount(formula, item, share));
        }
        let last = formula.items.get(at + 1).is_none_or(|next| next.phase != item.phase);
        if last && formula.phases.len() > 1 && !sum.is_zero() {
            hints.push(Hint {
                at: item.span.end,
                text: format!("so far {}", percent(&sum)),
                kind: HintKind::Total,
                tip: "the sum of all lines up to here that have a weight".to_owned(),
            });
        }
    }
    hints
}

fn percent(share: &Exact) -> String {
    format!("{} %", share.percent().shown(3))
}

/// What a line comes to in the unit that it is not written in.
fn amount(formula: &Formula, item: &Item, share: &Exact) -> Option<Hint> {
    let grams = formula.batch_grams().map(|batch| format!("{} g", (share * batch).shown(3)));
    let tip =
        formula.batch_grams().map(|batch| format!("of a batch of {} g", batch.shown(3))).unwrap_or_default();
    let (kind, text) = match &item.written {
        Written::Balance => {
            let both = [Some(percent(share)), grams].into_iter().flatten().collect::<Vec<_>>();
            (HintKind::Balance, format!("= {}", both.join(" = ")))
        }
        // A spoon or a drop is told in both: neither is what is written.
        Written::Amount(unit) if !matches!(unit.dimension(), Dimension::Share | Dimension::Mass) => {
            let both = [grams, Some(percent(share))].into_iter().flatten().collect::<Vec<_>>();
            (HintKind::Amount, format!("≈ {}", both.join(" = ")))
        }
        Written::Amount(unit) if unit.dimension() == Dimension::Mass => {
            (HintKind::Amount, format!("= {}", percent(share)))
        }
        Written::Amount(_) | Written::AsNeeded => (HintKind::Amount, format!("= {}", grams?)),
        Written::Missing | Written::Fuzzy | Written::Unread | Written::Both => return None,
    };
    Some(Hint { at: item.span.end, text, kind, tip })
}
