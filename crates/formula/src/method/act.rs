//! The acts of a step: its clauses, each with what it heats, cools or adds.

use super::wording::{Called, Wording, labels, names_items, names_phase};
use super::{Step, Thermal};
use crate::exact::Exact;
use crate::factor;
use crate::formula::Phase;
use notation::{Span, TokenKind, Unit, fold, known_unit, lex};

/// One thing that is done: a clause of a step.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Act {
    /// Where its words stand.
    pub span: Span,
    /// Acts of one sentence have the same number.
    pub breath: usize,
    /// Phases that it names by their labels.
    pub labels: Vec<usize>,
    /// Phases and lines that it names, in whatever words.
    pub named: Named,
    /// Those of them that something is brought into.
    pub into: Named,
    /// Whether it takes everything, or all that is left.
    pub scope: Scope,
    /// What it does with the temperature.
    pub thermal: Thermal,
    /// The temperature that it names, °C, and where.
    pub celsius: Option<(Exact, Span)>,
    /// Whether it goes on until something shows: until it has melted, until it is clear.
    pub to_the_eye: bool,
    /// How long it lasts, minutes.
    pub minutes: Option<Exact>,
    /// Whether it brings things together.
    pub adds: bool,
}

/// Phases and lines.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Named {
    /// Phases, by label or kind.
    pub phases: Vec<usize>,
    /// Lines, by name.
    pub items: Vec<usize>,
}

impl Named {
    /// Whether nothing is named.
    pub fn is_empty(&self) -> bool {
        self.phases.is_empty() && self.items.is_empty()
    }
}

/// What an act without names is about.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Scope {
    /// What it names; where that is nothing, what was handled last.
    Named,
    /// Everything.
    Everything,
    /// What no act before has handled.
    Rest,
    /// What was handled before: both, the two, all that is combined.
    Handled,
}

/// Words that begin an act.
const VERBS: &[&str] = &[
    "add",
    "adjust",
    "allow",
    "beat",
    "blend",
    "boil",
    "bring",
    "check",
    "chill",
    "combine",
    "cool",
    "disperse",
    "dissolve",
    "emulsify",
    "fill",
    "fold",
    "heat",
    "hold",
    "homogenise",
    "homogenize",
    "incorporate",
    "introduce",
    "keep",
    "knead",
    "leave",
    "let",
    "melt",
    "microwave",
    "mix",
    "pour",
    "reheat",
    "remove",
    "rest",
    "sift",
    "simmer",
    "sprinkle",
    "stir",
    "take",
    "tip",
    "top",
    "trickle",
    "warm",
    "whip",
    "whisk",
    "work",
];
const HEATING: &[&str] = &[
    "heat",
    "heated",
    "heating",
    "reheat",
    "melt",
    "melted",
    "melts",
    "warm",
    "warmed",
    "bring",
    "boil",
    "simmer",
    "microwave",
];
const HOLDING: &[&str] = &["hold", "keep", "held", "kept"];
const COOLING: &[&str] =
    &["cool", "cools", "cooled", "cooling", "chill", "chilled", "dropped", "drops", "fallen", "falls"];
/// Without a figure nobody knows how warm a batch is after these.
const WAITING: &[&str] =
    &["leave", "rest", "stand", "overnight", "wait", "fridge", "freezer", "thickens", "sets", "cold"];
const ADDING: &[&str] = &[
    "add",
    "beat",
    "blend",
    "combine",
    "disperse",
    "dissolve",
    "drip",
    "emulsify",
    "fold",
    "homogenise",
    "homogenize",
    "incorporate",
    "introduce",
    "knead",
    "mix",
    "pour",
    "sift",
    "sprinkle",
    "stir",
    "tip",
    "trickle",
    "whisk",
    "work",
];
/// What is to be filled is warmed too, so that it does not crack.
const EMPTY: &[&str] = &["jars", "jar", "tins", "bottles", "tubes", "moulds", "molds", "containers", "tools"];
const KEEPING: &[&str] = &["store", "stored", "storage", "shelf", "fridge"];

/// Clauses of a step: where each begins and ends, and the sentence that it belongs to.
fn clauses(text: &str) -> Vec<(usize, usize, usize)> {
    let lower = text.to_ascii_lowercase();
    let mut cuts: Vec<(usize, usize, bool)> = Vec::new();
    for (at, c) in lower.char_indices() {
        let rest = lower.get(at..).unwrap_or("");
        let sentence = c == ';' || rest.starts_with(". ") || rest.starts_with(": ");
        if sentence {
            cuts.push((at, at + 1, true));
        } else if let Some(joint) = [", then ", ", and ", " and then ", " then ", " and ", ", "]
            .iter()
            .find(|joint| rest.starts_with(**joint))
            && cuts.last().is_none_or(|(_, end, _)| *end <= at)
            && starts_with_verb(rest.get(joint.len()..).unwrap_or(""))
        {
            cuts.push((at, at + joint.len(), false));
        }
    }
    let mut found = Vec::new();
    let (mut start, mut breath) = (0, 0);
    for (from, to, sentence) in cuts {
        found.push((start, from, breath));
        breath += usize::from(sentence);
        start = to;
    }
    found.push((start, text.len(), breath));
    found
}

fn starts_with_verb(rest: &str) -> bool {
    let word = rest.split(|c: char| !c.is_alphabetic()).next().unwrap_or("");
    VERBS.contains(&word)
}

/// The acts of a step, whose phases and lines are known.
pub(super) fn acts(step: &Step, breath: usize, phases: &[Phase], called: &[Called<'_>]) -> Vec<Act> {
    let clauses = clauses(&step.text);
    let mut acts = Vec::with_capacity(clauses.len());
    for (start, end, sentence) in clauses {
        let Some(whole) = step.text.get(start..end) else { continue };
        let text = whole.trim();
        if text.is_empty() {
            continue;
        }
        let from = step.span.start + (start + whole.len() - whole.trim_start().len()) as u32;
        let span = Span::new(from, from + text.len() as u32);
        acts.push(act(text, span, breath + sentence, step, phases, called));
    }
    acts
}

fn act(text: &str, span: Span, breath: usize, step: &Step, phases: &[Phase], called: &[Called<'_>]) -> Act {
    let folded = fold(text);
    let said = Wording::of(&folded);
    let words = &said.words;
    let does = |verbs: &[&str]| words.iter().any(|word| verbs.contains(word));
    let keeping = does(KEEPING) && !does(&["heat"]);
    let celsius = temperature(text)
        .filter(|_| !keeping)
        .map(|(value, place)| (value, Span::new(span.start + place.start, span.start + place.end)));
    let thermal = thermal(&folded, words, celsius.is_some());
    let in_a_bath = ["bath at", "bath of", "oven at", "oven to", "hotplate at"];
    let celsius = celsius.filter(|_| !in_a_bath.iter().any(|words| folded.contains(words)));
    let adds = does(ADDING);
    let named = named(text, &said, step, phases, called);
    let into = if adds { destination(text, step, phases, called) } else { Named::default() };
    Act {
        span,
        breath,
        labels: labels(text, phases),
        named,
        into,
        scope: scope(&folded, words),
        thermal,
        celsius,
        to_the_eye: folded.contains("until") || folded.contains("till") || words.contains(&"melted"),
        minutes: minutes(text),
        adds,
    }
}

/// What a piece of a step names, of what the whole step names.
fn named(text: &str, said: &Wording<'_>, step: &Step, phases: &[Phase], called: &[Called<'_>]) -> Named {
    let mut found = labels(text, phases);
    for at in &step.phases {
        let kind = phases.get(*at).is_some_and(|phase| names_phase(said, phase));
        if kind && !found.contains(at) {
            found.push(*at);
        }
    }
    let mut items = names_items(said, called);
    items.retain(|at| step.items.contains(at));
    Named { phases: found, items }
}

/// What stands behind `to`, `into`, `in`: the vessel's content that something is brought into.
fn destination(text: &str, step: &Step, phases: &[Phase], called: &[Called<'_>]) -> Named {
    for joint in [" into ", " onto ", " to ", " in "] {
        let Some((head, tail)) = text.split_once(joint) else { continue };
        // `stir in C` brings C in; it does not stir something in C.
        let verb = head.rsplit(' ').next().map(str::to_ascii_lowercase);
        if joint == " in " && verb.is_some_and(|verb| ADDING.contains(&verb.as_str())) {
            continue;
        }
        let folded = fold(tail);
        let found = named(tail, &Wording::of(&folded), step, phases, called);
        if !found.is_empty() {
            return found;
        }
    }
    Named::default()
}

fn scope(folded: &str, words: &[&str]) -> Scope {
    let rest = ["the rest", "remaining", "everything else", "all else", "other ingredients"];
    let exception = words.iter().any(|word| ["but", "except", "apart"].contains(word));
    if rest.iter().any(|phrase| folded.contains(phrase)) && !folded.contains("the rest of") {
        Scope::Rest
    } else if exception {
        Scope::Named
    } else if super::EVERYTHING.iter().any(|phrase| *phrase != "the rest" && folded.contains(phrase))
        || super::takes_all(words)
    {
        Scope::Everything
    } else if words.iter().any(|word| ["both", "together", "combine", "two"].contains(word)) {
        Scope::Handled
    } else {
        Scope::Named
    }
}

fn thermal(folded: &str, words: &[&str], figure: bool) -> Thermal {
    let has = |list: &[&str]| words.iter().any(|word| list.contains(word));
    let below = figure && has(&["below", "under"]);
    let off = ["off the heat", "from the heat", "off heat", "from heat"];
    if has(COOLING) || off.iter().any(|phrase| folded.contains(phrase)) || (!figure && has(WAITING)) {
        return Thermal::Cools;
    }
    if has(EMPTY) && !has(ADDING) {
        return Thermal::None;
    }
    // `the warm oil`, `the melted butter`: how it is, not what is done.
    let verb = words.iter().enumerate().any(|(at, word)| {
        let before = at.checked_sub(1).and_then(|before| words.get(before)).copied();
        HEATING.contains(word) && !matches!(before, Some("the" | "a" | "of" | "your" | "low" | "same"))
    });
    match (verb, below, has(HOLDING)) {
        (_, true, _) => Thermal::Cools,
        (true, _, _) => Thermal::Heats,
        (_, _, true) if figure => Thermal::Heats,
        (_, _, true) => Thermal::Holds,
        _ => Thermal::None,
    }
}

/// The temperature of a piece of text, °C, and where it stands; the last that it names.
fn temperature(text: &str) -> Option<(Exact, Span)> {
    // A room is 20 to 25 °C.
    const ROOM: &str = "room temperature";
    if let Some(at) = text.to_ascii_lowercase().find(ROOM) {
        let at = at as u32;
        return Some((Exact::whole(25), Span::new(at, at + ROOM.len() as u32)));
    }
    if !may_hold_a_number(text) {
        return None;
    }
    let tokens: Vec<_> = lex(text).into_iter().filter(|token| token.kind != TokenKind::Blank).collect();
    let mut found = None;
    for (at, pair) in tokens.windows(2).enumerate() {
        let [number, unit] = pair else { continue };
        let Some(kind @ (Unit::Celsius | Unit::Fahrenheit)) = known_unit(unit.span.of(text)) else {
            continue;
        };
        // `within 5 °C of each other` is no temperature.
        let before = at.checked_sub(1).and_then(|before| tokens.get(before)).map(|word| word.span.of(text));
        if number.kind == TokenKind::Number
            && !matches!(before, Some("within" | "by" | "Within"))
            && let Some(value) = Exact::read(number.span.of(text))
            && let Some(celsius) = factor::celsius(&value, kind)
        {
            found = Some((celsius, Span::new(number.span.start, unit.span.end)));
        }
    }
    found
}

/// The longest time that a piece of text names, minutes.
fn minutes(text: &str) -> Option<Exact> {
    if !may_hold_a_number(text) {
        return None;
    }
    let tokens: Vec<_> = lex(text).into_iter().filter(|token| token.kind != TokenKind::Blank).collect();
    let times = tokens.windows(2).filter_map(|pair| {
        let [number, unit] = pair else { return None };
        let each = match known_unit(unit.span.of(text))? {
            Unit::Minute => 1,
            Unit::Hour => 60,
            _ => return None,
        };
        (number.kind == TokenKind::Number)
            .then(|| Exact::read(number.span.of(text)))?
            .map(|value| value * Exact::whole(each))
    });
    times.max()
}

/// Whether there is a digit in it, or a letter that may be a fraction.
fn may_hold_a_number(text: &str) -> bool {
    text.bytes().any(|b| b.is_ascii_digit() || !b.is_ascii())
}
