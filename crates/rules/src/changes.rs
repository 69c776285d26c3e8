//! Changes of the text that fixes of several rules are made of. Spans count from the block's start.

use crate::case::Case;
use crate::words::{measure_of, whole_line};
use formula::{Basis, Exact, Item, Phase, Written, factor};
use notation::{Edit, Edits, Measure, PhaseKind, RangeKind, Span, Unit, Word};

/// Puts a line below another one; `after` is that line's span without its end.
pub fn line_below(text: &str, after: Span, line: &str) -> Edits {
    let end = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let rest = text.get(after.end as usize..).unwrap_or("");
    let stop = rest.find(['\n', '\r']).map_or(text.len() as u32, |at| after.end + at as u32);
    Edits::one(Span::at(stop), format!("{end}{line}"))
}

/// Takes the whole line out that holds a place.
pub(crate) fn take_out(text: &str, at: Span) -> Edits {
    Edits::one(whole_line(text, at), "")
}

/// Writes a qualifier behind an ingredient's name: `; strength 80 %`.
pub(crate) fn qualified(text: &str, item: &Item, qualifier: &str) -> Edits {
    let end = item.name_span.end;
    let quote = text.get(end as usize..).is_some_and(|rest| rest.starts_with('"'));
    Edits::one(Span::at(end + u32::from(quote)), format!("; {qualifier}"))
}

/// Moves an ingredient's line below the last line of another phase. None where the line is a variant's doing.
pub(crate) fn moved(case: &Case<'_>, item: &Item, to: usize) -> Option<Edits> {
    if item.changed || !case.is_parent() {
        return None;
    }
    let formula = case.formula;
    let phase = formula.phases.get(to)?;
    let last =
        formula.items_of(to).map(|(_, item)| item.span).max_by_key(|span| span.end).unwrap_or(phase.span);
    let text: &str = &case.block.text;
    let whole = whole_line(text, item.span);
    let line = whole.of(text).trim_end_matches(['\n', '\r']);
    let mut edits: Vec<Edit> = line_below(text, last, line).iter().cloned().collect();
    edits.push(Edit { span: whole, text: String::new() });
    Edits::new(edits).ok()
}

/// The first phase that is cool enough for something which bears no more than `most` °C, other than the one that it
/// stands in: made without heat, and cooled below that.
pub(crate) fn cool_phase<'a>(case: &Case<'a>, item: &Item, most: &Exact) -> Option<(usize, &'a Phase)> {
    let cool_enough = |phase: &Phase| {
        phase.heat.is_none()
            && (phase.cool.as_ref().is_some_and(|(cool, _)| cool <= most)
                || (phase.kind == Some(PhaseKind::CoolDown) && phase.cool.is_none()))
    };
    let formula = case.formula;
    formula.phases.iter().enumerate().find(|(at, phase)| Some(*at) != item.phase && cool_enough(phase))
}

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
