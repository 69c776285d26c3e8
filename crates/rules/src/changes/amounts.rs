//! Changes of amounts and of the batch.

use super::line_below;
use crate::case::Case;
use crate::words::measure_of;
use formula::{Basis, Exact, Item, Written, factor};
use notation::{Edit, Edits, Measure, RangeKind, Span, Unit, Word};

/// Whether what is written for an item belongs to the formula that is judged: a variant does not change its parent's
/// lines.
pub(crate) fn is_own(case: &Case<'_>, item: &Item) -> bool {
    let inside = |span: Span| item.span.start <= span.start && span.end <= item.span.end;
    case.is_parent() || (item.changed && inside(item.name_span))
}

/// Whether another amount on one line leaves the total as good as it was: a line takes the rest, or it is off anyway.
pub(crate) fn takes_up(case: &Case<'_>) -> bool {
    let totals = &case.formula.totals;
    !totals.balances.is_empty() || totals.wanted.is_none() || totals.is_off()
}

/// The measure of an item's amount, where it is one plain number of the whole.
pub(crate) fn plain_measure(case: &Case<'_>, item: &Item) -> Option<Measure> {
    let plain = matches!(item.written, Written::Amount(_)) && !item.is_range && is_own(case, item);
    let measure = measure_of(case.block, item).filter(|_| plain)?;
    (measure.range.kind == RangeKind::Exact && measure.of.is_none()).then_some(measure)
}

/// Grams that an item's line says, where it says a weight.
pub(crate) fn weighed(case: &Case<'_>, item: &Item) -> Option<Exact> {
    let measure = plain_measure(case, item)?;
    let factor = factor::grams(measure.unit?.unit)?;
    Some(Exact::read(case.at(measure.range.first))? * factor)
}

/// Writes another share of the whole for an item that is written in percent.
pub(crate) fn in_percent(case: &Case<'_>, item: &Item, share: &Exact) -> Option<Edits> {
    let measure = plain_measure(case, item).filter(|_| item.written == Written::Amount(Unit::Percent))?;
    let number = share.percent().data();
    (!share.is_negative() && !share.is_zero())
        .then(|| Edits::one(measure.range.span, number.clone()))
        .map(|edits| in_columns(&case.block.text, measure.range.span, number).unwrap_or(edits))
}

/// A number in the place of another, with blanks taken or given so that what follows keeps its column.
fn in_columns(text: &str, old: Span, number: String) -> Option<Edits> {
    let after = text.get(old.end as usize..)?;
    let blanks = after.len() - after.trim_start_matches(' ').len();
    let (had, has) = (old.len() as usize, number.len());
    if has <= had {
        let room = if blanks > 0 { had - has } else { 0 };
        return Some(Edits::one(old, format!("{number}{}", " ".repeat(room))));
    }
    let more = (has - had).min(blanks.saturating_sub(1));
    Some(Edits::one(Span::new(old.start, old.end + more as u32), number))
}

/// Says another batch, where the amounts are shares that do not change with it.
pub(crate) fn other_batch(case: &Case<'_>, grams: &Exact) -> Option<(String, Edits)> {
    let shares = case.formula.totals.basis == Basis::Share;
    if shares { said_batch(case, grams) } else { None }
}

/// Writes the batch: in its line, else below the product line. No more than two decimals are written.
pub(crate) fn said_batch(case: &Case<'_>, grams: &Exact) -> Option<(String, Edits)> {
    let amount = format!("{} g", grams.shown(2));
    if !case.is_parent() || Exact::read(&grams.shown(2)).as_ref() != Some(grams) {
        return None;
    }
    let mut lines = case.block.facts(Word::Batch);
    let edits = match (lines.next(), lines.next()) {
        (None, _) => {
            let header = &case.formula.header;
            let after = header.product.span.unwrap_or(case.formula.name_span);
            line_below(&case.block.text, after, &format!("batch {amount}"))
        }
        (Some((_, fact)), None) => {
            let measure = fact.measure.filter(|measure| measure.unit.is_some())?;
            Edits::one(measure.span, amount.clone())
        }
        (Some(_), Some(_)) => return None,
    };
    Some((format!("Write `batch {amount}`"), edits))
}

/// Writes another share for a line in percent, with what is then written. None where the line is a variant's doing or is not
/// written in plain percent, and where nothing makes up the total again.
pub(crate) fn with_share(case: &Case<'_>, item: &Item, share: &Exact) -> Option<(Edits, String)> {
    let makes_up = case.formula.totals.balances.first().and_then(|at| case.formula.items.get(*at));
    let room = makes_up.and_then(Item::mid).zip(item.mid()).is_some_and(|(rest, own)| rest + own > *share);
    if !room {
        return None;
    }
    let (edit, written) = share_written(case, item, share)?;
    Some((Edits::new(vec![edit]).ok()?, written))
}

/// The edit that writes a share for a line in plain percent, and what it writes.
pub(crate) fn share_written(case: &Case<'_>, item: &Item, share: &Exact) -> Option<(Edit, String)> {
    if item.changed || !case.is_parent() || item.is_range || item.written != Written::Amount(Unit::Percent) {
        return None;
    }
    let measure = measure_of(case.block, item)?;
    let number = share.percent().shown(2);
    let mut span = measure.range.first;
    // The unit keeps its column as far as there are blanks to give and take.
    let text: &str = &case.block.text;
    let after = text.get(span.end as usize..).unwrap_or("");
    let blanks = after.len() - after.trim_start_matches(' ').len();
    let (old, new) = (span.of(text).len(), number.len());
    span.end += new.saturating_sub(old).min(blanks.saturating_sub(1)) as u32;
    let pad = if blanks > 1 { old.saturating_sub(new) } else { 0 };
    Some((Edit { span, text: format!("{number}{}", " ".repeat(pad)) }, format!("{number} %")))
}
