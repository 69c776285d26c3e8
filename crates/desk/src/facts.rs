//! What is known of an ingredient, put into words and into order: what reports and hover cards show.

use crate::function_spelling;
use formula::{
    Ceiling, Condition, DEFAULT_OF_THE_TABLES, Exact, Figure, Limit, Material, Part, Source, Standing, Window,
};
use notation::PhaseKind;
use std::fmt::Write;

/// What a fact is about. In the order in which they are shown.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Topic {
    /// In a formula.
    Use,
    /// How it behaves.
    Behaviour,
    /// What it brings.
    Brings,
    /// Cautions.
    Care,
    /// Prices and lots.
    Shelf,
}

impl Topic {
    /// All, in order.
    pub const ALL: [Topic; 5] = [Topic::Use, Topic::Behaviour, Topic::Brings, Topic::Care, Topic::Shelf];

    /// Its word in outputs for scripts.
    pub fn word(self) -> &'static str {
        match self {
            Topic::Use => "use",
            Topic::Behaviour => "behaviour",
            Topic::Brings => "brings",
            Topic::Care => "care",
            Topic::Shelf => "shelf",
        }
    }

    /// Its heading.
    pub fn title(self) -> &'static str {
        match self {
            Topic::Use => "In a formula",
            Topic::Behaviour => "How it behaves",
            Topic::Brings => "What it brings",
            Topic::Care => "Take care",
            Topic::Shelf => "On your shelf",
        }
    }
}

/// One thing known.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Known {
    /// What it is about.
    pub topic: Topic,
    /// What is told: `usual share`.
    pub what: &'static str,
    /// `1 to 3 %`
    pub value: String,
    /// The document; none for plain words, and where the standing says all.
    pub source: Option<String>,
    /// How well it is founded; none for plain words.
    pub standing: Option<&'static str>,
}

/// How well a figure is founded, in a word.
pub fn standing(source: &Source) -> &'static str {
    match source.standing {
        Standing::Read => "read",
        Standing::SecondHand => "second-hand",
        Standing::CommonPractice => "common practice",
        Standing::FromMemory => "from memory",
        Standing::Default => "default",
    }
}

/// The document that a figure was read in, at first or second hand; for others the standing says all.
pub fn document(source: &Source) -> Option<&str> {
    match source.standing {
        Standing::Read | Standing::SecondHand => Some(&source.text),
        // Of several that disagree, the one that counts keeps its document.
        Standing::Default if &*source.text != DEFAULT_OF_THE_TABLES => Some(&source.text),
        Standing::CommonPractice | Standing::FromMemory | Standing::Default => None,
    }
}

/// Collects facts of one topic after the other.
struct Facts {
    topic: Topic,
    all: Vec<Known>,
}

impl Facts {
    fn word(&mut self, what: &'static str, value: impl Into<String>) {
        let value = value.into();
        if !value.is_empty() {
            self.all.push(Known { topic: self.topic, what, value, source: None, standing: None });
        }
    }

    fn put(&mut self, what: &'static str, value: String, source: &Source) {
        self.all.push(Known {
            topic: self.topic,
            what,
            value,
            source: document(source).map(str::to_owned),
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

/// All that is known besides names, limits and label duties, in the order of the topics.
pub fn known(material: &Material) -> Vec<Known> {
    let mut facts = Facts { topic: Topic::Use, all: Vec::new() };
    in_a_formula(material, &mut facts);
    facts.topic = Topic::Behaviour;
    behaviour(material, &mut facts);
    facts.topic = Topic::Brings;
    facts.each("water", &material.water, percent);
    facts.each("counts as", &material.counts_as, part);
    facts.each("contains", material.contains.iter().filter(|figure| !is_unmeasured(&figure.value)), part);
    unmeasured(material, &mut facts);
    facts.each("active", &material.microgram_per_iu, |amount| format!("{amount} µg per IU"));
    facts.word("family", material.families.join(", "));
    facts.word("origin", material.origin.clone().unwrap_or_default());
    facts.topic = Topic::Care;
    cautions(material, &mut facts);
    facts.topic = Topic::Shelf;
    for price in &material.prices {
        let per = price.grams.as_ref().map(|grams| match grams.text().as_str() {
            "1000" => " per kg".to_owned(),
            grams => format!(" per {grams} g"),
        });
        let money = coins(&price.money);
        facts.word("price", format!("{money} {}{}", price.currency, per.unwrap_or_default()));
    }
    for lot in &material.lots {
        let expires = lot.expires.map(|day| format!(", expires {day}")).unwrap_or_default();
        facts.word("lot", format!("{}{expires}", lot.number));
    }
    facts.all
}

fn with_unit(unit: &'static str) -> impl Fn(&Window) -> String {
    move |window| format!("{} {unit}", window.text())
}

fn in_a_formula(material: &Material, facts: &mut Facts) {
    facts.word("phase", material.phase.map_or("", PhaseKind::spelling));
    facts.each("usual share", &material.usage, percent);
    facts.each("not above", &material.not_above, |(celsius, why)| {
        if why.is_empty() { format!("{celsius} °C") } else { format!("{celsius} °C, because {why}") }
    });
    facts.each("works at pH", &material.works_at_ph, Window::text);
    facts.each("stable at pH", &material.stable_at_ph, Window::text);
    facts.word("works on", material.works_on.join(", "));
    facts.each("needs", &material.needs_of_oils, |share| format!("{} of the oils", percent(share)));
    facts.each("keeps water", &material.keeps_water, |share| format!("as {} of both", percent(share)));
    facts.each("oils it holds", &material.oils_at_most, percent);
    facts.each("HLB it has", &material.hlb, Window::text);
    let tables_of = |kind: &str| material.required_hlb.iter().filter(|figure| figure.value.1 == kind).count();
    for Figure { value: (window, kind), source } in &material.required_hlb {
        let of = if kind.is_empty() { String::new() } else { format!(" for {kind}") };
        let counts = source.standing == Standing::Default && tables_of(kind) > 1;
        let counts = if counts { ", which counts here" } else { "" };
        facts.put("HLB it needs", format!("{}{of}{counts}", window.text()), source);
    }
}

fn behaviour(material: &Material, facts: &mut Facts) {
    facts.word("soluble in", material.soluble_in.join(", "));
    facts.each("solubility", &material.solubility, |own| {
        let at = own.celsius.as_ref().map(|celsius| format!(" at {celsius} °C")).unwrap_or_default();
        match &own.grams_per_100_ml {
            Some(grams) => format!("{} g per 100 mL {}{at}", grams.text(), own.solvent),
            None if own.word == "miscible" => format!("miscible with {}{at}", own.solvent),
            None => format!("{} in {}{at}", own.word, own.solvent),
        }
    });
    facts.each("usual strength", &material.usual_strength, percent);
    facts.each("density", &material.density, with_unit("g/mL"));
    facts.each("one drop", &material.drop, with_unit("mg"));
    facts.each("melts at", &material.melts, with_unit("°C"));
    facts.each("charge", &material.charge, Clone::clone);
    facts.each("own pH", &material.own_ph, Window::text);
    facts.each("pKa", &material.pka, Exact::text);
    facts.each("molar mass", &material.molar_mass, |mass| format!("{mass} g/mol"));
}

fn cautions(material: &Material, facts: &mut Facts) {
    facts.each("not with", &material.incompatible, |clash| reasoned(&clash.partner(), &clash.because));
    facts.each("not for", &material.avoid, |avoid| reasoned(&avoid.what, &avoid.because));
    facts.each("phototoxic", &material.phototoxic, |own| match &own.limit {
        Some(limit) => format!("at most {} % in what stays on skin in the light", limit.percent()),
        None => "keep it out of what stays on skin in the light".to_owned(),
    });
    let spoilt = [("light", material.light_sensitive), ("air", material.air_sensitive)];
    let spoilt: Vec<&str> = spoilt.into_iter().filter(|(_, is)| *is).map(|(word, _)| word).collect();
    facts.word("spoilt by", spoilt.join(", "));
    facts.each("shelf life", &material.shelf_life_days, |days| format!("{days} days"));
}

/// Money to the cent.
pub fn coins(money: &Exact) -> String {
    let text = money.shown(2);
    let (whole, decimals) = text.split_once('.').unwrap_or((&text, ""));
    format!("{whole}.{decimals:0<2}")
}

fn reasoned(what: &str, because: &str) -> String {
    if because.is_empty() { what.to_owned() } else { format!("{what}, because {because}") }
}

fn percent(window: &Window) -> String {
    format!("{} %", window.scaled(&Exact::whole(100)).text())
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

fn is_unmeasured(part: &Part) -> bool {
    part.share.is_none() && !part.rest
}

/// Parts of which nobody says how much, together where they come from one place.
fn unmeasured(material: &Material, facts: &mut Facts) {
    let mut groups: Vec<(&Source, bool, Vec<&str>)> = Vec::new();
    for figure in material.contains.iter().filter(|figure| is_unmeasured(&figure.value)) {
        let part = &figure.value;
        match groups
            .iter_mut()
            .find(|(source, allergen, _)| **source == figure.source && *allergen == part.allergen)
        {
            Some((_, _, names)) => names.push(&part.name),
            None => groups.push((&figure.source, part.allergen, vec![&part.name])),
        }
    }
    for (source, allergen, names) in groups {
        let kind = if allergen { "allergens, share unknown" } else { "share unknown" };
        facts.put("contains", format!("{} ({kind})", names.join(", ")), source);
    }
}

/// `0.5 % as benzoic acid`; of which substance it is, where that is another than the material itself.
pub fn most(limit: &Limit, of: Option<&str>) -> String {
    let mut text = match &limit.ceiling {
        Ceiling::AtMost(most) => format!("{} %", most.percent()),
        Ceiling::NotAllowed => "not allowed".to_owned(),
        Ceiling::Free => "no limit".to_owned(),
    };
    if let Some(substance) = limit.counted_as.as_deref().or(of) {
        let _ = write!(text, " as {substance}");
    }
    if let Some(group) = &limit.group {
        let _ = write!(text, ", all {group} together");
    }
    text
}

/// For which products, persons and uses a limit or a duty holds.
pub fn conditions(conditions: &[Condition]) -> Vec<String> {
    let words = conditions.iter().map(|condition| match condition {
        Condition::Words(words) => words.join(" or "),
        Condition::NotIn(words) => format!("not in {}", words.join(" or ")),
        Condition::Under(years) => format!("under {years} years"),
        Condition::Inhalable => "where it can be breathed in".to_owned(),
        Condition::As(function) => format!("as {}", function_spelling(function)),
        Condition::AtPh(window) => format!("at pH {}", window.text()),
        Condition::AtLeast(least) => format!("from {} % on", least.percent()),
        Condition::Grade(grade) => grade.clone(),
        Condition::Unread(text) => text.clone(),
    });
    words.collect()
}

/// The days between which a limit holds; empty where it holds always.
pub fn days(limit: &Limit) -> String {
    match (limit.force.from, limit.force.until) {
        (Some(from), Some(until)) => format!("{from} to {until}"),
        (Some(from), None) => format!("from {from}"),
        (None, Some(until)) => format!("until {until}"),
        (None, None) => String::new(),
    }
}

/// The markets of a limit.
pub fn markets(limit: &Limit) -> String {
    let all = limit.force.markets.is_empty() || limit.force.markets.iter().any(|market| market == "all");
    if all { "all".to_owned() } else { limit.force.markets.join(", ") }
}
