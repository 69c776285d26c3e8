//! The fields of a fact line, and of the qualifiers after `;`.

use super::forms::Forms;
use super::lists;
use super::segments::{self, Segments};
use crate::date::Date;
use crate::fold::fold;
use crate::line::{BlockKind, Clause, Fact, Measure, Name, Range};
use crate::number::{NumberFault, read_number};
use crate::slip::{Slip, SlipKind};
use crate::text::{Span, is_blank};
use crate::token::Token;
use crate::unit::{Dimension, UnitWord, find_unit};
use crate::word::{ClauseWord, Shape, Word};

/// The first word of a trimmed line: up to a blank, `;`, `:` or the end.
pub(super) fn first_word(text: &str, inside: Span) -> Span {
    let len =
        inside.of(text).find(|c: char| is_blank(c) || c == ';' || c == ':').unwrap_or(inside.len() as usize);
    Span::new(inside.start, inside.start + len as u32)
}

/// Bytes of a text that a spelling takes at its start: without case, any run of blanks for a blank, and only up to
/// a word's end.
pub(super) fn begins_with(text: &str, spelling: &str) -> Option<usize> {
    let mut rest = text;
    for (at, part) in spelling.split(' ').enumerate() {
        if at > 0 {
            rest = rest.strip_prefix(is_blank)?.trim_start_matches(is_blank);
        }
        rest = rest
            .get(..part.len())
            .filter(|head| head.eq_ignore_ascii_case(part))
            .and(rest.get(part.len()..))?;
    }
    let ends = spelling.ends_with(':')
        || rest.is_empty()
        || rest.starts_with(is_blank)
        || rest.starts_with([';', ':', ',']);
    ends.then_some(text.len() - rest.len())
}

/// The line word with which a line of a block begins, and where it stands.
pub(super) fn line_word(text: &str, inside: Span, block: BlockKind) -> Option<(Word, Span)> {
    let line = inside.of(text);
    let first = line.bytes().next()?.to_ascii_lowercase();
    if !first.is_ascii_alphabetic() {
        return None;
    }
    let mut best: Option<(Word, usize)> = None;
    for &word in Word::ALL.iter().filter(|word| word.blocks().contains(&block)) {
        for spelling in word.spellings() {
            if spelling.bytes().next().map(|b| b.to_ascii_lowercase()) == Some(first)
                && let Some(taken) = begins_with(line, spelling)
                && best.is_none_or(|(_, len)| taken > len)
            {
                best = Some((word, taken));
            }
        }
    }
    best.map(|(word, len)| (word, Span::new(inside.start, inside.start + len as u32)))
}

/// Letters that a first word must have before it is taken for a misspelt line word.
const SHORTEST_MISSPELT: usize = 5;

/// Letters beyond which no first word can be a misspelt one.
const LONGEST_MISSPELT: usize = 24;

/// The line word of a block that is one letter away from a first word.
pub(super) fn misspelt(first: &str, block: BlockKind) -> Option<&'static str> {
    if !(SHORTEST_MISSPELT..=LONGEST_MISSPELT).contains(&first.chars().count()) {
        return None;
    }
    let folded = fold(first);
    let structural: &[&'static str] =
        if block == BlockKind::Formula { &["phase", "step", "variant"] } else { &[] };
    let words = Word::ALL
        .iter()
        .filter(|word| word.blocks().contains(&block))
        .map(|word| word.spelling())
        .chain(structural.iter().copied())
        .chain(["formula", "ingredient", "workshop", "record"]);
    words.into_iter().find(|word| strsim::osa_distance(&fold(word), &folded) == 1)
}

/// Reports the numbers of a range that cannot be read; whether all can.
pub(super) fn numbers_read(text: &str, range: &Range, slips: &mut Vec<Slip>) -> bool {
    let mut read = true;
    for span in [range.first, range.second] {
        if span.is_empty() {
            continue;
        }
        if let Err(fault) = read_number(span.of(text)) {
            read = false;
            let kind = match fault {
                NumberFault::Doubtful(readings) => SlipKind::NumberDoubtful(readings),
                NumberFault::Unreadable(write) => SlipKind::NumberUnreadable(write),
            };
            slips.push(Slip { kind, span });
        }
    }
    read
}

/// Tokens of a line that begin at or after a byte, and end at or before another.
pub(super) fn tokens_in(tokens: &[Token], span: Span) -> &[Token] {
    let from = tokens.partition_point(|t| t.span.start < span.start);
    let to = tokens.partition_point(|t| t.span.end <= span.end);
    tokens.get(from..to.max(from)).unwrap_or(&[])
}

/// A measure at the start of a span, and where the words after it begin.
pub(super) fn measure_at<'t>(
    text: &str,
    forms: &Forms<'t>,
    span: Span,
    tokens: &'t [Token],
    slips: &mut Vec<Slip>,
) -> Option<(Option<Measure>, Span)> {
    let tokens = tokens_in(tokens, span);
    let taken = forms.measure(tokens)?;
    let rest = rest_after(text, tokens, taken.tokens, span);
    let read = numbers_read(text, &taken.value.range, slips);
    Some((read.then_some(taken.value), rest))
}

/// What is left of a span after so many of its tokens.
pub(super) fn rest_after(text: &str, tokens: &[Token], taken: usize, span: Span) -> Span {
    let start = tokens.get(taken).map_or(span.end, |token| token.span.start);
    Span::new(start, span.end).trimmed(text)
}

/// A name with its quotes taken off.
pub(super) fn name(text: &str, span: Span) -> Name {
    let inside = span.of(text);
    let quoted = inside.len() > 1
        && inside.starts_with('"')
        && inside.ends_with('"')
        && inside.get(1..inside.len() - 1).is_some_and(|middle| !middle.contains('"'));
    if quoted {
        return Name { span: Span::new(span.start + 1, span.end - 1).trimmed(text), quoted };
    }
    Name { span, quoted }
}

/// Reads one fact line; none where what must follow the word does not.
pub(super) fn fact<'t>(
    text: &str,
    forms: &Forms<'t>,
    word: Word,
    word_span: Span,
    inside: Span,
    tokens: &'t [Token],
    slips: &mut Vec<Slip>,
) -> (Option<Fact>, Option<Span>) {
    if word.shape() == Shape::Text {
        let rest = Span::new(word_span.end, inside.end).trimmed(text);
        let rest = strip_colon(text, rest);
        if rest.is_empty() && !matches!(word, Word::Note | Word::PrivateNote) {
            slips.push(Slip { kind: SlipKind::ValueMissing(word), span: word_span });
            return (None, None);
        }
        return (
            Some(Fact { word, word_span, measure: None, rest, because: None, clauses: Vec::new() }),
            None,
        );
    }
    let allow = word == Word::Allow;
    let segments = if allow {
        // The reason is text: nothing in it cuts the line.
        let head = Span::new(word_span.end, inside.end).trimmed(text);
        Segments { head, ..Segments::default() }
    } else {
        segments::cut(text, tokens, word_span.end, inside.end)
    };
    if let Some(quote) = segments.open_quote {
        slips.push(Slip { kind: SlipKind::QuoteOpen, span: quote });
    }
    let comment = segments.comment;
    let (mut head, mut because) = segments::because(text, strip_colon(text, segments.head));
    if allow
        && because.is_none()
        && let Some(comment) = segments::comment_in(text, head)
    {
        head = Span::new(head.start, comment.start).trimmed(text);
    }
    if because.is_some_and(Span::is_empty) {
        because = None;
    }
    let mut fact = Fact { word, word_span, measure: None, rest: head, because, clauses: Vec::new() };
    let bare = matches!(word.shape(), Shape::Bare)
        || matches!(word, Word::Phototoxic | Word::Released | Word::Held | Word::Rejected);
    if head.is_empty() && !bare {
        slips.push(Slip { kind: SlipKind::ValueMissing(word), span: word_span });
        return (None, comment);
    }
    if matches!(word.shape(), Shape::Measure | Shape::Maybe) {
        match measure_at(text, forms, head, tokens, slips) {
            Some((None, _)) => return (None, comment),
            Some((measure, rest)) => {
                fact.measure = measure;
                fact.rest = rest;
                unit_of_fact(text, &mut fact, slips);
            }
            None if word.shape() == Shape::Measure => {
                slips.push(Slip { kind: SlipKind::ValueMissing(word), span: head });
                return (None, comment);
            }
            None => {}
        }
    }
    for piece in &segments.tail {
        fact.clauses.push(clause(text, forms, *piece, tokens, slips));
    }
    lists::check(text, &fact, slips);
    (Some(fact), comment)
}

/// A span without the colon that a maker may write after its first word (`version: 3`).
pub(super) fn strip_colon(text: &str, span: Span) -> Span {
    let kept = span.of(text).trim_start_matches(|c: char| c == ':' || is_blank(c));
    Span::new(span.end - kept.len() as u32, span.end)
}

/// Whether a number after a word of a qualifier is an amount. After the others stands text: a name, a date, a
/// version, a lot.
fn measures(word: Option<ClauseWord>) -> bool {
    word.is_none_or(|word| {
        matches!(
            word,
            ClauseWord::ToPh
                | ClauseWord::About
                | ClauseWord::Strength
                | ClauseWord::Limit
                | ClauseWord::HeatTo
                | ClauseWord::Hold
                | ClauseWord::Below
                | ClauseWord::CoolTo
                | ClauseWord::Net
                | ClauseWord::Cost
                | ClauseWord::Contains
                | ClauseWord::Under
                | ClauseWord::AtPh
                | ClauseWord::AtLeast
                | ClauseWord::Above
        )
    })
}

/// A temperature without its degrees, a weight with a misspelt unit.
fn unit_of_fact(text: &str, fact: &mut Fact, slips: &mut Vec<Slip>) {
    let Some(measure) = &mut fact.measure else { return };
    if measure.unit.is_some() {
        return;
    }
    if matches!(fact.word, Word::NotAbove | Word::Melts | Word::WaterBath) {
        slips.push(Slip { kind: SlipKind::DegreesMissing, span: measure.range.span });
        return;
    }
    if matches!(
        fact.word,
        Word::Batch
            | Word::Pack
            | Word::Scales
            | Word::Mixer
            | Word::Drop
            | Word::Weighed
            | Word::ToppedUp
            | Word::Yield
    ) {
        let word = first_word(text, fact.rest);
        match find_unit(word.of(text)) {
            UnitWord::Near(unit) => {
                slips.push(Slip { kind: SlipKind::UnitMisspelt(unit.spelling()), span: word });
            }
            UnitWord::Refused(readings) => {
                slips.push(Slip { kind: SlipKind::UnitRefused(readings), span: word });
            }
            UnitWord::Known(_) | UnitWord::No => {}
        }
        if fact.rest.is_empty() {
            slips.push(Slip { kind: SlipKind::UnitMissing, span: measure.range.span });
        }
    }
}

/// Reads one qualifier.
pub(super) fn clause<'t>(
    text: &str,
    forms: &Forms<'t>,
    span: Span,
    tokens: &'t [Token],
    slips: &mut Vec<Slip>,
) -> Clause {
    let inside = span.of(text);
    let mut best: Option<(ClauseWord, usize)> = None;
    for &word in ClauseWord::ALL {
        for spelling in word.spellings() {
            if let Some(taken) =
                begins_with(inside, spelling).filter(|taken| best.is_none_or(|(_, len)| *taken > len))
            {
                best = Some((word, taken));
            }
        }
    }
    let after = best.map_or(span, |(_, len)| {
        strip_colon(text, Span::new(span.start + len as u32, span.end).trimmed(text))
    });
    let word = best.map(|(word, _)| word);
    let mut measured = if measures(word) { measure_at(text, forms, after, tokens, slips) } else { None };
    // `2x refined` is no amount.
    if word.is_none() && measured.as_ref().is_some_and(|(measure, rest)| glued(text, measure.as_ref(), *rest))
    {
        measured = None;
    }
    let (measure, rest) = measured.unwrap_or((None, after));
    let degrees = matches!(word, Some(ClauseWord::HeatTo | ClauseWord::CoolTo | ClauseWord::Below));
    if let Some(measure) =
        measure.filter(|m| degrees && m.unit.is_none_or(|u| u.unit.dimension() != Dimension::Temperature))
    {
        slips.push(Slip { kind: SlipKind::DegreesMissing, span: measure.span });
    }
    let dated = matches!(
        word,
        Some(
            ClauseWord::From
                | ClauseWord::Until
                | ClauseWord::Received
                | ClauseWord::Opened
                | ClauseWord::Expires
        )
    );
    if dated && Date::read(rest.of(text)).is_err() {
        slips.push(Slip { kind: SlipKind::DateUnreadable, span: if rest.is_empty() { span } else { rest } });
    }
    Clause { word, measure, rest, span }
}

/// Whether words follow a number without a unit and without a blank.
fn glued(text: &str, measure: Option<&Measure>, rest: Span) -> bool {
    measure.is_some_and(|m| m.unit.is_none() && m.span.end == rest.start && !rest.of(text).is_empty())
}
