//! Pieces of sentences that several rules share.

use formula::{Exact, Formula, Item};
use notation::{Block, ChangeKind, Form, Measure, Quantity, Span, UnitWord, find_unit, read_number};

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
            Form::Change(change) => match &change.kind {
                ChangeKind::Replace { quantity, .. }
                | ChangeKind::Add { quantity, .. }
                | ChangeKind::Amount { quantity, .. } => quantity,
                ChangeKind::Omit { .. } | ChangeKind::Header(_) => return None,
            },
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
