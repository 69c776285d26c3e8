//! Pieces of sentences that several rules share.

use formula::preservation::Preservative;
use formula::{Exact, Formula, Item, Material, Source};
use notation::{Block, Form, Measure, Quantity, Span, UnitWord, find_unit, read_number};

/// `5 %`
pub(crate) fn percent(share: &Exact) -> String {
    format!("{} %", share.percent())
}

/// `74.4 %`: to a tenth of a percent, for figures that are no more than estimates.
pub(crate) fn about(share: &Exact) -> String {
    format!("{} %", share.percent().shown(1))
}

/// `0.3 %`; `about 0.3 %` where it is worked out from drops, spoons or a range.
pub(crate) fn about_percent(item: &Item, share: &Exact) -> String {
    if item.conversion.is_some() || item.is_range {
        format!("about {}", about(share))
    } else {
        percent(share)
    }
}

/// `; 3 lines have no weight` , with their names; empty when all have one.
pub(crate) fn open_lines(formula: &Formula) -> String {
    let open: Vec<&str> = formula
        .totals
        .open
        .iter()
        .filter_map(|at| formula.items.get(*at))
        .map(|item| item.name.as_str())
        .collect();
    match open.as_slice() {
        [] => String::new(),
        [one] => format!("; 1 line has no weight: {one}"),
        several => format!("; {} lines have no weight: {}", several.len(), several.join(", ")),
    }
}

/// `a`, `a and b`, `a, b and c`
pub(crate) fn list(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [head @ .., last] => format!("{} and {last}", head.join(", ")),
    }
}

/// The measure of an item's amount, as it is written.
pub(crate) fn measure_of(block: &Block, item: &Item) -> Option<Measure> {
    let wanted = item.amount_span?;
    block.lines.iter().find_map(|line| {
        let quantity = match &line.form {
            Form::Item(written) => &written.quantity,
            Form::Change(change) => change.kind.quantity()?,
            _ => return None,
        };
        match quantity {
            Quantity::Given(measure) if measure.span == wanted => Some(*measure),
            _ => None,
        }
    })
}

/// The whole line around a place, its end included, so that taking it out leaves no empty line.
pub(crate) fn whole_line(text: &str, at: Span) -> Span {
    let before = text.get(..at.start as usize).unwrap_or("");
    let start = before.rfind(['\n', '\r']).map_or(0, |end| end as u32 + 1);
    let after = text.get(at.end as usize..).unwrap_or("");
    let end = match after.find(['\n', '\r']) {
        None => text.len() as u32,
        Some(found) => {
            let pair = after.get(found..).is_some_and(|rest| rest.starts_with("\r\n"));
            at.end + found as u32 + if pair { 2 } else { 1 }
        }
    };
    Span::new(start, end)
}

/// `a`, `a or b`, `a, b or c`
pub(crate) fn either(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [head @ .., last] => format!("{} or {last}", head.join(", ")),
    }
}

/// `glycerin 5 %`: a name, and the amount that is written behind it.
pub(crate) fn amount_behind(written: &str) -> Option<(&str, &str)> {
    let unit = written.rfind(|c: char| c.is_ascii_digit())? + 1;
    let known = matches!(find_unit(written.get(unit..)?.trim()), UnitWord::Known(unit) if unit.weighs());
    let start = written.get(..unit)?.rfind(char::is_whitespace)? + 1;
    let number = written.get(start..unit)?;
    let name = written.get(..start)?.trim_end().trim_end_matches([',', ':', '-', '–']).trim_end();
    (known && read_number(number).is_ok() && !name.is_empty())
        .then(|| (name, written.get(start..).unwrap_or("").trim()))
}

/// The single substances by which a system preserves: those of a blend, the acids of salts, or itself.
pub(crate) fn preserving_parts<'a>(formula: &'a Formula, one: &Preservative) -> Vec<&'a Material> {
    let Some(own) = one.material.as_ref() else { return Vec::new() };
    let parts: Vec<&Material> = formula
        .substances
        .iter()
        .filter(|substance| substance.via.iter().any(|via| via.item == one.item))
        .filter_map(|substance| substance.material.as_deref())
        .filter(|material| material.does("preservative") && material.counts_as.is_empty())
        .collect();
    // A blend speaks through its parts.
    let whole = parts.len() > 1 && !own.contains.is_empty();
    parts.into_iter().filter(|part| !whole || part.key() != own.key()).collect()
}

/// The acid that a preservative is, brings or counts as, with its pKa, where nothing else in it preserves.
pub(crate) fn only_acid(formula: &Formula, one: &Preservative) -> Option<(String, Exact, Source)> {
    let parts = preserving_parts(formula, one);
    let acid = |material: &&Material| {
        let [pka] = material.pka.as_slice() else { return None };
        let weak = pka.value < Exact::fraction(11, 2);
        weak.then(|| (material.name.clone(), pka.value.clone(), pka.source.clone()))
    };
    let all: Option<Vec<_>> = parts.iter().map(acid).collect();
    all?.into_iter().next()
}

/// Whether there is enough of a preservative that works on bacteria too, as far as is known.
pub(crate) fn keeps_bacteria_away(one: &Preservative) -> bool {
    let works_on = one.material.as_ref().map(|material| material.works_on.as_slice()).unwrap_or_default();
    one.in_working_amount() && (works_on.is_empty() || works_on.iter().any(|microbe| microbe == "bacteria"))
}
