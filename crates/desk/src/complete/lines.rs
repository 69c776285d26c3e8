//! What follows the word of a line.

use super::place::{Rest, Spot, Wanted};
use notation::{BlockKind, Fact, Word};

const DEGREES: &[&str] = &["°C", "°F"];
const TIMES: &[&str] = &["months", "weeks", "days", "years"];
const WEIGHTS: &[&str] = &["g", "kg", "mg", "oz", "lb"];
const SHARES: &[&str] = &["%", "ppm"];

/// What can be written after a line's word. `unit`: whether the number that follows it has its unit; none without a
/// number.
pub(super) fn value(fact: &Fact, unit: Option<bool>, rest: &Rest<'_>) -> Spot {
    match unit {
        Some(false) => units(fact.word, rest),
        Some(true) => after_measure(fact.word, rest),
        None => words(fact.word, rest),
    }
}

fn units(word: Word, rest: &Rest<'_>) -> Spot {
    let units: &[&'static str] = match word {
        Word::Batch => &["g", "kg", "mL", "L", "oz", "lb"],
        Word::Pack => &["mL", "g", "L", "fl oz", "oz"],
        Word::Density => &["g/mL"],
        Word::ShelfLife | Word::AfterOpening => TIMES,
        Word::Water
        | Word::CountsAs
        | Word::Contains
        | Word::Usage
        | Word::Needs
        | Word::Oils
        | Word::Loss
        | Word::Limit => SHARES,
        Word::Drop => &["mg", "g"],
        Word::Melts | Word::NotAbove | Word::WaterBath => DEGREES,
        Word::MolarMass => &["g/mol"],
        Word::Active => &["µg per IU"],
        Word::Drops => &["per g"],
        Word::Solubility => &["g per 100 mL"],
        Word::Scales | Word::Mixer | Word::Weighed | Word::ToppedUp | Word::Yield => WEIGHTS,
        Word::Price => return rest.whole(Wanted::Money),
        Word::RequiredHlb => &["for O/W", "for W/O"],
        _ => return Spot::default(),
    };
    let mut spot = rest.whole(Wanted::Units(units.to_vec()));
    // `batch 24 jars`
    if word == Word::Batch {
        spot.wanted.push(Wanted::Words(vec!["jars", "bottles", "tubes", "tins", "sticks", "sachets"]));
    }
    spot
}

fn after_measure(word: Word, rest: &Rest<'_>) -> Spot {
    match word {
        Word::Pack => rest.whole(Wanted::Words(notation::PACKS.to_vec())),
        Word::Weighed | Word::ToppedUp | Word::CountsAs | Word::Contains => {
            rest.whole(Wanted::Ingredient { of_formula: false })
        }
        Word::Needs => rest.whole(Wanted::Words(vec!["of oils"])),
        _ => Spot::default(),
    }
}

fn words(word: Word, rest: &Rest<'_>) -> Spot {
    let list = |words: &[&'static str]| rest.list(Wanted::Words(words.to_vec()));
    let whole = |words: &[&'static str]| rest.whole(Wanted::Words(words.to_vec()));
    match word {
        Word::Status => whole(&["trial", "approved", "withdrawn"]),
        Word::Product => rest.list(Wanted::Product),
        Word::For => list(notation::PEOPLE),
        Word::Market => list(notation::MARKETS),
        Word::Claim => list(CLAIMS),
        Word::Tested => match rest.behind(" by ") {
            Some(_) => Spot::default(),
            None => whole(TESTS),
        },
        Word::Include => match (rest.behind(" as "), rest.behind("#")) {
            (Some(_), _) => Spot::default(),
            (None, Some(name)) => {
                let path = rest.typed().split('#').next().unwrap_or("").trim().to_owned();
                Spot::of(Wanted::Formula(Some(path)), name)
            }
            (None, None) => rest.whole(Wanted::Path),
        },
        Word::Stock => rest.whole(Wanted::Path),
        Word::BasedOn | Word::Of => match rest.behind(" version ") {
            Some(_) => Spot::default(),
            None => rest.whole(Wanted::Formula(None)),
        },
        Word::Allow => rest.list(Wanted::Rule),
        Word::Treat => match rest.behind(" as ") {
            Some(level) => Spot::of(Wanted::Words(vec!["error", "warning", "note", "hint"]), level),
            None => rest.whole(Wanted::Rule),
        },
        Word::Function => whole(notation::FUNCTIONS),
        Word::PhaseKind => {
            whole(&["water", "oil", "cool-down", "powder", "surfactant", "gel", "active", "fragrance"])
        }
        Word::SolubleIn => list(&["water", "oil", "alcohol", "both", "nothing"]),
        Word::Charge => {
            whole(&["non-ionic", "anionic", "cationic", "amphoteric", "anionic when neutralised"])
        }
        Word::WorksOn => list(&["bacteria", "yeast", "mould"]),
        Word::Family => whole(FAMILIES),
        Word::Origin => whole(&["plant", "animal", "mineral", "synthetic"]),
        Word::Phototoxic => whole(&["limit", "outside the sum"]),
        Word::Measures => whole(&["metric", "US", "imperial"]),
        Word::Currency => rest.whole(Wanted::Money),
        Word::Measured => whole(&["pH", "viscosity"]),
        Word::Limit => whole(&["not allowed", "none"]),
        Word::Contains => match rest.behind("rest ") {
            Some(name) => Spot::of(Wanted::Ingredient { of_formula: false }, name),
            None => rest.whole(Wanted::Ingredient { of_formula: false }),
        },
        Word::IncompatibleWith => Spot {
            wanted: vec![Wanted::Ingredient { of_formula: false }, Wanted::Words(ANY.to_vec())],
            ..rest.whole(Wanted::Rule)
        },
        Word::Avoid => {
            let mut spot = list(notation::PEOPLE);
            spot.wanted.push(Wanted::Product);
            spot
        }
        _ => Spot::default(),
    }
}

/// What a product is often said to be.
const CLAIMS: &[&str] =
    &["fragrance-free", "vegan", "nut-free", "alcohol-free", "SPF", "UVA", "water-resistant"];

/// What is tested of a product.
const TESTS: &[&str] =
    &["challenge", "stability", "SPF", "UVA", "freeze-thaw", "centrifuge", "patch", "pH", "water resistance"];

/// Families of allergens.
const FAMILIES: &[&str] = &[
    "tree nut",
    "peanut",
    "wheat",
    "gluten",
    "soy",
    "milk",
    "egg",
    "fish",
    "shellfish",
    "sesame",
    "wool",
    "bee",
    "daisy",
];

/// What an ingredient cannot stand beside, besides names.
const ANY: &[&str] = &[
    "any anionic",
    "any cationic",
    "any metal salt",
    "any acid",
    "any electrolyte",
    "any alcohol",
    "any preservative",
];

/// Whether a fact's qualifiers may say where it comes from.
pub(super) fn has_source(word: Word) -> bool {
    word.blocks() == [BlockKind::Ingredient] && !matches!(word, Word::Price | Word::Lot | Word::Also)
        || matches!(word, Word::Density | Word::ShelfLife | Word::Limit)
}
