//! How a method words things: phases by label or kind, ingredients by name, by part of it, or by what they do.

use crate::exact::Exact;
use crate::formula::{Item, Phase};
use notation::{PhaseKind, TokenKind, fold, lex};
use std::ops::Range;

pub(super) fn words_of(folded: &str) -> Vec<&str> {
    folded.split(|c: char| !c.is_alphanumeric() && c != '-').filter(|word| !word.is_empty()).collect()
}

/// Labels that stand alone, not after a number: `A`, `A and B`, `A+B`.
pub(super) fn labels(text: &str, phases: &[Phase]) -> Vec<usize> {
    let mut found = Vec::new();
    let tokens: Vec<_> = lex(text).into_iter().collect();
    for (at, token) in tokens.iter().enumerate() {
        let word = token.span.of(text);
        let alone = |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric() && c != '-' && c != '\'');
        let mut end = token.span.end;
        let digits =
            tokens.get(at + 1).filter(|next| next.kind == TokenKind::Number && next.span.start == end);
        let label = match digits {
            Some(next) if word.len() == 1 => {
                end = next.span.end;
                format!("{word}{}", next.span.of(text))
            }
            _ => word.to_owned(),
        };
        let before = text.get(..token.span.start as usize).and_then(|head| head.chars().next_back());
        let after = text.get(end as usize..).and_then(|rest| rest.chars().next());
        let after_number = tokens.get(..at).and_then(|head| {
            head.iter()
                .rev()
                .find(|token| token.kind != TokenKind::Blank)
                .map(|token| token.kind == TokenKind::Number)
        });
        // `A` at the start of a sentence before a small word may be an article: "A minute later".
        let article = label == "A" && is_article(text, end);
        if token.kind == TokenKind::Word
            && label.starts_with(|c: char| c.is_ascii_uppercase())
            && alone(before)
            && alone(after)
            && after_number != Some(true)
            && !article
            && let Some(phase) = phases.iter().position(|phase| phase.label == label)
            && !found.contains(&phase)
        {
            found.push(phase);
        }
    }
    found
}

fn is_article(text: &str, end: u32) -> bool {
    let rest = text.get(end as usize..).unwrap_or("").trim_start();
    ["minute", "little", "few", "bit", "moment", "while", "second"].iter().any(|word| rest.starts_with(word))
}

pub(super) fn names_phase(folded: &str, words: &[&str], phase: &Phase) -> bool {
    if !phase.heading.is_empty() && folded.contains(&fold(&phase.heading)) {
        return true;
    }
    let has = |word: &str| words.contains(&word);
    match phase.kind {
        Some(PhaseKind::Water) => {
            folded.contains("water phase") || folded.contains("aqueous phase") || names_both(folded)
        }
        Some(PhaseKind::Oil) => {
            has("oils") || folded.contains("oil phase") || has("fats") || has("butters") || names_both(folded)
        }
        Some(PhaseKind::CoolDown) => {
            folded.contains("cool-down") || folded.contains("cool down phase") || folded.contains("cooldown")
        }
        Some(PhaseKind::Powder) => {
            has("powders") || folded.contains("powder phase") || folded.contains("dry phase")
        }
        Some(PhaseKind::Surfactant) => has("surfactants") || folded.contains("surfactant phase"),
        Some(PhaseKind::Gel) => folded.contains("gel phase") || folded.contains("the gel"),
        Some(PhaseKind::Slurry) => has("slurry"),
        Some(PhaseKind::Active) => has("actives") || folded.contains("active phase"),
        Some(PhaseKind::Fragrance) => {
            has("scent") || has("fragrance") || has("perfume") || folded.contains("essential oils")
        }
        Some(PhaseKind::Other) | None => false,
    }
}

/// `the water and the oil phase` are two phases.
fn names_both(folded: &str) -> bool {
    ["water and oil phase", "water and the oil phase", "oil and water phase", "oil and the water phase"]
        .iter()
        .any(|phrase| folded.contains(phrase))
}

/// Words of names that name nothing by themselves.
const COMMON: &[&str] = &[
    "oil",
    "oils",
    "acid",
    "powder",
    "water",
    "extract",
    "butter",
    "purified",
    "distilled",
    "refined",
    "high-oleic",
    "virgin",
    "organic",
    "seed",
    "leaf",
    "fruit",
    "kernel",
    "cold-pressed",
    "root",
    "flower",
    "sodium",
    "gum",
    "with",
    "from",
    "white",
    "natural",
    "juice",
    "grade",
    "alcohol",
    "fine",
    "vegetable",
    "sweet",
    "glyceryl",
    "oxide",
];

/// What a line may be called in a step.
pub(super) struct Called<'i> {
    item: &'i Item,
    /// Its names, folded, those of what it stands in for included.
    names: Vec<String>,
    /// The words of its names that name something by themselves.
    words: Vec<String>,
}

impl<'i> Called<'i> {
    pub(super) fn of(item: &'i Item, renamed: &[(String, Option<String>)]) -> Called<'i> {
        let own = fold(&item.name);
        let mut names = Vec::new();
        if let Some(material) = &item.material {
            names.extend(material.names().map(str::to_owned));
        }
        // A step about what a variant replaced follows the variant.
        for (old, new) in renamed {
            if new.as_ref().is_some_and(|new| fold(new) == own) {
                names.push(fold(old));
            }
        }
        if !names.contains(&own) {
            names.push(own);
        }
        let mut words: Vec<String> = names
            .iter()
            .flat_map(|name| words_of(name))
            .filter(|word| word.chars().count() >= 4 && !COMMON.contains(word))
            .map(str::to_owned)
            .collect();
        words.sort_unstable();
        words.dedup();
        Called { item, names, words }
    }

    /// Where its names of several words stand in a text.
    fn full_names_in(&self, folded: &str) -> Vec<Range<usize>> {
        let long = self.names.iter().filter(|name| name.contains(' '));
        long.flat_map(|name| phrase_places(folded, name)).collect()
    }
}

/// The lines that a piece of text names. What belongs to the full name of one line names no other: the rose of "rose
/// water" is not the rose oil.
pub(super) fn names_items(folded: &str, called: &[Called<'_>]) -> Vec<usize> {
    let words = words_of(folded);
    let full: Vec<(usize, Vec<Range<usize>>)> = called
        .iter()
        .enumerate()
        .map(|(at, called)| (at, called.full_names_in(folded)))
        .filter(|(_, places)| !places.is_empty())
        .collect();
    let names = |(at, one): &(usize, &Called<'_>)| {
        if full.iter().all(|(other, _)| other == at) {
            return names_item(folded, &words, &words, one);
        }
        let own: Vec<&Range<usize>> =
            full.iter().filter(|(other, _)| other == at).flat_map(|(_, places)| places).collect();
        let others = full.iter().filter(|(other, _)| other != at).flat_map(|(_, places)| places);
        let taken: Vec<&Range<usize>> = others
            .filter(|place| own.iter().all(|own| own.end <= place.start || place.end <= own.start))
            .collect();
        let free: Vec<&str> = words
            .iter()
            .copied()
            .filter(|word| {
                let start = word.as_ptr() as usize - folded.as_ptr() as usize;
                taken.iter().all(|place| !place.contains(&start))
            })
            .collect();
        names_item(folded, &words, &free, one)
    };
    called.iter().enumerate().filter(names).map(|(at, _)| at).collect()
}

/// Whether one of its names is there, or one of its own words among those that are free.
fn names_item(folded: &str, words: &[&str], free: &[&str], called: &Called<'_>) -> bool {
    let by_word = called.words.iter().any(|word| {
        free.iter().any(|own| {
            *own == word
                || own.strip_suffix('s') == Some(word)
                || word.strip_suffix('s') == Some(own)
                || is_short_for(own, word)
        })
    });
    by_word
        || by_function(folded, words, called.item)
        || called.names.iter().any(|name| has_phrase(folded, name))
}

/// `polyquat`, `hyaluronate`'s `hyaluron`: what the bench leaves of a long name.
fn is_short_for(own: &str, word: &str) -> bool {
    own.chars().count() >= 6 && word.starts_with(own) && !COMMON.contains(&own)
}

/// Things that steps name by what they do.
pub(super) fn by_function(folded: &str, words: &[&str], item: &Item) -> bool {
    let has = |word: &str| words.contains(&word);
    let acid_or_base = item.does("pH adjuster") || item.does("buffer") || item.to_ph.is_some();
    ((item.does("preservative") || item.does("preservative booster"))
        && (has("preservative") || has("preservatives")))
        || (item.does("emulsifier")
            && (has("emulsifier") || has("emulsifiers") || folded.contains("emulsifying wax")))
        || ((item.does("wax") || words_of(&fold(&item.name)).contains(&"wax")) && (has("wax") || has("waxes")))
        || (item.does("butter") && (has("butter") || has("butters")))
        || ((item.does("oil") || item.does("butter") || item.does("wax")) && (has("oils") || has("fats")))
        || ((item.does("oil") || is_called_oil(item)) && names_the_oil(words))
        // Without phases "the oils" are all that mixes with them: the tocopherol and the scent too.
        || (item.phase.is_none() && item.dissolves_in("oil") && !item.dissolves_in("water") && has("oils"))
        || (item.does("thickener") && has("thickener"))
        || (item.does("thickener") && !item.dissolves_in("oil") && (has("gum") || has("gums")))
        || (item.does("essential oil")
            && (folded.contains("essential oil") || has("scent") || has("fragrance") || has("perfume")))
        || (item.does("fragrance") && (has("scent") || has("fragrance") || has("perfume") || has("parfum")))
        || (item.does("surfactant") && (has("surfactant") || has("surfactants")))
        || (item.does("clay") && (has("clay") || has("clays") || has("powders")))
        || (item.does("powder") && (has("powders") || has("powder") || has("dry")))
        || (is_dry(item) && (has("powders") || has("dry")))
        || (item.does("pigment")
            && (has("pigments") || has("pigment") || has("colour") || has("colours") || has("color")))
        || (item.does("exfoliant") && (has("exfoliant") || has("scrub") || has("grains")))
        || (item.does("UV filter") && (has("filter") || has("filters") || has("zinc")))
        || (item.does("antioxidant") && has("antioxidant"))
        || (acid_or_base
            && (has("ph") || has("neutralise") || has("neutralize") || has("acid") || has("lye")))
        || (item.material.as_ref().is_some_and(|m| m.water_share() == Some(Exact::one())) && has("water"))
        || (item.premix.is_some() && (has("premix") || has("base")))
}

/// "The oil", "warm oil", "butter and oil", not the "oil" of "lavender oil".
fn names_the_oil(words: &[&str]) -> bool {
    let before = ["the", "and", "warm", "hot", "melted", "base", "carrier", "liquid", "infused", "your"];
    words.windows(2).any(|pair| matches!(pair, [word, "oil"] if before.contains(word)))
}

/// An oil that no catalogue knows: `olive oil infused with calendula`.
fn is_called_oil(item: &Item) -> bool {
    item.material.is_none() && words_of(&fold(&item.name)).contains(&"oil")
}

/// What is weighed as a powder or grains: nothing oily, and no water in it.
fn is_dry(item: &Item) -> bool {
    let wet = ["humectant", "solubiliser", "fragrance", "essential oil", "solvent", "silicone"];
    item.material.as_ref().is_some_and(|material| {
        !material.dissolves_in("oil")
            && material.water_share().is_none_or(|water| water.is_zero())
            && !wet.iter().any(|function| item.does(function))
    })
}

fn has_phrase(text: &str, phrase: &str) -> bool {
    phrase_places(text, phrase).next().is_some()
}

fn phrase_places<'t>(text: &'t str, phrase: &'t str) -> impl Iterator<Item = Range<usize>> + 't {
    let edge = |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric());
    text.match_indices(phrase).map(|(at, found)| at..at + found.len()).filter(move |place| {
        edge(text.get(..place.start).and_then(|head| head.chars().next_back()))
            && edge(text.get(place.end..).and_then(|rest| rest.chars().next()))
    })
}
