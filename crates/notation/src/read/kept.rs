//! Lines that are not read again: a line with the same words in the same place of its block says the same.

use crate::line::{Block, Form, Line, Within};
use crate::text::{LineIndex, Span};

/// The lines of a block before its text changed, beside those of the new text.
pub(super) struct Kept<'b> {
    before: &'b Block,
    /// Lines at the head and at the tail that have not changed.
    head: usize,
    tail: usize,
    /// How many lines there are now.
    count: usize,
    /// Lines of the old text on which a slip stands: they are read again, so that it is told again.
    slipped: Vec<u32>,
}

impl<'b> Kept<'b> {
    pub(super) fn of(before: &'b Block, text: &str, index: &LineIndex) -> Kept<'b> {
        let count = count(text, index);
        let old = |at: usize| before.lines.get(at).map(|line| before.at(line.span));
        let new = |at: usize| (at < count).then(|| index.line_span(text, at as u32).of(text));
        let shorter = before.lines.len().min(count);
        let head = (0..shorter).take_while(|at| old(*at) == new(*at)).count();
        let from_end = |at: usize| old(before.lines.len() - 1 - at) == new(count - 1 - at);
        let tail = (0..shorter - head).take_while(|at| from_end(*at)).count();
        let line_of = |span: Span| before.index.line_of(span.start)..=before.index.line_of(span.end);
        let slipped = before.slips.iter().flat_map(|slip| line_of(slip.span)).collect();
        Kept { before, head, tail, count, slipped }
    }

    /// What a line of the new text says, where it can be told from the old one.
    pub(super) fn line(&self, number: u32, span: Span, within: Within) -> Option<Line> {
        let at = number as usize;
        let old = if at < self.head {
            at
        } else {
            let from_end = self.count.checked_sub(at).filter(|left| *left <= self.tail)?;
            self.before.lines.len() - from_end
        };
        let line = self.before.lines.get(old)?;
        let alike = line.within == within && (old == 0) == (at == 0);
        let sound = !matches!(line.form, Form::Broken) && !self.slipped.contains(&(old as u32));
        (alike && sound).then(|| line.moved(span.start))
    }
}

/// The lines that a block of this text has: what stands behind the last line end is none if it is empty.
pub(super) fn count(text: &str, index: &LineIndex) -> usize {
    let lines = index.lines();
    let open = lines > 1 && index.line_span(text, lines - 1).is_empty();
    (lines - u32::from(open)) as usize
}
