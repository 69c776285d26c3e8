//! The closed lists of words: product words, functions, grades, packs, kinds of phase.

use crate::fold::fold;
use std::borrow::Cow;
use std::collections::HashMap;
use std::sync::OnceLock;

/// The letters of a folded word, so that a word that cannot be near need not be measured.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Letters(u64);

impl Letters {
    /// The letters of a word. Rare ones share a place.
    pub fn of(folded: &str) -> Letters {
        Letters(folded.chars().fold(0, |letters, c| letters | 1 << (u32::from(c) % u64::BITS)))
    }

    /// Whether so many edits could make the one word of the other: each letter that only one of them has takes one.
    pub fn may_be_within(self, other: Letters, edits: usize) -> bool {
        let only = |a: u64, b: u64| (a & !b).count_ones() as usize;
        only(self.0, other.0) <= edits && only(other.0, self.0) <= edits
    }
}

fn folded(word: &str) -> Cow<'_, str> {
    let is_folded = word.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-');
    if is_folded { Cow::Borrowed(word) } else { Cow::Owned(fold(word)) }
}

/// The word of a list that is at most `edits` letters away; the nearest, the first of equals.
pub fn nearest<'a>(word: &str, list: impl IntoIterator<Item = &'a str>, edits: usize) -> Option<&'a str> {
    let word = fold(word);
    let (length, letters) = (word.chars().count(), Letters::of(&word));
    list.into_iter()
        // A word much longer or shorter cannot be near: no need to measure it.
        .filter(|candidate| candidate.chars().count().abs_diff(length) <= edits)
        .filter_map(|candidate| {
            let own = folded(candidate);
            let near = Letters::of(&own).may_be_within(letters, edits);
            near.then(|| (strsim::osa_distance(&own, &word), candidate))
        })
        .filter(|(distance, candidate)| *distance <= edits && *distance < candidate.chars().count())
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

/// Forms of a product. Second: the use that each usually has.
pub const FORMS: &[(&str, &str)] = &[
    ("cream", "leave-on"),
    ("lotion", "leave-on"),
    ("milk", "leave-on"),
    ("gel", "leave-on"),
    ("gel cream", "leave-on"),
    ("gel serum", "leave-on"),
    ("oil serum", "leave-on"),
    ("serum", "leave-on"),
    ("essence", "leave-on"),
    ("toner", "leave-on"),
    ("mist", "leave-on"),
    ("micellar water", "leave-on"),
    ("balm", "leave-on"),
    ("salve", "leave-on"),
    ("body butter", "leave-on"),
    ("lotion bar", "leave-on"),
    ("face oil", "leave-on"),
    ("body oil", "leave-on"),
    ("bath oil", "bath"),
    ("cleansing oil", "rinse-off"),
    ("cleansing balm", "rinse-off"),
    ("massage oil", "leave-on"),
    ("oil", "leave-on"),
    ("lip balm", "leave-on"),
    ("lip gloss", "leave-on"),
    ("lipstick", "leave-on"),
    ("stick", "leave-on"),
    ("deodorant", "leave-on"),
    ("ointment", "leave-on"),
    ("paste", "leave-on"),
    ("foam", "leave-on"),
    ("perfume", "leave-on"),
    ("cleanser", "rinse-off"),
    ("cleansing milk", "rinse-off"),
    ("face wash", "rinse-off"),
    ("body wash", "rinse-off"),
    ("shower gel", "rinse-off"),
    ("hand wash", "rinse-off"),
    ("shampoo", "rinse-off"),
    ("conditioner", "rinse-off"),
    ("hair mask", "rinse-off"),
    ("cleansing bar", "rinse-off"),
    ("scrub", "rinse-off"),
    ("mask", "rinse-off"),
    ("peel", "rinse-off"),
    ("loose powder", "leave-on"),
    ("pressed powder", "leave-on"),
    ("powder", "leave-on"),
    ("bath salts", "bath"),
    ("bath bomb", "bath"),
    ("bath milk", "bath"),
    ("premix", ""),
];

/// What a product is for.
pub const PURPOSES: &[&str] = &[
    "sun care",
    "after-sun",
    "self-tan",
    "tanning",
    "make-up",
    "fragrance",
    "shaving",
    "depilatory",
    "nail care",
    "hair care",
    "insect bite",
];

/// How long it stays on the skin.
pub const USES: &[&str] = &["leave-on", "rinse-off", "bath"];

/// Where it is used.
pub const AREAS: &[&str] = &[
    "face",
    "eye area",
    "lips",
    "body",
    "hands",
    "feet",
    "underarm",
    "nappy area",
    "scalp",
    "hair",
    "nails",
    "intimate area",
];

/// How it is applied.
pub const WAYS: &[&str] = &["pump spray", "aerosol", "roll-on", "night", "shake before use"];

/// The kind of emulsion.
pub const TYPES: &[&str] = &["O/W", "W/O", "water-free"];

/// Kinds of pack.
pub const PACKS: &[&str] = &[
    "jar",
    "clear bottle",
    "amber bottle",
    "airless pump",
    "pump bottle",
    "dropper bottle",
    "bottle",
    "tube",
    "tin",
    "stick",
    "roll-on",
    "spray bottle",
    "shaker",
    "sachet",
];

/// Things that other crafts make.
pub const NOT_THIS_TOOL: &[&str] = &[
    "soap",
    "lye soap",
    "candle",
    "candles",
    "toothpaste",
    "sanitiser",
    "sanitizer",
    "hand sanitiser",
    "hand sanitizer",
    "repellent",
    "insect repellent",
];

/// Functions of an ingredient.
pub const FUNCTIONS: &[&str] = &[
    "solvent",
    "humectant",
    "emollient",
    "oil",
    "butter",
    "wax",
    "thickener",
    "stabiliser",
    "emulsifier O/W",
    "emulsifier W/O",
    "emulsifier polymeric",
    "emulsifier self-emulsifying",
    "emulsifier lamellar",
    "emulsifier",
    "solubiliser",
    "surfactant",
    "conditioner",
    "preservative booster",
    "preservative",
    "antioxidant",
    "chelator",
    "pH adjuster",
    "buffer",
    "UV filter UVA",
    "UV filter UVB",
    "UV filter",
    "fragrance",
    "essential oil",
    "hydrosol",
    "colour",
    "pigment",
    "powder",
    "clay",
    "exfoliant",
    "active",
    "film former",
    "electrolyte",
    "food",
    "sweetener",
    "propellant",
    "alcohol",
];

/// Grades that stand alone as a qualifier.
pub const GRADES: &[&str] = &[
    "coated",
    "uncoated",
    "nano",
    "non-nano",
    "cold-pressed",
    "distilled",
    "refined",
    "unrefined",
    "fine powder",
    "organic",
];

/// Markets whose law the tool can hold.
pub const MARKETS: &[&str] = &["EU", "UK", "US", "CA", "AU", "NZ", "CH", "JP", "all"];

/// Persons a product may be for.
pub const PEOPLE: &[&str] = &[
    "dry skin",
    "oily skin",
    "combination skin",
    "normal skin",
    "mature skin",
    "acne-prone skin",
    "sensitive skin",
    "babies",
    "children",
    "pregnancy",
    "vegans",
    "vegetarians",
    "adults",
    "men",
    "women",
    "all skin",
    "sale",
    "own use",
    "gifts",
    "teaching",
];

/// Spelling pairs: what is read, what it stands for.
const PAIRS: &[(&str, &str)] = &[
    ("sun cream", "cream, sun care"),
    ("suncream", "cream, sun care"),
    ("sunscreen", "cream, sun care"),
    ("sun lotion", "lotion, sun care"),
    ("sun milk", "milk, sun care"),
    ("sun balm", "balm, sun care"),
    ("suncare", "sun care"),
    ("sun protection", "sun care"),
    ("aftersun", "after-sun"),
    ("shaving cream", "cream, rinse-off, shaving"),
    ("shave cream", "cream, rinse-off, shaving"),
    ("after sun", "after-sun"),
    ("self tan", "self-tan"),
    ("self-tanner", "self-tan"),
    ("makeup", "make-up"),
    ("diaper area", "nappy area"),
    ("leave on", "leave-on"),
    ("rinse off", "rinse-off"),
    ("wash-off", "rinse-off"),
    ("moisturiser", "cream"),
    ("moisturizer", "cream"),
    ("hydrating toner", "toner"),
    ("hand", "hands"),
    ("foot", "feet"),
    ("lip", "lips"),
    ("nail", "nails"),
    ("eyes", "eye area"),
    ("eye", "eye area"),
    ("armpit", "underarm"),
    ("armpits", "underarm"),
    ("spray", "pump spray"),
    ("roll on", "roll-on"),
    ("overnight", "night"),
    ("anhydrous", "water-free"),
    ("water free", "water-free"),
    ("o/w", "O/W"),
    ("w/o", "W/O"),
    ("bath salt", "bath salts"),
    ("bath bombs", "bath bomb"),
    ("body scrub", "scrub, body"),
    ("face mask", "mask, face"),
    ("face cream", "cream, face"),
    ("hand cream", "cream, hands"),
    ("body lotion", "lotion, body"),
    ("body cream", "cream, body"),
    ("face lotion", "lotion, face"),
    ("face serum", "serum, face"),
    ("bodywash", "body wash"),
    ("facial oil", "face oil"),
];

/// What a product word stands for: canonical words of the lists above; empty when it is unknown.
pub fn known_product_word(word: &str) -> &'static [&'static str] {
    static WORDS: OnceLock<HashMap<String, Vec<&'static str>>> = OnceLock::new();
    let words = WORDS.get_or_init(|| {
        let mut words = HashMap::new();
        for (read, meant) in PAIRS {
            let _ = words.entry((*read).to_owned()).or_insert_with(|| meant.split(", ").collect());
        }
        let forms = FORMS.iter().map(|(form, _)| *form);
        for known in forms.chain([PURPOSES, USES, AREAS, WAYS, TYPES].into_iter().flatten().copied()) {
            let _ = words.entry(known.to_ascii_lowercase()).or_insert_with(|| vec![known]);
        }
        words
    });
    words.get(&fold(word)).map_or(&[], Vec::as_slice)
}

/// What a phase is.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
#[expect(missing_docs, reason = "the names say it")]
pub enum PhaseKind {
    Water,
    Oil,
    CoolDown,
    Powder,
    Surfactant,
    Gel,
    Slurry,
    Active,
    Fragrance,
    Other,
}

/// Kinds of phase as they are written, the canonical spelling first of each kind.
pub const PHASE_KINDS: &[(&str, PhaseKind)] = &[
    ("water", PhaseKind::Water),
    ("oil", PhaseKind::Oil),
    ("oils", PhaseKind::Oil),
    ("cool-down", PhaseKind::CoolDown),
    ("cool down", PhaseKind::CoolDown),
    ("cooldown", PhaseKind::CoolDown),
    ("powder", PhaseKind::Powder),
    ("surfactant", PhaseKind::Surfactant),
    ("gel", PhaseKind::Gel),
    ("slurry", PhaseKind::Slurry),
    ("active", PhaseKind::Active),
    ("actives", PhaseKind::Active),
    ("fragrance", PhaseKind::Fragrance),
    ("other", PhaseKind::Other),
];

impl PhaseKind {
    /// The canonical spelling.
    pub fn spelling(self) -> &'static str {
        PHASE_KINDS.iter().find(|(_, kind)| *kind == self).map_or("other", |(word, _)| word)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn product_words() {
        assert_eq!(known_product_word("Sunscreen"), ["cream", "sun care"]);
        assert_eq!(known_product_word("diaper area"), ["nappy area"]);
        assert_eq!(known_product_word("Gel  Serum"), ["gel serum"]);
        assert!(known_product_word("blancmange").is_empty());
    }

    #[test]
    fn nearest_word() {
        assert_eq!(nearest("humectent", FUNCTIONS.iter().copied(), 2), Some("humectant"));
        assert_eq!(nearest("zzz", FUNCTIONS.iter().copied(), 2), None);
    }
}
