//! A worked-out formula as JSON. Numbers are decimal strings; null is what cannot be known, or is not worked out.

use super::json::pretty;
use super::worked::{Worked, WorkedPhase, grams};
use desk::reckon::Filled;
use desk::{Exact, Item};
use serde::Serialize;

#[derive(Serialize)]
struct Report<'a> {
    levigate: &'a str,
    formulas: Vec<Told<'a>>,
}

#[derive(Serialize)]
struct Told<'a> {
    name: &'a str,
    version: Option<&'a str>,
    variant: Option<&'a str>,
    batch_grams: Option<String>,
    total_percent: Option<String>,
    balance: Option<Rest<'a>>,
    free_water_percent: Option<String>,
    oil_percent: Option<String>,
    phases: Vec<Phase<'a>>,
    hlb: Option<Hlb>,
    preservation: Vec<Preservative<'a>>,
    allergens: Vec<Allergen<'a>>,
    ingredient_list: Option<&'a [String]>,
    density: Option<String>,
    packs: Vec<Pack>,
    cost: Option<Cost<'a>>,
}

#[derive(Serialize)]
struct Rest<'a> {
    name: &'a str,
    percent: Option<String>,
}

#[derive(Serialize)]
struct Phase<'a> {
    letter: Option<&'a str>,
    kind: Option<&'a str>,
    percent: Option<String>,
    grams: Option<String>,
    lines: Vec<Line<'a>>,
}

#[derive(Serialize)]
struct Line<'a> {
    name: &'a str,
    inci: Option<&'a str>,
    written: String,
    percent: Option<String>,
    grams: Option<String>,
    strength_percent: Option<String>,
    active_percent: Option<String>,
    functions: &'a [String],
}

/// HLB has no unit; `known` of `of` oils have a figure.
#[derive(Serialize)]
struct Hlb {
    required: Option<String>,
    supplied: Option<String>,
    known: String,
    of: String,
}

#[derive(Serialize)]
struct Preservative<'a> {
    name: &'a str,
    percent: Option<String>,
    as_acid_percent: Option<String>,
    undissociated_percent_at_ph: Option<&'a str>,
}

#[derive(Serialize)]
struct Allergen<'a> {
    name: &'a str,
    percent: Option<String>,
    from: &'a [&'a str],
}

#[derive(Serialize)]
struct Pack {
    size_ml: Option<String>,
    filled: Option<String>,
    left_grams: Option<String>,
}

#[derive(Serialize)]
struct Cost<'a> {
    currency: &'a str,
    batch: Option<String>,
    per_pack: Option<String>,
    priced: String,
    of: String,
}

/// One object with all formulas.
pub(crate) fn text(formulas: &[Worked<'_>]) -> String {
    pretty(&Report { levigate: env!("CARGO_PKG_VERSION"), formulas: formulas.iter().map(told).collect() })
}

fn percent(share: Option<&Exact>) -> Option<String> {
    share.map(|share| share.percent().data())
}

fn told<'a>(worked: &'a Worked<'_>) -> Told<'a> {
    let formula = worked.formula;
    let batch = worked.batch.as_ref();
    Told {
        name: &formula.name,
        version: formula.header.version.as_ref().map(|(version, _)| version.as_str()),
        variant: formula.variant.as_ref().map(|(name, _)| name.as_str()),
        batch_grams: batch.map(Exact::data),
        total_percent: percent(worked.total.whole()),
        balance: worked
            .balance
            .as_ref()
            .map(|balance| Rest { name: balance.name, percent: percent(balance.share.as_ref()) }),
        free_water_percent: percent(worked.water.whole()),
        oil_percent: percent(worked.oils.whole()),
        phases: worked.phases.iter().map(|own| phase(own, batch)).collect(),
        hlb: worked.hlb.as_ref().map(|own| Hlb {
            required: own.required.as_ref().map(Exact::data),
            supplied: own.supplied.as_ref().map(Exact::data),
            known: own.known().to_string(),
            of: own.oils.len().to_string(),
        }),
        preservation: worked
            .preservation
            .iter()
            .map(|own| Preservative {
                name: &own.name,
                percent: percent(own.share.as_ref()),
                as_acid_percent: percent(own.acid.as_ref().map(|(_, share)| share)),
                undissociated_percent_at_ph: own.undissociated.as_ref().map(|(percent, _)| percent.as_str()),
            })
            .collect(),
        allergens: worked
            .allergens
            .iter()
            .map(|own| Allergen { name: own.name, percent: percent(own.share.as_ref()), from: &own.from })
            .collect(),
        ingredient_list: worked.ingredients.as_ref().ok().map(Vec::as_slice),
        density: formula.header.density.as_ref().map(Exact::data),
        packs: worked.packs.iter().map(pack).collect(),
        cost: worked.cost.as_ref().map(|own| Cost {
            currency: own.currency,
            batch: own.batch.as_ref().map(Exact::data),
            per_pack: own.per_pack.as_ref().map(Exact::data),
            priced: own.priced.to_string(),
            of: own.of.to_string(),
        }),
    }
}

fn pack(own: &Filled<'_>) -> Pack {
    let (filled, left) = own.full.as_ref().map(|(filled, left)| (filled.data(), left.data())).unzip();
    Pack { size_ml: own.pack.millilitres.as_ref().map(Exact::data), filled, left_grams: left }
}

fn phase<'a>(phase: &'a WorkedPhase<'_>, batch: Option<&Exact>) -> Phase<'a> {
    let sum = phase.sum.whole();
    Phase {
        letter: phase.label,
        kind: phase.kind,
        percent: percent(sum),
        grams: grams(sum, batch).map(|grams| grams.data()),
        lines: phase.lines.iter().map(|item| line(item, batch)).collect(),
    }
}

fn line<'a>(item: &'a Item, batch: Option<&Exact>) -> Line<'a> {
    let active = item.mid().zip(item.strength.as_ref()).map(|(share, strength)| share * strength);
    Line {
        name: &item.name,
        inci: item.inci.as_deref().or_else(|| item.material.as_ref()?.inci.as_deref()),
        written: item.amount_text.clone(),
        percent: percent(item.mid()),
        grams: grams(item.mid(), batch).map(|grams| grams.data()),
        strength_percent: percent(item.strength.as_ref()),
        active_percent: percent(active.as_ref()),
        functions: &item.functions,
    }
}
