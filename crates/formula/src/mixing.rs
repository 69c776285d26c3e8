//! What has to be brought into water that does not go there by itself: oils and scents that float, powders and gums that
//! clump.
#![deny(clippy::float_arithmetic)]

use crate::exact::Exact;
use crate::formula::{Formula, Item};
use crate::limit::Fit;
use crate::method::Step;
use crate::preservation::{is_watery, share_of};
use crate::reckon::soap;

/// Where the oils of a formula without an emulsifier go.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Place {
    /// On the water of the product.
    Water,
    /// On the water of a bath, or of the shower.
    Bath,
}

/// Scent and oil in a product of water, or in a bath product, with nothing but solubilisers to carry them.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Floating {
    /// Where they float.
    pub place: Place,
    /// Lines of scent: essential oils and perfumes.
    pub scents: Vec<usize>,
    /// Lines of other oils.
    pub oils: Vec<usize>,
    /// How much scent, as a share of the whole.
    pub scent: Exact,
    /// How much other oil.
    pub oil: Exact,
    /// Lines of solubilisers.
    pub solubilisers: Vec<usize>,
    /// How much of them.
    pub solubiliser: Exact,
    /// Whether a gum or gel keeps droplets apart.
    pub thickened: bool,
}

/// As much scent as water takes up by itself: a hydrosol carries about this much.
fn trace() -> Exact {
    Exact::fraction(5, 10_000)
}

/// What floats in a formula. None where an emulsifier, a surfactant or much alcohol carries it, where nothing is known of
/// some line that could, where the oils are so many that it is an emulsion or two layers to be shaken, and where carrier
/// oils dilute the scent of a bath to a fifth.
pub fn floating(formula: &Formula) -> Option<Floating> {
    let product = &formula.header.product;
    if product.is_premix()
        || product.says("shake before use")
        || product.says("W/O")
        || may_be_carried(formula)
        || soap(formula).is_some()
    {
        return None;
    }
    let dry = formula.water.share.mid < Exact::fraction(1, 20);
    let bath = product.usage() == Some("bath") && !product.says("bath oil");
    let salts = dry && product.says("scrub") && share_of(formula, "electrolyte") >= Exact::fraction(1, 2);
    let watery = is_watery(formula) && formula.water.share.mid >= Exact::fraction(2, 5);
    let place = match (bath || salts, watery) {
        (true, _) => Place::Bath,
        (false, true) => Place::Water,
        (false, false) => return None,
    };
    let lines = |wanted: &dyn Fn(&Item) -> bool| -> Vec<usize> {
        formula.items.iter().enumerate().filter(|(_, item)| wanted(item)).map(|(at, _)| at).collect()
    };
    let sum = |lines: &[usize]| -> Exact {
        lines.iter().filter_map(|at| Some(formula.items.get(*at)?.active()?.mid)).sum()
    };
    let scents = lines(&is_scent);
    let oils = lines(&|item| item.is_oily() && !is_scent(item) && !settles_itself(item));
    let solubilisers = lines(&|item| item.does("solubiliser"));
    let (scent, oil, solubiliser) = (sum(&scents), sum(&oils), sum(&solubilisers));
    let carried = match place {
        Place::Water => &scent + &oil >= Exact::fraction(1, 20),
        Place::Bath => oil >= &scent * &Exact::whole(4),
    };
    let traces = if place == Place::Water { &scent + &oil } else { scent.clone() };
    let thickened = formula.items.iter().any(|item| item.does("thickener") && !item.dissolves_in("oil"));
    (!carried && traces > trace()).then_some(Floating {
        place,
        scents,
        oils,
        scent,
        oil,
        solubilisers,
        solubiliser,
        thickened,
    })
}

/// A scent that does not dissolve in water.
fn is_scent(item: &Item) -> bool {
    item.is_oily() && (item.does("essential oil") || item.does("fragrance"))
}

/// What has a figure for water of its own is held against that; UV filters, butters and waxes are no drops on water.
fn settles_itself(item: &Item) -> bool {
    let Some(material) = &item.material else { return true };
    material.solubility.iter().any(|figure| figure.value.grams_per_100_ml.is_some())
        || ["UV filter", "wax", "thickener", "powder"].iter().any(|function| item.does(function))
}

/// Whether something carries the oils, or nobody knows that nothing does.
fn may_be_carried(formula: &Formula) -> bool {
    let function = |function: &str| {
        let in_line = |item: &Item| item.does(function) && !item.does("solubiliser");
        let brought = formula.substances.iter().any(|substance| {
            let Some(material) = substance.material.as_ref().filter(|material| material.does(function))
            else {
                return false;
            };
            !material.does("solubiliser") || substance.via.iter().any(|via| in_blend(formula, via.item))
        });
        brought || formula.items.iter().any(in_line)
    };
    let unknown = |item: &Item| {
        let open = item.open_slot && !item.does("solubiliser");
        let nameless = !item.is_known() || item.blend.iter().any(|(_, part)| part.is_none());
        (nameless && item.share.as_ref().is_none_or(|share| share.high >= Exact::fraction(1, 1000))) || open
    };
    // Clays and starches take up oil.
    let powder = |item: &Item| item.does("clay") || item.does("powder");
    let powders: Exact =
        formula.items.iter().filter(|item| powder(item)).filter_map(|item| item.mid().cloned()).sum();
    let soaked_up = is_watery(formula) && powders >= Exact::fraction(5, 100);
    function("emulsifier")
        || function("surfactant")
        || soaked_up
        || share_of(formula, "alcohol") >= Exact::fraction(3, 10)
        || formula.items.iter().any(unknown)
}

/// Whether a line is a premix or a blend, of which nobody knows how it was made.
fn in_blend(formula: &Formula, at: usize) -> bool {
    formula.items.get(at).is_some_and(|item| item.premix.is_some() || !item.blend.is_empty())
}

/// Whether the method, or the line itself, wets a powder or a gum before it meets all of its liquid. A method that says
/// nothing of how anything is mixed counts as silent: true.
pub fn is_wetted(formula: &Formula, at: usize, by: &[&str]) -> bool {
    let Some(item) = formula.items.get(at) else { return true };
    if item.carried_in.iter().any(|(how, _)| how == "wetted in" || how == "dispersed in") {
        return true;
    }
    let names = |step: &&Step| step.everything || step.names(at, item);
    let mut touching = formula.steps.iter().filter(names).peekable();
    // A step that wets something without saying what may well mean this.
    let at_large =
        ["oxide", "oxides", "powder", "powders", "pigment", "pigments", "minerals", "dry", "gum", "gums"];
    let unnamed = |step: &Step| {
        step.says(by) && ((step.items.is_empty() && step.phases.is_empty()) || step.says(&at_large))
    };
    touching.peek().is_none() || touching.any(|step| step.says(by)) || formula.steps.iter().any(unnamed)
}

/// The largest line in the same phase, or anywhere, that a powder or gum could be wetted in.
pub fn wetting_liquid(formula: &Formula, at: usize, fits: impl Fn(&Item) -> bool) -> Option<&Item> {
    let item = formula.items.get(at)?;
    let liquid = |other: &&Item| fits(other) && !other.changed && other.share.is_some();
    let near = formula.items.iter().filter(|other| other.phase == item.phase).filter(liquid);
    near.max_by_key(|other| other.mid().cloned())
        .or_else(|| formula.items.iter().filter(liquid).max_by_key(|other| other.mid().cloned()))
}

/// Whether a product is dry or made of grains, so that powders in it are meant to stay powders.
pub fn is_of_powder(formula: &Formula) -> bool {
    let product = &formula.header.product;
    ["loose powder", "pressed powder", "powder", "bath bomb", "bath salts", "scrub", "mask", "cleansing bar"]
        .iter()
        .any(|form| product.is(form) == Fit::Yes)
}
