//! Labels as JSON. Numbers are decimal strings; null is what cannot be known.

use super::json::pretty;
use desk::{Asked, Exact, Interval, Label};
use serde::Serialize;

#[derive(Serialize)]
struct Report<'a> {
    levigate: &'a str,
    labels: Vec<Told<'a>>,
    markets_without_label: &'a [&'a str],
}

#[derive(Serialize)]
struct Told<'a> {
    name: &'a str,
    version: Option<&'a str>,
    variant: Option<&'a str>,
    market: &'a str,
    law_as_of: String,
    complete: bool,
    trusted: bool,
    list: String,
    block: Vec<String>,
    ingredients: Vec<Ingredient<'a>>,
    unsettled: Vec<&'a str>,
    findings: Vec<Wrong<'a>>,
    allergens: Vec<Allergen<'a>>,
    words: Vec<Words<'a>>,
    still_to_write: Vec<Particular<'a>>,
    notes: Vec<Notes>,
}

#[derive(Serialize)]
struct Ingredient<'a> {
    text: &'a str,
    place: &'a str,
    least_percent: Option<String>,
    percent: Option<String>,
    most_percent: Option<String>,
    unsettled: bool,
    from: &'a [String],
    standing: Option<&'a str>,
}

#[derive(Serialize)]
struct Wrong<'a> {
    rule: &'a str,
    level: &'a str,
    message: &'a str,
}

#[derive(Serialize)]
struct Allergen<'a> {
    text: &'a str,
    percent: Option<String>,
    above_percent: Option<String>,
    source: &'a str,
}

#[derive(Serialize)]
struct Words<'a> {
    text: &'a str,
    rank: &'a str,
    said: bool,
    printed: bool,
    source: &'a str,
}

#[derive(Serialize)]
struct Particular<'a> {
    what: &'a str,
    known: Option<&'a str>,
    source: &'a str,
}

#[derive(Serialize)]
struct Notes {
    title: &'static str,
    lines: Vec<String>,
}

/// One object with all labels.
pub(crate) fn text(labels: &[Label<'_>], others: &[&str]) -> String {
    pretty(&Report {
        levigate: env!("CARGO_PKG_VERSION"),
        labels: labels.iter().map(told).collect(),
        markets_without_label: others,
    })
}

fn percent(share: &Exact) -> String {
    share.percent().data()
}

fn told<'a>(label: &'a Label<'_>) -> Told<'a> {
    let formula = label.formula;
    let end =
        |share: &Option<Interval>, end: fn(&Interval) -> &Exact| share.as_ref().map(|own| percent(end(own)));
    let ingredients = label.entries.iter().map(|entry| Ingredient {
        text: &entry.text,
        place: entry.kind.word(),
        least_percent: end(&entry.share, |share| &share.low),
        percent: end(&entry.share, |share| &share.mid).filter(|_| !entry.at_least),
        most_percent: end(&entry.share, |share| &share.high).filter(|_| !entry.at_least),
        unsettled: entry.unsettled,
        from: &entry.from,
        standing: entry.standing,
    });
    let wrong = label.wrong.iter().map(|finding| Wrong {
        rule: finding.rule,
        level: finding.level.word(),
        message: &finding.message,
    });
    let allergens = label.allergens.iter().map(|due| Allergen {
        text: &due.text,
        percent: (!due.open).then(|| percent(&due.amount.mid)),
        above_percent: due.above.as_ref().map(percent),
        source: &due.source.text,
    });
    let particulars = label.particulars.iter().map(|own| Particular {
        what: own.what,
        known: own.known.as_deref(),
        source: own.source,
    });
    Told {
        name: &formula.name,
        version: formula.header.version.as_ref().map(|(version, _)| version.as_str()),
        variant: formula.variant.as_ref().map(|(name, _)| name.as_str()),
        market: label.market.code(),
        law_as_of: label.day.to_string(),
        complete: label.is_whole(),
        trusted: label.is_sound(),
        list: label.list(),
        block: label.block(),
        ingredients: ingredients.collect(),
        unsettled: label.listing.unsettled.iter().map(|own| own.name.as_str()).collect(),
        findings: wrong.collect(),
        allergens: allergens.collect(),
        words: label.asked.iter().map(words).collect(),
        still_to_write: particulars.collect(),
        notes: label.notes().into_iter().map(|own| Notes { title: own.title, lines: own.lines }).collect(),
    }
}

fn words(asked: &Asked) -> Words<'_> {
    Words {
        text: &asked.due.text,
        rank: asked.due.rank.word(),
        said: asked.said,
        printed: asked.is_printed(),
        source: &asked.due.source.text,
    }
}
