//! Places in a text: byte spans, edits, and the four ways in which the outside world counts columns.

use std::fmt;

/// Bytes `start..end` of a text, half open, on character borders.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, PartialOrd, Ord, Default)]
pub struct Span {
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Span {
    /// A span from `start` to `end`; an end before the start gives an empty span at `start`.
    pub fn new(start: u32, end: u32) -> Span {
        Span { start, end: end.max(start) }
    }

    /// The empty span at `at`.
    pub fn at(at: u32) -> Span {
        Span { start: at, end: at }
    }

    /// The text under the span; empty where the span does not fit.
    pub fn of(self, text: &str) -> &str {
        text.get(self.start as usize..self.end as usize).unwrap_or("")
    }

    /// Bytes covered.
    pub fn len(self) -> u32 {
        self.end - self.start
    }

    /// Whether nothing is covered.
    pub fn is_empty(self) -> bool {
        self.start == self.end
    }

    /// The same span counted from a place `by` bytes earlier.
    pub fn shifted(self, by: u32) -> Span {
        Span { start: self.start + by, end: self.end + by }
    }

    /// The smallest span that covers both.
    pub fn join(self, other: Span) -> Span {
        Span { start: self.start.min(other.start), end: self.end.max(other.end) }
    }

    /// Whether `at` lies inside or at the end.
    pub fn touches(self, at: u32) -> bool {
        self.start <= at && at <= self.end
    }

    /// The span without blanks at both ends.
    pub fn trimmed(self, text: &str) -> Span {
        let inside = self.of(text);
        let left = inside.len() - inside.trim_start_matches(is_blank).len();
        let kept = inside.trim_matches(is_blank).len();
        let start = self.start + left as u32;
        Span { start, end: start + kept as u32 }
    }
}

/// Whether a character is a blank of the notation: space, tab, and the no-break and thin spaces.
pub(crate) fn is_blank(c: char) -> bool {
    matches!(c, ' ' | '\t' | '\u{a0}' | '\u{2009}' | '\u{202f}' | '\u{feff}')
}

/// One replacement of a piece of text.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Edit {
    /// What is replaced.
    pub span: Span,
    /// What stands there afterwards.
    pub text: String,
}

/// Two edits touch the same text.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Overlap;

impl fmt::Display for Overlap {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("two edits touch the same text")
    }
}

impl std::error::Error for Overlap {}

/// A set of edits that do not overlap, in order of place.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Edits(Vec<Edit>);

impl Edits {
    /// Sorts the edits.
    ///
    /// # Errors
    /// [`Overlap`] when two of them share a byte.
    pub fn new(mut edits: Vec<Edit>) -> Result<Edits, Overlap> {
        edits.sort_by_key(|e| (e.span.start, e.span.end));
        let clash = edits.windows(2).any(|pair| matches!(pair, [a, b] if a.span.end > b.span.start));
        if clash { Err(Overlap) } else { Ok(Edits(edits)) }
    }

    /// A single edit.
    pub fn one(span: Span, text: impl Into<String>) -> Edits {
        Edits(vec![Edit { span, text: text.into() }])
    }

    /// The edits in order.
    pub fn iter(&self) -> impl Iterator<Item = &Edit> {
        self.0.iter()
    }

    /// Whether nothing would change.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The text after all edits. Edits that do not fit the text are left out.
    pub fn apply(&self, text: &str) -> String {
        let mut out = String::with_capacity(text.len());
        let mut at = 0usize;
        for edit in &self.0 {
            let Some(kept) = text.get(at..edit.span.start as usize) else { continue };
            if text.get(edit.span.start as usize..edit.span.end as usize).is_none() {
                continue;
            }
            out.push_str(kept);
            out.push_str(&edit.text);
            at = edit.span.end as usize;
        }
        out.push_str(text.get(at..).unwrap_or(""));
        out
    }

    /// The same edits counted from a place `by` bytes earlier.
    pub fn shifted(&self, by: u32) -> Edits {
        Edits(self.0.iter().map(|e| Edit { span: e.span.shifted(by), text: e.text.clone() }).collect())
    }
}

/// How columns are counted.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Encoding {
    /// Bytes.
    Utf8,
    /// UTF-16 code units.
    Utf16,
    /// Unicode characters.
    Utf32,
}

impl Encoding {
    /// Units that one character takes.
    pub fn width(self, c: char) -> u32 {
        match self {
            Encoding::Utf8 => c.len_utf8() as u32,
            Encoding::Utf16 => c.len_utf16() as u32,
            Encoding::Utf32 => 1,
        }
    }

    /// Units that a text takes.
    pub fn measure(self, text: &str) -> u32 {
        match self {
            Encoding::Utf8 => text.len() as u32,
            Encoding::Utf16 | Encoding::Utf32 => text.chars().map(|c| self.width(c)).sum(),
        }
    }
}

/// A line and a column, both counted from 0; the column in units of some [`Encoding`].
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, PartialOrd, Ord, Default)]
pub struct Place {
    /// Line, from 0.
    pub line: u32,
    /// Column, from 0.
    pub column: u32,
}

/// Where the lines of a text begin. A line ends with LF, CRLF or a lone CR, as in the Language Server Protocol.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct LineIndex {
    starts: Vec<u32>,
}

impl LineIndex {
    /// Finds the line starts of `text`.
    pub fn new(text: &str) -> LineIndex {
        let bytes = text.as_bytes();
        let mut starts = vec![0];
        for (at, byte) in bytes.iter().enumerate() {
            let ends = match byte {
                b'\n' => true,
                b'\r' => bytes.get(at + 1) != Some(&b'\n'),
                _ => false,
            };
            if ends {
                starts.push(at as u32 + 1);
            }
        }
        LineIndex { starts }
    }

    /// Number of lines; a text that ends with a line end has an empty last line.
    pub fn lines(&self) -> u32 {
        self.starts.len() as u32
    }

    /// Byte at which a line starts; the text's end for lines beyond it.
    pub fn start(&self, line: u32) -> Option<u32> {
        self.starts.get(line as usize).copied()
    }

    /// The line that holds byte `at`.
    pub fn line_of(&self, at: u32) -> u32 {
        (self.starts.partition_point(|&start| start <= at).max(1) - 1) as u32
    }

    /// The line without its end.
    pub fn line_span(&self, text: &str, line: u32) -> Span {
        let Some(start) = self.start(line) else { return Span::at(text.len() as u32) };
        let end = self.start(line + 1).unwrap_or(text.len() as u32);
        let kept = Span { start, end }.of(text).trim_end_matches(['\n', '\r']).len() as u32;
        // A lone CR inside CRLF cannot occur here: it would have started a line of its own.
        Span { start, end: start + kept }
    }

    /// Line and column of byte `at` in `text`, the text this index was made of.
    pub fn place(&self, text: &str, at: u32, encoding: Encoding) -> Place {
        let line = self.line_of(at);
        let start = self.start(line).unwrap_or(0);
        Place { line, column: encoding.measure(Span::new(start, at).of(text)) }
    }

    /// Byte of a place; clamped to the line, and to the text, never inside a character.
    pub fn offset(&self, text: &str, place: Place, encoding: Encoding) -> u32 {
        let span = self.line_span(text, place.line);
        let mut left = place.column;
        let mut at = span.start;
        for c in span.of(text).chars() {
            let width = encoding.width(c);
            if left < width {
                break;
            }
            left -= width;
            at += c.len_utf8() as u32;
        }
        at
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_in_each_encoding() {
        let text = "a\r\nµ½𝛽x\rz";
        let index = LineIndex::new(text);
        let at = text.find('x').unwrap() as u32;
        assert_eq!(index.place(text, at, Encoding::Utf8), Place { line: 1, column: 8 });
        assert_eq!(index.place(text, at, Encoding::Utf16), Place { line: 1, column: 4 });
        assert_eq!(index.place(text, at, Encoding::Utf32), Place { line: 1, column: 3 });
        assert_eq!(index.lines(), 3);
        for encoding in [Encoding::Utf8, Encoding::Utf16, Encoding::Utf32] {
            for (at, _) in text.char_indices().filter(|(_, c)| !matches!(c, '\r' | '\n')) {
                let place = index.place(text, at as u32, encoding);
                assert_eq!(index.offset(text, place, encoding), at as u32, "{encoding:?} {at}");
            }
        }
    }

    #[test]
    fn places_outside_are_clamped() {
        let text = "ab\n𝛽";
        let index = LineIndex::new(text);
        assert_eq!(index.offset(text, Place { line: 0, column: 99 }, Encoding::Utf16), 2);
        assert_eq!(index.offset(text, Place { line: 9, column: 0 }, Encoding::Utf16), 7);
        assert_eq!(index.offset(text, Place { line: 1, column: 1 }, Encoding::Utf16), 3, "inside a pair");
    }

    #[test]
    fn edits_apply_in_order_and_refuse_overlap() {
        let edits = Edits::new(vec![
            Edit { span: Span::new(4, 5), text: "E".into() },
            Edit { span: Span::new(0, 1), text: "A".into() },
        ])
        .unwrap();
        assert_eq!(edits.apply("abcde"), "AbcdE");
        let clash = vec![
            Edit { span: Span::new(0, 3), text: String::new() },
            Edit { span: Span::new(2, 4), text: String::new() },
        ];
        assert_eq!(Edits::new(clash), Err(Overlap));
    }
}
