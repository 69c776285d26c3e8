//! What is known of an ingredient, at a glance: each figure with where it comes from.

use super::table::{Stand, columns_of};
use crate::look::{Ink, Look, columns, harmless, wrap};
use desk::facts::{Known, Topic, conditions, days, document, known, markets, most, standing};
use desk::{LAW_READ_ON, Limit, Material, Source};
use std::fmt::Write;
use std::sync::Arc;

/// How wide a page is where the terminal does not say.
const WIDE: usize = 100;

/// A list: name, INCI name, functions.
pub(crate) fn list(materials: &[Arc<Material>], look: Look) -> String {
    let rows: Vec<Vec<String>> = materials
        .iter()
        .map(|material| {
            let inci = material.inci.clone().unwrap_or_default();
            vec![named(material), inci, functions(material)]
        })
        .collect();
    let fits = |line: &String| look.width.is_none_or(|width| columns(line) <= width);
    let lines = columns_of(&rows, &[Stand::Left, Stand::Left, Stand::Left]);
    if lines.iter().all(fits) {
        return lines.join("\n") + "\n";
    }
    // Too wide for the terminal: the functions alone beside the name.
    let rows: Vec<Vec<String>> =
        materials.iter().map(|material| vec![named(material), functions(material)]).collect();
    columns_of(&rows, &[Stand::Left, Stand::Left]).join("\n") + "\n"
}

fn named(material: &Material) -> String {
    harmless(&material.name)
}

fn functions(material: &Material) -> String {
    if material.ambiguous.is_empty() {
        material.functions.join(", ")
    } else {
        format!("ask for: {}", material.ambiguous.join(", "))
    }
}

/// Documents in the order in which they are quoted.
#[derive(Default)]
struct Sources(Vec<(String, bool)>);

impl Sources {
    /// The mark behind a figure: `[2]`, or how else it is founded.
    fn mark(&mut self, document: Option<&str>, standing: Option<&str>) -> String {
        match (document, standing) {
            (Some(text), standing) => {
                let own = (text.to_owned(), standing == Some("second-hand"));
                let at = self.0.iter().position(|known| *known == own).unwrap_or_else(|| {
                    self.0.push(own);
                    self.0.len() - 1
                });
                format!("[{}]", at + 1)
            }
            (None, Some("default")) => "(a default)".to_owned(),
            (None, Some(standing)) => format!("({standing})"),
            (None, None) => String::new(),
        }
    }

    fn of(&mut self, source: &Source) -> String {
        self.mark(document(source), Some(standing(source)))
    }
}

/// One ingredient in full.
///
/// `parts` are the substances that it counts as or contains: their limits hold for it, too.
pub(crate) fn text(material: &Material, parts: &[Arc<Material>], look: Look) -> String {
    let mut out = format!("{}\n", look.paint(Ink::Strong, &named(material)));
    if !material.ambiguous.is_empty() {
        out.push_str("\nThe name can mean several things. Ask for the one you mean:\n");
        for name in &material.ambiguous {
            let _ = writeln!(out, "  {}", harmless(name));
        }
        return out;
    }
    let mut sources = Sources::default();
    let facts = known(material);
    let names = names(material);
    let labels = names.iter().map(|(what, _)| *what).chain(facts.iter().map(|fact| fact.what));
    let widest = labels.map(columns).max().unwrap_or(0);
    for (what, value) in &names {
        line(&mut out, what, value, "", widest, look);
    }
    for topic in Topic::ALL {
        let own: Vec<&Known> = facts.iter().filter(|fact| fact.topic == topic).collect();
        if !own.is_empty() {
            heading(&mut out, topic.title(), look);
        }
        let mut last = "";
        for fact in own {
            let mark = sources.mark(fact.source.as_deref(), fact.standing);
            let what = if fact.what == last { "" } else { fact.what };
            last = fact.what;
            line(&mut out, what, &fact.value, &mark, widest, look);
        }
    }
    limits(material, parts, &mut sources, &mut out, look);
    duties(material, &mut sources, &mut out, look);
    if !sources.0.is_empty() {
        heading(&mut out, "Sources", look);
    }
    for (at, (text, second_hand)) in sources.0.iter().enumerate() {
        let number = format!("[{}]", at + 1);
        let hand = if *second_hand { ", at second hand" } else { "" };
        for (at, words) in look.wrap(&harmless(&format!("{text}{hand}")), 8).iter().enumerate() {
            let number = if at == 0 { number.as_str() } else { "" };
            let _ = writeln!(out, "  {number:<4}  {}", look.paint(Ink::Aside, words));
        }
    }
    out
}

fn names(material: &Material) -> Vec<(&'static str, String)> {
    let also: Vec<&str> =
        material.also.iter().map(String::as_str).filter(|name| *name != material.name).collect();
    let mut names = vec![
        ("INCI", material.inci.clone().unwrap_or_default()),
        ("also", also.join(", ")),
        ("CAS", material.cas.join(", ")),
        ("function", material.functions.join(", ")),
    ];
    if material.own {
        names.push(("described", "in a block of your own, which goes before the catalogue".to_owned()));
    }
    names.retain(|(_, value)| !value.is_empty());
    names
}

fn heading(out: &mut String, title: &str, look: Look) {
    let _ = writeln!(out, "\n{}", look.paint(Ink::Strong, title));
}

fn line(out: &mut String, what: &str, value: &str, mark: &str, widest: usize, look: Look) {
    let words = harmless(&format!("{value} {mark}"));
    for (at, words) in look.wrap(words.trim_end(), widest + 4).iter().enumerate() {
        let what = if at == 0 { what } else { "" };
        let words = match words.strip_suffix(mark) {
            Some(before) if !mark.is_empty() => format!("{before}{}", look.paint(Ink::Aside, mark)),
            _ => words.clone(),
        };
        let _ = writeln!(out, "  {}  {words}", look.paint(Ink::Label, &format!("{what:widest$}")));
    }
}

/// The limits of a material, then those of what it brings, each with the name of the substance where that is another.
pub(crate) fn all_limits<'a>(
    material: &'a Material,
    parts: &'a [Arc<Material>],
) -> Vec<(Option<&'a str>, &'a Limit)> {
    let own = material.limits.iter().map(|limit| (None, limit));
    let brought =
        parts.iter().flat_map(|part| part.limits.iter().map(move |limit| (Some(part.name.as_str()), limit)));
    own.chain(brought).collect()
}

/// A table that fits the page: the columns marked `true` are broken into lines where it would not.
fn table(out: &mut String, head: &[&str], rows: &[Vec<String>], breaks: &[bool], look: Look) {
    let width = look.width.unwrap_or(WIDE).max(40);
    let widest = |at: usize| {
        let cells = rows.iter().filter_map(|row| row.get(at)).map(|cell| columns(cell));
        cells.chain(head.get(at).map(|word| columns(word))).max().unwrap_or(0)
    };
    let fixed: usize = (0..head.len()).filter(|at| breaks.get(*at) == Some(&false)).map(widest).sum();
    let free = width.saturating_sub(fixed + 2 * head.len());
    let loose: Vec<usize> = (0..head.len()).filter(|at| breaks.get(*at) == Some(&true)).collect();
    let wanted: usize = loose.iter().map(|at| widest(*at)).sum();
    let room = |at: usize| {
        let own = widest(at);
        if wanted <= free { own } else { (own * free).checked_div(wanted).unwrap_or(own).max(12) }
    };
    // A column in which nobody says anything is left out.
    let shown: Vec<usize> = (0..head.len())
        .filter(|at| rows.iter().any(|row| row.get(*at).is_some_and(|cell| !cell.is_empty())))
        .collect();
    let pick =
        |row: &[String]| -> Vec<String> { shown.iter().filter_map(|at| row.get(*at).cloned()).collect() };
    let mut all: Vec<Vec<String>> = vec![head.iter().map(|word| (*word).to_owned()).collect()];
    for row in rows {
        let cells: Vec<Vec<String>> = row
            .iter()
            .enumerate()
            .map(|(at, cell)| if loose.contains(&at) { wrap(cell, room(at)) } else { vec![cell.clone()] })
            .collect();
        let height = cells.iter().map(Vec::len).max().unwrap_or(0);
        for line in 0..height {
            all.push(cells.iter().map(|cell| cell.get(line).cloned().unwrap_or_default()).collect());
        }
    }
    let all: Vec<Vec<String>> = all.iter().map(|row| pick(row)).collect();
    let stands = vec![Stand::Left; shown.len()];
    for (at, words) in columns_of(&all, &stands).iter().enumerate() {
        let words = if at == 0 { look.paint(Ink::Label, words) } else { words.clone() };
        let _ = writeln!(out, "  {words}");
    }
}

fn limits(material: &Material, parts: &[Arc<Material>], sources: &mut Sources, out: &mut String, look: Look) {
    let all = all_limits(material, parts);
    if all.is_empty() {
        return;
    }
    heading(out, &format!("Limits, as read on {LAW_READ_ON}"), look);
    let rows: Vec<Vec<String>> = all
        .iter()
        .map(|(of, limit)| {
            let conditions = conditions(&limit.conditions);
            let place = if conditions.is_empty() { "any product".to_owned() } else { conditions.join("; ") };
            vec![
                markets(limit),
                limit.force.rank.word().to_owned(),
                harmless(&place),
                harmless(&most(limit, *of)),
                days(limit),
                sources.of(&limit.source),
            ]
        })
        .collect();
    let head = ["market", "rank", "where", "at most", "when", "source"];
    table(out, &head, &rows, &[false, false, true, true, true, false], look);
    let others: Vec<&str> =
        material.groups.iter().map(String::as_str).filter(|group| *group != material.name).collect();
    if !others.is_empty() {
        let _ = writeln!(out, "  counted together with: {}", harmless(&others.join(", ")));
    }
}

fn duties(material: &Material, sources: &mut Sources, out: &mut String, look: Look) {
    if material.labels.is_empty() {
        return;
    }
    heading(out, "On the label", look);
    let rows: Vec<Vec<String>> = material
        .labels
        .iter()
        .map(|duty| {
            let above = duty.above.as_ref().map(|above| format!("above {} %", above.percent()));
            let when: Vec<String> = above.into_iter().chain(conditions(&duty.conditions)).collect();
            vec![harmless(&duty.text), harmless(&when.join("; ")), sources.of(&duty.source)]
        })
        .collect();
    table(out, &["words", "when", "source"], &rows, &[true, true, false], look);
}
