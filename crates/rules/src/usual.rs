//! Usual amounts: in which products they hold, for which lines, and what they are.

use formula::{Exact, Figure, Formula, Item, Window, Written};

/// Products of which the usual amounts are known: they stay on skin or are rinsed off, and are mixed with water.
const WATERY: &[&str] = &[
    "cream",
    "lotion",
    "milk",
    "gel",
    "gel cream",
    "gel serum",
    "serum",
    "essence",
    "toner",
    "mist",
    "micellar water",
    "foam",
    "cleanser",
    "cleansing milk",
    "face wash",
    "body wash",
    "shower gel",
    "hand wash",
    "shampoo",
    "conditioner",
];
/// Products without water: the same, but not for the oils that they are made of.
const OILY: &[&str] = &[
    "balm",
    "salve",
    "body butter",
    "lotion bar",
    "face oil",
    "body oil",
    "massage oil",
    "oil",
    "oil serum",
    "lip balm",
    "ointment",
];
/// What a product without water may be made of.
const BODY: &[&str] = &[
    "emollient",
    "oil",
    "butter",
    "wax",
    "thickener",
    "stabiliser",
    "solvent",
    "emulsifier",
    "powder",
    "clay",
];
/// A little less of these is no slip.
const EVER_SO_LITTLE: &[&str] = &[
    "fragrance",
    "essential oil",
    "colour",
    "pigment",
    "pH adjuster",
    "buffer",
    "electrolyte",
    "humectant",
    "solvent",
];

/// The least and the most of all known uses, with the weakest of their figures.
pub(crate) fn known_use(usage: &[Figure<Window>]) -> Option<(Option<Exact>, Option<Exact>, &Figure<Window>)> {
    let weakest = usage.iter().min_by_key(|figure| figure.source.standing)?;
    let open_below = usage.iter().any(|figure| figure.value.low.is_none());
    let open_above = usage.iter().any(|figure| figure.value.high.is_none());
    let low = usage.iter().filter_map(|figure| figure.value.low.clone()).min().filter(|_| !open_below);
    let high = usage.iter().filter_map(|figure| figure.value.high.clone()).max().filter(|_| !open_above);
    Some((low, high, weakest))
}

/// Whether a little less of it is no slip.
pub(crate) fn may_be_little(item: &Item) -> bool {
    EVER_SO_LITTLE.iter().any(|function| item.does(function))
}

/// Whether usual amounts hold for a line: those of creams, lotions and gels say nothing of a bath, a mask or a scrub, nor
/// of the oils that a product without water is made of.
pub(crate) fn is_judged(formula: &Formula, item: &Item) -> bool {
    let plain = matches!(item.written, Written::Amount(_) | Written::Both);
    // Drops and spoons are estimates, and told as such.
    if !plain || item.conversion.is_some() || item.is_ambiguous() {
        return false;
    }
    let product = &formula.header.product;
    match product.form() {
        Some(form) if WATERY.contains(&form) && !formula.is_water_free() => true,
        Some(form) if WATERY.contains(&form) || OILY.contains(&form) => {
            !BODY.iter().any(|function| item.does(function))
        }
        // Nothing is said: what is mostly water is no bath salt and no powder.
        None if !formula.is_premix() => formula.water.share.low > Exact::fraction(2, 5),
        _ => false,
    }
}
