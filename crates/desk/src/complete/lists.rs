//! Closed lists: product words, qualifiers, rules, labels, units of money.

use super::choice::Choice;
use super::place::{Owner, Spot};
use super::{CandidateKind, lines};
use crate::page::Leaf;
use notation::{
    AREAS, Block, BlockKind, ClauseWord, FORMS, FUNCTIONS, Form, GRADES, PURPOSES, Quantity, Span, TYPES,
    USES, WAYS, Word, fold,
};

/// Words of a list, those that are said already left out.
pub(super) fn words(list: &[&'static str], spot: &Spot) -> Vec<Choice> {
    let open = list.iter().filter(|word| !spot.said.contains(&fold(word)));
    open.map(|word| Choice::new(*word, CandidateKind::Word)).collect()
}

/// Units: percent first, then those in which other lines of the block are written.
pub(super) fn units(list: &[&'static str], block: &Block) -> Vec<Choice> {
    let used = |unit: &str| {
        block.lines.iter().any(|line| match &line.form {
            Form::Item(item) => matches!(&item.quantity, Quantity::Given(measure)
                if measure.unit.is_some_and(|own| own.unit.spelling() == unit)),
            _ => false,
        })
    };
    let mut list = list.to_vec();
    list.sort_by_key(|unit| if *unit == "%" { 0 } else { 2 - u8::from(used(unit)) });
    list.into_iter().map(|unit| Choice::new(unit, CandidateKind::Unit)).collect()
}

/// Units of money, the workshop's own first.
pub(super) fn money(own: Option<&str>) -> Vec<Choice> {
    let mut list: Vec<&str> = own.into_iter().collect();
    list.extend(["EUR", "GBP", "USD", "CHF", "CAD", "AUD", "NZD", "JPY", "SEK", "NOK", "DKK", "PLN", "CZK"]);
    let mut choices: Vec<Choice> = Vec::new();
    for word in list {
        if !choices.iter().any(|choice| choice.label == word) {
            choices.push(Choice::new(word, CandidateKind::Unit));
        }
    }
    choices
}

/// Product words, each with what it says. What is said already is left out; of forms, uses and types there is one.
pub(super) fn product(spot: &Spot) -> Vec<Choice> {
    let said = |word: &str| spot.said.iter().any(|own| *own == fold(word));
    let form = FORMS.iter().find(|(form, _)| said(form));
    let mut groups: Vec<(&str, Vec<&'static str>)> = vec![
        ("use", USES.to_vec()),
        ("area", AREAS.to_vec()),
        ("purpose", PURPOSES.to_vec()),
        ("way", WAYS.to_vec()),
        ("type", TYPES.to_vec()),
    ];
    let forms: Vec<&'static str> = FORMS.iter().map(|(form, _)| *form).collect();
    if form.is_none() {
        groups.insert(0, ("form", forms));
    }
    // The usual use of the form stands first.
    if let Some((_, usual)) = form
        && let Some((_, uses)) = groups.first_mut()
    {
        uses.sort_by_key(|word| word != usual);
    }
    let single = |group: &str| matches!(group, "use" | "type");
    let mut choices = Vec::new();
    for (group, words) in groups {
        if single(group) && words.iter().any(|word| said(word)) {
            continue;
        }
        let open = words.into_iter().filter(|word| !said(word));
        choices.extend(open.map(|word| Choice::new(word, CandidateKind::Word).detail(group)));
    }
    choices
}

/// All rules; those that tell something of the line first, then those that do of the block.
pub(super) fn rules(leaf: Leaf<'_>, line: Span, spot: &Spot) -> Vec<Choice> {
    let findings = &leaf.reviewed().findings;
    let near = |rule: &rules::Rule| {
        let told = findings.iter().filter(|finding| finding.rule == rule.name);
        // How the half-written line itself is written is not meant.
        let ranks = told.map(|finding| match (line.touches(finding.span.start), rule.group) {
            (true, rules::Group::Reading) => 2,
            (true, _) => 0,
            (false, _) => 1,
        });
        ranks.min().unwrap_or(2)
    };
    let mut open: Vec<_> =
        rules::ALL.iter().filter(|rule| !spot.said.iter().any(|said| said == rule.name)).collect();
    open.sort_by_key(|rule| near(rule));
    open.into_iter()
        .map(|rule| {
            Choice::new(rule.name, CandidateKind::Rule)
                .detail(rule.level.word())
                .key(format!("rule:{}", rule.name))
        })
        .collect()
}

/// The phases of a formula, in their order.
pub(super) fn labels(leaf: Leaf<'_>) -> Vec<Choice> {
    let phases = leaf.resolved().map(|resolved| resolved.formula.phases.as_slice()).unwrap_or_default();
    phases
        .iter()
        .map(|phase| {
            let kind = phase.kind.map_or("", notation::PhaseKind::spelling);
            Choice::new(&phase.label, CandidateKind::Phase).detail(kind)
        })
        .collect()
}

/// The variants of a block that another line opens.
pub(super) fn variants(block: &Block, at: usize, spot: &Spot) -> Vec<Choice> {
    let names = block.lines.iter().enumerate().filter_map(|(number, line)| match &line.form {
        Form::Variant(variant) if number != at => Some(block.at(variant.name)),
        _ => None,
    });
    names
        .filter(|name| !spot.said.contains(&fold(name)))
        .map(|name| Choice::new(name, CandidateKind::Variant))
        .collect()
}

/// Qualifiers that can stand on a line; `said`: the others of that line, folded.
pub(super) fn qualifiers(owner: Owner, kind: BlockKind, said: &[String]) -> Vec<Choice> {
    use ClauseWord as C;
    let mut found: Vec<Choice> = Vec::new();
    let mut put = |words: &[ClauseWord]| {
        found.extend(
            words
                .iter()
                .map(|word| Choice::new(word.spelling(), CandidateKind::Qualifier).detail(word.example())),
        );
    };
    let mut plain: Vec<&'static str> = Vec::new();
    match owner {
        Owner::Phase => {
            put(&[C::HeatTo, C::Hold, C::Below, C::CoolTo, C::RoomTemperature, C::ColdProcess]);
        }
        Owner::Item(adjuster) => {
            if adjuster {
                put(&[C::ToPh, C::About]);
            }
            put(&[C::Strength, C::DissolvedIn, C::WettedIn, C::DispersedIn]);
            plain.extend(FUNCTIONS.iter().chain(GRADES));
            put(&[
                C::Optional,
                C::Inci,
                C::As,
                C::Supplier,
                C::Lot,
                C::Grade,
                C::Limit,
                C::Certificate,
                C::Allow,
            ]);
            if !adjuster {
                put(&[C::ToPh, C::About]);
            }
        }
        Owner::Fact(word) => {
            match word {
                Word::Pack => put(&[C::Net, C::Cost]),
                Word::Tested => put(&[C::Version, C::Result, C::Report, C::Lab]),
                Word::Lot => put(&[C::Received, C::Opened, C::Expires]),
                Word::Weighed | Word::ToppedUp => put(&[C::Lot]),
                Word::Of => put(&[C::Variant]),
                Word::Contains => put(&[C::Allergen]),
                Word::Phototoxic => put(&[C::Contains]),
                Word::Avoid => put(&[C::Error, C::Warning, C::Note]),
                Word::Label => put(&[C::Above, C::Market, C::NotIn, C::Under]),
                Word::Limit if kind == BlockKind::Ingredient => {
                    put(&[C::Law, C::Code, C::Opinion, C::Advice, C::Market, C::From, C::Until]);
                    put(&[C::As, C::NotIn, C::Under, C::Inhalable, C::AtPh, C::AtLeast]);
                }
                _ => {}
            }
            if matches!(word, Word::Limit | Word::Label) {
                plain.extend(USES.iter().chain(AREAS).chain(WAYS).chain(PURPOSES));
            }
            if kind == BlockKind::Ingredient && lines::has_source(word) {
                put(&[C::Source, C::SecondHand, C::CommonPractice, C::FromMemory, C::Default]);
            }
        }
    }
    let at = found.iter().position(|choice| choice.label == "optional").unwrap_or(found.len());
    let plain = plain.into_iter().map(|word| Choice::new(word, CandidateKind::Word));
    let _ = found.splice(at..at, plain);
    // What the line says already is not said twice.
    found.retain(|choice| !said.iter().any(|said| says(said, &choice.label)));
    found
}

/// Whether a folded qualifier is complete and begins with a word.
fn says(said: &str, word: &str) -> bool {
    said.trim_start()
        .strip_prefix(&fold(word))
        .is_some_and(|rest| rest.is_empty() || rest.starts_with([' ', ':']))
}
