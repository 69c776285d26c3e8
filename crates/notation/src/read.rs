//! Reading: text to blocks, blocks to lines. Never fails; recovery is by line.

mod fields;
mod foreign;
mod forms;
mod items;
mod kept;
mod lists;
mod segments;
mod structure;
mod variants;

use crate::line::{Block, BlockKind, Form, Line, Opener, Sheet, Within};
use crate::slip::{Slip, SlipKind};
use crate::text::{LineIndex, Span, is_blank};
use crate::token::{Token, lex};
use crate::word::Word;
use forms::Forms;
use kept::Kept;
use std::cell::OnceCell;
use std::sync::Arc;

/// Splits a list of fixed words, at every comma. Spans count as `span` does.
pub fn list_words(text: &str, span: Span) -> Vec<Span> {
    segments::list(text, span, false)
}

/// Splits a list of names: only at commas before a blank, never inside quotes.
pub fn list_names(text: &str, span: Span) -> Vec<Span> {
    segments::list(text, span, true)
}

/// Cuts at the first ` because `: what stands before it, and the reason.
pub fn split_because(text: &str, span: Span) -> (Span, Option<Span>) {
    segments::because(text, span)
}

/// Whether the text after `because` says anything: `…` still waits for its words.
pub fn is_reason(text: &str) -> bool {
    text.contains(char::is_alphanumeric)
}

/// What a foreign blank stands for, as the notation writes it: a space, or nothing.
pub fn plain_blank(c: char) -> &'static str {
    foreign::plain_blank(c)
}

/// Reads a whole file.
pub fn read(text: &str) -> Sheet {
    let blocks = split_blocks(text).into_iter().map(|span| Arc::new(read_block(span.of(text)))).collect();
    Sheet { blocks }
}

/// Where the blocks of a text stand: each from its opener to the next, and what stands before the first. They
/// follow each other without a gap; an empty text has none.
pub fn split_blocks(text: &str) -> Vec<Span> {
    let index = LineIndex::new(text);
    let mut starts = vec![0u32];
    for line in 0..index.lines() {
        let start = index.start(line).unwrap_or(0);
        if start > 0 && opener_kind(index.line_span(text, line).of(text)).is_some() {
            starts.push(start);
        }
    }
    starts.push(text.len() as u32);
    starts
        .windows(2)
        .filter_map(|pair| match pair {
            [start, end] if start < end => Some(Span::new(*start, *end)),
            _ => None,
        })
        .collect()
}

const OPENERS: [BlockKind; 4] =
    [BlockKind::Formula, BlockKind::Ingredient, BlockKind::Workshop, BlockKind::Record];

/// The kind of block that a line opens, and the bytes before the name.
fn opener_kind(line: &str) -> Option<(BlockKind, usize)> {
    let lead = line.len() - line.trim_start_matches(is_blank).len();
    let inside = line.get(lead..)?;
    OPENERS.into_iter().find_map(|kind| {
        let word = kind.spelling();
        let head = inside.get(..word.len())?;
        let after = inside.get(word.len()..)?;
        let ends = after.is_empty() || after.starts_with(is_blank) || after.starts_with(['#', ';', ':']);
        (head.eq_ignore_ascii_case(word) && ends).then_some((kind, lead + word.len()))
    })
}

/// Reads one block; the text begins with its opener, if it has one.
pub fn read_block(text: &str) -> Block {
    read_block_again(text, None)
}

/// Like [`read_block`], with the block as it was `before` its text changed: the result is the same, and lines that have
/// not changed are not read again.
pub fn read_block_again(text: &str, before: Option<&Block>) -> Block {
    let index = LineIndex::new(text);
    let kind = opener_kind(index.line_span(text, 0).of(text)).map_or(BlockKind::Loose, |(kind, _)| kind);
    let kept = before.filter(|before| before.kind == kind).map(|before| Kept::of(before, text, &index));
    let count = kept::count(text, &index);
    let tokens: Vec<OnceCell<Vec<Token>>> = vec![OnceCell::new(); count];
    let has_phases = kind == BlockKind::Formula && has_phases(text, &index);
    let within = Within { has_phases, ..Within::default() };
    let mut reader = Reader { text, kind, forms: Forms::new(text), within, slips: Vec::new() };
    let mut lines = Vec::with_capacity(count);
    for (number, tokens) in (0..).zip(&tokens) {
        let span = index.line_span(text, number);
        let line = match kept.as_ref().and_then(|kept| kept.line(number, span, reader.within)) {
            Some(line) => {
                reader.pass(&line.form);
                line
            }
            None => reader.line(span, tokens.get_or_init(|| lex_line(text, span)), number),
        };
        lines.push(line);
    }
    let mut slips = reader.slips;
    structure::check(text, kind, &lines, &mut slips);
    slips.sort_by_key(|slip| (slip.span.start, slip.span.end));
    Block { kind, text: Arc::from(text), index, lines, slips }
}

/// The tokens of a line.
fn lex_line(text: &str, span: Span) -> Vec<Token> {
    let tokens = lex(span.of(text)).into_iter();
    tokens.map(|token| Token { span: token.span.shifted(span.start), ..token }).collect()
}

fn has_phases(text: &str, index: &LineIndex) -> bool {
    (0..index.lines()).any(|line| {
        let line = index.line_span(text, line).of(text).trim_start_matches(is_blank);
        line.get(..5).is_some_and(|head| head.eq_ignore_ascii_case("phase"))
            && line
                .get(5..)
                .is_some_and(|rest| rest.is_empty() || rest.starts_with(is_blank) || rest.starts_with(':'))
    })
}

struct Reader<'t> {
    text: &'t str,
    kind: BlockKind,
    forms: Forms<'t>,
    within: Within,
    slips: Vec<Slip>,
}

impl<'t> Reader<'t> {
    fn slip(&mut self, kind: SlipKind, span: Span) {
        self.slips.push(Slip { kind, span });
    }

    /// Goes past a line that has been read already.
    fn pass(&mut self, form: &Form) {
        match form {
            Form::Phase(_) => (self.within.phase, self.within.variant) = (true, false),
            Form::Variant(_) => (self.within.phase, self.within.variant) = (false, true),
            Form::Step(_) | Form::Fact(_) | Form::Item(_) => self.within.variant = false,
            Form::Blank | Form::Comment | Form::Broken | Form::Open(_) | Form::Change(_) => {}
        }
    }

    /// Reads a line. A foreign blank that keeps it from being read is told instead of all that follows from it.
    fn line(&mut self, span: Span, tokens: &'t [Token], number: u32) -> Line {
        let inside = span.trimmed(self.text);
        let told = self.slips.len();
        let line = self.said(span, inside, tokens, number);
        let read = self.slips.len() == told;
        let blanks = foreign::blanks(self.text, inside, &line.form, line.comment, read);
        if let Some(first) = blanks.first().copied() {
            self.slips.truncate(told);
            self.slip(SlipKind::ForeignBlanks(blanks), first);
        }
        line
    }

    fn said(&mut self, span: Span, inside: Span, tokens: &'t [Token], number: u32) -> Line {
        let within = self.within;
        let (form, comment) = if inside.is_empty() {
            (Form::Blank, None)
        } else if inside.of(self.text).starts_with('#') {
            (Form::Comment, Some(inside))
        } else if let Some(opener) = self.opener(span, number) {
            opener
        } else {
            match self.kind {
                BlockKind::Loose => {
                    self.slip(SlipKind::OutsideBlock, inside);
                    (Form::Broken, None)
                }
                BlockKind::Formula => self.formula_line(inside, tokens),
                BlockKind::Ingredient | BlockKind::Workshop | BlockKind::Record => {
                    self.fact_line(inside, tokens)
                }
            }
        };
        Line { span, form, comment, within }
    }

    fn opener(&mut self, span: Span, number: u32) -> Option<(Form, Option<Span>)> {
        if number > 0 {
            return None;
        }
        let (kind, before) = opener_kind(span.of(self.text))?;
        let rest = Span::new(span.start + before as u32, span.end);
        let comment = segments::comment_in(self.text, rest);
        let name = Span::new(rest.start, comment.map_or(rest.end, |c| c.start)).trimmed(self.text);
        let name = fields::strip_colon(self.text, name);
        if name.is_empty() {
            self.slip(SlipKind::NameMissing, Span::new(span.start, rest.start).trimmed(self.text));
        }
        Some((Form::Open(Opener { kind, name }), comment))
    }

    /// Lines of an `ingredient`, `workshop` or `record` block.
    fn fact_line(&mut self, inside: Span, tokens: &'t [Token]) -> (Form, Option<Span>) {
        if let Some((word, word_span)) = fields::line_word(self.text, inside, self.kind) {
            self.fact(word, word_span, inside, tokens)
        } else {
            self.unreadable(inside);
            (Form::Broken, None)
        }
    }

    fn unreadable(&mut self, inside: Span) {
        let first = fields::first_word(self.text, inside);
        let kind = match fields::misspelt(first.of(self.text), self.kind) {
            Some(word) => SlipKind::MisspeltLine(word),
            None => SlipKind::Unreadable,
        };
        let span = if matches!(kind, SlipKind::MisspeltLine(_)) { first } else { inside };
        self.slip(kind, span);
    }

    fn formula_line(&mut self, inside: Span, tokens: &'t [Token]) -> (Form, Option<Span>) {
        let text = self.text;
        let first = fields::first_word(text, inside);
        let word = first.of(text).to_ascii_lowercase();
        match word.as_str() {
            "phase" => {
                (self.within.phase, self.within.variant) = (true, false);
                return self.phase(first, inside, tokens);
            }
            "step" => {
                self.within.variant = false;
                let comment = segments::comment_in(text, inside);
                let end = comment.map_or(inside.end, |c| c.start);
                let words = fields::strip_colon(text, Span::new(first.end, end).trimmed(text));
                if words.is_empty() {
                    self.slip(SlipKind::NameMissing, first);
                }
                return (Form::Step(words), comment);
            }
            "variant" => {
                (self.within.phase, self.within.variant) = (false, true);
                return self.variant(first, inside);
            }
            "replace" | "swap" | "omit" | "add" | "set" | "substitute" if self.within.variant => {
                return self.change(&word, first, inside, tokens);
            }
            _ => {}
        }
        if let Some((word, word_span)) = fields::line_word(text, inside, self.kind) {
            self.within.variant = false;
            return self.fact(word, word_span, inside, tokens);
        }
        // A digit begins a name where no amount can be read: `1,2-hexanediol`.
        let starts_like_name = inside.of(text).starts_with(|c: char| c.is_alphanumeric() || c == '"');
        let here = self.within.phase || !self.within.has_phases;
        let nameable = starts_like_name && here && fields::misspelt(first.of(text), self.kind).is_none();
        if let Some(item) = self.item(inside, tokens, nameable) {
            if self.within.variant {
                self.within.variant = false;
                self.slip(SlipKind::Misplaced, inside);
            }
            return item;
        }
        self.unreadable(inside);
        (Form::Broken, None)
    }

    fn fact(
        &mut self,
        word: Word,
        word_span: Span,
        inside: Span,
        tokens: &'t [Token],
    ) -> (Form, Option<Span>) {
        match fields::fact(self.text, &self.forms, word, word_span, inside, tokens, &mut self.slips) {
            (Some(fact), comment) => (Form::Fact(fact), comment),
            (None, comment) => (Form::Broken, comment),
        }
    }
}
