//! Two orders brought into one: that of the new writing, with what was taken out at its old place.

use similar::{Algorithm, DiffOp, capture_diff_slices};
use std::hash::Hash;

/// A place in the joined order.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Slot {
    /// Only in the old writing, at this place.
    Gone(usize),
    /// In both: its old and its new place.
    Kept(usize, usize),
    /// Only in the new writing, at this place.
    Come(usize),
}

/// The joined order. `matched` says for each old thing its place among the new; none where it is gone.
pub(super) fn interleaved(matched: &[Option<usize>], new: usize) -> Vec<Slot> {
    // What is gone stands behind what it stood behind.
    let mut behind: Vec<(Option<usize>, usize)> = Vec::new();
    let mut last = None;
    for (old, place) in matched.iter().enumerate() {
        match place {
            Some(place) => last = Some(*place),
            None => behind.push((last, old)),
        }
    }
    let gone = |at: Option<usize>| {
        behind.iter().filter(move |(after, _)| *after == at).map(|(_, old)| Slot::Gone(*old))
    };
    let mut slots: Vec<Slot> = gone(None).collect();
    for at in 0..new {
        let old = matched.iter().position(|place| *place == Some(at));
        slots.push(old.map_or(Slot::Come(at), |old| Slot::Kept(old, at)));
        slots.extend(gone(Some(at)));
    }
    slots
}

/// More pairs than this are not held against each other.
const MOST: usize = 1 << 20;

/// The longest run of things that both lists hold in the same order, as pairs of places; none for lists that are too
/// long to be held against each other.
pub fn common<T: Hash + Ord>(old: &[T], new: &[T]) -> Vec<(usize, usize)> {
    if old.len().saturating_mul(new.len()) > MOST {
        return Vec::new();
    }
    let pairs = |op: &DiffOp| match *op {
        DiffOp::Equal { old_index, new_index, len } => (old_index..).zip(new_index..).take(len).collect(),
        _ => Vec::new(),
    };
    capture_diff_slices(Algorithm::Myers, old, new).iter().flat_map(pairs).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_gone_stands_at_its_old_place() {
        let slots = interleaved(&[None, Some(1), None, Some(0)], 3);
        let expected = [Slot::Gone(0), Slot::Kept(3, 0), Slot::Kept(1, 1), Slot::Gone(2), Slot::Come(2)];
        assert_eq!(slots, expected);
    }

    #[test]
    fn the_longest_common_run_is_found() {
        let pairs = common(&["a", "b", "c", "d"], &["b", "x", "d", "y"]);
        assert_eq!(pairs, [(1, 0), (3, 2)]);
    }
}
