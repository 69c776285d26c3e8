//! How a method words things: phases by label or kind, ingredients by name, by part of it, or by what they do.

use crate::exact::Exact;
use crate::formula::{Item, Phase};
use notation::{PhaseKind, TokenKind, fold, lex};
use std::borrow::Cow;
use std::ops::Range;

pub(super) fn words_of(folded: &str) -> Vec<&str> {
    folded.split(|c: char| !c.is_alphanumeric() && c != '-').filter(|word| !word.is_empty()).collect()
}

/// Labels that stand alone, not after a number: `A`, `A and B`, `A+B`.
pub(super) fn labels(text: &str, phases: &[Phase]) -> Vec<usize> {
    let mut found = Vec::new();
    if !phases.iter().any(|phase| text.contains(&phase.label)) {
        return found;
    }
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

pub(super) fn names_phase(said: &Wording<'_>, phase: &Phase) -> bool {
    let (folded, words) = (said.folded, &said.words);
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

/// A piece of a method, folded, with what decides whom it names.
pub(super) struct Wording<'t> {
    pub(super) folded: &'t str,
    pub(super) words: Vec<&'t str>,
    /// Where a name can begin: behind anything that is no letter or digit.
    starts: Vec<usize>,
    /// What the lines do that it names by what they do.
    doing: Vec<fn(&Item) -> bool>,
}

impl<'t> Wording<'t> {
    pub(super) fn of(folded: &'t str) -> Wording<'t> {
        let words = words_of(folded);
        let mut open = true;
        let starts = folded.char_indices().filter_map(|(at, c)| {
            let before = std::mem::replace(&mut open, !c.is_alphanumeric());
            before.then_some(at)
        });
        let starts = starts.collect();
        let doing = doing(folded, &words);
        Wording { folded, words, starts, doing }
    }

    fn has_phrase(&self, phrase: &str) -> bool {
        self.places_of(phrase).next().is_some()
    }

    /// Where a phrase stands, not inside other words.
    fn places_of<'p>(&'p self, phrase: &'p str) -> impl Iterator<Item = Range<usize>> + 'p {
        self.starts.iter().filter_map(move |at| {
            let rest = self.folded.get(*at..).and_then(|tail| tail.strip_prefix(phrase))?;
            let ends = rest.chars().next().is_none_or(|c| !c.is_alphanumeric());
            ends.then(|| *at..*at + phrase.len())
        })
    }

    /// Whether it names a line by what it does.
    pub(super) fn names_by_function(&self, item: &Item) -> bool {
        self.doing.iter().any(|does| does(item))
    }
}

/// What a line may be called in a step.
pub(super) struct Called<'i> {
    item: &'i Item,
    /// Its names, folded, those of what it stands in for included.
    names: Vec<Cow<'i, str>>,
    /// The words of its names that name something by themselves.
    words: Vec<Cow<'i, str>>,
}

impl<'i> Called<'i> {
    pub(super) fn of(item: &'i Item, renamed: &[(String, Option<String>)]) -> Called<'i> {
        let own = fold(&item.name);
        let mut names: Vec<Cow<'i, str>> = Vec::new();
        let mut words: Vec<Cow<'i, str>> = Vec::new();
        if let Some(material) = &item.material {
            names.extend(material.names().map(Cow::Borrowed));
            words.extend(material.words_of_names(telling).iter().map(|word| Cow::Borrowed(word.as_str())));
        }
        // A step about what a variant replaced follows the variant.
        let replaced = renamed.iter().filter(|(_, new)| new.as_ref().is_some_and(|new| fold(new) == own));
        let others: Vec<String> = replaced.map(|(old, _)| fold(old)).chain([own.clone()]).collect();
        for other in others {
            if !names.contains(&Cow::Borrowed(other.as_str())) {
                words.extend(telling(&[&other]).into_iter().map(Cow::Owned));
                names.push(Cow::Owned(other));
            }
        }
        Called { item, names, words }
    }

    /// Where its names of several words stand in a text.
    fn full_names_in(&self, said: &Wording<'_>) -> Vec<Range<usize>> {
        let long = self.names.iter().filter(|name| name.contains(' '));
        long.flat_map(|name| said.places_of(name)).collect()
    }
}

/// The words of names that name something by themselves.
fn telling(names: &[&str]) -> Vec<String> {
    let mut words: Vec<String> = names
        .iter()
        .flat_map(|name| words_of(name))
        .filter(|word| word.chars().count() >= 4 && !COMMON.contains(word))
        .map(str::to_owned)
        .collect();
    words.sort_unstable();
    words.dedup();
    words
}

/// The lines that a piece of text names. What belongs to the full name of one line names no other: the rose of "rose
/// water" is not the rose oil.
pub(super) fn names_items(said: &Wording<'_>, called: &[Called<'_>]) -> Vec<usize> {
    let full: Vec<(usize, Vec<Range<usize>>)> = called
        .iter()
        .enumerate()
        .map(|(at, called)| (at, called.full_names_in(said)))
        .filter(|(_, places)| !places.is_empty())
        .collect();
    let names = |(at, one): &(usize, &Called<'_>)| {
        if full.iter().all(|(other, _)| other == at) {
            return names_item(said, &said.words, one);
        }
        let own: Vec<&Range<usize>> =
            full.iter().filter(|(other, _)| other == at).flat_map(|(_, places)| places).collect();
        let others = full.iter().filter(|(other, _)| other != at).flat_map(|(_, places)| places);
        let taken: Vec<&Range<usize>> = others
            .filter(|place| own.iter().all(|own| own.end <= place.start || place.end <= own.start))
            .collect();
        let free: Vec<&str> = said
            .words
            .iter()
            .copied()
            .filter(|word| {
                let start = word.as_ptr() as usize - said.folded.as_ptr() as usize;
                taken.iter().all(|place| !place.contains(&start))
            })
            .collect();
        names_item(said, &free, one)
    };
    called.iter().enumerate().filter(names).map(|(at, _)| at).collect()
}

/// Whether one of its names is there, or one of its own words among those that are free.
fn names_item(said: &Wording<'_>, free: &[&str], called: &Called<'_>) -> bool {
    let is_named = |own: &str, word: &str| {
        own.as_bytes().first() == word.as_bytes().first()
            && (own == word
                || own.strip_suffix('s') == Some(word)
                || word.strip_suffix('s') == Some(own)
                || is_short_for(own, word))
    };
    let by_word = called.words.iter().any(|word| free.iter().any(|own| is_named(own, word)));
    by_word || said.names_by_function(called.item) || called.names.iter().any(|name| said.has_phrase(name))
}

/// `polyquat`, `hyaluronate`'s `hyaluron`: what the bench leaves of a long name.
fn is_short_for(own: &str, word: &str) -> bool {
    word.starts_with(own) && own.chars().count() >= 6 && !COMMON.contains(&own)
}

/// What a line does, and the words with which steps name such lines.
type Doing = (fn(&Item) -> bool, &'static [&'static str]);

/// Lines that steps name by what they do.
const DOING: &[Doing] = &[
    (
        |item| item.does("preservative") || item.does("preservative booster"),
        &["preservative", "preservatives"],
    ),
    (|item| item.does("emulsifier"), &["emulsifier", "emulsifiers"]),
    (|item| item.does("wax") || words_of(&fold(&item.name)).contains(&"wax"), &["wax", "waxes"]),
    (|item| item.does("butter"), &["butter", "butters"]),
    (|item| item.does("oil") || item.does("butter") || item.does("wax"), &["oils", "fats"]),
    // Without phases "the oils" are all that mixes with them: the tocopherol and the scent too.
    (|item| item.phase.is_none() && item.dissolves_in("oil") && !item.dissolves_in("water"), &["oils"]),
    (|item| item.does("thickener"), &["thickener"]),
    (|item| item.does("thickener") && !item.dissolves_in("oil"), &["gum", "gums"]),
    (|item| item.does("essential oil"), &["scent", "fragrance", "perfume"]),
    (|item| item.does("fragrance"), &["scent", "fragrance", "perfume", "parfum"]),
    (|item| item.does("surfactant"), &["surfactant", "surfactants"]),
    (|item| item.does("clay"), &["clay", "clays", "powders"]),
    (|item| item.does("powder"), &["powders", "powder", "dry"]),
    (is_dry, &["powders", "dry"]),
    (|item| item.does("pigment"), &["pigments", "pigment", "colour", "colours", "color"]),
    (|item| item.does("exfoliant"), &["exfoliant", "scrub", "grains"]),
    (|item| item.does("UV filter"), &["filter", "filters", "zinc"]),
    (|item| item.does("antioxidant"), &["antioxidant"]),
    (is_acid_or_base, &["ph", "neutralise", "neutralize", "acid", "lye"]),
    (|item| item.material.as_ref().is_some_and(|m| m.water_share() == Some(Exact::one())), &["water"]),
    (|item| item.premix.is_some(), &["premix", "base"]),
];

/// The lines that a piece of a method names by what they do.
fn doing(folded: &str, words: &[&str]) -> Vec<fn(&Item) -> bool> {
    let said = DOING.iter().filter(|(_, names)| words.iter().any(|word| names.contains(word)));
    let mut doing: Vec<fn(&Item) -> bool> = said.map(|(does, _)| *does).collect();
    if folded.contains("emulsifying wax") {
        doing.push(|item| item.does("emulsifier"));
    }
    if folded.contains("essential oil") {
        doing.push(|item| item.does("essential oil"));
    }
    if names_the_oil(words) {
        doing.push(|item| item.does("oil") || is_called_oil(item));
    }
    doing
}

fn is_acid_or_base(item: &Item) -> bool {
    item.does("pH adjuster") || item.does("buffer") || item.to_ph.is_some()
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
