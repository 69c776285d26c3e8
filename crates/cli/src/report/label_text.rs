//! A label for the eye: a block to copy, then what is no part of it. The block is never broken into lines, so that it can
//! be copied whole.

use crate::look::{harmless, wrap};
use desk::Label;
use std::fmt::Write;

/// Columns of the notes.
const WIDE: usize = 96;
/// What stands above and below the block.
const RULE: &str = "────────────────────────────────────────";

/// What is said of markets of which no label is known.
pub(crate) fn unknown(others: &[&str]) -> String {
    format!("what a label needs is known for the EU, the UK and the US, not for {}", others.join(", "))
}

/// The labels one under the other.
pub(crate) fn text(labels: &[Label<'_>], others: &[&str]) -> String {
    let mut all: Vec<String> = labels.iter().map(label).collect();
    if !others.is_empty() {
        all.push(format!("No label: {}.\n", unknown(others)));
    }
    harmless(&all.join("\n"))
}

/// `Hand cream, version 3, variant unscented: label for the EU`
pub(crate) fn title(label: &Label<'_>) -> String {
    let mut title = label.formula.name.clone();
    if let Some((version, _)) = &label.formula.header.version {
        let _ = write!(title, ", version {version}");
    }
    if let Some((variant, _)) = &label.formula.variant {
        let _ = write!(title, ", variant {variant}");
    }
    let _ = write!(title, ": label for the {}", label.market.code());
    title
}

fn label(label: &Label<'_>) -> String {
    let mut out = format!("{}\n\n{RULE}\n", title(label));
    for line in label.block() {
        let _ = writeln!(out, "{line}");
    }
    let _ = writeln!(out, "{RULE}\n\nNot part of the label:");
    for section in label.notes() {
        let _ = writeln!(out, "\n{}", section.title);
        for line in &section.lines {
            for (at, part) in wrap(line, WIDE - 4).iter().enumerate() {
                let _ = writeln!(out, "  {} {part}", if at == 0 { "-" } else { " " });
            }
        }
    }
    out
}
