//! The method, step by step.

use super::Turn;
use super::order::common;
use crate::formula::Formula;
use notation::{fold, in_one_line};

/// A step that is not the same.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct StepChange {
    /// Which step it was and is, from 1.
    pub number: Turn<usize>,
    /// Its words.
    pub words: Turn<String>,
}

impl StepChange {
    /// Whether it says the same at another place.
    pub fn is_moved(&self) -> bool {
        self.words.from.as_deref().map(fold) == self.words.to.as_deref().map(fold)
    }
}

/// The steps that were added, taken out, moved or reworded, in the new order.
pub(super) fn steps(before: &Formula, after: &Formula) -> Vec<StepChange> {
    let words =
        |formula: &Formula| -> Vec<String> { formula.steps.iter().map(|step| fold(&step.text)).collect() };
    let shown = |formula: &Formula, at: usize| formula.steps.get(at).map(|step| in_one_line(&step.text));
    let (old, new) = (words(before), words(after));
    let mut changes = Vec::new();
    let (mut from, mut to) = (0, 0);
    for (kept_old, kept_new) in common(&old, &new).into_iter().chain([(old.len(), new.len())]) {
        for (gone, come) in run(&old, from..kept_old, &new, to..kept_new) {
            changes.push(StepChange {
                number: Turn { from: gone.map(|at| at + 1), to: come.map(|at| at + 1) },
                words: Turn {
                    from: gone.and_then(|at| shown(before, at)),
                    to: come.and_then(|at| shown(after, at)),
                },
            });
        }
        (from, to) = (kept_old + 1, kept_new + 1);
    }
    moved(changes)
}

/// Steps between two that stayed: each new one with the first old one that it looks like, none crossing.
fn run(
    old: &[String],
    gone: std::ops::Range<usize>,
    new: &[String],
    come: std::ops::Range<usize>,
) -> Vec<(Option<usize>, Option<usize>)> {
    let mut pairs = Vec::new();
    let mut waiting = Vec::new();
    let mut next = gone.start;
    for at in come {
        let Some(words) = new.get(at) else { continue };
        let alike = (next..gone.end).find(|place| old.get(*place).is_some_and(|old| is_alike(old, words)));
        let Some(found) = alike else {
            waiting.push((None, Some(at)));
            continue;
        };
        // What went stands before what came in its place.
        pairs.extend((next..found).map(|place| (Some(place), None)));
        pairs.append(&mut waiting);
        pairs.push((Some(found), Some(at)));
        next = found + 1;
    }
    pairs.extend((next..gone.end).map(|place| (Some(place), None)));
    pairs.append(&mut waiting);
    pairs
}

/// Whether two steps share at least half of the words of the longer one.
fn is_alike(one: &str, other: &str) -> bool {
    fn split(text: &str) -> Vec<&str> {
        text.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).collect()
    }
    let (one, mut other) = (split(one), split(other));
    let longer = one.len().max(other.len());
    let mut shared = 0;
    for word in one {
        if let Some(at) = other.iter().position(|own| *own == word) {
            let _ = other.swap_remove(at);
            shared += 1;
        }
    }
    shared * 2 >= longer
}

/// A step that was taken out at one place and added with the same words at another was moved; it is told where it is.
fn moved(mut changes: Vec<StepChange>) -> Vec<StepChange> {
    let mut at = 0;
    while let Some(change) = changes.get(at) {
        let words = change.words.to.as_deref().map(fold);
        let gone = change.words.is_new().then(|| {
            changes
                .iter()
                .position(|other| other.words.is_gone() && other.words.from.as_deref().map(fold) == words)
        });
        if let Some(place) = gone.flatten() {
            let gone = changes.remove(place);
            let here = if place < at { at - 1 } else { at };
            if let Some(change) = changes.get_mut(here) {
                change.number.from = gone.number.from;
                change.words.from = gone.words.from;
            }
            at = here;
        }
        at += 1;
    }
    changes
}
