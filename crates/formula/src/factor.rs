//! The exact factors of the units.
//!
//! Sources: international yard and pound agreement of 1959 (pound = 0.45359237 kg, inch = 2.54 cm), from which
//! NIST Handbook 44 (Appendix C) gives the ounce and the US gallon of 231 cubic inches; UK Units of Measurement
//! Regulations 1995 (gallon = 4.54609 L); metric kitchen measures of 5, 15 and 250 mL as in common use.
#![deny(clippy::float_arithmetic)]

use crate::exact::Exact;
use notation::{Measures, Unit};

/// Grams in one unit of weight; none for other units.
pub fn grams(unit: Unit) -> Option<Exact> {
    Some(match unit {
        Unit::Microgram => Exact::fraction(1, 1_000_000),
        Unit::Milligram => Exact::fraction(1, 1000),
        Unit::Gram => Exact::one(),
        Unit::Kilogram => Exact::whole(1000),
        Unit::Ounce => Exact::fraction(28_349_523_125, 1_000_000_000),
        Unit::Pound => Exact::fraction(45_359_237, 100_000),
        _ => return None,
    })
}

/// Millilitres in one unit of volume, in the measures of a kitchen where the unit names none; none for other units.
pub fn millilitres(unit: Unit, kitchen: Measures) -> Option<Exact> {
    /// 231 cubic inches / 128.
    const US_FLUID_OUNCE: (i128, i128) = (295_735_295_625, 10_000_000_000);
    /// 4546.09 mL / 160.
    const IMPERIAL_FLUID_OUNCE: (i128, i128) = (284_130_625, 10_000_000);
    let us = |parts: Exact| parts * Exact::fraction(US_FLUID_OUNCE.0, US_FLUID_OUNCE.1);
    let imperial = |parts: Exact| parts * Exact::fraction(IMPERIAL_FLUID_OUNCE.0, IMPERIAL_FLUID_OUNCE.1);
    Some(match unit {
        Unit::Millilitre => Exact::one(),
        Unit::Litre => Exact::whole(1000),
        Unit::FluidOunce(whose) => match whose.unwrap_or(kitchen) {
            // There is no metric fluid ounce: outside the UK the word means the US one.
            Measures::Us | Measures::Metric => us(Exact::one()),
            Measures::Imperial => imperial(Exact::one()),
        },
        Unit::Teaspoon(whose) => match whose.unwrap_or(kitchen) {
            Measures::Us => us(Exact::fraction(1, 6)),
            Measures::Metric => Exact::whole(5),
            Measures::Imperial => imperial(Exact::fraction(5, 24)),
        },
        Unit::Tablespoon(whose) => match whose.unwrap_or(kitchen) {
            Measures::Us => us(Exact::fraction(1, 2)),
            Measures::Metric => Exact::whole(15),
            Measures::Imperial => imperial(Exact::fraction(5, 8)),
        },
        Unit::Cup(whose) => match whose.unwrap_or(kitchen) {
            Measures::Us => us(Exact::whole(8)),
            Measures::Metric => Exact::whole(250),
            Measures::Imperial => imperial(Exact::whole(10)),
        },
        _ => return None,
    })
}

/// Whether a unit's size depends on whose kitchen it is.
pub fn is_kitchen(unit: Unit) -> bool {
    matches!(unit, Unit::FluidOunce(None) | Unit::Teaspoon(None) | Unit::Tablespoon(None) | Unit::Cup(None))
}

/// The share of the whole that one unit stands for; none for other units.
pub fn share(unit: Unit) -> Option<Exact> {
    Some(match unit {
        Unit::Percent => Exact::fraction(1, 100),
        Unit::Ppm => Exact::fraction(1, 1_000_000),
        _ => return None,
    })
}

/// A temperature in °C; none for other units.
pub fn celsius(value: &Exact, unit: Unit) -> Option<Exact> {
    match unit {
        Unit::Celsius => Some(value.clone()),
        Unit::Fahrenheit => Some((value - &Exact::whole(32)) * Exact::fraction(5, 9)),
        _ => None,
    }
}

/// Days in one unit of time, a month being a twelfth of 365 days; none for other units.
pub fn days(unit: Unit) -> Option<Exact> {
    Some(match unit {
        Unit::Second => Exact::fraction(1, 86_400),
        Unit::Minute => Exact::fraction(1, 1440),
        Unit::Hour => Exact::fraction(1, 24),
        Unit::Day => Exact::one(),
        Unit::Week => Exact::whole(7),
        Unit::Month => Exact::fraction(365, 12),
        Unit::Year => Exact::whole(365),
        _ => return None,
    })
}
