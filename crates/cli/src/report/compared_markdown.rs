//! What changed between two texts, as Markdown: for a remark on a request to merge.

use super::Choice;
use super::compared::{sameness, told};
use super::compared_findings::{counts_line, shown};
use super::compared_lines::Entry;
use desk::{Comparison, Page};
use std::fmt::Write;

/// All that changed, the findings last; one line where nothing did.
pub(crate) fn text(comparison: &Comparison, pages: (&Page, &Page), choice: Choice) -> String {
    let mut out = String::new();
    for told in told(comparison) {
        let _ = writeln!(out, "### {}\n", plain(&told.title));
        for section in &told.sections {
            let under = if section.heading.is_empty() { "" } else { "  " };
            if !section.heading.is_empty() {
                let _ = writeln!(out, "- {}", plain(&section.heading));
            }
            for entry in &section.entries {
                let _ = writeln!(out, "{under}- {}", item(entry));
            }
        }
        if !told.sections.is_empty() {
            out.push('\n');
        }
    }
    let news = shown(comparison, pages, choice);
    if !news.is_empty() {
        out.push_str("### Findings\n\n");
        for one in &news {
            let remark = one.remark.as_ref().map(|remark| format!(" ({})", plain(remark)));
            let (lead, tail) = one.around();
            let (level, rule) = (one.finding.level.word(), one.finding.rule);
            let message = plain(&one.finding.message);
            let remark = remark.unwrap_or_default();
            let _ = writeln!(out, "- {lead}: **{level}** `{rule}`{}: {message}{remark}", plain(&tail));
        }
        let _ = writeln!(out, "\n{}", counts_line(&news));
    }
    if out.is_empty() { format!("{}\n", sameness(comparison)) } else { out.trim_end().to_owned() + "\n" }
}

/// `**glycerin** raised: 5 % → 7 %`
fn item(entry: &Entry) -> String {
    let mut words: Vec<String> = Vec::new();
    if !entry.what.is_empty() {
        words.push(format!("**{}**", plain(&entry.what)));
    }
    if !entry.verb.is_empty() {
        words.push(entry.verb.to_owned());
    }
    let was = entry.was.as_ref().map(|was| format!(" (was: {})", plain(was))).unwrap_or_default();
    format!("{}: {}{was}", words.join(" "), plain(&entry.detail))
}

/// A text in which nothing means anything to Markdown.
fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '#' | '|' | '~' | '&' | '$' => {
                out.push('\\');
                out.push(c);
            }
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_no_markdown() {
        assert_eq!(plain("C_12 *new* <b>|"), "C\\_12 \\*new\\* \\<b\\>\\|");
    }
}
