//! Fixes for the eye: what each does, and the lines that go and come.

use super::Counts;
use crate::look::{Ink, Look, counted, harmless};
use desk::{Hunk, Mending};
use std::fmt::Write;

/// One file's fixes, in the order in which they were made.
pub(crate) fn file(shown: &str, changes: &[Mending], look: Look) -> String {
    changes.iter().map(|one| change(shown, one, look) + "\n").collect()
}

fn change(shown: &str, one: &Mending, look: Look) -> String {
    let kind = format!("mended[{}]:", one.rule);
    let heading = format!("{kind} {}", harmless(&one.title));
    let text = look.wrap(&heading, 4).join("\n    ");
    let heading =
        text.strip_prefix(&kind).map_or_else(|| text.clone(), |rest| look.paint(Ink::Strong, &kind) + rest);
    format!("{heading}\n{}", hunks(shown, one.line, &one.hunks, look))
}

/// The lines of a fix in a frame, with their numbers; `line` is that of the finding.
pub(crate) fn hunks(shown: &str, line: u32, hunks: &[Hunk], look: Look) -> String {
    let last = hunks.iter().map(|hunk| hunk.line as usize + hunk.before.len().max(1)).max().unwrap_or(1);
    let margin = last.to_string().len() + 2;
    let frame =
        |text: &str| if look.color { format!("\u{1b}[38;5;246m{text}\u{1b}[0m") } else { text.to_owned() };
    let mut out = String::new();
    let blank = " ".repeat(margin);
    let _ = writeln!(out, "{}", frame(&format!("{blank}╭─[ {}:{} ]", harmless(shown), line + 1)));
    let _ = writeln!(out, "{}", frame(&format!("{blank}│")));
    for (at, hunk) in hunks.iter().enumerate() {
        if at > 0 {
            let _ = writeln!(out, "{}", frame(&format!("{blank}┆")));
        }
        for (number, text) in (hunk.line + 1..).zip(&hunk.before) {
            let edge = frame(&format!("{number:>width$} │", width = margin - 1));
            let _ = writeln!(out, "{edge} {}", look.paint(Ink::Gone, &format!("- {}", harmless(text))));
        }
        for text in &hunk.after {
            let edge = frame(&format!("{blank}│"));
            let _ = writeln!(out, "{edge} {}", look.paint(Ink::Come, &format!("+ {}", harmless(text))));
        }
    }
    let _ = writeln!(out, "{}", frame(&format!("{}╯", "─".repeat(margin))));
    out
}

/// `3 fixes in 2 of 14 files`
pub(crate) fn summary(fixes: usize, files: usize, of: usize) -> String {
    let place = if of > 1 { format!(" in {files} of {of} files") } else { String::new() };
    let fixes = if fixes == 1 { "1 fix".to_owned() } else { format!("{fixes} fixes") };
    format!("{fixes}{place}\n")
}

/// `1 error, 2 warnings` of what is left; empty where nothing is.
pub(crate) fn left(counts: Counts) -> String {
    let kinds =
        [(counts.error, "error"), (counts.warning, "warning"), (counts.note, "note"), (counts.hint, "hint")];
    let told: Vec<String> =
        kinds.into_iter().filter(|(count, _)| *count > 0).map(|(count, word)| counted(count, word)).collect();
    told.join(", ")
}
