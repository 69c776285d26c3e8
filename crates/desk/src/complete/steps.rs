//! The words of a step. Most of them are free, so only what the formula names is offered, and only where it is begun or
//! where the word before asks for it.

use super::choice::Typed;
use super::choice::{Choice, fitting};
use super::names::targets;
use super::{CandidateKind, place::is_blank};
use crate::page::Leaf;
use notation::{Span, fold};

/// Words after which a phase or an ingredient stands.
const ASKING: &[&str] = &[
    "add",
    "to",
    "and",
    "into",
    "with",
    "in",
    "of",
    "the",
    "heat",
    "melt",
    "warm",
    "wet",
    "dissolve",
    "disperse",
    "hydrate",
    "sift",
    "grind",
    "levigate",
    "mill",
    "weigh",
    "pour",
    "combine",
    "mix",
    "blend",
    "stir",
    "homogenise",
    "homogenize",
    "whisk",
    "whip",
    "neutralise",
    "neutralize",
    "+",
];

/// Words with which a step begins.
const VERBS: &[&str] = &[
    "add",
    "heat",
    "melt",
    "mix",
    "stir",
    "dissolve",
    "disperse",
    "hydrate",
    "wet",
    "weigh",
    "sift",
    "grind",
    "levigate",
    "mill",
    "hold",
    "pour",
    "combine",
    "blend",
    "homogenise",
    "whisk",
    "whip",
    "cool",
    "top up",
    "adjust pH",
    "neutralise",
    "check pH",
    "rest",
    "fill",
    "press",
    "remove from heat",
];

/// How many bytes back a name may begin.
const LONGEST: usize = 80;

/// What can be written at the end of a step's beginning, each with how many bytes of it are typed.
pub(super) fn choices(leaf: Leaf<'_>, line: Span, step: &str, asked: bool) -> Vec<(usize, Choice)> {
    let last = step.trim_end_matches(is_blank).rsplit(is_blank).next().unwrap_or("");
    let fresh = step.is_empty() || step.ends_with(is_blank);
    if fresh && last.ends_with(|c: char| c.is_ascii_digit()) {
        let before = step.trim_end_matches(is_blank).rsplit(is_blank).nth(1).unwrap_or("");
        return units(before);
    }
    let mut found: Vec<(usize, Choice)> = Vec::new();
    let begins = !step.contains(is_blank);
    if begins && (asked || !step.is_empty()) {
        let verbs = VERBS.iter().map(|verb| Choice::new(*verb, CandidateKind::Word)).collect();
        found.extend(fitting(verbs, &Typed::new(step)).into_iter().map(|choice| (step.len(), choice)));
        found.retain(|(_, choice)| fold(&choice.label).starts_with(&fold(step)));
    }
    let asking = ASKING.contains(&fold(last).as_str());
    let Some(formula) = leaf.resolved().map(|resolved| &resolved.formula) else { return found };
    let word = if fresh { "" } else { last };
    let all = fresh && !step.is_empty() && (asked || asking);
    for phase in &formula.phases {
        // A label is a capital: in small letters it is an article.
        if all || (!word.is_empty() && phase.label.starts_with(word)) {
            let kind = phase.kind.map_or("", notation::PhaseKind::spelling);
            let words = [kind, &phase.heading].into_iter().filter(|word| !word.is_empty());
            let detail = words.collect::<Vec<_>>().join(" ");
            found.push((word.len(), Choice::new(&phase.label, CandidateKind::Phase).detail(detail)));
        }
    }
    for choice in targets(formula, line) {
        if all {
            found.push((0, choice));
        } else if let Some(typed) = begun(step, &fold(&choice.label)) {
            found.push((typed, choice));
        }
    }
    found
}

/// How many bytes at the end of a step begin a folded name.
fn begun(step: &str, name: &str) -> Option<usize> {
    let starts = step.char_indices().filter(|(at, _)| {
        let before = step.get(..*at).and_then(|head| head.chars().next_back());
        before.is_none_or(|c| is_blank(c) || matches!(c, '+' | ',' | ';' | '('))
    });
    starts
        .filter_map(|(at, _)| step.get(at..))
        .filter(|tail| tail.len() <= LONGEST && !tail.starts_with(is_blank))
        .find(|tail| Typed::new(tail).fits(name) == Some(0))
        .map(str::len)
}

/// Units of a number behind a word: degrees where something is reached, times elsewhere.
fn units(word: &str) -> Vec<(usize, Choice)> {
    let reached = ["to", "at", "below", "above", "about", "under"].contains(&fold(word).as_str());
    let (degrees, times) = (["°C", "°F"], ["min", "h", "s", "rpm"]);
    let in_order: Vec<&str> = if reached {
        degrees.into_iter().chain(times).collect()
    } else {
        times.into_iter().chain(degrees).collect()
    };
    in_order.into_iter().map(|unit| (0, Choice::new(unit, CandidateKind::Unit))).collect()
}
