//! How much of each preservative a formula holds, as the acid that works, and how much of that is undissociated at the
//! target pH.

use super::undissociated;
use crate::exact::Exact;
use crate::formula::{Formula, Item};
use crate::material::Material;
use crate::substances::Substance;
use notation::fold;
use std::sync::Arc;

/// A preservative, summed over all lines that bring it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Preserving {
    /// Its name.
    pub name: String,
    /// The lines that bring it.
    pub items: Vec<usize>,
    /// Its share of the product; none where it is not known of every line.
    pub share: Option<Exact>,
    /// The acid that works, and its share of the product.
    pub acid: Option<(String, Exact)>,
    /// How much of the acid is undissociated, in percent, and at which pH: the upper end of the target.
    pub undissociated: Option<(String, Exact)>,
}

/// The preservatives of a formula in the order in which they come in, scents left out, then lines that are marked as
/// such and unknown. A blend counts as its parts.
pub fn preserving(formula: &Formula) -> Vec<Preserving> {
    let mut found = Vec::new();
    let mut told: Vec<usize> = Vec::new();
    for substance in &formula.substances {
        let Some(material) = substance.material.as_ref().filter(|material| material.does("preservative"))
        else {
            continue;
        };
        if is_blend_of_preservatives(material, formula) {
            continue;
        }
        let ways = substance.via.iter().filter(|via| {
            via.itself && !via.allergen && formula.items.get(via.item).is_some_and(|item| !is_scent(item))
        });
        let ways: Vec<_> = ways.collect();
        if ways.is_empty() {
            continue;
        }
        told.extend(ways.iter().map(|way| way.item));
        let shares = ways.iter().map(|way| way.share.as_ref().map(|share| share.mid.clone()));
        let share = shares.collect::<Option<Vec<Exact>>>().map(|shares| shares.into_iter().sum());
        let items = ways.iter().map(|way| way.item).collect();
        found.push(one(material, items, share, formula));
    }
    // A line marked as one is one, whoever knows it.
    for (at, item) in formula.items.iter().enumerate() {
        if item.does("preservative") && !told.contains(&at) {
            let share = item.mid().cloned();
            let name = item.name.clone();
            found.push(Preserving { name, items: vec![at], share, acid: None, undissociated: None });
        }
    }
    found
}

/// Whether a line is there for its scent: the traces of preserving substances in it preserve nothing.
fn is_scent(item: &Item) -> bool {
    item.does("essential oil") || item.does("fragrance")
}

fn substance<'a>(formula: &'a Formula, name: &str) -> Option<&'a Substance> {
    let name = fold(name);
    formula.substances.iter().find(|substance| {
        fold(&substance.name) == name
            || substance.material.as_ref().is_some_and(|material| material.names().any(|own| own == name))
    })
}

fn is_blend_of_preservatives(material: &Material, formula: &Formula) -> bool {
    material.contains.iter().any(|part| {
        let found = substance(formula, &part.value.name).and_then(|part| part.material.as_ref());
        found.is_some_and(|part| part.does("preservative") && part.key() != material.key())
    })
}

fn one(material: &Arc<Material>, items: Vec<usize>, share: Option<Exact>, formula: &Formula) -> Preserving {
    let counted = material.counts_as.iter().find_map(|figure| {
        let acid = substance(formula, &figure.value.name)?.material.as_ref()?;
        Some((Arc::clone(acid), figure.value.share.as_ref()?.middle()?))
    });
    // An acid counts as itself.
    let (acid, part) = match counted {
        Some((acid, part)) => (Some(acid), part),
        None => ((!material.pka.is_empty()).then(|| Arc::clone(material)), Exact::one()),
    };
    let ph = formula.header.ph.as_ref().and_then(|(window, _)| window.high.as_ref().or(window.low.as_ref()));
    let undissociated = acid.as_ref().and_then(|acid| {
        let [pka] = acid.pka.as_slice() else { return None };
        let ph = ph?;
        Some((three_digits(undissociated(&pka.value, ph) * 100.0), ph.clone()))
    });
    let acid = acid.zip(share.as_ref()).map(|(acid, share)| (acid.name.clone(), share * &part));
    Preserving { name: material.name.clone(), items, share, acid, undissociated }
}

/// An estimate with the digits that it deserves: three, and at most six decimals.
fn three_digits(value: f64) -> String {
    let places = match value.abs() {
        v if v >= 100.0 => 0,
        v if v >= 10.0 => 1,
        v if v >= 1.0 => 2,
        v if v >= 0.1 => 3,
        v if v >= 0.01 => 4,
        _ => 6,
    };
    let text = format!("{value:.places$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}
