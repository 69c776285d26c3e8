//! Weak acids in water: how much of one is undissociated, and when it falls out of solution.

use crate::exact::Exact;

/// The undissociated part of a monoprotic acid at a pH, by Henderson and Hasselbalch: `1 / (1 + 10^(pH − pKa))`.
pub fn undissociated(pka: &Exact, ph: &Exact) -> f64 {
    1.0 / (1.0 + libm::exp10((ph - pka).estimate()))
}

/// How much of a weak acid and its salts together dissolves at a pH, in the unit of `free`, the solubility of the free
/// acid: for one constant `free × (1 + 10^(pH − pKa))`. `pka` in rising order; without one it is `free`. The salts
/// themselves are taken as soluble enough.
pub fn solubility_at(free: &Exact, pka: &[Exact], ph: &Exact) -> f64 {
    let mut exponent = 0.0;
    let mut factor = 1.0;
    for constant in pka {
        exponent += (ph - constant).estimate();
        factor += libm::exp10(exponent);
    }
    free.estimate() * factor
}

/// The pH below which the free acid separates: `pKa + log10((total − free) / free)`, both in the same unit. None where
/// all of it dissolves at any pH.
pub fn separates_below(pka: &Exact, total: f64, free: f64) -> Option<f64> {
    (total > free && free > 0.0).then(|| pka.estimate() + libm::log10((total - free) / free))
}
