//! A label in Markdown: the block as a quotation, the notes as lists.

use super::label_text::{title, unknown};
use crate::look::harmless;
use desk::Label;
use std::fmt::Write;

/// The labels one under the other.
pub(crate) fn text(labels: &[Label<'_>], others: &[&str]) -> String {
    let mut all: Vec<String> = labels.iter().map(label).collect();
    if !others.is_empty() {
        all.push(format!("{}\n", plain(&format!("No label: {}.", unknown(others)))));
    }
    harmless(&all.join("\n"))
}

fn label(label: &Label<'_>) -> String {
    let mut out = format!("# {}\n\n", plain(&title(label)));
    let block: Vec<String> = label.block().iter().map(|line| format!("> {}\n", plain(line))).collect();
    let _ = writeln!(out, "{}\nNot part of the label:", block.join(">\n"));
    for section in label.notes() {
        let _ = writeln!(out, "\n## {}\n", section.title);
        for line in &section.lines {
            let _ = writeln!(out, "- {}", plain(line));
        }
    }
    out
}

/// A text whose marks mean nothing: one line, no emphasis, no links, no HTML.
fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if matches!(c, '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '#' | '|' | '~' | '&') {
            out.push('\\');
        }
        out.push(c);
    }
    out
}
