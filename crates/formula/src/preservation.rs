//! What preserves a formula, and whether it has to be preserved at all.
#![deny(clippy::float_arithmetic)]

use crate::exact::Exact;
use crate::formula::{Formula, Item};
use crate::limit::Fit;
use crate::material::{Figure, Material};
use crate::window::{Interval, Window};
use std::sync::Arc;

/// One preservative system: a line that preserves, or the preservative that a line brings with it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Preservative {
    /// The line.
    pub item: usize,
    /// What it is; none where only the line says that it preserves.
    pub material: Option<Arc<Material>>,
    /// Its share of the whole.
    pub share: Option<Interval>,
    /// Whether preserving is its work here: said on the line, or the first function of the material.
    pub main: bool,
    /// Whether it comes inside a premix.
    pub in_premix: bool,
    /// Whether it comes inside a material that is no preservative itself.
    pub inside: bool,
}

impl Preservative {
    /// The lower end of the usual dose, with its figure: the lowest of all windows.
    pub fn least(&self) -> Option<(Exact, &Figure<Window>)> {
        let usage = &self.material.as_ref()?.usage;
        usage
            .iter()
            .filter_map(|figure| figure.value.low.clone().map(|low| (low, figure)))
            .min_by(|a, b| a.0.cmp(&b.0))
    }

    /// Whether there is as much of it as usually works; taken as so where nobody knows.
    pub fn in_working_amount(&self) -> bool {
        match (self.least(), &self.share) {
            (Some((least, _)), Some(share)) => share.high >= least,
            _ => true,
        }
    }
}

/// Everything that preserves, in the order of the lines. A blend is one system; boosters are none.
pub fn preservatives(formula: &Formula) -> Vec<Preservative> {
    let mut found = Vec::new();
    for (at, item) in formula.items.iter().enumerate() {
        of_line(formula, at, item, &mut found);
    }
    found
}

fn of_line(formula: &Formula, at: usize, item: &Item, found: &mut Vec<Preservative>) {
    if let Some(premix) = &item.premix {
        for inner in preservatives(premix) {
            let share = item.share.as_ref().zip(inner.share.as_ref()).map(|(outer, inner)| Interval {
                low: &outer.low * &inner.low,
                mid: &outer.mid * &inner.mid,
                high: &outer.high * &inner.high,
            });
            found.push(Preservative { item: at, share, in_premix: true, ..inner });
        }
        return;
    }
    let said = item.declared.iter().any(|function| crate::material::function_fits(function, "preservative"));
    match &item.material {
        Some(material) if material.does("preservative") => {
            let share = match (&item.share, &item.strength) {
                (Some(share), Some(strength)) => Some(share.scaled(strength)),
                (share, _) => share.clone(),
            };
            let main = said || is_main(material);
            found.push(Preservative {
                item: at,
                material: Some(Arc::clone(material)),
                share,
                main,
                in_premix: false,
                inside: false,
            });
            return;
        }
        // Something unknown of which the maker says that it preserves.
        None if said && item.blend.is_empty() => {
            found.push(Preservative {
                item: at,
                material: None,
                share: item.share.clone(),
                main: true,
                in_premix: false,
                inside: false,
            });
            return;
        }
        _ => {}
    }
    for substance in &formula.substances {
        let Some(material) = substance.material.as_ref().filter(|material| material.does("preservative"))
        else {
            continue;
        };
        for via in substance.via.iter().filter(|via| via.item == at && via.itself) {
            found.push(Preservative {
                item: at,
                material: Some(Arc::clone(material)),
                share: via.share.clone(),
                main: said || is_main(material),
                in_premix: false,
                inside: item.blend.is_empty(),
            });
        }
    }
}

/// Whether preserving is the first of a material's functions.
pub(crate) fn is_main(material: &Material) -> bool {
    material.functions.first().is_some_and(|first| crate::material::function_fits(first, "preservative"))
}

/// The share of all that has a function, blends and premixes included.
pub fn share_of(formula: &Formula, function: &str) -> Exact {
    let does = |material: &Arc<Material>| material.does(function);
    formula
        .substances
        .iter()
        .filter(|substance| substance.material.as_ref().is_some_and(does))
        .flat_map(|substance| &substance.via)
        .filter(|via| via.itself)
        .filter_map(|via| via.share.as_ref().map(|share| share.mid.clone()))
        .sum()
}

/// Whether a formula holds free water in which something could grow: at least one percent, some of it from lines that
/// are watery themselves. The water of honey, of crystals and of strong acids is bound.
pub fn is_watery(formula: &Formula) -> bool {
    let one = Exact::fraction(1, 100);
    if formula.water.share.mid < one {
        return false;
    }
    let watery = |(at, water): &&(usize, Interval)| {
        let share = formula.items.get(*at).and_then(Item::mid);
        share.and_then(|share| water.mid.over(share)).is_some_and(|ratio| ratio >= Exact::fraction(3, 10))
    };
    let free: Exact = formula.water.lines.iter().filter(watery).map(|(_, water)| water.mid.clone()).sum();
    free >= one
}

/// Whether a glycol makes up as much of itself and the water as keeps that water.
fn is_kept_by_a_glycol(formula: &Formula) -> bool {
    let mut kept: Exact = Exact::default();
    for item in &formula.items {
        let Some(material) = &item.material else { continue };
        let least = material.keeps_water.iter().filter_map(|figure| figure.value.low.as_ref()).min();
        let (Some(least), Some(share)) = (least, item.share.as_ref()) else { continue };
        let amount = match &item.strength {
            Some(strength) => share.low.clone() * strength.clone(),
            None => share.low.clone(),
        };
        kept = kept + amount.over(least).unwrap_or_default() - amount;
    }
    kept >= formula.water.share.high
}

/// Whether a formula has to be preserved: watery, kept for more than a few days, and without what keeps microbes
/// away by itself (ISO 29621: more than 20 % ethanol, a pH below 3 or above 10; a glycol in the share that the catalogue
/// says). Water activity is an estimate and
/// is judged where the finding is made.
pub fn needs_preserving(formula: &Formula) -> bool {
    let header = &formula.header;
    let dry = ["bath bomb", "bath salts", "loose powder", "pressed powder", "powder"]
        .iter()
        .any(|form| header.product.is(form) == Fit::Yes);
    let fresh = header.shelf_life_days.as_ref().is_some_and(|(days, _)| *days <= Exact::whole(3));
    let harsh = header.ph.as_ref().is_some_and(|(window, _)| {
        window.high.as_ref().is_some_and(|high| *high < Exact::whole(3))
            || window.low.as_ref().is_some_and(|low| *low > Exact::whole(10))
    });
    let strong = share_of(formula, "alcohol") > Exact::fraction(20, 100);
    let kept = strong || is_kept_by_a_glycol(formula);
    is_watery(formula) && !formula.is_premix() && !dry && !fresh && !harsh && !kept
}
