//! A line being written.

use crate::text::is_blank;

/// Text with every run of blanks made one blank, and none at the ends.
pub(super) fn folded(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for word in text.split(is_blank).filter(|word| !word.is_empty()) {
        if !out.is_empty() {
            out.push(' ');
        }
        out.push_str(word);
    }
    out
}

/// A line being written, field by field.
#[derive(Default)]
pub(super) struct Row {
    text: String,
    /// Characters so far.
    width: usize,
    /// Set where a `#` came to stand after a blank and would be read as a comment.
    spoilt: bool,
}

impl Row {
    /// Writes directly after what stands there.
    pub(super) fn push(&mut self, text: &str) {
        self.text.push_str(text);
        self.width += text.chars().count();
    }

    /// Writes at a column, or one blank after what reaches so far.
    pub(super) fn at(&mut self, column: usize, text: &str) {
        if text.is_empty() {
            return;
        }
        let gap = column.saturating_sub(self.width).max(usize::from(!self.text.is_empty()));
        self.text.extend(std::iter::repeat_n(' ', gap));
        self.width += gap;
        self.guard(text);
        self.push(text);
    }

    /// Writes one blank after what stands there.
    pub(super) fn word(&mut self, text: &str) {
        self.at(0, text);
    }

    /// Like [`Row::word`], for text in which a `#` is no comment.
    pub(super) fn free(&mut self, text: &str) {
        if !text.is_empty() {
            if !self.text.is_empty() {
                self.push(" ");
            }
            self.push(text);
        }
    }

    fn guard(&mut self, text: &str) {
        let mut chars = text.chars();
        self.spoilt |= chars.next() == Some('#') && !chars.next().is_some_and(|c| c.is_ascii_digit());
    }

    /// Gives the row up: what it says could not be read again.
    pub(super) fn spoil(&mut self) {
        self.spoilt = true;
    }

    /// The line; none where it would be read differently.
    pub(super) fn finish(self) -> Option<String> {
        (!self.spoilt).then_some(self.text)
    }
}
