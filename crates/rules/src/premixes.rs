//! What the rules of premixes share.

use formula::{Formula, Include};
use notation::{Span, fold};

/// The lines that use what an include brings, or should bring.
pub(crate) fn lines_of(formula: &Formula, include: &Include) -> Vec<Span> {
    let used = formula.items.iter().filter(|item| fold(&item.name) == fold(&include.name));
    used.map(|item| item.span).collect()
}
