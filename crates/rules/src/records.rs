//! What the rules of records share: how far a weight may lie off its plan, and whether a sheet is younger than a batch.

use crate::amounts::can_judge;
use formula::reckon::{Planned, planned};
use formula::{Exact, Formula, Known, Record};

/// The share of what was planned that a weight may lie off before it is told (common practice).
pub(crate) const SLACK: (i128, i128) = (5, 100);

/// What was weighed against what the formula asks for; none where that is not known.
pub(crate) fn bench<'f>(
    formula: &'f Formula,
    record: &'f Record,
    known: &dyn Known,
) -> Option<Vec<Planned<'f>>> {
    let settled = can_judge(formula) && !formula.unfinished && !formula.totals.is_off();
    if settled { planned(formula, record, known) } else { None }
}

/// Whether a weight lies off its plan by more than the slack, the scales and the written digits explain, with nothing
/// said about it.
pub(crate) fn is_off(planned: &Planned<'_>, record: &Record, known: &dyn Known) -> bool {
    let off = planned.off().abs();
    let slack = &planned.planned.mid * &Exact::fraction(SLACK.0, SLACK.1);
    let scales = known.settings().scales.clone().unwrap_or_else(|| Exact::fraction(1, 100));
    let explained = record.explains(&planned.item.name)
        || planned.lines.iter().any(|weighed| record.explains(&weighed.name));
    off > slack && off > scales * Exact::whole(2) && off > planned.half_digit && !explained
}

/// Whether the sheet carries a later day than the batch: it was written, or changed, after it.
pub(crate) fn is_younger(formula: &Formula, record: &Record) -> bool {
    match (&formula.header.dated, &record.date) {
        (Some((dated, _)), Some((_, made))) => made < dated,
        _ => false,
    }
}
