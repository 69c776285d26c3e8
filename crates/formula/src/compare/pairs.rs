//! Which block of the old writing is which of the new.

use super::Side;
use notation::{BlockKind, fold};

/// For each old block its place among the new ones. Blocks go by kind and name, the first of a name with the first; of
/// a kind of which exactly one is left on each side, the two are the same block under another name.
pub(super) fn pairs(before: &[Side<'_>], after: &[Side<'_>]) -> Vec<Option<usize>> {
    let names = |sides: &[Side<'_>]| -> Vec<(BlockKind, String)> {
        sides.iter().map(|side| (side.block.kind, fold(side.block.name()))).collect()
    };
    let (old, new) = (names(before), names(after));
    let mut taken = vec![false; after.len()];
    let mut matched: Vec<Option<usize>> = Vec::with_capacity(before.len());
    for name in &old {
        let mut same =
            new.iter().zip(&taken).enumerate().filter(|(_, (new, taken))| !**taken && *new == name);
        let found = same.next().map(|(at, _)| at);
        if let Some(slot) = found.and_then(|at| taken.get_mut(at)) {
            *slot = true;
        }
        matched.push(found);
    }
    for kind in [BlockKind::Formula, BlockKind::Workshop] {
        let old = before
            .iter()
            .enumerate()
            .filter(|(at, side)| side.block.kind == kind && matched.get(*at) == Some(&None));
        let old: Vec<usize> = old.map(|(at, _)| at).collect();
        let new = after
            .iter()
            .enumerate()
            .filter(|(at, side)| side.block.kind == kind && taken.get(*at) == Some(&false));
        let new: Vec<usize> = new.map(|(at, _)| at).collect();
        if let ([old], [new]) = (old.as_slice(), new.as_slice())
            && let Some(slot) = matched.get_mut(*old)
        {
            *slot = Some(*new);
        }
    }
    matched
}
