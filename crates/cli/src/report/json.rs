//! Findings as JSON. Scripts rely on this form; the structs are apart from the desk's own, so that those can move.

use super::{Choice, Counts, Sheet};
use desk::{Date, Finding, Fix, Safety, Span};
use serde::Serialize;

#[derive(Serialize)]
struct Report<'a> {
    levigate: &'a str,
    law_as_of: String,
    findings: Vec<Told<'a>>,
    counts: Counts,
}

#[derive(Serialize)]
struct Told<'a> {
    rule: &'a str,
    level: &'a str,
    path: &'a str,
    line: u32,
    column: u32,
    end_line: u32,
    end_column: u32,
    block: &'a str,
    formula: Option<&'a str>,
    variant: Option<&'a str>,
    message: &'a str,
    help: Option<&'a str>,
    allowed: Option<&'a str>,
    sources: &'a [String],
    related: Vec<Other<'a>>,
    fixes: Vec<Change<'a>>,
    page: String,
}

#[derive(Serialize)]
struct Other<'a> {
    path: &'a str,
    line: u32,
    column: u32,
    message: &'a str,
}

#[derive(Serialize)]
struct Change<'a> {
    title: &'a str,
    safe: bool,
    edits: Vec<Piece<'a>>,
}

#[derive(Serialize)]
struct Piece<'a> {
    line: u32,
    column: u32,
    end_line: u32,
    end_column: u32,
    text: &'a str,
}

/// One object with all findings.
pub(crate) fn text(sheets: &[Sheet], choice: Choice, law_day: Date) -> String {
    let all = sheets.iter().flat_map(|sheet| sheet.findings.iter().map(move |finding| (sheet, finding)));
    let findings = all
        .clone()
        .filter(|(_, finding)| choice.allowed || finding.allowed.is_none())
        .map(|(sheet, finding)| told(sheet, finding))
        .collect();
    let report = Report {
        levigate: env!("CARGO_PKG_VERSION"),
        law_as_of: law_day.to_string(),
        findings,
        counts: Counts::of(all.map(|(_, finding)| finding)),
    };
    pretty(&report)
}

/// A value as JSON with a line end.
pub(crate) fn pretty(value: &impl Serialize) -> String {
    // Strings, numbers and lists: there is nothing in the structs that JSON cannot say.
    let mut text = serde_json::to_string_pretty(value).unwrap_or_default();
    text.push('\n');
    text
}

/// Line, column, end line, end column, from 1, columns in characters.
fn lines(sheet: &Sheet, span: Span) -> (u32, u32, u32, u32) {
    let (from, to) = (sheet.place(span.start), sheet.place(span.end));
    (from.line + 1, from.column + 1, to.line + 1, to.column + 1)
}

fn told<'a>(sheet: &'a Sheet, finding: &'a Finding) -> Told<'a> {
    let (line, column, end_line, end_column) = lines(sheet, finding.span);
    let related = finding.related.iter().map(|related| {
        let (line, column, ..) = lines(sheet, related.span);
        Other { path: &sheet.shown, line, column, message: &related.message }
    });
    Told {
        rule: finding.rule,
        level: finding.level.word(),
        path: &sheet.shown,
        line,
        column,
        end_line,
        end_column,
        block: &finding.block,
        formula: finding.formula.as_deref(),
        variant: finding.variant.as_deref(),
        message: &finding.message,
        help: finding.help.as_deref(),
        allowed: finding.allowed.as_deref(),
        sources: &finding.sources,
        related: related.collect(),
        fixes: finding.fixes.iter().map(|fix| change(sheet, fix)).collect(),
        page: format!("{}.md", finding.rule),
    }
}

fn change<'a>(sheet: &Sheet, fix: &'a Fix) -> Change<'a> {
    let edits = fix.edits.iter().map(|edit| {
        let (line, column, end_line, end_column) = lines(sheet, edit.span);
        Piece { line, column, end_line, end_column, text: &edit.text }
    });
    Change { title: &fix.title, safe: fix.safety == Safety::Safe, edits: edits.collect() }
}
