//! Weak acids in water: how much of one is undissociated, and when it falls out of solution.

use crate::exact::Exact;
use crate::formula::Formula;
use crate::material::{Material, Source};
use std::sync::Arc;

/// The undissociated part of a monoprotic acid at a pH, by Henderson and Hasselbalch: `1 / (1 + 10^(pH − pKa))`.
pub fn undissociated(pka: &Exact, ph: &Exact) -> f64 {
    1.0 / (1.0 + libm::exp10((ph - pka).estimate()))
}

/// How much of a monoprotic acid and its salt together dissolves at a pH, in the unit of `free`, the solubility of the
/// free acid: `free × (1 + 10^(pH − pKa))` (the salt itself is taken as soluble enough).
pub fn solubility_at(free: f64, pka: &Exact, ph: &Exact) -> f64 {
    free / undissociated(pka, ph)
}

/// The pH below which the free acid separates: `pKa + log10((total − free) / free)`, both in the same unit. None where
/// all of it dissolves at any pH.
pub fn separates_below(pka: &Exact, total: f64, free: f64) -> Option<f64> {
    (total > free && free > 0.0).then(|| pka.estimate() + libm::log10((total - free) / free))
}

/// An acid in a formula, with all that its salts would make of it.
#[derive(Clone, PartialEq, Debug)]
pub struct FreeAcid {
    /// The lines that bring it, the acid itself or its salt.
    pub items: Vec<usize>,
    /// The acid.
    pub acid: Arc<Material>,
    /// The acid with its salts counted as the acid, as a share of the whole.
    pub total: Exact,
    /// What of it is undissociated, as a share of the whole.
    pub free: f64,
    /// The most that the formula's water holds of the free acid at room temperature, as a share of the whole; none
    /// where no solubility is known.
    pub holds: Option<f64>,
    /// Where the solubility comes from.
    pub source: Option<Source>,
    /// The pH below which it separates; none where it never does.
    pub separates_below: Option<f64>,
}

/// The monoprotic acids of a formula at a pH. Amounts are the middle ones; of several solubilities near room temperature
/// the highest counts, so that nothing is told too early. Other solvents, oils and surfactants, which hold more, are not
/// counted.
pub fn free_acids(formula: &Formula, ph: &Exact) -> Vec<FreeAcid> {
    let water = formula.water.share.mid.estimate();
    let mut found = Vec::new();
    for substance in &formula.substances {
        let Some(acid) = &substance.material else { continue };
        let [pka] = acid.pka.as_slice() else { continue };
        let mut items = Vec::new();
        let mut total = Exact::zero();
        for via in &substance.via {
            let salt = via.origin.counts_as.iter().any(|part| part.value.name == acid.name);
            if let (Some(share), true) = (&via.share, via.itself || salt) {
                total = total + share.mid.clone();
                items.push(via.item);
            }
        }
        if items.is_empty() {
            continue;
        }
        items.dedup();
        let room = acid
            .solubility
            .iter()
            .filter(|figure| figure.value.solvent == "water")
            .filter(|figure| {
                figure
                    .value
                    .celsius
                    .as_ref()
                    .is_none_or(|at| *at >= Exact::whole(15) && *at <= Exact::whole(30))
            })
            .filter_map(|figure| Some((figure.value.grams_per_100_ml.as_ref()?.middle()?.estimate(), figure)))
            .max_by(|a, b| a.0.total_cmp(&b.0));
        let holds = room.map(|(grams, _)| grams / 100.0 * water);
        found.push(FreeAcid {
            items,
            acid: Arc::clone(acid),
            free: total.estimate() * undissociated(&pka.value, ph),
            separates_below: holds.and_then(|holds| separates_below(&pka.value, total.estimate(), holds)),
            holds,
            source: room.map(|(_, figure)| figure.source.clone()),
            total,
        });
    }
    found
}
