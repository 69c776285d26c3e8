//! What the rules of arithmetic share: where a total's finding stands, how weights are written, and the balance line.

use crate::case::Case;
use crate::changes::{plain_measure, weighed};
use crate::findings::Adding;
use formula::{Basis, Exact, Formula, Item, Unknown, Written};
use notation::{Edit, Edits, Span, Unit};

/// A finding on a total stands on the formula's name; on the variant's, for a variant.
pub(crate) fn place(case: &Case<'_>) -> Span {
    case.formula.variant.as_ref().map_or(case.formula.name_span, |(_, span)| *span)
}

/// Grams for the eye: two decimals, three significant digits below one gram.
pub(crate) fn grams(grams: &Exact) -> String {
    let shown = if grams.abs() < Exact::one() { grams.text() } else { grams.shown(2) };
    format!("{shown} g")
}

/// `10 drops sweet orange oil`, as the maker wrote it.
pub(crate) fn written(item: &Item) -> String {
    let amount: Vec<&str> = item.amount_text.split_whitespace().collect();
    if amount.is_empty() { item.name.clone() } else { format!("{} {}", amount.join(" "), item.name) }
}

/// Whether the total can be judged at all: every line reads, and what has an amount has a weight. Drops are left out of
/// every total, whether they can be weighed or not.
pub(crate) fn can_judge(formula: &Formula) -> bool {
    let totals = &formula.totals;
    let weighed = totals.unknown.iter().all(|(_, why)| *why == Unknown::Drop);
    !formula.broken && totals.unresolved.is_empty() && weighed
}

/// Whether a variant only says another batch for the weights of its parent: then they are meant for the parent's.
pub(crate) fn only_rescaled(case: &Case<'_>) -> bool {
    let (own, parent) = (case.formula, &case.resolved.formula);
    let batch = |formula: &Formula| formula.header.batch.as_ref().map(|batch| batch.span);
    let totals = &own.totals;
    let off_parent = parent.totals.wanted.as_ref().map(|wanted| (wanted - &totals.named).abs());
    !case.is_parent()
        && totals.basis == Basis::Weight
        && batch(own) != batch(parent)
        && off_parent.is_some_and(|off| off <= parent.totals.tolerance)
}

/// Offers to make the largest watery line, else the largest line, the balance; where one line alone has no amount, that.
pub(crate) fn balance_fix<'a>(case: &Case<'_>, adding: Adding<'a>, weights: bool, whole: &str) -> Adding<'a> {
    let formula = case.formula;
    let Some(off) = formula.totals.off().filter(|_| case.is_parent()) else { return adding };
    let shown = |amount: &Exact| if weights { grams(amount) } else { format!("{} %", amount.percent()) };
    let open: Vec<&Item> = formula.totals.open.iter().filter_map(|at| formula.items.get(*at)).collect();
    match open.as_slice() {
        [] => {}
        [one] if one.written == Written::Missing && !off.is_negative() => {
            let name = one.name_span.start;
            let quoted = case.block.text.get(..name as usize).is_some_and(|before| before.ends_with('"'));
            let at = Span::at(name - u32::from(quoted));
            let title = format!("Give {} the rest: {}", one.name, shown(&off));
            return adding.replace(title, at, format!("to {whole} "));
        }
        _ => return adding,
    }
    let watery = |item: &Item| item.material.as_ref().is_some_and(|m| m.water_share() == Some(Exact::one()));
    let said = |item: &Item| if weights { weighed(case, item) } else { item.mid().cloned() };
    let fits = |item: &&Item| {
        let kind = match item.written {
            Written::Amount(Unit::Percent) => !weights,
            Written::Amount(unit) => weights && unit.dimension() == notation::Dimension::Mass,
            _ => false,
        };
        kind && plain_measure(case, item).is_some()
    };
    let after =
        |item: &Item| said(item).map(|had| had + &off).filter(|has| !has.is_negative() && !has.is_zero());
    let candidates = formula.items.iter().filter(fits).filter(|item| after(item).is_some());
    let best = candidates.max_by_key(|item| (watery(item), item.mid().cloned()));
    let Some((item, span)) = best.and_then(|item| item.amount_span.map(|span| (item, span))) else {
        return adding;
    };
    let (had, has) = (said(item).unwrap_or_default(), after(item).unwrap_or_default());
    let title = format!("Make {} the balance: {} instead of {}", item.name, shown(&has), shown(&had));
    adding.replace(title, span, format!("to {whole}"))
}

/// Writes percents by volume as percents by weight. None where a line is not the formula's own.
pub(crate) fn by_weight(case: &Case<'_>, items: &[&Item]) -> Option<Edits> {
    let unit = |item: &&Item| Some(plain_measure(case, item)?.unit?.span);
    let spans: Option<Vec<Span>> = items.iter().map(unit).collect();
    let edits = spans?.into_iter().map(|span| Edit { span, text: Unit::Percent.spelling().to_owned() });
    Edits::new(edits.collect()).ok()
}
