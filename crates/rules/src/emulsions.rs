//! What the rules of emulsions share.

use crate::case::Case;
use formula::reckon::{Emulsion, EmulsionKind};
use formula::{Formula, Item};

/// Whether anything holds oil and water together.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Stands {
    /// Something does, or may.
    Held,
    /// Nothing does.
    Alone,
}

/// What stands between oil and water, as far as is known. A broken line, a premix that is not there, or a line that
/// nobody knows may be the emulsifier.
pub(crate) fn standing(formula: &Formula, emulsion: &Emulsion) -> Stands {
    let real = emulsion.emulsifiers.iter().any(|own| {
        own.material.as_ref().is_none_or(|material| {
            material.does("emulsifier") || material.does("solubiliser") || !material.hlb.is_empty()
        })
    });
    let held = formula.broken
        || real
        || !emulsion.helpers.is_empty()
        || emulsion.is_mixed_system()
        || emulsion.may_hold_an_unknown(formula);
    if held { Stands::Held } else { Stands::Alone }
}

/// The emulsion of a formula, where nobody can doubt what holds it: no line is broken or unknown that could, and nothing
/// else than emulsifiers does the work.
pub(crate) fn plain<'a>(case: &Case<'a>) -> Option<&'a Emulsion> {
    let emulsion = case.emulsion()?;
    let doubtful =
        case.formula.broken || emulsion.is_mixed_system() || emulsion.may_hold_an_unknown(case.formula);
    (!doubtful).then_some(emulsion)
}

/// The line with the most oil.
pub(crate) fn largest(emulsion: &Emulsion) -> Option<usize> {
    emulsion.oils.iter().max_by(|a, b| a.share.cmp(&b.share)).map(|oil| oil.item)
}

/// Lines that are often taken for an emulsifier and are none: those which the sheet calls one, else waxes, fatty alcohols
/// and acids, else gums, from half a percent on.
pub(crate) fn stand_ins<'a>(formula: &'a Formula, emulsion: &Emulsion) -> Vec<&'a Item> {
    let called: Vec<&Item> =
        emulsion.emulsifiers.iter().filter_map(|own| formula.items.get(own.item)).collect();
    if !called.is_empty() {
        return called;
    }
    let enough = |item: &&Item| item.mid().is_some_and(|share| *share >= formula::Exact::fraction(5, 1000));
    let thick = |item: &&Item| item.does("wax") || item.does("thickener");
    let all: Vec<&Item> = formula.items.iter().filter(enough).filter(thick).collect();
    let fats: Vec<&Item> = all.iter().copied().filter(|item| item.dissolves_in("oil")).collect();
    if fats.is_empty() { all } else { fats }
}

/// The kind in words.
pub(crate) fn in_words(kind: EmulsionKind) -> &'static str {
    match kind {
        EmulsionKind::OilInWater => "oil in water",
        EmulsionKind::WaterInOil => "water in oil",
    }
}
