//! From a block to its formulas: names looked up, amounts worked out, variants made.

use crate::catalogue::{Found, canonical_function};
use crate::draft::{Draft, DraftItem, draft};
use crate::exact::Exact;
use crate::factor;
use crate::formula::{Formula, Header, Item, Phase, Written};
use crate::header::header;
use crate::known::Known;
use crate::material::Material;
use crate::method;
use crate::possible;
use crate::reckon::Water;
use crate::record::Record;
use crate::substances;
use crate::totals;
use crate::window::{Interval, Window};
use notation::{
    Block, Clause, ClauseWord, FUNCTIONS, GRADES, Measure, PhaseLine, Quantity, RangeKind, Span, Unit, fold,
    in_one_line, is_reason, list_words, split_because,
};
use std::sync::Arc;

/// A formula and its variants.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Resolved {
    /// The parent.
    pub formula: Formula,
    /// Each variant as a whole formula.
    pub variants: Vec<Formula>,
    /// Names of the variants that only put others together, with the names of those.
    pub combined: Vec<(String, Vec<String>)>,
}

impl Resolved {
    /// The parent, then each variant.
    pub fn all(&self) -> impl Iterator<Item = &Formula> {
        std::iter::once(&self.formula).chain(&self.variants)
    }

    /// The variant of a name.
    pub fn variant(&self, name: &str) -> Option<&Formula> {
        let wanted = fold(name);
        let named = |formula: &&Formula| formula.variant.as_ref().is_some_and(|(own, _)| fold(own) == wanted);
        self.variants.iter().find(named)
    }
}

/// Resolves a formula block; gaps are part of the result.
pub fn resolve(block: &Block, known: &dyn Known) -> Resolved {
    resolve_again(block, known, None)
}

/// Like [`resolve`], with what the block was `before` its text changed: the result is the same, and found sooner.
pub fn resolve_again(block: &Block, known: &dyn Known, before: Option<&Resolved>) -> Resolved {
    let before = before.map(|before| &before.formula);
    let (parent, variants) = draft(block);
    let mut records = known.records(block.name());
    records.sort_by_key(|record| std::cmp::Reverse(record.date));
    let formula = settle(block, &parent, None, &records, known, before);
    let same = |a: &str, b: &str| {
        let key = |name: &str| lookup(name, &[], known).material.map(|material| material.key());
        key(a).is_some() && key(a) == key(b)
    };
    let mut varied = Vec::new();
    let mut combined = Vec::new();
    for variant in &variants {
        let name = block.at(variant.line.name).to_owned();
        if !variant.line.parts.is_empty() {
            let parts = variant.line.parts.iter().map(|part| block.at(*part).to_owned()).collect();
            combined.push((name.clone(), parts));
        }
        let draft = parent.varied(block, variant, &variants, &same);
        varied.push(settle(block, &draft, Some((name, variant.line.name)), &records, known, None));
    }
    Resolved { formula, variants: varied, combined }
}

fn settle(
    block: &Block,
    draft: &Draft<'_>,
    variant: Option<(String, Span)>,
    records: &[Arc<Record>],
    known: &dyn Known,
    before: Option<&Formula>,
) -> Formula {
    let opener = block.opener();
    let header = header(block, &draft.facts, known);
    let phases: Vec<Phase> = draft.phases.iter().map(|line| phase(block, line)).collect();
    let mut items: Vec<Item> = draft.items.iter().map(|line| item(block, line, &header, known)).collect();
    let mut gaps = draft.gaps.clone();
    let totals = totals::settle(block, draft, &header, &phases, &mut items, known.settings(), &mut gaps);
    let counted = substances::count(&items, known);
    let lines: Vec<(usize, Interval)> =
        counted.water.into_iter().enumerate().filter_map(|(at, water)| Some((at, water?))).collect();
    let share = lines.iter().fold(Interval::zero(), |sum, (_, water)| sum.plus(water));
    let renamed = &draft.renamed;
    let reading = method::Reading { block, phases: &phases, items: &items, renamed, known, before };
    let steps = method::steps(&reading, &draft.steps);
    let mut formula = Formula {
        name: block.name().to_owned(),
        name_span: opener.map_or(Span::at(0), |opener| opener.name),
        variant,
        header,
        phases,
        items,
        steps,
        timeline: method::Timeline::default(),
        totals,
        substances: counted.substances,
        water: Water { share, lines, open: counted.open_water },
        records: records.to_vec(),
        gaps,
        unfinished: draft.unfinished,
        broken: draft.broken,
    };
    formula.timeline = method::timeline(&formula);
    formula
}

fn phase(block: &Block, line: &PhaseLine) -> Phase {
    let mut phase = Phase {
        label: block.at(line.label).to_uppercase(),
        kind: line.kind.map(|(kind, _)| kind),
        heading: block.at(line.heading).to_owned(),
        span: line.label,
        heat: None,
        cool: None,
        cold: false,
        hold: None,
    };
    for clause in &line.clauses {
        let temperature = clause.measure.as_ref().and_then(|measure| celsius(block, measure));
        match (clause.word, temperature) {
            (Some(ClauseWord::HeatTo), Some(value)) => phase.heat = Some((value, clause.span)),
            (Some(ClauseWord::Below | ClauseWord::CoolTo), Some(value)) => {
                phase.cool = Some((value, clause.span));
            }
            // A room is 20 to 25 °C; the upper end is what a heat limit is held against.
            (Some(ClauseWord::RoomTemperature), _) => phase.cool = Some((Exact::whole(25), clause.span)),
            (Some(ClauseWord::ColdProcess), _) => phase.cold = true,
            (Some(ClauseWord::Hold), _) => {
                let minutes = clause.measure.as_ref().and_then(|measure| minutes(block, measure));
                phase.hold = minutes.map(|minutes| (minutes, clause.span));
            }
            _ => {}
        }
    }
    phase
}

/// The upper end of a temperature, in °C.
fn celsius(block: &Block, measure: &Measure) -> Option<Exact> {
    let window = Window::read(&block.text, &measure.range)?;
    let unit = measure.unit.map(|unit| unit.unit)?;
    window.high.or(window.low).and_then(|value| factor::celsius(&value, unit))
}

/// The lower end of a time, in minutes.
fn minutes(block: &Block, measure: &Measure) -> Option<Exact> {
    let window = Window::read(&block.text, &measure.range)?;
    let days = factor::days(measure.unit.map(|unit| unit.unit)?)?;
    window.low.or(window.high).map(|value| value * days * Exact::whole(24 * 60))
}

/// What a written name was found to be.
#[derive(Default)]
pub(crate) struct Looked {
    name_len: Option<usize>,
    strength: Option<Exact>,
    pub(crate) material: Option<Arc<Material>>,
    blend: Vec<(String, Option<Arc<Material>>)>,
}

/// Looks a name up: the whole, then with its grade, then without a final `N %`, then as a blend of its parts.
pub(crate) fn lookup(name: &str, grades: &[String], known: &dyn Known) -> Looked {
    let whole = known.find(name);
    if let Found::Known(material) = &whole {
        let graded = if material.ambiguous.is_empty() { None } else { graded(name, material, grades, known) };
        return Looked {
            material: Some(graded.unwrap_or_else(|| Arc::clone(material))),
            ..Looked::default()
        };
    }
    if let Some((base, strength)) = final_strength(name) {
        let looked = lookup(base, grades, known);
        if looked.material.is_some() {
            return Looked { name_len: Some(base.len()), strength: Some(strength), ..looked };
        }
    }
    let parts: Vec<&str> = name.split(" (and) ").map(str::trim).collect();
    if parts.len() > 1 {
        let blend = parts
            .into_iter()
            .map(|part| match known.find(part) {
                Found::Known(material) => (part.to_owned(), Some(material)),
                Found::Unknown => (part.to_owned(), None),
            })
            .collect();
        return Looked { blend, ..Looked::default() };
    }
    Looked::default()
}

/// `lemon oil; distilled`: the grade decides which of several is meant.
fn graded(name: &str, material: &Material, grades: &[String], known: &dyn Known) -> Option<Arc<Material>> {
    for grade in grades {
        let written = format!("{grade} {name}");
        if let Found::Known(found) = known.find(&written)
            && found.ambiguous.is_empty()
        {
            return Some(found);
        }
        let meant =
            material.ambiguous.iter().find(|one| fold(one).split(' ').any(|word| word == fold(grade)));
        if let Some(meant) = meant
            && let Found::Known(found) = known.find(meant)
        {
            return Some(found);
        }
    }
    None
}

/// `lactic acid 80 %` → `lactic acid`, 0.8.
fn final_strength(name: &str) -> Option<(&str, Exact)> {
    let before = name.strip_suffix('%')?.trim_end();
    let at = before.rfind([' ', '\u{a0}'])?;
    let number = before.get(at..)?.trim_start();
    let value = Exact::read(number)?;
    let base = before.get(..at)?.trim_end();
    let some = !value.is_zero() && value <= Exact::whole(100);
    (!base.is_empty() && some).then(|| (base, value.hundredth()))
}

fn item(block: &Block, line: &DraftItem, header: &Header, known: &dyn Known) -> Item {
    let written_name = block.at(line.name);
    let mut item = Item {
        span: line.span,
        name: written_name.to_owned(),
        name_span: line.name,
        phase: line.phase,
        material: None,
        blend: Vec::new(),
        premix: None,
        premix_missing: false,
        near: Vec::new(),
        open_slot: fold(written_name).starts_with("any "),
        written: written(&line.quantity),
        amount_span: line.quantity.span(),
        amount_text: line.quantity.span().map_or_else(String::new, |span| in_one_line(block.at(span))),
        is_range: is_range(&line.quantity),
        share: None,
        grams: None,
        conversion: None,
        strength: None,
        iu_per_gram: None,
        strength_in: None,
        functions: Vec::new(),
        declared: Vec::new(),
        grades: Vec::new(),
        to_ph: None,
        carried_in: Vec::new(),
        own_limit: None,
        lot: None,
        optional: false,
        allows: Vec::new(),
        inci: None,
        changed: line.changed,
    };
    for clause in &line.clauses {
        qualifier(block, &mut item, clause);
    }
    let include = header.includes.iter().find(|include| fold(&include.name) == fold(written_name));
    if let Some(include) = include {
        match &include.formula {
            Ok(formula) => item.premix = Some(Arc::clone(formula)),
            Err(_) => item.premix_missing = true,
        }
        return item;
    }
    let looked = lookup(written_name, &item.grades, known);
    if let Some(len) = looked.name_len {
        item.name = written_name.get(..len).unwrap_or(written_name).to_owned();
        item.strength = item.strength.or(looked.strength);
    }
    item.blend = looked.blend;
    item.material = looked.material;
    if item.material.is_none()
        && let Some(Found::Known(material)) = item.inci.as_deref().map(|inci| known.find(inci))
    {
        item.material = Some(material);
    }
    if !item.is_known() && !item.open_slot {
        item.near = known.near(written_name);
    }
    if let Some(material) = &item.material {
        item.functions.extend(material.functions.iter().cloned());
    }
    for (_, material) in &item.blend {
        item.functions.extend(material.iter().flat_map(|material| material.functions.iter().cloned()));
    }
    item
}

fn written(quantity: &Quantity) -> Written {
    match quantity {
        Quantity::Missing => Written::Missing,
        Quantity::Fuzzy(_) => Written::Fuzzy,
        Quantity::Unread(_) => Written::Unread,
        Quantity::AsNeeded(_) => Written::AsNeeded,
        Quantity::Balance(..) => Written::Balance,
        Quantity::Given(measure) => Written::Amount(measure.unit.map_or(Unit::Percent, |unit| unit.unit)),
        Quantity::Both(..) => Written::Both,
    }
}

fn is_range(quantity: &Quantity) -> bool {
    matches!(quantity, Quantity::Given(Measure { range, .. }) if range.kind != RangeKind::Exact)
}

fn qualifier(block: &Block, item: &mut Item, clause: &Clause) {
    let rest = block.at(clause.rest);
    // What cannot be is told, and taken as not said.
    if !possible::clause(&block.text, clause) {
        return;
    }
    match clause.word {
        None => {
            let word = fold(block.at(clause.span));
            if FUNCTIONS.iter().any(|known| fold(known) == word) {
                item.functions.push(canonical_function(&word));
                item.declared.push(canonical_function(&word));
            } else if GRADES.iter().any(|known| *known == word) {
                item.grades.push(word);
            }
        }
        Some(ClauseWord::Grade) => item.grades.push(fold(rest)),
        Some(ClauseWord::ToPh) => {
            item.to_ph = clause.measure.and_then(|measure| Window::read(&block.text, &measure.range));
        }
        Some(ClauseWord::Strength) => {
            let Some(measure) = clause.measure else { return };
            let value = Window::read(&block.text, &measure.range).and_then(|window| window.middle());
            let unit = measure.unit.map(|unit| unit.unit);
            match unit.and_then(factor::share) {
                Some(share) => item.strength = value.map(|value| value * share),
                None if fold(rest).starts_with("iu") => item.iu_per_gram = value,
                None => {}
            }
            item.strength_in = rest.strip_prefix("in ").map(str::to_owned);
        }
        Some(word @ (ClauseWord::DissolvedIn | ClauseWord::WettedIn | ClauseWord::DispersedIn)) => {
            item.carried_in.push((word.spelling().to_owned(), rest.to_owned()));
        }
        Some(ClauseWord::Inci) => item.inci = Some(rest.to_owned()),
        Some(ClauseWord::Lot) => item.lot = Some(rest.to_owned()),
        Some(ClauseWord::Optional) => item.optional = true,
        Some(ClauseWord::Limit) => {
            let share = clause.measure.and_then(|measure| {
                let value = Window::read(&block.text, &measure.range)?.middle()?;
                Some(value * factor::share(measure.unit?.unit)?)
            });
            item.own_limit = share.map(|share| (share, clause.span));
        }
        Some(ClauseWord::Allow) => {
            let (rules, because) = split_because(&block.text, clause.rest);
            if let Some(because) = because.filter(|because| is_reason(block.at(*because))) {
                let names =
                    list_words(&block.text, rules).into_iter().map(|span| fold(block.at(span))).collect();
                item.allows.push((names, block.at(because).to_owned(), clause.span));
            }
        }
        _ => {}
    }
}
