//! Things that could be written, and which of them fit what is typed.

use super::{Candidate, CandidateKind};
use notation::{Span, fold, unaccented};

/// The most candidates of one kind that are offered; the rest comes with the next letter.
pub(super) const MOST: usize = 100;

/// From how many letters on they are looked for inside words, too.
const LETTERS_INSIDE: usize = 3;

/// A thing that could be written.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Choice {
    pub(super) label: String,
    /// What is written, where it is not the label.
    pub(super) text: Option<String>,
    pub(super) snippet: Option<String>,
    /// By what it is found, where that is not the label.
    pub(super) filter: Option<String>,
    pub(super) kind: CandidateKind,
    pub(super) detail: String,
    pub(super) key: Option<String>,
}

impl Choice {
    pub(super) fn new(label: impl Into<String>, kind: CandidateKind) -> Choice {
        Choice {
            label: label.into(),
            text: None,
            snippet: None,
            filter: None,
            kind,
            detail: String::new(),
            key: None,
        }
    }

    pub(super) fn detail(mut self, detail: impl Into<String>) -> Choice {
        self.detail = detail.into();
        self
    }

    pub(super) fn key(mut self, key: String) -> Choice {
        self.key = Some(key);
        self
    }

    /// By what it is found.
    pub(super) fn found_by(&self) -> &str {
        self.filter.as_ref().unwrap_or(&self.label)
    }

    /// Whether it could be typed without accents.
    pub(super) fn is_accented(&self) -> bool {
        let folded = fold(self.found_by());
        unaccented(&folded) != folded
    }

    pub(super) fn at(self, span: Span) -> Candidate {
        let text = self.text.unwrap_or_else(|| self.label.clone());
        let Choice { label, snippet, filter, kind, detail, key, .. } = self;
        Candidate { span, label, text, snippet, filter, kind, detail, key }
    }
}

/// Something typed, as it is compared: without case, and without accents.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Typed {
    folded: String,
    bare: String,
}

impl Typed {
    /// A blank at the end counts: more of the name is to come.
    pub(super) fn new(typed: &str) -> Typed {
        let mut folded = fold(typed);
        if !folded.is_empty() && typed.ends_with(super::place::is_blank) {
            folded.push(' ');
        }
        Typed { bare: unaccented(&folded).into_owned(), folded }
    }

    /// Whether it is all of a name, with its accents.
    pub(super) fn is_all_of(&self, name: &str) -> bool {
        self.folded == fold(name)
    }

    /// A name with what is typed in the place of what it stands for: editors leave out what does not hold the letters
    /// that are typed, and know nothing of accents. None where it holds them as it is.
    pub(super) fn within(&self, name: &str) -> Option<String> {
        let folded = fold(name);
        if folded.contains(&self.folded) {
            return None;
        }
        let bare = unaccented(&folded);
        let at = bare.find(&self.bare)?;
        let (head, tail) = (bare.get(..at)?, bare.get(at + self.bare.len()..)?);
        Some(format!("{head}{}{tail}", self.folded))
    }

    /// How well a folded name fits, the best first: it begins so, a word of it does, or it is within a word.
    pub(super) fn fits(&self, folded: &str) -> Option<u8> {
        let name = unaccented(folded);
        if name.starts_with(&self.bare) {
            return Some(0);
        }
        let inside = self.bare.len() >= LETTERS_INSIDE;
        let mut best = None;
        for (at, _) in name.match_indices(&self.bare) {
            let before = name.get(..at).and_then(|head| head.chars().next_back());
            if before.is_some_and(|c| !c.is_alphanumeric()) {
                return Some(1);
            }
            best = best.or(inside.then_some(2));
        }
        best
    }
}

/// The choices that fit, the best first, otherwise in their order.
pub(super) fn fitting(choices: Vec<Choice>, typed: &Typed) -> Vec<Choice> {
    let mut found: Vec<(u8, Choice)> = choices
        .into_iter()
        .filter_map(|choice| {
            let fit = typed.fits(&fold(choice.found_by()))?;
            Some((fit, choice))
        })
        .collect();
    found.sort_by_key(|(fit, _)| *fit);
    found.into_iter().map(|(_, choice)| choice).collect()
}
