//! Blanks that the notation does not know, and characters that cannot be seen: pasted from pages and from other
//! scripts. They are told where they keep a line, or a name, from being read.

use crate::line::{Change, ChangeKind, Clause, Fact, Form, Quantity};
use crate::text::{Span, is_blank};
use crate::word::{ClauseWord, Shape};

/// Whether a character is a blank of another script or of typesetting: wide, and no blank of the notation.
fn is_wide(c: char) -> bool {
    c != '\u{a0}' && !is_blank(c) && c.is_whitespace() && !matches!(c, '\r' | '\n')
}

/// Whether a character has no width: nothing is to be seen of it. Joiners, which other scripts need, are not meant.
fn is_invisible(c: char) -> bool {
    matches!(c, '\u{ad}' | '\u{200b}' | '\u{2060}' | '\u{feff}')
}

/// What a foreign blank stands for: a blank, or nothing.
pub(super) fn plain_blank(c: char) -> &'static str {
    if is_wide(c) { " " } else { "" }
}

/// The foreign blanks of a line that keep it from being read as it looks. `read` says whether it has no slip.
pub(super) fn blanks(text: &str, inside: Span, form: &Form, comment: Option<Span>, read: bool) -> Vec<Span> {
    if inside.of(text).is_ascii() {
        return Vec::new();
    }
    let region = Span::new(inside.start, free_text(form).or(comment.map(|c| c.start)).unwrap_or(inside.end));
    // A wide blank inside a name that is read is a blank of that name.
    let wide = !read || matches!(form, Form::Item(item) if item.quantity == Quantity::Missing);
    let mut before: Option<char> = None;
    let mut found = Vec::new();
    let mut letters = region.of(text).char_indices().peekable();
    while let Some((at, c)) = letters.next() {
        let after = letters.peek().map(|(_, next)| *next);
        // The byte-order mark is read as a blank, but not as one between the letters of a word.
        let joins = |side: Option<char>| side.is_some_and(char::is_alphanumeric);
        let hidden = is_invisible(c) && (c != '\u{feff}' || (joins(before) && joins(after)));
        if hidden || (wide && is_wide(c)) {
            let start = region.start + at as u32;
            found.push(Span::new(start, start + c.len_utf8() as u32));
        }
        before = Some(c);
    }
    found
}

/// Where text begins that is free, and may hold what it wants.
fn free_text(form: &Form) -> Option<u32> {
    match form {
        Form::Step(words) => Some(words.start),
        Form::Open(opener) => Some(opener.name.start),
        Form::Fact(fact) => of_fact(fact),
        Form::Item(item) => of_clauses(&item.clauses),
        Form::Phase(phase) => of_clauses(&phase.clauses),
        Form::Change(Change { kind: ChangeKind::Header(fact), .. }) => of_fact(fact),
        Form::Change(change) => of_clauses(&change.clauses),
        Form::Variant(variant) => Some(variant.name.start),
        Form::Blank | Form::Comment | Form::Broken => None,
    }
}

fn of_fact(fact: &Fact) -> Option<u32> {
    let text = (fact.word.shape() == Shape::Text).then_some(fact.rest.start);
    text.or(fact.because.map(|because| because.start)).or_else(|| of_clauses(&fact.clauses))
}

fn of_clauses(clauses: &[Clause]) -> Option<u32> {
    let free = |clause: &&Clause| {
        matches!(clause.word, Some(ClauseWord::Source | ClauseWord::Allow | ClauseWord::Report))
    };
    clauses.iter().find(free).map(|clause| clause.rest.start)
}
