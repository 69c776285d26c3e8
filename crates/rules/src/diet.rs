//! What people do not use, or cannot: allergen families and animal origin, in their own words.

use crate::case::Case;
use crate::wording::{holds, says_free};
use formula::{Item, Material};

/// One thing that people go without.
pub(crate) struct Diet {
    /// What it is called.
    pub(crate) name: &'static str,
    /// The words for it: `nut-free`, `without nuts`, `nut allergy`.
    words: &'static [&'static str],
    /// Words that say it by themselves: `vegan`.
    alone: &'static [&'static str],
    /// Families of the catalogue that carry it.
    families: &'static [&'static str],
    /// Whether everything of animal origin carries it.
    animal: bool,
    /// Families that are let through nevertheless.
    kept: &'static [&'static str],
    /// What to do.
    pub(crate) help: &'static str,
    /// What the families stand on.
    pub(crate) source: &'static str,
}

const FAMILIES: &str = "the families of the catalogue (allergens of Reg. (EU) 1169/2011 Annex II)";
const SWAP: &str = "Take another oil in its place, or say for whom it is not.";

const DIETS: &[Diet] = &[
    Diet {
        name: "nut",
        words: &["nut", "nuts", "tree nut", "tree nuts", "nut oils", "nut oil"],
        alone: &[],
        families: &["tree nut", "peanut"],
        animal: false,
        kept: &[],
        help: "Take an oil of seeds in its place (sunflower, high-oleic sunflower, rapeseed), or say for \
            whom it is not.",
        source: "tree nuts as in Reg. (EU) 1169/2011 Annex II and FDA, Questions and answers regarding \
            food allergens, 5th ed. 2025, as quoted by foodallergy.org; peanuts are meant too when people \
            say nuts",
    },
    Diet {
        name: "peanut",
        words: &["peanut", "peanuts", "groundnut", "groundnuts"],
        alone: &[],
        families: &["peanut"],
        animal: false,
        kept: &[],
        help: SWAP,
        source: "Reg. (EC) 1223/2009 Annex III entry 306; Reg. (EU) 1169/2011 Annex II",
    },
    Diet {
        name: "gluten",
        words: &["gluten", "wheat", "coeliac disease", "celiac disease"],
        alone: &["coeliacs", "celiacs"],
        families: &["wheat", "gluten"],
        animal: false,
        kept: &[],
        help: SWAP,
        source: FAMILIES,
    },
    Diet {
        name: "soy",
        words: &["soy", "soya"],
        alone: &[],
        families: &["soy"],
        animal: false,
        kept: &[],
        help: SWAP,
        source: FAMILIES,
    },
    Diet {
        name: "milk",
        words: &["milk", "dairy", "lactose"],
        alone: &[],
        families: &["milk"],
        animal: false,
        kept: &[],
        help: SWAP,
        source: FAMILIES,
    },
    Diet {
        name: "egg",
        words: &["egg", "eggs"],
        alone: &[],
        families: &["egg"],
        animal: false,
        kept: &[],
        help: SWAP,
        source: FAMILIES,
    },
    Diet {
        name: "sesame",
        words: &["sesame"],
        alone: &[],
        families: &["sesame"],
        animal: false,
        kept: &[],
        help: SWAP,
        source: FAMILIES,
    },
    Diet {
        name: "fish",
        words: &["fish"],
        alone: &[],
        families: &["fish"],
        animal: false,
        kept: &[],
        help: SWAP,
        source: FAMILIES,
    },
    Diet {
        name: "shellfish",
        words: &["shellfish", "crustacean", "crustaceans"],
        alone: &[],
        families: &["shellfish"],
        animal: false,
        kept: &[],
        help: SWAP,
        source: FAMILIES,
    },
    Diet {
        name: "wool",
        words: &["wool", "wool wax", "lanolin"],
        alone: &[],
        families: &["wool"],
        animal: false,
        kept: &[],
        help: SWAP,
        source: "the families of the catalogue",
    },
    Diet {
        name: "bee",
        words: &["bee", "bees", "beeswax", "honey", "propolis", "bee products"],
        alone: &[],
        families: &["bee"],
        animal: false,
        kept: &[],
        help: "A plant wax takes its place at about half the amount (candelilla, carnauba): try it in a \
            small batch.",
        source: "the families of the catalogue",
    },
    Diet {
        name: "daisy",
        words: &["daisy", "ragweed", "compositae", "asteraceae"],
        alone: &[],
        families: &["daisy"],
        animal: false,
        kept: &[],
        help: SWAP,
        source: "the families of the catalogue",
    },
    Diet {
        name: "vegan",
        words: &["animal products", "animal ingredients", "animal"],
        alone: &["vegan", "vegans", "non animal"],
        families: &[],
        animal: true,
        kept: &[],
        help: "Take something of plants in its place (candelilla or sunflower wax for beeswax, at about \
            half the amount: try it).",
        source: "the origins of the catalogue",
    },
    Diet {
        name: "vegetarian",
        words: &[],
        alone: &["vegetarian", "vegetarians"],
        families: &[],
        animal: true,
        kept: &["bee", "milk", "egg", "wool"],
        help: "Take something of plants in its place.",
        source: "the origins of the catalogue",
    },
];

/// What a text says that is gone without: `nut-free`, `vegan`, `for people with a wool allergy`.
pub(crate) fn diets(words: &[String]) -> Vec<&'static Diet> {
    const CANNOT: &[&str] = &["allergy", "allergies", "allergic", "intolerance", "intolerant"];
    let cannot = words.iter().any(|word| CANNOT.contains(&word.as_str()))
        || words.iter().any(|word| word == "disease");
    DIETS
        .iter()
        .filter(|diet| {
            let free = diet.words.iter().any(|word| says_free(words, word));
            let allergic = cannot && diet.words.iter().any(|word| holds(words, word));
            free || allergic || diet.alone.iter().any(|word| holds(words, word))
        })
        .collect()
}

/// The lines that carry it, with the reason: `tree nut`, `of animal origin`.
pub(crate) fn carriers<'f>(case: &Case<'f>, diet: &Diet) -> Vec<(&'f Item, String)> {
    let mut found: Vec<(usize, String)> = Vec::new();
    for substance in &case.formula.substances {
        let Some(why) = substance.material.as_ref().and_then(|material| carries(diet, material)) else {
            continue;
        };
        for via in substance.via.iter().filter(|via| via.itself) {
            if !found.iter().any(|(at, _)| *at == via.item) {
                found.push((via.item, why.clone()));
            }
        }
    }
    found.sort_by_key(|(at, _)| *at);
    found.into_iter().filter_map(|(at, why)| case.formula.items.get(at).map(|item| (item, why))).collect()
}

fn carries(diet: &Diet, material: &Material) -> Option<String> {
    let is = |list: &[&str]| material.families.iter().find(|family| list.contains(&family.as_str()));
    if let Some(family) = is(diet.families) {
        return Some(family.clone());
    }
    let animal = diet.animal && material.origin.as_deref() == Some("animal") && is(diet.kept).is_none();
    animal.then(|| "of animal origin".to_owned())
}
