//! What a method leaves out, and what it puts in: for the rules of the method.

use crate::Level;
use formula::method::{Act, Step};
use formula::{Formula, Item};
use notation::fold;

/// Lines that no step adds: whole phases of several lines, and single ones; each with how loud that is.
#[derive(Default)]
pub(crate) struct LeftOut {
    /// Phase, its lines, level.
    pub(crate) phases: Vec<(usize, Vec<usize>, Level)>,
    /// Line, level.
    pub(crate) lines: Vec<(usize, Level)>,
}

/// What no step adds. Nothing where steps name nothing, or take everything. A method without its last step may still be
/// in the writing: what lies after all that it names is yet to come, a hint.
pub(crate) fn left_out(formula: &Formula) -> LeftOut {
    let mut found = LeftOut::default();
    let speaks =
        formula.steps.iter().any(|step| step.everything || !step.items.is_empty() || !step.phases.is_empty());
    if !speaks || formula.steps.iter().any(|step| step.everything) {
        return found;
    }
    let added = |at: usize, item: &Item| {
        item.optional
            || formula.steps.iter().any(|step| {
                step.items.contains(&at) || item.phase.is_some_and(|phase| step.phases.contains(&phase))
            })
    };
    let lines = || formula.items.iter().enumerate();
    let reached =
        lines().filter(|(at, item)| !item.optional && added(*at, item)).map(|(at, _)| at).next_back();
    let ended = formula.steps.iter().any(Step::ends);
    // Of what nobody knows, a step may speak in a word that is not in its name.
    let unknown = |at: usize| {
        formula
            .items
            .get(at)
            .is_some_and(|item| !item.is_known() || item.blend.iter().any(|(_, part)| part.is_none()))
    };
    let level = |at: usize| {
        if unknown(at) {
            return Level::Hint;
        }
        if ended || reached.is_some_and(|reached| at < reached) { Level::Warning } else { Level::Hint }
    };
    let missing: Vec<(usize, Option<usize>)> =
        lines().filter(|(at, item)| !added(*at, item)).map(|(at, item)| (at, item.phase)).collect();
    for number in 0..formula.phases.len() {
        let here: Vec<usize> =
            missing.iter().filter(|(_, phase)| *phase == Some(number)).map(|(at, _)| *at).collect();
        let all = formula.items_of(number).filter(|(_, item)| !item.optional).count();
        match here.as_slice() {
            [first, _, ..] if here.len() == all => found.phases.push((number, here.clone(), level(*first))),
            _ => found.lines.extend(here.into_iter().map(|at| (at, level(at)))),
        }
    }
    let loose = missing.iter().filter(|(_, phase)| phase.is_none());
    found.lines.extend(loose.map(|(at, _)| (*at, level(*at))));
    found
}

/// Words after which only some of a thing is meant.
const SOME: &[&str] = &[
    "half",
    "part",
    "parts",
    "portion",
    "portions",
    "third",
    "thirds",
    "quarter",
    "rest",
    "remaining",
    "remainder",
    "little",
    "some",
    "few",
    "bit",
    "more",
    "again",
    "first",
    "last",
    "alternately",
    "time",
    "gradually",
    "if",
];
/// What is put into these is set ready, not yet added.
const VESSELS: &[&str] = &[
    "beaker",
    "beakers",
    "boiler",
    "jug",
    "cup",
    "bowl",
    "pot",
    "pan",
    "vessel",
    "jar",
    "container",
    "bottle",
    "tin",
    "tins",
    "mould",
    "moulds",
    "another",
    "separate",
    "bath",
    "syringe",
    "mixture",
    "solution",
];
/// Verbs that bring a thing to the batch.
const BRINGING: &[&str] = &[
    "add",
    "stir in",
    "mix in",
    "blend in",
    "fold in",
    "whisk in",
    "beat in",
    "pour in",
    "pour",
    "sprinkle in",
    "trickle in",
    "drip in",
    "tip in",
];

/// What stands behind the verb that brings something to the batch, up to where it goes: `B` of `add B to A`. None for
/// acts that bring nothing, only some of it, or set it ready in a vessel.
pub(crate) fn brought<'t>(text: &'t str, act: &Act) -> Option<&'t str> {
    if !act.adds {
        return None;
    }
    if fold(text)
        .split(|c: char| !c.is_alphabetic())
        .any(|word| SOME.contains(&word) || VESSELS.contains(&word))
    {
        return None;
    }
    let lower = text.to_ascii_lowercase();
    let behind = BRINGING
        .iter()
        .filter_map(|verb| {
            let at = lower.find(verb)?;
            let apart = |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric());
            let whole = apart(lower.get(..at)?.chars().next_back())
                && apart(lower.get(at + verb.len()..)?.chars().next());
            whole.then_some((at, at + verb.len()))
        })
        .max_by_key(|(at, end)| (std::cmp::Reverse(*at), *end))?
        .1;
    let rest = text.get(behind..)?;
    let rest_lower = lower.get(behind..)?;
    let end = [" to ", " into ", " in ", " onto ", " while ", " and stir", ","]
        .iter()
        .filter_map(|word| rest_lower.find(word))
        .min()
        .unwrap_or(rest.len());
    rest.get(..end).map(str::trim).filter(|what| !what.is_empty())
}

/// Labels in a piece of an act: `B and C`, `phase B`.
pub(crate) fn labels_in(formula: &Formula, act: &Act, piece: &str) -> Vec<usize> {
    let words: Vec<&str> = piece.split(|c: char| !c.is_alphanumeric()).collect();
    let named = |at: &&usize| {
        formula.phases.get(**at).is_some_and(|phase| words.iter().any(|word| *word == phase.label))
    };
    act.labels.iter().filter(named).copied().collect()
}
