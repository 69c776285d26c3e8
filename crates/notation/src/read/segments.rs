//! Cutting a line at `;`, at its comment, and at ` because `.

use crate::text::{Span, is_blank};
use crate::token::{Token, TokenKind};

/// A line cut into its head and the pieces after each `;`.
#[derive(Debug, Default)]
pub(super) struct Segments {
    /// Before the first `;`, trimmed.
    pub(super) head: Span,
    /// Between the others, trimmed; empty ones are left out.
    pub(super) tail: Vec<Span>,
    /// From the `#`.
    pub(super) comment: Option<Span>,
    /// An opening quote that never closes.
    pub(super) open_quote: Option<Span>,
}

/// Where a comment begins in a span of one line: a `#` after a blank that no digit follows.
pub(super) fn comment_in(text: &str, span: Span) -> Option<Span> {
    let inside = span.of(text);
    let mut before: Option<char> = None;
    for (at, c) in inside.char_indices() {
        if c == '#' && before.is_some_and(is_blank) {
            let digit =
                inside.get(at + 1..).is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()));
            if !digit {
                return Some(Span::new(span.start + at as u32, span.end).trimmed(text));
            }
        }
        before = Some(c);
    }
    None
}

/// Cuts the tokens of one line from byte `from` on. A piece that begins with `source` runs to the line's end.
pub(super) fn cut(text: &str, tokens: &[Token], from: u32, end: u32) -> Segments {
    let mut out = Segments::default();
    let mut pieces: Vec<Span> = Vec::new();
    let mut start = from;
    let mut quote: Option<Span> = None;
    let mut stop = end;
    let mut previous: Option<Token> = None;
    for token in tokens.iter().filter(|t| t.span.start >= from) {
        match token.kind {
            TokenKind::Quote => quote = if quote.is_some() { None } else { Some(token.span) },
            TokenKind::Semicolon if quote.is_none() => {
                pieces.push(Span::new(start, token.span.start));
                start = token.span.end;
                if begins_source(text, start, end) {
                    break;
                }
            }
            TokenKind::Hash if quote.is_none() => {
                let after_blank = previous.is_none_or(|p| p.kind == TokenKind::Blank);
                let digit = Span::new(token.span.end, end).of(text).starts_with(|c: char| c.is_ascii_digit());
                if after_blank && !digit {
                    out.comment = Some(Span::new(token.span.start, end).trimmed(text));
                    stop = token.span.start;
                    break;
                }
            }
            _ => {}
        }
        previous = Some(*token);
    }
    pieces.push(Span::new(start, stop));
    out.open_quote = quote;
    let mut pieces = pieces.into_iter().map(|piece| piece.trimmed(text));
    out.head = pieces.next().unwrap_or_default();
    out.tail = pieces.filter(|piece| !piece.is_empty()).collect();
    out
}

fn begins_source(text: &str, start: u32, end: u32) -> bool {
    let rest = Span::new(start, end).of(text).trim_start_matches(is_blank);
    rest.get(..6).is_some_and(|head| head.eq_ignore_ascii_case("source"))
        && rest.get(6..).is_some_and(|after| after.starts_with(is_blank) || after.starts_with(':'))
}

/// Cuts at the first ` because `: what stands before it, and the reason.
pub(super) fn because(text: &str, span: Span) -> (Span, Option<Span>) {
    let inside = span.of(text);
    let lower = inside.to_ascii_lowercase();
    let word = "because";
    let mut from = 0;
    while let Some(found) = lower.get(from..).and_then(|rest| rest.find(word)) {
        let at = from + found;
        let before = lower.get(..at).is_some_and(|head| head.is_empty() || head.ends_with(is_blank));
        let after =
            lower.get(at + word.len()..).is_some_and(|rest| rest.is_empty() || rest.starts_with(is_blank));
        if before && after {
            let start = span.start + at as u32;
            let reason = Span::new(start + word.len() as u32, span.end).trimmed(text);
            return (Span::new(span.start, start).trimmed(text), Some(reason));
        }
        from = at + word.len();
    }
    (span, None)
}

/// Splits a list at its commas: every comma for fixed words, only a comma before a blank for names; never inside
/// quotes. Empty pieces are left out.
pub(crate) fn list(text: &str, span: Span, names: bool) -> Vec<Span> {
    let inside = span.of(text);
    let mut out = Vec::new();
    let mut start = 0usize;
    let mut quoted = false;
    for (at, c) in inside.char_indices() {
        match c {
            '"' => quoted = !quoted,
            ',' if !quoted => {
                let after = inside.get(at + 1..).unwrap_or("");
                if !names || after.is_empty() || after.starts_with(is_blank) {
                    out.push((start, at));
                    start = at + 1;
                }
            }
            _ => {}
        }
    }
    out.push((start, inside.len()));
    out.into_iter()
        .map(|(a, b)| Span::new(span.start + a as u32, span.start + b as u32).trimmed(text))
        .filter(|piece| !piece.is_empty())
        .collect()
}
