//! Pieces of sentences that several rules share.

use formula::{Exact, Formula};

/// `5 %`
pub(crate) fn percent(share: &Exact) -> String {
    format!("{} %", share.percent())
}

/// `74.4 %`: to a tenth of a percent, for figures that are no more than estimates.
pub(crate) fn about(share: &Exact) -> String {
    format!("{} %", share.percent().shown(1))
}

/// `; 3 lines have no weight` , with their names; empty when all have one.
pub(crate) fn open_lines(formula: &Formula) -> String {
    let open: Vec<&str> =
        formula.totals.open.iter().filter_map(|at| formula.items.get(*at)).map(|item| item.name.as_str()).collect();
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
