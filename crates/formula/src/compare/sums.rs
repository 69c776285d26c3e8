//! What follows from a formula: totals, water, oils, and what preserves it.

use super::Turn;
use crate::exact::Exact;
use crate::formula::{Formula, Item};
use crate::reckon::{Preserving, preserving};
use notation::fold;

/// Something that follows, and is not the same. None is what cannot be known, or is not there.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum SumChange {
    /// The sum of all lines, as a share of the whole.
    Total(Turn<Exact>),
    /// The grams of the batch, where they are the sum of the weights.
    Batch(Turn<Exact>),
    /// Free water, hidden water counted, as a share of the whole.
    Water(Turn<Exact>),
    /// The oils, as a share of the whole.
    Oils(Turn<Exact>),
    /// A preservative.
    Preservative {
        /// Its name.
        name: String,
        /// What its share counts: the acid that works, where it is not the preservative itself.
        acid: Option<String>,
        /// Its share of the whole, as the acid where one is named.
        share: Turn<Exact>,
    },
    /// How much of a preservative's acid is undissociated.
    Undissociated {
        /// The acid.
        acid: String,
        /// Percent of it, as text, and the pH: the upper end of the target.
        at: Turn<(String, Exact)>,
    },
}

/// Everything that follows and is not the same.
pub(super) fn sums(before: &Formula, after: &Formula) -> Vec<SumChange> {
    let turn = |of: fn(&Formula) -> Option<Exact>| Turn { from: of(before), to: of(after) };
    let mut sums = Vec::new();
    let mut add = |turn: Turn<Exact>, made: fn(Turn<Exact>) -> SumChange| {
        // A figure that is known on neither side, or looks the same on both, tells nothing.
        if turn.from.as_ref().map(|value| value.percent().text())
            != turn.to.as_ref().map(|value| value.percent().text())
        {
            sums.push(made(turn));
        }
    };
    add(turn(total), SumChange::Total);
    add(turn(batch), SumChange::Batch);
    add(turn(water), SumChange::Water);
    add(turn(oils), SumChange::Oils);
    preservatives(before, after, &mut sums);
    sums
}

fn total(formula: &Formula) -> Option<Exact> {
    let shares: Option<Vec<Exact>> = formula.items.iter().map(|item| item.mid().cloned()).collect();
    shares.filter(|shares| !shares.is_empty()).map(|shares| shares.into_iter().sum())
}

fn batch(formula: &Formula) -> Option<Exact> {
    formula.totals.batch_grams.clone().filter(|_| formula.totals.batch_is_sum)
}

fn water(formula: &Formula) -> Option<Exact> {
    let known = formula.water.open.is_empty() && formula.items.iter().all(|item| item.mid().is_some());
    known.then(|| formula.water.share.mid.clone())
}

fn oils(formula: &Formula) -> Option<Exact> {
    let known = |item: &Item| item.is_known() && item.mid().is_some();
    formula.items.iter().all(known).then(|| formula.oils())
}

/// What a preservative comes to: as the acid that works, where one is known.
fn working(one: &Preserving) -> (Option<String>, Option<Exact>) {
    match &one.acid {
        Some((acid, share)) if fold(acid) != fold(&one.name) => (Some(acid.clone()), Some(share.clone())),
        _ => (None, one.share.clone()),
    }
}

fn preservatives(before: &Formula, after: &Formula, sums: &mut Vec<SumChange>) {
    let (old, new) = (preserving(before), preserving(after));
    let of = |list: &[Preserving], name: &str| list.iter().find(|one| fold(&one.name) == fold(name)).cloned();
    let gone = old.iter().filter(|one| of(&new, &one.name).is_none());
    let mut told: Vec<String> = Vec::new();
    for one in new.iter().chain(gone) {
        let (from, to) = (of(&old, &one.name), of(&new, &one.name));
        let (acid, _) = working(one);
        let share = Turn {
            from: from.as_ref().and_then(|one| working(one).1),
            to: to.as_ref().and_then(|one| working(one).1),
        };
        if share.differs() {
            sums.push(SumChange::Preservative { name: one.name.clone(), acid, share });
        }
        let at =
            Turn { from: from.and_then(|one| one.undissociated), to: to.and_then(|one| one.undissociated) };
        let name = one.acid.as_ref().map_or(&one.name, |(acid, _)| acid);
        // One that came or went is told as such; salts of one acid behave as one.
        if at.from.is_some() && at.to.is_some() && at.differs() && !told.contains(name) {
            told.push(name.clone());
            sums.push(SumChange::Undissociated { acid: name.clone(), at });
        }
    }
}
