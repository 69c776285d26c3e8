//! What changed between two texts, for the terminal.

use super::Choice;
use super::compared::{Told, sameness, told};
use super::compared_findings::{News, Shown, counts_line, shown};
use super::compared_lines::{Entry, Sign};
use crate::look::{Ink, Look, columns, harmless};
use desk::{Comparison, Page};
use std::fmt::Write;

/// How wide the column of verbs is.
const VERBS: usize = 12;

/// All that changed, the findings last; one line where nothing did.
pub(crate) fn text(comparison: &Comparison, pages: (&Page, &Page), choice: Choice, look: Look) -> String {
    let mut pieces: Vec<String> = told(comparison).iter().map(|one| block(one, look)).collect();
    let news = shown(comparison, pages, choice);
    if !news.is_empty() {
        pieces.push(findings(&news, look));
    }
    if pieces.is_empty() {
        return format!("{}\n", sameness(comparison));
    }
    pieces.join("\n")
}

fn block(told: &Told, look: Look) -> String {
    let mut out = String::new();
    for line in look.wrap(&harmless(&told.title), 0) {
        let _ = writeln!(out, "{}", look.paint(Ink::Strong, &line));
    }
    for section in &told.sections {
        if !section.heading.is_empty() {
            let _ = writeln!(out, "  {}", look.paint(Ink::Label, &harmless(&section.heading)));
        }
        for one in &section.entries {
            out.push_str(&entry(one, look));
        }
    }
    out
}

fn entry(entry: &Entry, look: Look) -> String {
    let what = harmless(&entry.what);
    let colon = if what.is_empty() || entry.detail.is_empty() { "" } else { ": " };
    let words = format!("{what}{colon}{}", harmless(&entry.detail));
    let was = entry.was.as_ref().map(|was| format!("was: {}", harmless(was)));
    let verb = entry.verb;
    let ink = match entry.sign {
        Sign::Come => Some(Ink::Come),
        Sign::Gone => Some(Ink::Gone),
        Sign::Other => None,
    };
    let mut out = String::new();
    let lines = look.wrap(&words, 4 + VERBS).into_iter();
    let lines = lines.chain(was.into_iter().flat_map(|was| look.wrap(&was, 4 + VERBS)));
    for (at, line) in lines.enumerate() {
        let lead = if at == 0 { verb } else { "" };
        let gap = " ".repeat(VERBS.saturating_sub(columns(lead)));
        let text = format!("{lead}{gap}{line}");
        let _ = writeln!(out, "    {}", ink.map_or_else(|| text.clone(), |ink| look.paint(ink, &text)));
    }
    out
}

fn findings(news: &[Shown<'_>], look: Look) -> String {
    let mut out = format!("{}\n", look.paint(Ink::Strong, "findings"));
    for one in news {
        let ink = match one.news {
            News::Came => Some(Ink::Come),
            News::Went | News::Allowed => Some(Ink::Gone),
            News::Level | News::Figures => None,
        };
        let _ = writeln!(out, "  {}", look.paint(ink.unwrap_or(Ink::Strong), &one.heading()));
        for line in look.wrap(&harmless(&one.finding.message), 6) {
            let _ = writeln!(out, "      {line}");
        }
        if let Some(remark) = &one.remark {
            for line in look.wrap(&harmless(remark), 6) {
                let _ = writeln!(out, "      {}", look.paint(Ink::Aside, &line));
            }
        }
    }
    let _ = writeln!(out, "{}", counts_line(news));
    out
}
