//! Whom and what the ingredients should be kept from, and how much scent there is.
#![deny(clippy::float_arithmetic)]

use crate::exact::Exact;
use crate::formula::{Formula, Item};
use crate::material::{Avoid, Figure, Material, Source};
use std::sync::Arc;

/// A line with something in it that should be kept from a person, an area, a form or a way.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Avoided {
    /// The line.
    pub item: usize,
    /// What should be kept away.
    pub material: Arc<Material>,
    /// Why, and how strongly.
    pub avoid: Figure<Avoid>,
    /// The weakest figure on the way: that of the `avoid` line, or of the share of a part.
    pub source: Source,
}

/// Everything in a formula that an `avoid` line speaks of, counted through blends and premixes; one for each line, the
/// line's own ingredient before what is in it. What only adjusts the pH is not there as itself in the end.
pub fn avoided(formula: &Formula, is_meant: impl Fn(&str) -> bool) -> Vec<Avoided> {
    let mut found: Vec<Avoided> = Vec::new();
    for substance in &formula.substances {
        let Some(material) = &substance.material else { continue };
        for figure in material.avoid.iter().filter(|figure| is_meant(&figure.value.what)) {
            let there = substance.via.iter().filter(|via| via.itself && is_there(formula, via.item));
            if let Some(above) = &figure.value.above {
                let total: Exact =
                    there.clone().filter_map(|via| via.share.as_ref().map(|share| share.mid.clone())).sum();
                if total <= *above {
                    continue;
                }
            }
            for via in there {
                // Traces of which no figure says how much are no reason to keep a line away.
                let direct = via.source.is_none();
                if !direct && via.share.is_none() {
                    continue;
                }
                let weakest = via.source.as_ref().map_or(&figure.source, |way| way.weaker(&figure.source));
                let one = Avoided {
                    item: via.item,
                    material: Arc::clone(material),
                    avoid: figure.clone(),
                    source: weakest.clone(),
                };
                match found.iter_mut().find(|known| known.item == via.item) {
                    None => found.push(one),
                    Some(known) if rank(&one) > rank(known) => *known = one,
                    Some(_) => {}
                }
            }
        }
    }
    found.sort_by_key(|one| one.item);
    found
}

fn rank(one: &Avoided) -> u8 {
    match one.avoid.value.level.as_deref() {
        Some("error") => 3,
        Some("note") => 1,
        Some("hint") => 0,
        _ => 2,
    }
}

fn is_there(formula: &Formula, at: usize) -> bool {
    let item = formula.items.get(at);
    item.is_some_and(|item| item.to_ph.is_none() && item.mid().is_none_or(|share| !share.is_zero()))
}

/// How much scent there is: essential oils, absolutes and perfume.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Scent {
    /// The share of the whole, as far as it is known.
    pub share: Exact,
    /// The lines that bring it.
    pub items: Vec<usize>,
}

/// Whether a material is there for its smell: an essential oil, or something whose first work is scent. Waters that
/// are distilled with the plant are none.
pub fn is_scent(material: &Material) -> bool {
    let first = material.functions.first().is_some_and(|first| first == "fragrance");
    material.does("essential oil") || first
}

fn is_scented(item: &Item) -> bool {
    let said = item.declared.iter().any(|function| function.starts_with("fragrance"));
    said || item.material.as_ref().is_some_and(|material| is_scent(material))
}

/// All scent of a formula, premixes and the maker's own blends included.
pub fn scent(formula: &Formula) -> Scent {
    let mut scent = Scent::default();
    for (at, item) in formula.items.iter().enumerate() {
        let share = item.mid().cloned().unwrap_or_default();
        let own = if let Some(premix) = &item.premix {
            let inside = self::scent(premix);
            (!inside.items.is_empty()).then(|| &share * &inside.share)
        } else if is_scented(item) {
            Some(item.strength.as_ref().map_or_else(|| share.clone(), |strength| &share * strength))
        } else {
            brought(formula, at)
        };
        if let Some(own) = own {
            scent.share = scent.share + own;
            scent.items.push(at);
        }
    }
    scent
}

/// The essential oils that a line contains without being one.
fn brought(formula: &Formula, at: usize) -> Option<Exact> {
    let oils = formula.substances.iter().filter(|substance| {
        substance.material.as_ref().is_some_and(|material| material.does("essential oil"))
    });
    let ways = oils.flat_map(|substance| &substance.via).filter(|via| via.itself && via.item == at);
    let shares: Vec<Exact> =
        ways.filter_map(|via| via.share.as_ref().map(|share| share.mid.clone())).collect();
    (!shares.is_empty()).then(|| shares.into_iter().sum())
}
