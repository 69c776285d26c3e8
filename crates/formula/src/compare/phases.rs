//! Phases with their ingredients.

use super::Turn;
use super::canon::{Said, clause, shown, turns};
use super::lines::{Ingredient, LineChange, change, ingredients};
use super::order::{Slot, interleaved};
use crate::formula::{Formula, Phase};
use notation::{Block, Form, fold, in_one_line};
use std::cmp::Reverse;

/// A phase that is not the same, or in which something is not.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PhaseChange {
    /// Its letter; empty for the lines of a formula that stand in no phase.
    pub label: Turn<String>,
    /// Its kind, its heading and what is done with it.
    pub words: Vec<Turn<String>>,
    /// Its ingredients that are not the same.
    pub lines: Vec<LineChange>,
}

/// A formula or variant, with the block in which it is written.
#[derive(Clone, Copy)]
pub(super) struct Body<'a> {
    pub(super) block: &'a Block,
    pub(super) formula: &'a Formula,
}

/// The lines of one phase, or those outside phases.
struct Group {
    label: String,
    words: Vec<Said>,
    ingredients: Vec<Ingredient>,
}

fn groups(body: Body<'_>) -> Vec<Group> {
    let outside = ingredients(body, None);
    let outside = (!outside.is_empty()).then(|| Group {
        label: String::new(),
        words: Vec::new(),
        ingredients: outside,
    });
    let inside = body.formula.phases.iter().enumerate().map(|(at, phase)| Group {
        label: phase.label.clone(),
        words: words(body.block, phase),
        ingredients: ingredients(body, Some(at)),
    });
    outside.into_iter().chain(inside).collect()
}

fn words(block: &Block, phase: &Phase) -> Vec<Said> {
    let line = block.lines.iter().find_map(|line| match &line.form {
        Form::Phase(written) if written.label == phase.span => Some(written),
        _ => None,
    });
    let Some(line) = line else { return Vec::new() };
    let plain =
        |about: &str, text: &str| Said { key: fold(text), about: about.to_owned(), shown: in_one_line(text) };
    let kind = phase.kind.map(|kind| plain("kind", &format!("{} phase", kind.spelling())));
    let heading = Some(block.at(line.heading)).filter(|text| !text.trim().is_empty());
    let heading = heading.map(|text| plain("heading", text));
    kind.into_iter().chain(heading).chain(line.clauses.iter().map(|one| clause(block, one))).collect()
}

/// For each old phase its place among the new ones: the one of its letter, unless they have nothing in common and
/// another one has. The same pairs come out whichever side is the old one.
fn matched(before: &[Group], after: &[Group]) -> Vec<Option<usize>> {
    let shared = |old: &Group, new: &Group| {
        old.ingredients.iter().filter(|one| new.ingredients.iter().any(|other| other.is(one))).count()
    };
    let mut pairs = Vec::new();
    for (at, old) in before.iter().enumerate() {
        for (place, new) in after.iter().enumerate() {
            let (same, shared) = (old.label == new.label, shared(old, new));
            let rank = match (same, shared) {
                (true, 1..) => 0,
                (false, 1..) => 1,
                (true, 0) => 2,
                (false, 0) => continue,
            };
            // Of equals the first, and those that stand at like places.
            pairs.push(((rank, Reverse(shared), at + place, at.abs_diff(place)), at, place));
        }
    }
    pairs.sort();
    let mut matched: Vec<Option<usize>> = vec![None; before.len()];
    for (_, at, place) in pairs {
        let free = !matched.contains(&Some(place));
        if let Some(slot) = matched.get_mut(at).filter(|slot| free && slot.is_none()) {
            *slot = Some(place);
        }
    }
    matched
}

/// The phases that changed, and those in which something did.
pub(super) fn phases(before: Body<'_>, after: Body<'_>) -> Vec<PhaseChange> {
    let (old, new) = (groups(before), groups(after));
    let matched = matched(&old, &new);
    let moves = Moves::of(&old, &new, &matched);
    let told = interleaved(&matched, new.len()).into_iter().filter_map(|slot| {
        let (from, to) = match slot {
            Slot::Gone(from) => (Some(from), None),
            Slot::Come(to) => (None, Some(to)),
            Slot::Kept(from, to) => (Some(from), Some(to)),
        };
        let (from_group, to_group) = (from.and_then(|at| old.get(at)), to.and_then(|at| new.get(at)));
        let words = match (from_group, to_group) {
            (Some(from), Some(to)) => turns(&from.words, &to.words).into_iter().map(shown).collect(),
            _ => Vec::new(),
        };
        let label = |group: &Group| group.label.clone();
        let change = PhaseChange {
            label: Turn { from: from_group.map(label), to: to_group.map(label) },
            words,
            lines: moves.lines(&old, &new, from, to),
        };
        let same = !change.label.differs() && change.words.is_empty() && change.lines.is_empty();
        (!same).then_some(change)
    });
    told.collect()
}

/// Where each ingredient went: the place of a phase, and the place in it.
type At = (usize, usize);

/// A way of telling that two lines are the same ingredient.
type Alike = fn(&Ingredient, &Ingredient) -> bool;

struct Moves(Vec<(At, At)>);

impl Moves {
    /// Ingredients of matched phases first; what is left, with the first of the same ingredient in another phase; then
    /// what was written wrong on one side.
    fn of(old: &[Group], new: &[Group], matched: &[Option<usize>]) -> Moves {
        let mut pairs: Vec<(At, At)> = Vec::new();
        let rounds: [(bool, Alike); 3] =
            [(true, Ingredient::is), (false, Ingredient::is), (true, Ingredient::is_miswritten)];
        for (near, same) in rounds {
            for (from, group) in old.iter().enumerate() {
                for (at, one) in group.ingredients.iter().enumerate() {
                    if pairs.iter().any(|(old, _)| *old == (from, at)) {
                        continue;
                    }
                    let found = new
                        .iter()
                        .enumerate()
                        .filter(|(to, _)| !near || matched.get(from).copied().flatten() == Some(*to));
                    let found = found.flat_map(|(to, group)| {
                        let places = group.ingredients.iter().enumerate();
                        places.filter(|(_, other)| same(one, other)).map(move |(at, _)| (to, at))
                    });
                    let mut free = found.filter(|to| !pairs.iter().any(|(_, taken)| taken == to));
                    if let Some(to) = free.next() {
                        pairs.push(((from, at), to));
                    }
                }
            }
        }
        Moves(pairs)
    }

    /// The changed ingredients of a phase. What has moved is told where it is now.
    fn lines(&self, old: &[Group], new: &[Group], from: Option<usize>, to: Option<usize>) -> Vec<LineChange> {
        let before =
            from.and_then(|at| old.get(at)).map(|group| group.ingredients.as_slice()).unwrap_or_default();
        let after =
            to.and_then(|at| new.get(at)).map(|group| group.ingredients.as_slice()).unwrap_or_default();
        // What went into another phase is not gone.
        let stayed: Vec<(usize, Option<usize>)> = before
            .iter()
            .enumerate()
            .filter_map(|(at, _)| match self.0.iter().find(|(old, _)| Some(old.0) == from && old.1 == at) {
                None => Some((at, None)),
                Some((_, (phase, place))) => (Some(*phase) == to).then_some((at, Some(*place))),
            })
            .collect();
        let places: Vec<Option<usize>> = stayed.iter().map(|(_, place)| *place).collect();
        let lines = interleaved(&places, after.len()).into_iter().filter_map(|slot| match slot {
            Slot::Gone(at) => change(before.get(stayed.get(at)?.0), None, None),
            Slot::Kept(at, place) => change(before.get(stayed.get(at)?.0), after.get(place), None),
            Slot::Come(place) => {
                let origin = self.0.iter().find(|(_, new)| Some(new.0) == to && new.1 == place);
                let group = origin.and_then(|((phase, at), _)| Some((old.get(*phase)?, *at)));
                match group {
                    Some((group, at)) => {
                        change(group.ingredients.get(at), after.get(place), Some(group.label.clone()))
                    }
                    None => change(None, after.get(place), None),
                }
            }
        });
        lines.collect()
    }
}
