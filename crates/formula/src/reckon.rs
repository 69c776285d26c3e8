//! What is reckoned from a formula, each with its method's source. Only here does floating point enter.

mod acid;
mod bench;
mod emulsion;
mod evaporation;
mod filling;
mod hlb;
mod preserving;
mod solubility;

pub use acid::{separates_below, solubility_at, undissociated};
pub use bench::{Planned, planned};
pub(crate) use emulsion::soap;
pub use emulsion::{Emulsifier, Emulsion, EmulsionKind, Oil, Reach, emulsion, least_of_a_phase, reach};
pub use evaporation::evaporation;
pub use filling::{Filled, pack_grams, packs, price_of, room_of, yield_of};
pub use hlb::{Hlb, Term, hlb, hlb_of, split};
pub use preserving::{Preserving, preserving};
pub use solubility::{Undissolved, undissolved};

use crate::exact::Exact;
use crate::formula::Formula;
use crate::window::Interval;

/// Free water of a formula.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Water {
    /// Share of the whole, hidden water counted, as far as it is known.
    pub share: Interval,
    /// Lines that bring water, with how much.
    pub lines: Vec<(usize, Interval)>,
    /// Lines of which it is not known.
    pub open: Vec<usize>,
}

impl Default for Water {
    fn default() -> Water {
        Water { share: Interval::zero(), lines: Vec::new(), open: Vec::new() }
    }
}

/// An estimate of water activity, and how much of what is dissolved it could count.
#[derive(Clone, PartialEq, Debug)]
pub struct WaterActivity {
    /// 0 to 1.
    pub value: f64,
    /// Lines counted as dissolved.
    pub counted: Vec<usize>,
}

/// Water activity by Raoult's law: moles of water over moles of all that is dissolved in it (D. C. Steinberg,
/// Cosmetics & Toiletries; see also Norrish 1966 for the departure of polyols, which only lowers it further). Counts
/// substances soluble in water whose molar mass is known, each at most as much as its solubility allows. None without
/// water.
pub fn water_activity(formula: &Formula) -> Option<WaterActivity> {
    const WATER: f64 = 18.015;
    let water = formula.water.share.mid.estimate();
    if water <= 0.0 {
        return None;
    }
    let mut solute = 0.0;
    let mut counted = Vec::new();
    for substance in &formula.substances {
        let Some(material) = &substance.material else { continue };
        let Some(mass) = &material.molar_mass else { continue };
        if !material.dissolves_in("water") || material.water_share() == Some(Exact::one()) {
            continue;
        }
        let direct = substance.via.iter().filter(|via| via.itself);
        let amount: f64 =
            direct.clone().filter_map(|via| via.share.as_ref()).map(|share| share.low.estimate()).sum();
        let most = material
            .solubility
            .iter()
            .filter(|figure| figure.value.solvent == "water")
            .filter_map(|figure| figure.value.grams_per_100_ml.as_ref()?.middle())
            .map(|grams| grams.estimate() / 100.0 * water)
            .fold(f64::INFINITY, f64::min);
        solute += amount.min(most) / mass.value.estimate();
        counted.extend(direct.map(|via| via.item));
    }
    let moles = water / WATER;
    counted.sort_unstable();
    counted.dedup();
    Some(WaterActivity { value: moles / (moles + solute), counted })
}
