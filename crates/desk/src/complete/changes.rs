//! The changes of a variant.

use super::place::{Owner, Scene, Spot, Wanted, amounted, fold_ascii, is_blank, read, spot};
use super::qualifiers::qualifier;
use notation::{BlockKind, Change, Form, Word, fold};

/// What can be written in a change; `rest` stands behind its word.
pub(super) fn change(line: &str, word: &str, rest: &str) -> Spot {
    let Some(read) = read(BlockKind::Formula, "variant x\n", line) else { return Spot::nothing() };
    if rest.contains(';') {
        let Form::Change(Change { clauses, .. }) = &read.line.form else { return Spot::nothing() };
        let clause = clauses.iter().find(|clause| clause.span.touches(read.at));
        return clause.map_or_else(Spot::nothing, |clause| qualifier(&read, clause, Owner::Item(false)));
    }
    let behind = |word: &str| {
        let at = fold_ascii(rest).rfind(word)?;
        Some((rest.get(..at)?, rest.get(at + word.len()..)?.trim_start_matches(is_blank)))
    };
    match word {
        "replace" | "swap" => {
            let with = if word == "replace" { " with " } else { " for " };
            if let Some((_, new)) = behind(with) {
                return amounted(new);
            }
        }
        "add" => {
            return match behind(" to ") {
                Some((_, label)) => Spot::of(Wanted::Label, label),
                None => amounted(rest),
            };
        }
        "set" => {
            if let Some(at) = fold_ascii(rest).find(" to ") {
                let (what, value) = (rest.get(..at), rest.get(at + 4..));
                return set(what.unwrap_or("").trim(), value.unwrap_or("").trim_start_matches(is_blank));
            }
        }
        _ => {}
    }
    if let Some((_, label)) = behind(" in ") {
        return Spot::of(Wanted::Label, label);
    }
    let mut spot = Spot::of(Wanted::Target, rest);
    if word == "set" {
        let words = ["pH", "for", "product", "claim", "batch", "shelf life", "market", "pack"];
        spot.wanted.push(Wanted::Words(words.to_vec()));
    }
    spot
}

/// The value after `set WHAT to`.
fn set(what: &str, value: &str) -> Spot {
    let word = Word::ALL.iter().find(|word| {
        word.blocks().contains(&BlockKind::Formula) && word.spellings().iter().any(|s| fold(s) == fold(what))
    });
    match word {
        Some(_) => {
            let line = format!("{what} {value}");
            let spot = spot(&line, Scene { kind: BlockKind::Formula, in_variant: false });
            if spot.typed <= value.len() { spot } else { Spot::nothing() }
        }
        None => {
            let spot = amounted(value);
            if spot.wanted.iter().any(|wanted| matches!(wanted, Wanted::Units(_))) {
                spot
            } else {
                Spot::nothing()
            }
        }
    }
}
