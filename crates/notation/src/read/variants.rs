//! Variants and the changes they make.

use super::items::{Read, measures};
use super::{Reader, fields, segments};
use crate::line::{Change, ChangeKind, Fact, Form, Name, Quantity, VariantLine};
use crate::slip::{Slip, SlipKind};
use crate::text::{Span, is_blank};
use crate::token::Token;

impl<'t> Reader<'t> {
    pub(super) fn variant(&mut self, first: Span, inside: Span) -> Read {
        let text = self.text;
        let comment = segments::comment_in(text, inside);
        let end = comment.map_or(inside.end, |c| c.start);
        let rest = fields::strip_colon(text, Span::new(first.end, end).trimmed(text));
        if rest.is_empty() {
            self.slip(SlipKind::NameMissing, first);
            return (Form::Broken, comment);
        }
        let colon = rest.of(text).find(':');
        let (name, parts) = match colon {
            Some(at) => {
                let name = Span::new(rest.start, rest.start + at as u32).trimmed(text);
                let list = Span::new(rest.start + at as u32 + 1, rest.end);
                if name.is_empty() {
                    self.slip(SlipKind::NameMissing, first);
                    return (Form::Broken, comment);
                }
                (name, segments::list(text, list, true))
            }
            None => (rest, Vec::new()),
        };
        (Form::Variant(VariantLine { name, parts }), comment)
    }

    pub(super) fn change(&mut self, word: &str, first: Span, inside: Span, tokens: &'t [Token]) -> Read {
        let text = self.text;
        let cut = segments::cut(text, tokens, first.end, inside.end);
        let head = cut.head;
        if word == "substitute" {
            self.slip(SlipKind::Substitute, inside);
            return (Form::Broken, cut.comment);
        }
        if word == "set"
            && let Some((fact, comment)) = self.set_header(head, inside, tokens)
        {
            let form = fact.map_or(Form::Broken, |fact| {
                Form::Change(Change { kind: ChangeKind::Header(fact), clauses: Vec::new() })
            });
            return (form, comment);
        }
        self.open_quote(&cut);
        let kind = match word {
            "replace" => {
                split_at_word(text, head, "with").map(|(old, new)| self.replacement(old, new, tokens))
            }
            "swap" => split_at_word(text, head, "for").map(|(old, new)| self.replacement(old, new, tokens)),
            "omit" => {
                let (old, phase) = placed(text, head, "in");
                (!old.span.is_empty()).then_some(ChangeKind::Omit { old, phase })
            }
            "add" => {
                let (what, phase) = split_last_label(text, head, "to");
                let amounted = self.amounted(what, tokens);
                let named = !amounted.name.span.is_empty();
                named.then_some(ChangeKind::Add { quantity: amounted.quantity, new: amounted.name, phase })
            }
            _ => self.set(head, tokens),
        };
        let Some(kind) = kind else {
            self.slip(SlipKind::Unreadable, inside);
            return (Form::Broken, cut.comment);
        };
        let clauses = self.item_clauses(&cut.tail, tokens);
        (Form::Change(Change { kind, clauses }), cut.comment)
    }

    fn replacement(&mut self, old: Span, new: Span, tokens: &'t [Token]) -> ChangeKind {
        let (old, phase) = placed(self.text, old, "in");
        let amounted = self.amounted(new, tokens);
        ChangeKind::Replace { old, phase, quantity: amounted.quantity, new: amounted.name }
    }

    /// `set pH to …`: a header line of the formula, with all that may follow it. None where no line word is set.
    fn set_header(
        &mut self,
        head: Span,
        inside: Span,
        tokens: &'t [Token],
    ) -> Option<(Option<Fact>, Option<Span>)> {
        let text = self.text;
        let (what, value) = split_at_word(text, head, "to")?;
        let (word, word_span) =
            fields::line_word(text, what, self.kind).filter(|(_, span)| span.end == what.end)?;
        let span = Span::new(value.start, inside.end);
        let tokens = fields::tokens_in(tokens, span);
        let (fact, comment) =
            fields::fact(text, &self.forms, word, Span::at(value.start), span, tokens, &mut self.slips);
        Some((fact.map(|fact| Fact { word_span, ..fact }), comment))
    }

    fn set(&mut self, head: Span, tokens: &'t [Token]) -> Option<ChangeKind> {
        let text = self.text;
        let (what, value) = split_at_word(text, head, "to")?;
        let (old, phase) = placed(text, what, "in");
        let tokens = fields::tokens_in(tokens, value);
        let taken = self.forms.quantity(tokens)?;
        let rest = fields::rest_after(text, tokens, taken.tokens, value);
        if !rest.is_empty() {
            return None;
        }
        let mut quantity = taken.value;
        let mut read = true;
        for measure in measures(&quantity) {
            read &= fields::numbers_read(text, &measure.range, &mut self.slips);
        }
        if !read {
            quantity = Quantity::Unread(value);
        } else if let Quantity::Given(measure) = &quantity
            && measure.unit.is_none_or(|unit| !unit.unit.weighs())
        {
            self.slips.push(Slip { kind: SlipKind::UnitMissing, span: measure.range.span });
            quantity = Quantity::Unread(value);
        }
        Some(ChangeKind::Amount { old, phase, quantity })
    }
}

/// Splits at the first ` word ` outside quotes.
fn split_at_word(text: &str, span: Span, word: &str) -> Option<(Span, Span)> {
    places_of(text, span, word).next().map(|at| around(text, span, at, word))
}

fn around(text: &str, span: Span, at: u32, word: &str) -> (Span, Span) {
    let before = Span::new(span.start, at).trimmed(text);
    let after = Span::new(at + word.len() as u32, span.end).trimmed(text);
    (before, after)
}

fn places_of(text: &str, span: Span, word: &str) -> impl Iterator<Item = u32> {
    let inside = span.of(text);
    let mut quoted = false;
    let mut found = Vec::new();
    let mut before = ' ';
    for (at, c) in inside.char_indices() {
        if c == '"' {
            quoted = !quoted;
        }
        let here = inside.get(at..at + word.len()).is_some_and(|head| head.eq_ignore_ascii_case(word));
        let ends = inside.get(at + word.len()..).is_some_and(|rest| rest.starts_with(is_blank));
        if here && ends && !quoted && is_blank(before) && at > 0 {
            found.push(span.start + at as u32);
        }
        before = c;
    }
    found.into_iter()
}

/// A name, and the phase label after a last ` in `.
fn placed(text: &str, span: Span, word: &str) -> (Name, Option<Span>) {
    let (what, label) = split_last_label(text, span, word);
    (fields::name(text, what), label)
}

fn split_last_label(text: &str, span: Span, word: &str) -> (Span, Option<Span>) {
    if let Some(at) = places_of(text, span, word).last() {
        let (before, after) = around(text, span, at, word);
        let label = after.of(text);
        let fits = !label.is_empty()
            && label.len() <= 3
            && label.starts_with(|c: char| c.is_ascii_alphabetic())
            && label.bytes().skip(1).all(|b| b.is_ascii_digit());
        if fits {
            return (before, Some(after));
        }
    }
    (span, None)
}
