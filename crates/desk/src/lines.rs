//! The lines in which two texts differ, as edits: what stays keeps its place in an editor.

use notation::{Edit, Edits, Span};

/// More pairs of lines than this are not held against each other; what lies between is then one edit.
const MOST: usize = 1 << 20;

/// The edits that turn one text into another, line by line.
pub fn line_edits(old: &str, new: &str) -> Edits {
    let (before, after) = (split(old), split(new));
    let head = before.iter().zip(&after).take_while(|(a, b)| a == b).count();
    let tail =
        |a: &[&str], b: &[&str]| a.iter().rev().zip(b.iter().rev()).take_while(|(a, b)| a == b).count();
    let (old, new) = (before.get(head..).unwrap_or_default(), after.get(head..).unwrap_or_default());
    let tail = tail(old, new);
    let old = old.get(..old.len() - tail).unwrap_or_default();
    let new = new.get(..new.len() - tail).unwrap_or_default();
    let start: usize = before.iter().take(head).map(|line| line.len()).sum();
    let kept = if old.len().saturating_mul(new.len()) > MOST { Vec::new() } else { common(old, new) };
    let mut edits = Vec::new();
    let (mut at, mut from, mut to) = (start, 0, 0);
    for (kept_old, kept_new) in kept.into_iter().chain([(old.len(), new.len())]) {
        let gone: usize = old.iter().take(kept_old).skip(from).map(|line| line.len()).sum();
        let come: String = new.iter().take(kept_new).skip(to).copied().collect();
        if gone > 0 || !come.is_empty() {
            edits.push(Edit { span: Span::new(at as u32, (at + gone) as u32), text: come });
        }
        at += gone + old.get(kept_old).map_or(0, |line| line.len());
        (from, to) = (kept_old + 1, kept_new + 1);
    }
    Edits::new(edits).unwrap_or_default()
}

/// Lines with their ends.
fn split(text: &str) -> Vec<&str> {
    text.split_inclusive('\n').collect()
}

/// The longest run of lines that both hold in order, as pairs of places.
fn common(old: &[&str], new: &[&str]) -> Vec<(usize, usize)> {
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
    fn only_lines_that_differ_are_touched() {
        for (old, new, edits) in [
            ("a\nb\nc\n", "a\nb\nc\n", 0),
            ("a\nb\nc\n", "a\nc\n", 1),
            ("a\nb\nc\nd\ne\n", "a\nB\nc\nD\ne\n", 2),
            ("", "a\n", 1),
            ("a\r\nb", "b\r\nb", 1),
            ("a\nb\nc\nd\n", "b\nx\nd\ny\n", 3),
            ("a\na\nb\n", "a\nb\nb\n", 1),
        ] {
            let found = line_edits(old, new);
            assert_eq!(found.apply(old), new, "{old:?}");
            assert_eq!(found.iter().count(), edits, "{old:?} {new:?} {found:?}");
        }
    }
}
