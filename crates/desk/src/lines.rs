//! The lines in which two texts differ, as edits: what stays keeps its place in an editor.

use formula::compare::common;
use notation::{Edit, Edits, Span};

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
    let mut edits = Vec::new();
    let (mut at, mut from, mut to) = (start, 0, 0);
    for (kept_old, kept_new) in common(old, new).into_iter().chain([(old.len(), new.len())]) {
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
