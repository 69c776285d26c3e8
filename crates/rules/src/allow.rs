//! `allow` lines and qualifiers: what they silence, and those that say nothing, name nothing, or do nothing.

use crate::engine::{rule, rule_name};
use crate::findings::{Findings, Raised};
use crate::rules::{ALLOW_UNKNOWN, ALLOW_UNUSED};
use formula::{Known, Resolved};
use notation::{Block, BlockKind, Date, Span, Word, fold, list_words, nearest};

/// One suppression: where it stands, what it silences, and where.
struct Allow {
    span: Span,
    /// Rule names with the places where they stand.
    rules: Vec<(String, Span)>,
    because: String,
    /// The line it is tied to; none for the whole block.
    line: Option<Span>,
    until: Option<Date>,
    used: Vec<bool>,
}

pub(crate) fn apply(
    block: &Block,
    resolved: Option<&Resolved>,
    raised: &mut Vec<Raised>,
    known: &dyn Known,
    law_day: Date,
) {
    let mut allows = written(block, resolved);
    for raised in raised.iter_mut() {
        let told = rule_name(raised.finding.rule);
        for allow in &mut allows {
            let here = allow.line.is_none_or(|line| {
                line.start <= raised.finding.span.start && raised.finding.span.end <= line.end
            });
            let alive = allow.until.is_none_or(|until| law_day <= until);
            let Some(at) = allow.rules.iter().position(|(name, _)| rule_name(name) == told) else { continue };
            if here && alive {
                if let Some(used) = allow.used.get_mut(at) {
                    *used = true;
                }
                raised.finding.allowed.get_or_insert_with(|| allow.because.clone());
            }
        }
        let house = known
            .settings()
            .allows
            .iter()
            .find(|allow| allow.rules.iter().any(|name| rule_name(name) == told));
        if let Some(house) = house {
            raised.finding.allowed.get_or_insert_with(|| house.because.clone());
        }
    }
    let mut own = Vec::new();
    for allow in &allows {
        tell(allow, law_day, &mut own);
    }
    if let Some(workshop) = (block.kind == BlockKind::Workshop).then_some(block) {
        unknown_in_workshop(workshop, &mut own);
    }
    for raised in &mut own {
        block.name().clone_into(&mut raised.finding.block);
        if resolved.is_some() {
            raised.finding.formula = Some(block.name().to_owned());
        }
    }
    raised.extend(own);
}

fn written(block: &Block, resolved: Option<&Resolved>) -> Vec<Allow> {
    let mut allows = Vec::new();
    // What a workshop allows, its formulas are told.
    if block.kind == BlockKind::Workshop {
        return allows;
    }
    for (line, fact) in block.facts(Word::Allow) {
        let Some(because) = fact.because else { continue };
        let (because, until) = dated(block.at(because));
        let rules = names(block, fact.rest);
        let used = vec![false; rules.len()];
        allows.push(Allow { span: line.span, rules, because, line: None, until, used });
    }
    let formulas = resolved
        .into_iter()
        .flat_map(|resolved| std::iter::once(&resolved.formula).chain(&resolved.variants));
    for item in formulas.flat_map(|formula| &formula.items) {
        for (rules, because, span) in &item.allows {
            if allows.iter().any(|allow| allow.span == *span) {
                continue;
            }
            let (because, until) = dated(because);
            let rules: Vec<(String, Span)> = rules.iter().map(|rule| (rule.clone(), *span)).collect();
            let used = vec![false; rules.len()];
            allows.push(Allow { span: *span, rules, because, line: Some(item.span), until, used });
        }
    }
    allows
}

fn names(block: &Block, span: Span) -> Vec<(String, Span)> {
    list_words(&block.text, span).into_iter().map(|span| (fold(block.at(span)), span)).collect()
}

/// A reason that ends in `until DATE`.
fn dated(because: &str) -> (String, Option<Date>) {
    match because.rsplit_once(" until ") {
        Some((reason, date)) if Date::read(date).is_ok() => (reason.trim().to_owned(), Date::read(date).ok()),
        _ => (because.to_owned(), None),
    }
}

fn tell(allow: &Allow, law_day: Date, own: &mut Vec<Raised>) {
    for ((name, span), used) in allow.rules.iter().zip(&allow.used) {
        if rule(name).is_none() {
            unknown(name, *span, own);
        } else if !used {
            let message = match allow.until {
                Some(until) if until < law_day => format!("`allow {name}` ran out on {until}"),
                _ => format!("`allow {name}` silences nothing: there is no such finding here"),
            };
            let help =
                "Take the name out, or the whole line, so that a later finding is not silenced unseen.";
            let _ = Findings::of(&ALLOW_UNUSED, own).add(*span, message).help(help).subject(name.clone());
        }
    }
}

fn unknown(name: &str, span: Span, own: &mut Vec<Raised>) {
    let near = nearest(name, crate::rules::ALL.iter().map(|rule| rule.name), 3);
    let message = format!("no rule is called `{name}`");
    let mut out = Findings::of(&ALLOW_UNKNOWN, own);
    let adding = out.add(span, message).subject(name.to_owned());
    let _ = match near {
        Some(near) => adding
            .help(format!("Did you mean `{near}`? `levigate explain --all` lists the rules."))
            .replace(format!("Write `{near}`"), span, near),
        None => adding.help("`levigate explain --all` lists the rules."),
    };
}

fn unknown_in_workshop(block: &Block, own: &mut Vec<Raised>) {
    for (_, fact) in block.facts(Word::Allow) {
        for (name, span) in names(block, fact.rest) {
            if rule(&name).is_none() {
                unknown(&name, span, own);
            }
        }
    }
    for (_, fact) in block.facts(Word::Treat) {
        let Some((name, _)) = block.at(fact.rest).split_once(" as ") else { continue };
        if rule(name).is_none() {
            unknown(&fold(name), fact.rest, own);
        }
    }
}
