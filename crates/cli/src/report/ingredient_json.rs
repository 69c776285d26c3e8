//! What is known of ingredients, for scripts. Percentages are decimal strings; null is what nobody says.

use super::ingredient::all_limits;
use super::json::pretty;
use desk::facts::{Known, conditions, document, known, standing};
use desk::{Ceiling, Exact, Figure, LAW_READ_ON, Limit, Material, Part, Window};
use serde::Serialize;
use std::sync::Arc;

#[derive(Serialize)]
struct Report<'a> {
    levigate: &'a str,
    law_read_on: &'a str,
    ingredients: Vec<Told<'a>>,
}

#[derive(Serialize)]
struct Told<'a> {
    name: &'a str,
    /// Whether a block of the maker's own speaks of it.
    own: bool,
    /// What the name can mean, where it has to be asked.
    can_mean: &'a [String],
    inci: Option<&'a str>,
    also: &'a [String],
    cas: &'a [String],
    functions: &'a [String],
    known: Vec<Fact>,
    counts_as: Vec<Brought<'a>>,
    contains: Vec<Brought<'a>>,
    counts_with: &'a [String],
    limits: Vec<Bound<'a>>,
    labels: Vec<Duty<'a>>,
}

/// One thing known.
#[derive(Serialize)]
struct Fact {
    topic: &'static str,
    what: &'static str,
    value: String,
    /// The document; null for plain words, and where the standing says all.
    source: Option<String>,
    /// How well it is founded; null for plain words.
    standing: Option<&'static str>,
}

/// A substance that comes with it.
#[derive(Serialize)]
struct Brought<'a> {
    name: &'a str,
    least_percent: Option<String>,
    most_percent: Option<String>,
    rest: bool,
    allergen: bool,
    source: Option<&'a str>,
    standing: &'a str,
}

#[derive(Serialize)]
struct Bound<'a> {
    /// The substance that it brings and that the limit is of; null for the ingredient itself.
    of: Option<&'a str>,
    markets: &'a [String],
    rank: &'a str,
    /// Null where it is not allowed, or free.
    most_percent: Option<String>,
    allowed: bool,
    counted_as: Option<&'a str>,
    together: Option<&'a str>,
    conditions: Vec<String>,
    from: Option<String>,
    until: Option<String>,
    source: Option<&'a str>,
    standing: &'a str,
}

#[derive(Serialize)]
struct Duty<'a> {
    text: &'a str,
    above_percent: Option<String>,
    conditions: Vec<String>,
    source: Option<&'a str>,
    standing: &'a str,
}

/// Ingredients as one object, each with the substances that it brings.
pub(crate) fn text(materials: &[(Arc<Material>, Vec<Arc<Material>>)]) -> String {
    let ingredients = materials.iter().map(|(material, parts)| told(material, parts)).collect();
    pretty(&Report { levigate: env!("CARGO_PKG_VERSION"), law_read_on: LAW_READ_ON, ingredients })
}

fn told<'a>(material: &'a Material, parts: &'a [Arc<Material>]) -> Told<'a> {
    Told {
        name: &material.name,
        own: material.own,
        can_mean: &material.ambiguous,
        inci: material.inci.as_deref(),
        also: &material.also,
        cas: &material.cas,
        functions: &material.functions,
        known: known(material).into_iter().map(fact).collect(),
        counts_as: material.counts_as.iter().map(brought).collect(),
        contains: material.contains.iter().map(brought).collect(),
        counts_with: &material.groups,
        limits: all_limits(material, parts).into_iter().map(bound).collect(),
        labels: material
            .labels
            .iter()
            .map(|duty| Duty {
                text: &duty.text,
                above_percent: duty.above.as_ref().map(percent),
                conditions: conditions(&duty.conditions),
                source: document(&duty.source),
                standing: standing(&duty.source),
            })
            .collect(),
    }
}

fn fact(known: Known) -> Fact {
    let Known { topic, what, value, source, standing } = known;
    Fact { topic: topic.word(), what, value, source, standing }
}

fn percent(share: &Exact) -> String {
    share.percent().data()
}

fn brought(figure: &Figure<Part>) -> Brought<'_> {
    let part = &figure.value;
    let end = |of: fn(&Window) -> &Option<Exact>| {
        part.share.as_ref().and_then(|share| of(share).as_ref()).map(percent)
    };
    Brought {
        name: &part.name,
        least_percent: end(|share| &share.low),
        most_percent: end(|share| &share.high),
        rest: part.rest,
        allergen: part.allergen,
        source: document(&figure.source),
        standing: standing(&figure.source),
    }
}

fn bound<'a>((of, limit): (Option<&'a str>, &'a Limit)) -> Bound<'a> {
    let most = match &limit.ceiling {
        Ceiling::AtMost(most) => Some(percent(most)),
        Ceiling::NotAllowed | Ceiling::Free => None,
    };
    Bound {
        of,
        markets: &limit.force.markets,
        rank: limit.force.rank.word(),
        most_percent: most,
        allowed: limit.ceiling != Ceiling::NotAllowed,
        counted_as: limit.counted_as.as_deref(),
        together: limit.group.as_deref(),
        conditions: conditions(&limit.conditions),
        from: limit.force.from.map(|day| day.to_string()),
        until: limit.force.until.map(|day| day.to_string()),
        source: document(&limit.source),
        standing: standing(&limit.source),
    }
}
