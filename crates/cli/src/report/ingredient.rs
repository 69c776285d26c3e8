//! What the catalogue knows of an ingredient: each figure with where it comes from.

use super::json::pretty;
use super::table::{Stand, columns_of};
use crate::look::{Ink, Look, columns};
use desk::{Ceiling, Condition, Figure, Limit, Material, Part, Source, Standing, Window};
use serde::Serialize;
use std::fmt::Write;
use std::sync::Arc;

/// One thing known.
#[derive(Serialize)]
pub(crate) struct Known {
    what: &'static str,
    value: String,
    /// The document; none for plain names and words.
    source: Option<String>,
    /// How well it is founded.
    standing: Option<&'static str>,
}

#[derive(Serialize)]
struct Report<'a> {
    levigate: &'a str,
    ingredients: Vec<Told<'a>>,
}

#[derive(Serialize)]
struct Told<'a> {
    name: &'a str,
    inci: Option<&'a str>,
    also: &'a [String],
    cas: &'a [String],
    functions: &'a [String],
    /// What the name can mean, where it has to be asked.
    can_mean: &'a [String],
    known: Vec<Known>,
}

/// Ingredients as one JSON object.
pub(crate) fn json(materials: &[Arc<Material>]) -> String {
    let ingredients = materials.iter().map(|material| Told {
        name: &material.name,
        inci: material.inci.as_deref(),
        also: &material.also,
        cas: &material.cas,
        functions: &material.functions,
        can_mean: &material.ambiguous,
        known: known(material),
    });
    pretty(&Report { levigate: env!("CARGO_PKG_VERSION"), ingredients: ingredients.collect() })
}

/// A list: name, INCI name, functions.
pub(crate) fn list(materials: &[Arc<Material>], look: Look) -> String {
    let rows: Vec<Vec<String>> = materials
        .iter()
        .map(|material| {
            let inci = material.inci.clone().unwrap_or_default();
            vec![material.name.clone(), inci, material.functions.join(", ")]
        })
        .collect();
    let fits = |line: &String| look.width.is_none_or(|width| columns(line) <= width);
    let lines = columns_of(&rows, &[Stand::Left, Stand::Left, Stand::Left]);
    if lines.iter().all(fits) {
        return lines.join("\n") + "\n";
    }
    // Too wide for the terminal: the functions alone beside the name.
    let rows: Vec<Vec<String>> =
        materials.iter().map(|material| vec![material.name.clone(), material.functions.join(", ")]).collect();
    columns_of(&rows, &[Stand::Left, Stand::Left]).join("\n") + "\n"
}

/// One ingredient in full.
pub(crate) fn text(material: &Material, look: Look) -> String {
    let mut out = format!("{}\n", look.paint(Ink::Strong, &material.name));
    if !material.ambiguous.is_empty() {
        out.push_str("\nThe name can mean several things. Ask for the one you mean:\n");
        for name in &material.ambiguous {
            let _ = writeln!(out, "  {name}");
        }
        return out;
    }
    let mut facts = plain(material);
    facts.extend(known(material));
    let widest = facts.iter().map(|fact| columns(fact.what)).max().unwrap_or(0);
    let mut last = "";
    for fact in &facts {
        let said = if fact.what == last { "" } else { fact.what };
        last = fact.what;
        for (at, line) in look.wrap(&fact.value, widest + 4).iter().enumerate() {
            let said = if at == 0 { said } else { "" };
            let _ = writeln!(out, "  {}  {line}", look.paint(Ink::Label, &format!("{said:widest$}")));
        }
        if let Some(origin) = origin(fact) {
            for line in look.wrap(&origin, widest + 6) {
                let _ = writeln!(out, "  {:widest$}    {}", "", look.paint(Ink::Aside, &line));
            }
        }
    }
    out
}

fn origin(fact: &Known) -> Option<String> {
    match (&fact.source, fact.standing) {
        (Some(source), Some("second-hand")) => Some(format!("{source} (at second hand)")),
        (Some(source), _) => Some(source.clone()),
        (None, _) => None,
    }
}

fn standing(source: &Source) -> &'static str {
    match source.standing {
        Standing::Read => "read",
        Standing::SecondHand => "second-hand",
        Standing::CommonPractice => "common practice",
        Standing::FromMemory => "from memory",
        Standing::Default => "default",
    }
}

/// Names and words, which need no source.
fn plain(material: &Material) -> Vec<Known> {
    let mut facts = Vec::new();
    let mut add = |what: &'static str, value: String| {
        if !value.is_empty() {
            facts.push(Known { what, value, source: None, standing: None });
        }
    };
    add("INCI", material.inci.clone().unwrap_or_default());
    add("also", material.also.join(", "));
    add("CAS", material.cas.join(", "));
    add("function", material.functions.join(", "));
    facts
}

/// Collects facts.
struct Facts(Vec<Known>);

impl Facts {
    fn word(&mut self, what: &'static str, value: impl Into<String>) {
        let value = value.into();
        if !value.is_empty() {
            self.0.push(Known { what, value, source: None, standing: None });
        }
    }

    fn put(&mut self, what: &'static str, value: String, source: &Source) {
        self.0.push(Known {
            what,
            value,
            source: Some(source.text.to_string()),
            standing: Some(standing(source)),
        });
    }

    fn each<'a, T: 'a>(
        &mut self,
        what: &'static str,
        figures: impl IntoIterator<Item = &'a Figure<T>>,
        words: impl Fn(&T) -> String,
    ) {
        for figure in figures {
            self.put(what, words(&figure.value), &figure.source);
        }
    }
}

fn with_unit(unit: &'static str) -> impl Fn(&Window) -> String {
    move |window| format!("{} {unit}", window.text())
}

fn percent(window: &Window) -> String {
    format!("{} %", window.scaled(&desk::Exact::whole(100)).text())
}

fn part(part: &Part) -> String {
    let share = match (&part.share, part.rest) {
        (Some(share), _) => format!("{} ", percent(share)),
        (None, true) => "the rest is ".to_owned(),
        (None, false) => String::new(),
    };
    let allergen = if part.allergen { ", an allergen" } else { "" };
    format!("{share}{}{allergen}", part.name)
}

fn known(material: &Material) -> Vec<Known> {
    let mut facts = Facts(Vec::new());
    behaviour(material, &mut facts);
    composition(material, &mut facts);
    cautions(material, &mut facts);
    for limit in &material.limits {
        facts.put("limit", limit_text(limit), &limit.source);
    }
    facts.word("counts with", material.groups.join(", "));
    for duty in &material.labels {
        let above =
            duty.above.as_ref().map(|above| format!("; above {} %", above.percent())).unwrap_or_default();
        let conditions = joined(&duty.conditions);
        facts.put("label", format!("{}{above}{conditions}", duty.text), &duty.source);
    }
    facts.0
}

fn behaviour(material: &Material, facts: &mut Facts) {
    facts.word("phase", material.phase.map_or("", desk::PhaseKind::spelling));
    facts.word("soluble in", material.soluble_in.join(", "));
    facts.each("solubility", &material.solubility, |own| {
        let at = own.celsius.as_ref().map(|celsius| format!(" at {celsius} °C")).unwrap_or_default();
        match &own.grams_per_100_ml {
            Some(grams) => format!("{} g per 100 mL {}{at}", grams.text(), own.solvent),
            None => format!("{} {}{at}", own.word, own.solvent),
        }
    });
    facts.each("density", &material.density, with_unit("g/mL"));
    facts.each("one drop", &material.drop, with_unit("mg"));
    facts.each("melts at", &material.melts, with_unit("°C"));
    facts.each("not above", &material.not_above, |(celsius, why)| {
        if why.is_empty() { format!("{celsius} °C") } else { format!("{celsius} °C because {why}") }
    });
    facts.each("required HLB", &material.required_hlb, |(window, kind)| {
        if kind.is_empty() { window.text() } else { format!("{} for {kind}", window.text()) }
    });
    facts.each("HLB", &material.hlb, Window::text);
    facts.each("charge", &material.charge, Clone::clone);
    facts.each("works at pH", &material.works_at_ph, Window::text);
    facts.each("stable at pH", &material.stable_at_ph, Window::text);
    facts.each("own pH", &material.own_ph, Window::text);
    facts.each("pKa", &material.pka, desk::Exact::text);
    facts.each("molar mass", &material.molar_mass, |mass| format!("{mass} g/mol"));
    facts.each("usage", &material.usage, percent);
    facts.word("works on", material.works_on.join(", "));
}

fn composition(material: &Material, facts: &mut Facts) {
    facts.each("water", &material.water, percent);
    facts.each("counts as", &material.counts_as, part);
    facts.each("contains", &material.contains, part);
    facts.each("active", &material.microgram_per_iu, |amount| format!("{amount} µg per IU"));
    facts.word("family", material.families.join(", "));
    facts.word("origin", material.origin.clone().unwrap_or_default());
}

fn cautions(material: &Material, facts: &mut Facts) {
    facts.each("incompatible", &material.incompatible, |clash| reasoned(&clash.with, &clash.because));
    facts.each("avoid", &material.avoid, |avoid| reasoned(&avoid.what, &avoid.because));
    facts.each("phototoxic", &material.phototoxic, |own| match &own.limit {
        Some(limit) => format!("at most {} % in what stays on skin in the light", limit.percent()),
        None => "keep it out of what stays on skin in the light".to_owned(),
    });
    let spoilt = [("light", material.light_sensitive), ("air", material.air_sensitive)];
    let spoilt: Vec<&str> = spoilt.into_iter().filter(|(_, is)| *is).map(|(word, _)| word).collect();
    facts.word("spoilt by", spoilt.join(", "));
    facts.each("shelf life", &material.shelf_life_days, |days| format!("{days} days"));
}

fn reasoned(what: &str, because: &str) -> String {
    if because.is_empty() { what.to_owned() } else { format!("{what}, because {because}") }
}

/// `0.5 % as benzoic acid; leave-on; EU law, from 2026-05-01`
fn limit_text(limit: &Limit) -> String {
    let mut text = match &limit.ceiling {
        Ceiling::AtMost(most) => format!("{} %", most.percent()),
        Ceiling::NotAllowed => "not allowed".to_owned(),
        Ceiling::Free => "no limit".to_owned(),
    };
    if let Some(substance) = &limit.counted_as {
        let _ = write!(text, " as {substance}");
    }
    if let Some(group) = &limit.group {
        let _ = write!(text, ", together with {group}");
    }
    text.push_str(&joined(&limit.conditions));
    let market = if limit.markets.is_empty() { "all markets".to_owned() } else { limit.markets.join(", ") };
    let _ = write!(text, "; {market} {}", limit.rank.word());
    if let Some(from) = limit.from {
        let _ = write!(text, ", from {from}");
    }
    if let Some(until) = limit.until {
        let _ = write!(text, ", until {until}");
    }
    text
}

fn joined(conditions: &[Condition]) -> String {
    let words = conditions.iter().map(|condition| match condition {
        Condition::Words(words) => words.join(" or "),
        Condition::NotIn(words) => format!("not in {}", words.join(" or ")),
        Condition::Under(years) => format!("under {years} years"),
        Condition::Inhalable => "where it can be breathed in".to_owned(),
        Condition::As(function) => format!("as {function}"),
        Condition::AtPh(window) => format!("at pH {}", window.text()),
        Condition::AtLeast(least) => format!("from {} % on", least.percent()),
        Condition::Unread(text) => text.clone(),
    });
    words.fold(String::new(), |all, word| format!("{all}; {word}"))
}
