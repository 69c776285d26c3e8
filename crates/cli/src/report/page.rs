//! Rule pages and the list of rules.

use crate::look::{Ink, Look, columns, wrap};
use desk::{Group, Rule};
use std::fmt::Write;

/// Lines longer than this are tiring to read.
const WIDEST: usize = 88;

/// A Markdown page for the terminal.
pub(crate) fn text(markdown: &str, look: Look) -> String {
    let width = look.width.unwrap_or(WIDEST).min(WIDEST);
    let mut out = Out { text: String::new(), paragraph: String::new(), hang: 0, width };
    let mut fenced = false;
    for line in markdown.lines() {
        if line.starts_with("```") {
            out.end_paragraph();
            fenced = !fenced;
        } else if fenced {
            out.line(&look.paint(Ink::Aside, &format!("    {line}")));
        } else if let Some(heading) = line.strip_prefix("# ").or_else(|| line.strip_prefix("## ")) {
            out.end_paragraph();
            out.gap();
            out.line(&look.paint(Ink::Strong, heading));
            if line.starts_with("# ") {
                out.gap();
            }
        } else if line.trim().is_empty() {
            out.end_paragraph();
            out.gap();
        } else {
            if line.starts_with("- ") {
                out.end_paragraph();
                out.hang = 2;
            }
            out.paragraph.push_str(line.trim());
            out.paragraph.push(' ');
        }
    }
    out.end_paragraph();
    out.text
}

struct Out {
    text: String,
    paragraph: String,
    /// Columns by which the lines after the first of a paragraph stand in.
    hang: usize,
    width: usize,
}

impl Out {
    fn line(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }

    fn gap(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with("\n\n") {
            self.text.push('\n');
        }
    }

    fn end_paragraph(&mut self) {
        let paragraph = std::mem::take(&mut self.paragraph);
        let hang = std::mem::take(&mut self.hang);
        if paragraph.is_empty() {
            return;
        }
        for (at, line) in wrap(&paragraph, self.width - hang).into_iter().enumerate() {
            let indent = if at == 0 { 0 } else { hang };
            self.line(&format!("{:indent$}{line}", ""));
        }
    }
}

/// All rules under the headings of their groups.
pub(crate) fn list(rules: &[&Rule], look: Look) -> String {
    let widest = rules.iter().map(|rule| columns(rule.name)).max().unwrap_or(0);
    let mut out = String::new();
    let mut group: Option<Group> = None;
    for rule in rules {
        if group != Some(rule.group) {
            let gap = if group.is_some() { "\n" } else { "" };
            let _ = writeln!(out, "{gap}{}", look.paint(Ink::Strong, rule.group.title()));
            group = Some(rule.group);
        }
        let name = look.paint(Ink::Label, &format!("{:widest$}", rule.name));
        let taken = widest + 13;
        for (at, line) in look.wrap(rule.summary(), taken).into_iter().enumerate() {
            if at == 0 {
                let _ = writeln!(out, "  {name}  {:7}  {line}", rule.level.word());
            } else {
                let _ = writeln!(out, "{:taken$}{line}", "");
            }
        }
    }
    out
}

/// All rules as a Markdown table.
pub(crate) fn markdown_list(rules: &[&Rule]) -> String {
    let mut out = "| rule | level | finds |\n| --- | --- | --- |\n".to_owned();
    for rule in rules {
        let summary = rule.summary().replace('|', "\\|");
        let _ = writeln!(out, "| `{}` | {} | {summary} |", rule.name, rule.level.word());
    }
    out
}
