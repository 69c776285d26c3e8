//! The method: what each step heats, cools, adds and names.

use crate::catalogue::Found;
use crate::exact::Exact;
use crate::factor;
use crate::formula::{Formula, Item, Phase};
use crate::known::Known;
use notation::{Block, PhaseKind, Span, TokenKind, Unit, fold, known_unit, lex};

/// A step.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Step {
    /// Its words.
    pub text: String,
    /// Where they stand.
    pub span: Span,
    /// Phases that it names, by label or kind.
    pub phases: Vec<usize>,
    /// Lines that it names.
    pub items: Vec<usize>,
    /// Whether it takes everything.
    pub everything: bool,
    /// The temperature that it heats or cools to, °C.
    pub temperature: Option<Exact>,
    /// What it does with the temperature.
    pub thermal: Thermal,
    /// Whether it adds, stirs in, pours or combines.
    pub adds: bool,
    /// Known names that it adds although no line lists them.
    pub unlisted: Vec<(String, Span)>,
}

impl Step {
    /// Whether it brings the batch into its pack, or the pack to the shelf.
    pub fn ends(&self) -> bool {
        const ENDING: &[&str] = &[
            "fill",
            "pot",
            "bottle",
            "bottles",
            "jar",
            "jars",
            "tin",
            "tins",
            "tube",
            "tubes",
            "mould",
            "moulds",
            "mold",
            "molds",
            "press",
            "label",
            "cap",
            "store",
            "set",
            "pack",
            "package",
            "decant",
            "container",
            "containers",
            "pots",
            "serve",
        ];
        words_of(&fold(&self.text)).iter().any(|word| ENDING.contains(word))
    }
}

/// What a step does with the temperature.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Thermal {
    /// Nothing.
    None,
    /// Heats to it, or holds it there.
    Heats,
    /// Cools to it.
    Cools,
}

const HEATING: &[&str] = &["heat", "melt", "warm", "hold", "bring"];
const COOLING: &[&str] = &["cool", "chill"];
const ADDING: &[&str] = &[
    "add",
    "pour",
    "combine",
    "mix",
    "stir",
    "blend",
    "sprinkle",
    "sift",
    "disperse",
    "dissolve",
    "whisk",
    "fold",
    "homogenise",
    "homogenize",
    "emulsify",
    "drip",
];

/// Words that take all that is left.
const EVERYTHING: &[&str] = &[
    "everything",
    "all ingredients",
    "all the ingredients",
    "all phases",
    "all the phases",
    "all parts",
    "all of it",
    "the rest",
    "whole batch",
    "remaining",
    "other ingredients",
    "both phases",
    "two phases",
    "three phases",
    "both parts",
];

pub(crate) fn steps(
    block: &Block,
    spans: &[Span],
    phases: &[Phase],
    items: &[Item],
    renamed: &[(String, Option<String>)],
    known: &dyn Known,
) -> Vec<Step> {
    let mut steps: Vec<Step> = Vec::new();
    for span in spans {
        let first = steps.iter().all(|step| step.items.is_empty() && step.phases.is_empty());
        steps.push(step(block, *span, first, phases, items, renamed, known));
    }
    steps
}

fn step(
    block: &Block,
    span: Span,
    first: bool,
    phases: &[Phase],
    items: &[Item],
    renamed: &[(String, Option<String>)],
    known: &dyn Known,
) -> Step {
    let text = block.at(span);
    let folded = fold(text);
    let words = words_of(&folded);
    let does = |verbs: &[&str]| words.iter().any(|word| verbs.contains(word));
    let thermal = if does(COOLING) {
        Thermal::Cools
    } else if does(HEATING) {
        Thermal::Heats
    } else {
        Thermal::None
    };
    let mut named_phases = labels(text, phases);
    for (at, phase) in phases.iter().enumerate() {
        if !named_phases.contains(&at) && names_phase(&folded, &words, phase) {
            named_phases.push(at);
        }
    }
    let everything = EVERYTHING.iter().any(|phrase| folded.contains(phrase))
        || words
            .windows(2)
            .any(|pair| matches!(pair, ["mix" | "combine" | "blend" | "stir" | "melt" | "weigh", "all"]));
    let named_items = items
        .iter()
        .enumerate()
        .filter(|(_, item)| names_item(&folded, &words, item, renamed))
        .map(|(at, _)| at)
        .collect::<Vec<_>>();
    // "Heat, combine and blend" at the head of a method, with no object, is about all there is.
    let objectless = first && is_objectless(text, phases, items, renamed);
    let everything = everything || objectless;
    Step {
        text: text.to_owned(),
        span,
        phases: named_phases,
        items: named_items,
        everything,
        temperature: temperature(text),
        thermal,
        adds: does(ADDING),
        unlisted: unlisted(text, span, items, renamed, known),
    }
}

/// Whether the first clause brings things together without saying which.
fn is_objectless(text: &str, phases: &[Phase], items: &[Item], renamed: &[(String, Option<String>)]) -> bool {
    const JOINING: &[&str] =
        &["mix", "combine", "blend", "melt", "heat", "warm", "sift", "stir", "whisk", "shake"];
    let clause = text.split(';').next().and_then(|head| head.split(". ").next()).unwrap_or(text);
    let folded = fold(clause);
    let words = words_of(&folded);
    words.iter().any(|word| JOINING.contains(word))
        && labels(clause, phases).is_empty()
        && !phases.iter().any(|phase| names_phase(&folded, &words, phase))
        && !items.iter().any(|item| names_item(&folded, &words, item, renamed))
}

fn words_of(folded: &str) -> Vec<&str> {
    folded.split(|c: char| !c.is_alphanumeric() && c != '-').filter(|word| !word.is_empty()).collect()
}

/// Labels that stand alone, not after a number: `A`, `A and B`, `A+B`.
fn labels(text: &str, phases: &[Phase]) -> Vec<usize> {
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

fn names_phase(folded: &str, words: &[&str], phase: &Phase) -> bool {
    if !phase.heading.is_empty() && folded.contains(&fold(&phase.heading)) {
        return true;
    }
    let has = |word: &str| words.contains(&word);
    match phase.kind {
        Some(PhaseKind::Water) => folded.contains("water phase") || folded.contains("aqueous phase"),
        Some(PhaseKind::Oil) => has("oils") || folded.contains("oil phase") || has("fats") || has("butters"),
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

fn names_item(folded: &str, words: &[&str], item: &Item, renamed: &[(String, Option<String>)]) -> bool {
    let mut names = vec![fold(&item.name)];
    if let Some(material) = &item.material {
        names.extend(material.names().map(str::to_owned));
    }
    // A step about what a variant replaced follows the variant.
    for (old, new) in renamed {
        if new.as_ref().is_some_and(|new| fold(new) == fold(&item.name)) {
            names.push(fold(old));
        }
    }
    let by_name = names.iter().any(|name| {
        has_phrase(folded, name)
            || name
                .split(|c: char| !c.is_alphanumeric() && c != '-')
                .filter(|word| word.chars().count() >= 4 && !COMMON.contains(word))
                .any(|word| {
                    words.iter().any(|own| {
                        *own == word
                            || own.strip_suffix('s') == Some(word)
                            || word.strip_suffix('s') == Some(own)
                            || is_short_for(own, word)
                    })
                })
    });
    by_name || by_function(folded, words, item)
}

/// `polyquat`, `hyaluronate`'s `hyaluron`: what the bench leaves of a long name.
fn is_short_for(own: &str, word: &str) -> bool {
    own.chars().count() >= 6 && word.starts_with(own) && !COMMON.contains(&own)
}

/// Things that steps name by what they do.
fn by_function(folded: &str, words: &[&str], item: &Item) -> bool {
    let has = |word: &str| words.contains(&word);
    let acid_or_base = item.does("pH adjuster") || item.does("buffer") || item.to_ph.is_some();
    ((item.does("preservative") || item.does("preservative booster"))
        && (has("preservative") || has("preservatives")))
        || (item.does("emulsifier")
            && (has("emulsifier") || has("emulsifiers") || folded.contains("emulsifying wax")))
        || (item.does("wax") && (has("wax") || has("waxes")))
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
    let edge = |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric());
    text.match_indices(phrase).any(|(at, _)| {
        edge(text.get(..at).and_then(|head| head.chars().next_back()))
            && edge(text.get(at + phrase.len()..).and_then(|rest| rest.chars().next()))
    })
}

/// The temperature of a step, °C; the last that it names.
fn temperature(text: &str) -> Option<Exact> {
    if fold(text).contains("room temperature") {
        return Some(Exact::whole(25));
    }
    let tokens: Vec<_> = lex(text).into_iter().filter(|token| token.kind != TokenKind::Blank).collect();
    let mut found = None;
    for pair in tokens.windows(2) {
        let [number, unit] = pair else { continue };
        let Some(unit @ (Unit::Celsius | Unit::Fahrenheit)) = known_unit(unit.span.of(text)) else {
            continue;
        };
        if number.kind == TokenKind::Number
            && let Some(value) = Exact::read(number.span.of(text))
        {
            found = factor::celsius(&value, unit);
        }
    }
    found
}

/// What stands directly after a verb of adding.
const BRINGING: &[&str] =
    &["add the", "add", "stir in the", "stir in", "sprinkle in the", "sprinkle in", "pour in the", "pour in"];

/// Longest name in words that is looked for after a verb.
const LONGEST_NAME: usize = 6;

fn unlisted(
    text: &str,
    span: Span,
    items: &[Item],
    renamed: &[(String, Option<String>)],
    known: &dyn Known,
) -> Vec<(String, Span)> {
    let lower = text.to_ascii_lowercase();
    let mut found: Vec<(String, Span)> = Vec::new();
    let mut seen = std::collections::HashSet::new();
    let adjuster = items.iter().any(|item| item.to_ph.is_some() || item.does("pH adjuster"));
    for verb in BRINGING {
        for (at, _) in lower.match_indices(verb) {
            let before = lower.get(..at).and_then(|head| head.chars().next_back());
            let start = at + verb.len();
            if before.is_some_and(char::is_alphanumeric)
                || !lower.get(start..).is_some_and(|r| r.starts_with(' '))
            {
                continue;
            }
            let Some(rest) = text.get(start + 1..).map(clause) else { continue };
            // `add drops of citric acid to pH 5`: an adjuster is listed by its end point.
            let about_ph = rest.to_ascii_lowercase().contains("ph ");
            if adjuster && about_ph {
                continue;
            }
            let Some(name) = longest_known(rest, known) else { continue };
            // Once for each name in a step.
            if seen.insert(fold(name)) && !is_listed(name, items, renamed, known) {
                let from = span.start + (start + 1) as u32;
                let place = Span::new(from, from + name.len() as u32);
                if !found.iter().any(|(_, other)| other.touches(place.start)) {
                    found.push((name.to_owned(), place));
                }
            }
        }
    }
    found
}

/// As far as one would read on: to the next `;`, and not through a line without end.
fn clause(rest: &str) -> &str {
    const FAR: usize = 300;
    let end = rest.char_indices().nth(FAR).map_or(rest.len(), |(at, _)| at);
    rest.get(..end).and_then(|near| near.split(';').next()).unwrap_or(rest)
}

/// `lavender buds` for the look of it are not lavender oil.
const PLANT_PARTS: &[&str] =
    &["buds", "petals", "flowers", "leaves", "heads", "sprigs", "blossom", "blossoms"];

fn longest_known<'t>(rest: &'t str, known: &dyn Known) -> Option<&'t str> {
    let rest = rest.split([';', '.', ',', ':']).next()?;
    let ends: Vec<usize> = rest
        .char_indices()
        .filter(|(_, c)| *c == ' ')
        .map(|(at, _)| at)
        .chain([rest.len()])
        .take(LONGEST_NAME)
        .collect();
    ends.into_iter().rev().find_map(|end| {
        let name = rest.get(..end)?.trim();
        let next = rest.get(end..).and_then(|rest| rest.split_whitespace().next()).unwrap_or_default();
        if PLANT_PARTS.contains(&next) {
            return None;
        }
        let real = matches!(known.find(name), Found::Known(material) if material.ambiguous.is_empty());
        (real && !name.is_empty()).then_some(name)
    })
}

fn is_listed(name: &str, items: &[Item], renamed: &[(String, Option<String>)], known: &dyn Known) -> bool {
    let folded = fold(name);
    let Found::Known(material) = known.find(name) else { return true };
    if renamed.iter().any(|(old, _)| fold(old) == folded) {
        return true;
    }
    // One word that says what a line does (`scent`, `wax`) names that line.
    if !folded.contains(' ') && items.iter().any(|item| by_function(&folded, &[folded.as_str()], item)) {
        return true;
    }
    if material.water_share() == Some(Exact::one()) {
        // Any watery line may be called water at the bench.
        return items.iter().any(|item| {
            item.material.as_ref().is_some_and(|m| m.water_share().is_some_and(|w| !w.is_zero()))
        });
    }
    items.iter().any(|item| {
        let own = fold(&item.name);
        own.contains(&folded)
            || folded.contains(&own)
            || item.key() == material.key()
            || item.blend.iter().any(|(part, _)| fold(part).contains(&folded))
            || item.premix.as_ref().is_some_and(|premix| {
                premix.items.iter().any(|inner| inner.key() == material.key())
                    || fold(&premix.name).contains(&folded)
            })
            || item.material.as_ref().is_some_and(|own| {
                (own.inci.is_some() && own.inci == material.inci)
                    || own.names().any(|name| name.contains(&folded))
                    || own.contains.iter().any(|part| fold(&part.value.name) == material.key())
            })
    })
}

/// The temperature that a line meets, and where it is said.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Exposure {
    /// °C
    pub celsius: Exact,
    /// Where it is said.
    pub span: Span,
    /// Whether a step says it, not the phase.
    pub by_step: bool,
}

/// The hottest that each line meets: its phase's temperature, that of a step that heats it, or that of what it is
/// added to. None where nothing says.
pub fn exposures(formula: &Formula) -> Vec<Option<Exposure>> {
    let mut hottest: Vec<Option<Exposure>> = formula
        .items
        .iter()
        .map(|item| {
            let phase = formula.phases.get(item.phase?)?;
            let (celsius, span) = phase.heat.clone()?;
            Some(Exposure { celsius, span, by_step: false })
        })
        .collect();
    // What stands in the pot, at which temperature, and which step said so.
    let mut pot: Option<(Exact, Span)> = None;
    for step in &formula.steps {
        if let Some(celsius) = &step.temperature {
            match step.thermal {
                Thermal::Heats | Thermal::Cools => pot = Some((celsius.clone(), step.span)),
                Thermal::None => {
                    if step.adds {
                        pot = Some((celsius.clone(), step.span));
                    }
                }
            }
        } else if step.thermal == Thermal::Cools {
            pot = None;
        }
        let touched = step.thermal == Thermal::Heats || step.adds;
        let Some((celsius, span)) = pot.clone().filter(|_| touched) else { continue };
        for (at, item) in formula.items.iter().enumerate() {
            let named =
                step.items.contains(&at) || item.phase.is_some_and(|phase| step.phases.contains(&phase));
            if !named {
                continue;
            }
            let kept_cool = item
                .phase
                .and_then(|phase| formula.phases.get(phase))
                .is_some_and(|phase| phase.cool.is_some() || phase.cold);
            // A cool-down phase that a step adds hot is a slip of the method, told as such; here the phase's own
            // word counts.
            if kept_cool {
                continue;
            }
            if let Some(slot) = hottest.get_mut(at)
                && slot.as_ref().is_none_or(|known| known.celsius < celsius)
            {
                *slot = Some(Exposure { celsius: celsius.clone(), span, by_step: true });
            }
        }
    }
    hottest
}
