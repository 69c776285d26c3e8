//! Lines of a formula's body: phases, ingredients, variants and their changes.

use super::{Reader, fields, segments};
use crate::fold::fold;
use crate::line::{Clause, Form, ItemLine, Measure, Name, PhaseLine, Quantity};
use crate::slip::SlipKind;
use crate::text::{Span, is_blank};
use crate::token::{Token, TokenKind};
use crate::unit::{UnitWord, find_unit};
use crate::vocabulary::{self, PHASE_KINDS, nearest};
use crate::word::ClauseWord;

pub(super) type Read = (Form, Option<Span>);

/// An amount and a name, as they stand in an ingredient line or in a change.
pub(super) struct Amounted {
    pub(super) quantity: Quantity,
    pub(super) name: Name,
}

impl<'t> Reader<'t> {
    pub(super) fn phase(&mut self, first: Span, inside: Span, tokens: &'t [Token]) -> Read {
        let text = self.text;
        let cut = segments::cut(text, tokens, first.end, inside.end);
        self.open_quote(&cut);
        let head = fields::strip_colon(text, cut.head);
        let label = fields::first_word(text, head);
        let letters = label.of(text);
        let fits = letters.len() <= 3
            && letters.starts_with(|c: char| c.is_ascii_alphabetic())
            && letters.bytes().skip(1).all(|b| b.is_ascii_digit());
        if !fits || letters.is_empty() {
            self.slip(SlipKind::PhaseLabel, if label.is_empty() { first } else { label });
            return (Form::Broken, cut.comment);
        }
        let rest = fields::strip_colon(text, Span::new(label.end, head.end).trimmed(text));
        let mut kind = None;
        for (word, found) in PHASE_KINDS {
            let taken = fields::begins_with(rest.of(text), word).unwrap_or(0) as u32;
            if taken > kind.map_or(0, |(_, span): (_, Span)| span.len()) {
                kind = Some((*found, Span::new(rest.start, rest.start + taken)));
            }
        }
        let heading = kind.map_or(rest, |(_, span)| Span::new(span.end, rest.end).trimmed(text));
        if kind.is_none() && !heading.is_empty() {
            let word = fields::first_word(text, heading);
            let near = (word.len() >= 3 && cut.open_quote.is_none())
                .then(|| nearest(word.of(text), PHASE_KINDS.iter().map(|(word, _)| *word), 1))
                .flatten();
            if let Some(near) = near {
                let near = PHASE_KINDS.iter().map(|(word, _)| *word).find(|word| *word == near);
                self.slip(SlipKind::WordUnknown("kind of phase", near), word);
            }
        }
        let clauses: Vec<Clause> = cut
            .tail
            .iter()
            .map(|piece| fields::clause(text, &self.forms, *piece, tokens, &mut self.slips))
            .collect();
        for clause in &clauses {
            let known = matches!(
                clause.word,
                Some(
                    ClauseWord::HeatTo
                        | ClauseWord::Hold
                        | ClauseWord::Below
                        | ClauseWord::CoolTo
                        | ClauseWord::RoomTemperature
                        | ClauseWord::ColdProcess
                )
            );
            if !known {
                let words = ["heat to", "hold", "below", "cool to", "room temperature", "cold process"];
                let near = nearest_of(clause.span.of(text), &words);
                self.slip(SlipKind::WordUnknown("phase clause", near), clause.span);
            }
        }
        (Form::Phase(PhaseLine { label, kind, heading, clauses }), cut.comment)
    }

    /// An ingredient line, if it is one: it begins with an amount, or with a name where one may stand.
    pub(super) fn item(&mut self, inside: Span, tokens: &'t [Token], nameable: bool) -> Option<Read> {
        let text = self.text;
        let line_tokens = fields::tokens_in(tokens, inside);
        let begins = self.forms.quantity(line_tokens).is_some();
        if !begins && !nameable {
            return None;
        }
        let cut = segments::cut(text, tokens, inside.start, inside.end);
        self.open_quote(&cut);
        let amounted = self.amounted(cut.head, tokens);
        if amounted.name.span.is_empty() {
            self.slip(SlipKind::NameMissing, cut.head);
            return Some((Form::Broken, cut.comment));
        }
        if let Some(second) = two_items(text, amounted.name, tokens) {
            self.slip(SlipKind::TwoItems(second), amounted.name.span);
            return Some((Form::Broken, cut.comment));
        }
        let clauses = self.item_clauses(&cut.tail, tokens);
        Some((
            Form::Item(ItemLine { quantity: amounted.quantity, name: amounted.name, clauses }),
            cut.comment,
        ))
    }

    pub(super) fn open_quote(&mut self, cut: &segments::Segments) {
        if let Some(quote) = cut.open_quote {
            self.slip(SlipKind::QuoteOpen, quote);
        }
    }

    pub(super) fn item_clauses(&mut self, pieces: &[Span], tokens: &'t [Token]) -> Vec<Clause> {
        let text = self.text;
        let clauses: Vec<Clause> = pieces
            .iter()
            .map(|piece| fields::clause(text, &self.forms, *piece, tokens, &mut self.slips))
            .collect();
        for clause in &clauses {
            let known = match clause.word {
                None => {
                    let folded = fold(clause.span.of(text));
                    vocabulary::FUNCTIONS
                        .iter()
                        .chain(vocabulary::GRADES)
                        .any(|word| word.eq_ignore_ascii_case(&folded))
                }
                Some(
                    ClauseWord::ToPh
                    | ClauseWord::About
                    | ClauseWord::Strength
                    | ClauseWord::Inci
                    | ClauseWord::As
                    | ClauseWord::Supplier
                    | ClauseWord::Lot
                    | ClauseWord::DissolvedIn
                    | ClauseWord::WettedIn
                    | ClauseWord::DispersedIn
                    | ClauseWord::Optional
                    | ClauseWord::Limit
                    | ClauseWord::Certificate
                    | ClauseWord::Allow
                    | ClauseWord::Grade,
                ) => true,
                Some(_) => false,
            };
            if !known {
                let words: Vec<&'static str> = vocabulary::FUNCTIONS
                    .iter()
                    .chain(vocabulary::GRADES)
                    .copied()
                    .chain([
                        "strength",
                        "supplier",
                        "lot",
                        "dissolved in",
                        "wetted in",
                        "dispersed in",
                        "optional",
                        "grade",
                    ])
                    .collect();
                let near = nearest_of(clause.span.of(text), &words);
                self.slip(SlipKind::WordUnknown("qualifier", near), clause.span);
            }
            if clause.word == Some(ClauseWord::Allow)
                && !segments::because(text, clause.rest)
                    .1
                    .is_some_and(|reason| super::is_reason(reason.of(text)))
            {
                self.slip(SlipKind::AllowUnreasoned, clause.span);
            }
        }
        clauses
    }

    pub(super) fn amounted(&mut self, span: Span, tokens: &'t [Token]) -> Amounted {
        let text = self.text;
        let tokens = fields::tokens_in(tokens, span);
        let Some(taken) = self.forms.quantity(tokens) else {
            return Amounted { quantity: Quantity::Missing, name: fields::name(text, span) };
        };
        let mut rest = fields::rest_after(text, tokens, taken.tokens, span);
        let mut quantity = taken.value;
        let mut read = true;
        for measure in measures(&quantity) {
            read &= fields::numbers_read(text, &measure.range, &mut self.slips);
        }
        if read && let Some((span, after)) = self.no_weight(&quantity, rest) {
            quantity = Quantity::Unread(span);
            rest = after;
        }
        if !read {
            let covered = quantity.span().unwrap_or(Span::at(span.start));
            quantity = Quantity::Unread(covered);
        }
        // "a few drops of" holds its own "of".
        if !matches!(quantity, Quantity::Missing | Quantity::Fuzzy(_)) {
            rest = without_of(text, rest);
        }
        Amounted { quantity, name: fields::name(text, rest) }
    }

    /// An amount without a unit that weighs: reports it, and gives what is left unread and the name after it. The
    /// whole of `q.s. to 100` needs none.
    fn no_weight(&mut self, quantity: &Quantity, rest: Span) -> Option<(Span, Span)> {
        let text = self.text;
        let all = quantity.span()?;
        let lacks = |measure: &Measure| measure.unit.is_none_or(|unit| !unit.unit.weighs());
        let (measure, whole) = match quantity {
            Quantity::Given(measure) => (measure, false),
            Quantity::Balance(Some(measure), _) => (measure, true),
            Quantity::Both(first, second) => {
                let bad = if lacks(first) { first } else { second };
                if lacks(bad) {
                    self.slip(SlipKind::UnitMissing, bad.range.span);
                    return Some((all, rest));
                }
                return None;
            }
            _ => return None,
        };
        if !lacks(measure) {
            return None;
        }
        // `5 min` or `5 C`: no amount; the word is part of the name.
        let rest = measure.unit.map_or(rest, |unit| Span::new(unit.span.start, rest.end).trimmed(text));
        let word = fields::first_word(text, rest);
        let after = Span::new(word.end, rest.end).trimmed(text);
        let unread = |rest: Span| Span::new(all.start, rest.start.max(measure.range.span.end)).trimmed(text);
        match find_unit(word.of(text)) {
            UnitWord::Refused(readings) => self.slip(SlipKind::UnitRefused(readings), word),
            // `to 100 tap water` is no misspelt teaspoon.
            UnitWord::Near(unit) if !after.is_empty() && (!whole || word.len() > 3) => {
                self.slip(SlipKind::UnitMisspelt(unit.spelling()), word);
            }
            _ if whole && measure.unit.is_none() => return None,
            _ => {
                self.slip(SlipKind::UnitMissing, measure.range.span);
                return Some((unread(rest), rest));
            }
        }
        Some((unread(after), after))
    }
}

pub(super) fn measures(quantity: &Quantity) -> Vec<Measure> {
    match quantity {
        Quantity::Given(measure) | Quantity::Balance(Some(measure), _) => vec![*measure],
        Quantity::Both(first, second) => vec![*first, *second],
        Quantity::Missing
        | Quantity::Fuzzy(_)
        | Quantity::AsNeeded(_)
        | Quantity::Unread(_)
        | Quantity::Balance(None, _) => Vec::new(),
    }
}

/// `of tea tree oil` after an amount: the `of` is no part of the name.
fn without_of(text: &str, span: Span) -> Span {
    let inside = span.of(text);
    let of = inside.get(..2).is_some_and(|head| head.eq_ignore_ascii_case("of"))
        && inside.get(2..).is_some_and(|rest| rest.starts_with(is_blank));
    if of { Span::new(span.start + 2, span.end).trimmed(text) } else { span }
}

/// A comma, a number, a unit and a blank inside a name: where the second ingredient begins.
fn two_items(text: &str, name: Name, tokens: &[Token]) -> Option<Span> {
    if name.quoted {
        return None;
    }
    let tokens = fields::tokens_in(tokens, name.span);
    for (at, token) in tokens.iter().enumerate() {
        if token.kind != TokenKind::Comma {
            continue;
        }
        let mut rest = tokens.iter().skip(at + 1).filter(|t| t.kind != TokenKind::Blank);
        let (Some(number), Some(unit)) = (rest.next(), rest.next()) else { continue };
        let weighs = matches!(find_unit(unit.span.of(text)), UnitWord::Known(unit) if unit.weighs());
        let after = Span::new(unit.span.end, name.span.end).of(text);
        if number.kind == TokenKind::Number
            && weighs
            && after.starts_with(is_blank)
            && !after.trim().is_empty()
        {
            return Some(Span::new(number.span.start, name.span.end));
        }
    }
    None
}

fn nearest_of(written: &str, words: &[&'static str]) -> Option<&'static str> {
    let near = nearest(written, words.iter().copied(), 2)?;
    words.iter().find(|word| **word == near).copied()
}
