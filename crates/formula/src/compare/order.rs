//! Two orders brought into one: that of the new writing, with what was taken out at its old place.

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

/// The longest run of things that both lists hold in the same order, as pairs of places. Work and memory grow with the
/// product of the lengths.
pub fn common<T: PartialEq>(old: &[T], new: &[T]) -> Vec<(usize, usize)> {
    let width = new.len() + 1;
    // How long a run the rests of both have, from each pair of places on.
    let mut lengths = vec![0u32; (old.len() + 1) * width];
    let get = |lengths: &[u32], a: usize, b: usize| lengths.get(a * width + b).copied().unwrap_or(0);
    for (a, left) in old.iter().enumerate().rev() {
        for (b, right) in new.iter().enumerate().rev() {
            let length = if left == right {
                get(&lengths, a + 1, b + 1) + 1
            } else {
                get(&lengths, a + 1, b).max(get(&lengths, a, b + 1))
            };
            if let Some(slot) = lengths.get_mut(a * width + b) {
                *slot = length;
            }
        }
    }
    let (mut a, mut b, mut pairs) = (0, 0, Vec::new());
    while let (Some(left), Some(right)) = (old.get(a), new.get(b)) {
        if left == right {
            pairs.push((a, b));
            (a, b) = (a + 1, b + 1);
        } else if get(&lengths, a + 1, b) >= get(&lengths, a, b + 1) {
            a += 1;
        } else {
            b += 1;
        }
    }
    pairs
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
