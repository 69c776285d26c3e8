//! The canonical layout: fixed columns, so that a changed amount changes one line and no other.
//!
//! A line that did not parse, or that holds a number or a unit in doubt, is left exactly as it stands.

mod amount;
mod groups;
mod lines;
mod names;
mod row;

use crate::line::{Block, Form, Line, Sheet};
use crate::slip::{Slip, SlipKind};
use crate::text::{Edit, Edits, Span};
use groups::{Placed, Space};
use lines::Writer;
pub use lines::amount_columns;

/// The edits that bring a text into its canonical form: none where it has it already.
///
/// `sheet` is what [`crate::read`] made of the same text. One edit for each changed line, cut down to what changes;
/// blank lines and line ends are edits of their own. Formatting the result again changes nothing, and reading it
/// gives the same meaning.
pub fn tidy(text: &str, sheet: &Sheet) -> Edits {
    let forms: Vec<LineForms> = sheet.blocks.iter().map(|block| LineForms::of(block)).collect();
    tidy_with(text, sheet, &forms.iter().collect::<Vec<_>>())
}

/// The canonical forms of the lines of one block, as far as they are not as they should be.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct LineForms(Vec<Option<Box<str>>>);

impl LineForms {
    /// Writes the lines of a block.
    pub fn of(block: &Block) -> LineForms {
        let writer = Writer::new(block);
        // A line that does not read as it looks is not written as if it did.
        let foreign = |slip: &&Slip| matches!(slip.kind, SlipKind::ForeignBlanks(_));
        let foreign: Vec<Span> = block.slips.iter().filter(foreign).map(|slip| slip.span).collect();
        let form = |line: &Line| {
            if foreign.iter().any(|at| line.span.start <= at.start && at.end <= line.span.end) {
                return None;
            }
            let written = writer.line(line)?;
            (written != block.at(line.span)).then(|| written.into_boxed_str())
        };
        LineForms(block.lines.iter().map(form).collect())
    }
}

/// Like [`tidy`], with the forms of the lines of each block, in order.
pub fn tidy_with(text: &str, sheet: &Sheet, forms: &[&LineForms]) -> Edits {
    let placed = place(sheet);
    let spaces = groups::spaces(&placed);
    let mut page = Page { text, line_end: line_end(text), edits: Vec::new() };
    let mut run: Vec<Span> = Vec::new();
    let mut spaces = spaces.into_iter();
    let forms = forms.iter().flat_map(|forms| &forms.0);
    for (entry, form) in placed.iter().zip(forms) {
        if matches!(entry.line.form, Form::Blank) {
            run.push(entry.span);
            continue;
        }
        page.blanks(&run, spaces.next().unwrap_or(Space::AsIs), entry.span.start);
        run.clear();
        if let Some(form) = form {
            page.line(entry.span, form);
        }
        page.line_end(entry.span.end);
    }
    if let Some(first) = run.first() {
        page.edit(page.after_mark(Span::new(first.start, text.len() as u32)), "");
    }
    Edits::new(page.edits).unwrap_or_default()
}

/// All lines of a sheet, in order, with their places in the whole text.
fn place(sheet: &Sheet) -> Vec<Placed<'_>> {
    let mut placed = Vec::new();
    let mut start = 0u32;
    for block in &sheet.blocks {
        let here = |line: &Line| line.span.shifted(start);
        placed.extend(block.lines.iter().map(|line| Placed { block, line, span: here(line) }));
        start += block.text.len() as u32;
    }
    placed
}

/// The line end that a text uses: that of its first line; a lone CR only where there is no other.
pub fn line_end(text: &str) -> &'static str {
    match text.find('\n') {
        Some(at) if text.get(..at).is_some_and(|before| before.ends_with('\r')) => "\r\n",
        None if text.contains('\r') => "\r",
        _ => "\n",
    }
}

const BYTE_ORDER_MARK: char = '\u{feff}';

/// The edits made so far.
struct Page<'t> {
    text: &'t str,
    line_end: &'static str,
    edits: Vec<Edit>,
}

impl Page<'_> {
    /// Replaces a span, cut down to what changes.
    fn edit(&mut self, span: Span, new: &str) {
        let old = span.of(self.text);
        if old == new {
            return;
        }
        let same = |(a, b): &(char, char)| a == b;
        let head: usize = old.chars().zip(new.chars()).take_while(same).map(|(c, _)| c.len_utf8()).sum();
        let (old, new) = (old.get(head..).unwrap_or(""), new.get(head..).unwrap_or(""));
        let tail: usize =
            old.chars().rev().zip(new.chars().rev()).take_while(same).map(|(c, _)| c.len_utf8()).sum();
        let span = Span::new(span.start + head as u32, span.end - tail as u32);
        let text = new.get(..new.len() - tail).unwrap_or("").to_owned();
        self.edits.push(Edit { span, text });
    }

    /// A span without the byte-order mark at the start of the text.
    fn after_mark(&self, span: Span) -> Span {
        let mark = if self.text.starts_with(BYTE_ORDER_MARK) { BYTE_ORDER_MARK.len_utf8() as u32 } else { 0 };
        Span::new(span.start.max(mark), span.end)
    }

    fn line(&mut self, span: Span, new: &str) {
        self.edit(self.after_mark(span), new);
    }

    /// The line end after byte `at`: made the same in the whole text, added where the last line has none.
    fn line_end(&mut self, at: u32) {
        let rest = Span::new(at, self.text.len() as u32).of(self.text);
        let len = match rest.as_bytes() {
            [b'\r', b'\n', ..] => 2,
            [b'\r' | b'\n', ..] => 1,
            _ => 0,
        };
        let span = Span::new(at, at + len);
        if span.of(self.text) != self.line_end {
            self.edits.push(Edit { span, text: self.line_end.to_owned() });
        }
    }

    /// The blank lines before the line that starts at byte `next`.
    fn blanks(&mut self, run: &[Span], space: Space, next: u32) {
        let kept = match space {
            Space::None => 0,
            Space::One => 1,
            Space::AsIs => run.len().min(1),
        };
        match (run, kept) {
            ([], 0) => {}
            ([], _) => self.edits.push(Edit { span: Span::at(next), text: self.line_end.to_owned() }),
            ([first, ..], 0) => self.edit(self.after_mark(Span::new(first.start, next)), ""),
            ([first, rest @ ..], _) => {
                self.edit(self.after_mark(*first), "");
                self.line_end(first.end);
                if let Some(second) = rest.first() {
                    self.edits.push(Edit { span: Span::new(second.start, next), text: String::new() });
                }
            }
        }
    }
}
