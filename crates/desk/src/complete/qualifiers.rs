//! Qualifiers: what stands between two `;`.

use super::place::{Owner, Read, Spot, Wanted};
use notation::{Clause, ClauseWord, Span, Word, fold, split_because};

/// A qualifier: its word, or what follows that.
pub(super) fn qualifier(read: &Read, clause: &Clause, owner: Owner) -> Spot {
    let spot = after_qualifier(read, clause, owner);
    // A word can be the beginning of others: `from memory`.
    let typed = read.typed(clause.span.start);
    let begun = fold(typed);
    let begins = |spelling: &&str| spelling.contains(' ') && fold(spelling).starts_with(&begun);
    if spot.wanted.is_empty() && ClauseWord::ALL.iter().any(|word| word.spellings().iter().any(begins)) {
        return Spot::of(Wanted::Qualifier(owner), typed);
    }
    spot
}

fn after_qualifier(read: &Read, clause: &Clause, owner: Owner) -> Spot {
    let open = clause.measure.is_some_and(|measure| measure.unit.is_none());
    let Some(word) = clause.word else {
        return match (clause.measure, owner) {
            // `lot SQ-77; 1 kg`
            (Some(_), Owner::Fact(Word::Lot)) if open => {
                Spot::of(Wanted::Units(vec!["g", "kg", "mL", "L"]), read.typed(clause.rest.start))
            }
            (Some(_), _) => Spot::nothing(),
            (None, _) => Spot::of(Wanted::Qualifier(owner), read.typed(clause.span.start)),
        };
    };
    let typed = read.typed(clause.rest.start);
    let units = |units: &[&'static str]| {
        if open { Spot::of(Wanted::Units(units.to_vec()), typed) } else { Spot::nothing() }
    };
    match word {
        ClauseWord::About | ClauseWord::Above | ClauseWord::AtLeast | ClauseWord::Limit => {
            units(&["%", "ppm"])
        }
        ClauseWord::Contains if open => units(&["%", "ppm"]),
        ClauseWord::Contains if clause.measure.is_some() => {
            Spot::of(Wanted::Ingredient { of_formula: false }, typed)
        }
        ClauseWord::Strength if open => units(&["%", "IU/g"]),
        ClauseWord::Strength => match typed.strip_prefix("in ") {
            Some(name) => Spot::of(Wanted::Ingredient { of_formula: false }, name),
            None => Spot::nothing(),
        },
        ClauseWord::DissolvedIn | ClauseWord::WettedIn | ClauseWord::DispersedIn => {
            Spot::of(Wanted::Ingredient { of_formula: true }, typed)
        }
        ClauseWord::Allow => rules(read, clause.rest),
        ClauseWord::Market => read.list(Wanted::Words(notation::MARKETS.to_vec()), clause.rest.start),
        ClauseWord::HeatTo | ClauseWord::Below | ClauseWord::CoolTo => units(&["°C", "°F"]),
        ClauseWord::Hold => units(&["min", "h", "s"]),
        ClauseWord::Under => units(&["years", "months"]),
        ClauseWord::Net => units(&["g", "mL", "oz", "fl oz"]),
        ClauseWord::Cost if open => Spot::of(Wanted::Money, typed),
        ClauseWord::NotIn => read.list(Wanted::Product, clause.rest.start),
        ClauseWord::Variant => Spot::of(Wanted::Variant, typed),
        ClauseWord::As if matches!(owner, Owner::Fact(_)) => {
            Spot::of(Wanted::Words(notation::FUNCTIONS.to_vec()), typed)
        }
        _ => Spot::nothing(),
    }
}

/// Rules up to ` because `; after it stands the reason.
fn rules(read: &Read, rest: Span) -> Spot {
    let (_, reason) = split_because(&read.block.text, rest);
    if reason.is_some() { Spot::nothing() } else { read.list(Wanted::Rule, rest.start) }
}
