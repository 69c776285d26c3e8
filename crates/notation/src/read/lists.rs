//! Words of closed lists: product words, markets, functions, and the like.

use super::segments;
use crate::date::Date;
use crate::fold::fold;
use crate::line::Fact;
use crate::slip::{Slip, SlipKind};
use crate::text::Span;
use crate::vocabulary::{self, nearest};
use crate::word::Word;

/// Checks the words of lists that are closed.
pub(super) fn check(text: &str, fact: &Fact, slips: &mut Vec<Slip>) {
    match fact.word {
        Word::Product => {
            for word in segments::list(text, fact.rest, false) {
                product_word(text, word, slips);
            }
        }
        Word::Market => {
            for word in segments::list(text, fact.rest, false) {
                known_in(text, word, "market", vocabulary::MARKETS, slips);
            }
        }
        Word::Function => known_in(text, fact.rest, "function", vocabulary::FUNCTIONS, slips),
        Word::PhaseKind => {
            let kinds: Vec<&'static str> = vocabulary::PHASE_KINDS.iter().map(|(word, _)| *word).collect();
            known_in(text, fact.rest, "kind of phase", &kinds, slips);
        }
        Word::Status => known_in(text, fact.rest, "status", &["trial", "approved", "withdrawn"], slips),
        Word::Origin => {
            known_in(text, fact.rest, "origin", &["plant", "animal", "mineral", "synthetic"], slips);
        }
        Word::SolubleIn => {
            for word in segments::list(text, fact.rest, false) {
                known_in(text, word, "solvent", &["water", "oil", "alcohol", "both", "nothing"], slips);
            }
        }
        Word::Measures => known_in(text, fact.rest, "measures", &["US", "metric", "imperial"], slips),
        Word::For => {
            for word in segments::list(text, fact.rest, false) {
                person(text, word, slips);
            }
        }
        Word::Dated | Word::DateOf if Date::read(fact.rest.of(text)).is_err() => {
            slips.push(Slip { kind: SlipKind::DateUnreadable, span: fact.rest });
        }
        Word::Allow if !fact.because.is_some_and(|because| super::is_reason(because.of(text))) => {
            slips.push(Slip { kind: SlipKind::AllowUnreasoned, span: fact.word_span.join(fact.rest) });
        }
        _ => {}
    }
}

fn product_word(text: &str, span: Span, slips: &mut Vec<Slip>) {
    let word = span.of(text);
    if !vocabulary::known_product_word(word).is_empty() {
        return;
    }
    if vocabulary::NOT_THIS_TOOL.iter().any(|other| fold(other) == fold(word)) {
        slips.push(Slip { kind: SlipKind::NotThisTool, span });
        return;
    }
    let all = vocabulary::FORMS.iter().map(|(form, _)| *form).chain(
        [vocabulary::PURPOSES, vocabulary::USES, vocabulary::AREAS, vocabulary::WAYS, vocabulary::TYPES]
            .into_iter()
            .flatten()
            .copied(),
    );
    slips.push(Slip { kind: SlipKind::WordUnknown("product word", nearest(word, all, 2)), span });
}

fn person(text: &str, span: Span, slips: &mut Vec<Slip>) {
    let folded = fold(span.of(text));
    let aged = ["babies", "baby", "children", "kids", "infants", "toddlers", "adults", "people"]
        .iter()
        .any(|who| folded == *who || folded.starts_with(&format!("{who} ")));
    let skin = folded.ends_with("skin") || folded.ends_with("pregnancy") || folded.ends_with("hair");
    let skin = skin || folded.ends_with(" allergy") || folded.ends_with("-free");
    if !aged && !skin {
        known_in(text, span, "who it is for", vocabulary::PEOPLE, slips);
    }
}

fn known_in(text: &str, span: Span, list: &'static str, words: &[&'static str], slips: &mut Vec<Slip>) {
    let folded = fold(span.of(text));
    if words.iter().any(|word| word.eq_ignore_ascii_case(&folded)) {
        return;
    }
    let near = nearest(&folded, words.iter().copied(), 2)
        .and_then(|near| words.iter().find(|w| **w == near).copied());
    slips.push(Slip { kind: SlipKind::WordUnknown(list, near), span });
}
