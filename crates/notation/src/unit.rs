//! Units of amount, temperature and time, and the words they are written with.

use crate::text::Span;

/// Whose kitchen measures are meant.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Measures {
    /// United States customary.
    Us,
    /// Metric kitchen measures: 5, 15 and 250 mL.
    Metric,
    /// Imperial.
    Imperial,
}

/// What a unit measures.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Dimension {
    /// A share of a whole.
    Share,
    /// A weight.
    Mass,
    /// A volume.
    Volume,
    /// Parts of a ratio.
    Parts,
    /// Drops.
    Drops,
    /// International units of activity.
    Activity,
    /// A temperature.
    Temperature,
    /// A length of time.
    Time,
}

/// A unit of the notation.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Unit {
    /// Percent; of weight unless said otherwise.
    Percent,
    /// Percent weight in volume.
    PercentWv,
    /// Percent volume in volume.
    PercentVv,
    /// Parts per million, by weight.
    Ppm,
    /// Parts of a ratio.
    Parts,
    /// Microgram.
    Microgram,
    /// Milligram.
    Milligram,
    /// Gram.
    Gram,
    /// Kilogram.
    Kilogram,
    /// Avoirdupois ounce.
    Ounce,
    /// Avoirdupois pound.
    Pound,
    /// Millilitre.
    Millilitre,
    /// Litre.
    Litre,
    /// Fluid ounce.
    FluidOunce(Option<Measures>),
    /// Teaspoon.
    Teaspoon(Option<Measures>),
    /// Tablespoon.
    Tablespoon(Option<Measures>),
    /// Cup.
    Cup(Option<Measures>),
    /// Drop.
    Drop,
    /// International unit.
    Iu,
    /// Degree Celsius.
    Celsius,
    /// Degree Fahrenheit.
    Fahrenheit,
    /// Second.
    Second,
    /// Minute.
    Minute,
    /// Hour.
    Hour,
    /// Day.
    Day,
    /// Week.
    Week,
    /// Month.
    Month,
    /// Year.
    Year,
}

impl Unit {
    /// What the unit measures.
    pub fn dimension(self) -> Dimension {
        match self {
            Unit::Percent | Unit::PercentWv | Unit::PercentVv | Unit::Ppm => Dimension::Share,
            Unit::Parts => Dimension::Parts,
            Unit::Microgram | Unit::Milligram | Unit::Gram | Unit::Kilogram | Unit::Ounce | Unit::Pound => {
                Dimension::Mass
            }
            Unit::Millilitre
            | Unit::Litre
            | Unit::FluidOunce(_)
            | Unit::Teaspoon(_)
            | Unit::Tablespoon(_)
            | Unit::Cup(_) => Dimension::Volume,
            Unit::Drop => Dimension::Drops,
            Unit::Iu => Dimension::Activity,
            Unit::Celsius | Unit::Fahrenheit => Dimension::Temperature,
            Unit::Second | Unit::Minute | Unit::Hour | Unit::Day | Unit::Week | Unit::Month | Unit::Year => {
                Dimension::Time
            }
        }
    }

    /// Whether this is a unit of an ingredient's amount.
    pub fn weighs(self) -> bool {
        !matches!(self.dimension(), Dimension::Temperature | Dimension::Time)
    }

    /// The canonical spelling.
    pub fn spelling(self) -> &'static str {
        match self {
            Unit::Percent => "%",
            Unit::PercentWv => "% w/v",
            Unit::PercentVv => "% v/v",
            Unit::Ppm => "ppm",
            Unit::Parts => "parts",
            Unit::Microgram => "µg",
            Unit::Milligram => "mg",
            Unit::Gram => "g",
            Unit::Kilogram => "kg",
            Unit::Ounce => "oz",
            Unit::Pound => "lb",
            Unit::Millilitre => "mL",
            Unit::Litre => "L",
            Unit::FluidOunce(None) => "fl oz",
            Unit::FluidOunce(Some(Measures::Us)) => "US fl oz",
            Unit::FluidOunce(Some(Measures::Metric)) => "metric fl oz",
            Unit::FluidOunce(Some(Measures::Imperial)) => "imperial fl oz",
            Unit::Teaspoon(None) => "tsp",
            Unit::Teaspoon(Some(Measures::Us)) => "US tsp",
            Unit::Teaspoon(Some(Measures::Metric)) => "metric tsp",
            Unit::Teaspoon(Some(Measures::Imperial)) => "imperial tsp",
            Unit::Tablespoon(None) => "tbsp",
            Unit::Tablespoon(Some(Measures::Us)) => "US tbsp",
            Unit::Tablespoon(Some(Measures::Metric)) => "metric tbsp",
            Unit::Tablespoon(Some(Measures::Imperial)) => "imperial tbsp",
            Unit::Cup(None) => "cup",
            Unit::Cup(Some(Measures::Us)) => "US cup",
            Unit::Cup(Some(Measures::Metric)) => "metric cup",
            Unit::Cup(Some(Measures::Imperial)) => "imperial cup",
            Unit::Drop => "drops",
            Unit::Iu => "IU",
            Unit::Celsius => "°C",
            Unit::Fahrenheit => "°F",
            Unit::Second => "s",
            Unit::Minute => "min",
            Unit::Hour => "h",
            Unit::Day => "days",
            Unit::Week => "weeks",
            Unit::Month => "months",
            Unit::Year => "years",
        }
    }
}

impl Unit {
    /// The spelling after a number: `1 month`, `9 months`.
    pub fn spelling_of(self, one: bool) -> &'static str {
        match self {
            Unit::Parts if one => "part",
            Unit::Drop if one => "drop",
            Unit::Day if one => "day",
            Unit::Week if one => "week",
            Unit::Month if one => "month",
            Unit::Year if one => "year",
            _ => self.spelling(),
        }
    }
}

/// A word where a unit is expected.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum UnitWord {
    /// A unit.
    Known(Unit),
    /// Refused, since it has several readings: what to write instead.
    Refused(&'static [&'static str]),
    /// No unit, but one letter away from one.
    Near(Unit),
    /// No unit.
    No,
}

/// Every spelling that is read, without case. Spelled-out and plural forms stand beside the signs.
const SPELLINGS: &[(&str, Unit)] = &[
    ("percent", Unit::Percent),
    ("pct", Unit::Percent),
    ("ppm", Unit::Ppm),
    ("part", Unit::Parts),
    ("parts", Unit::Parts),
    ("µg", Unit::Microgram),
    ("μg", Unit::Microgram),
    ("ug", Unit::Microgram),
    ("mcg", Unit::Microgram),
    ("microgram", Unit::Microgram),
    ("micrograms", Unit::Microgram),
    ("mg", Unit::Milligram),
    ("milligram", Unit::Milligram),
    ("milligrams", Unit::Milligram),
    ("g", Unit::Gram),
    ("gm", Unit::Gram),
    ("gms", Unit::Gram),
    ("gram", Unit::Gram),
    ("grams", Unit::Gram),
    ("gramme", Unit::Gram),
    ("grammes", Unit::Gram),
    ("kg", Unit::Kilogram),
    ("kilo", Unit::Kilogram),
    ("kilos", Unit::Kilogram),
    ("kilogram", Unit::Kilogram),
    ("kilograms", Unit::Kilogram),
    ("oz", Unit::Ounce),
    ("ounce", Unit::Ounce),
    ("ounces", Unit::Ounce),
    ("lb", Unit::Pound),
    ("lbs", Unit::Pound),
    ("pound", Unit::Pound),
    ("pounds", Unit::Pound),
    ("ml", Unit::Millilitre),
    ("millilitre", Unit::Millilitre),
    ("millilitres", Unit::Millilitre),
    ("milliliter", Unit::Millilitre),
    ("milliliters", Unit::Millilitre),
    ("cc", Unit::Millilitre),
    ("l", Unit::Litre),
    ("litre", Unit::Litre),
    ("litres", Unit::Litre),
    ("liter", Unit::Litre),
    ("liters", Unit::Litre),
    ("tsp", Unit::Teaspoon(None)),
    ("tsps", Unit::Teaspoon(None)),
    ("teaspoon", Unit::Teaspoon(None)),
    ("teaspoons", Unit::Teaspoon(None)),
    ("tbsp", Unit::Tablespoon(None)),
    ("tbsps", Unit::Tablespoon(None)),
    ("tbs", Unit::Tablespoon(None)),
    ("tablespoon", Unit::Tablespoon(None)),
    ("tablespoons", Unit::Tablespoon(None)),
    ("cup", Unit::Cup(None)),
    ("cups", Unit::Cup(None)),
    ("drop", Unit::Drop),
    ("drops", Unit::Drop),
    ("gtt", Unit::Drop),
    ("iu", Unit::Iu),
    ("°c", Unit::Celsius),
    ("celsius", Unit::Celsius),
    ("°f", Unit::Fahrenheit),
    ("fahrenheit", Unit::Fahrenheit),
    ("s", Unit::Second),
    ("sec", Unit::Second),
    ("second", Unit::Second),
    ("seconds", Unit::Second),
    ("min", Unit::Minute),
    ("mins", Unit::Minute),
    ("minute", Unit::Minute),
    ("minutes", Unit::Minute),
    ("h", Unit::Hour),
    ("hr", Unit::Hour),
    ("hour", Unit::Hour),
    ("hours", Unit::Hour),
    ("day", Unit::Day),
    ("days", Unit::Day),
    ("week", Unit::Week),
    ("weeks", Unit::Week),
    ("month", Unit::Month),
    ("months", Unit::Month),
    ("year", Unit::Year),
    ("years", Unit::Year),
];

/// Letters of an abbreviation that may not be misspelt into a unit.
const SHORTEST_MISSPELT: usize = 3;

/// The unit that a word is; none for words that are refused or only near one.
pub fn known_unit(word: &str) -> Option<Unit> {
    match word {
        "T" | "t" | "c" | "gr" => return None,
        "C" => return Some(Unit::Celsius),
        "F" => return Some(Unit::Fahrenheit),
        "%" => return Some(Unit::Percent),
        _ => {}
    }
    let found = if word.is_ascii() {
        SPELLINGS.iter().find(|(spelling, _)| spelling.eq_ignore_ascii_case(word))
    } else {
        let folded = word.to_lowercase();
        SPELLINGS.iter().find(|(spelling, _)| *spelling == folded)
    };
    found.map(|(_, unit)| *unit)
}

/// What one word says as a unit. `C` and `F` are read as temperatures only.
pub fn find_unit(word: &str) -> UnitWord {
    match word {
        "T" => return UnitWord::Refused(&["tbsp", "tsp"]),
        "t" => return UnitWord::Refused(&["tsp", "tbsp"]),
        "c" => return UnitWord::Refused(&["cup", "mL"]),
        "gr" => return UnitWord::Refused(&["g", "mg"]),
        _ => {}
    }
    if let Some(unit) = known_unit(word) {
        return UnitWord::Known(unit);
    }
    let folded = word.to_lowercase();
    if folded.chars().count() >= SHORTEST_MISSPELT {
        let near = SPELLINGS.iter().find(|(spelling, unit)| {
            unit.weighs()
                && spelling.chars().count() >= SHORTEST_MISSPELT
                && strsim::osa_distance(spelling, &folded) == 1
        });
        if let Some((_, unit)) = near {
            return UnitWord::Near(*unit);
        }
    }
    UnitWord::No
}

/// A unit and where it is written.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct UnitAt {
    /// The unit.
    pub unit: Unit,
    /// Its words.
    pub span: Span,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words() {
        assert_eq!(find_unit("Grams"), UnitWord::Known(Unit::Gram));
        assert_eq!(find_unit("mL"), UnitWord::Known(Unit::Millilitre));
        assert_eq!(find_unit("gramms"), UnitWord::Near(Unit::Gram));
        assert_eq!(find_unit("T"), UnitWord::Refused(&["tbsp", "tsp"]));
        assert_eq!(find_unit("gr"), UnitWord::Refused(&["g", "mg"]));
        assert_eq!(find_unit("tea"), UnitWord::No);
        assert_eq!(find_unit("glycerin"), UnitWord::No);
    }
}
