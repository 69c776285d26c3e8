//! From data to text. Nothing here reads, writes, or asks what day it is.

pub(crate) mod compared;
pub(crate) mod compared_findings;
pub(crate) mod compared_json;
pub(crate) mod compared_lines;
pub(crate) mod compared_markdown;
pub(crate) mod compared_text;
pub(crate) mod cost;
pub(crate) mod ingredient;
pub(crate) mod ingredient_json;
pub(crate) mod json;
pub(crate) mod label_html;
pub(crate) mod label_json;
pub(crate) mod label_markdown;
pub(crate) mod label_text;
pub(crate) mod mended;
pub(crate) mod page;
pub(crate) mod sheet_json;
pub(crate) mod sheet_text;
pub(crate) mod table;
pub(crate) mod terminal;
pub(crate) mod worked;

use desk::{Encoding, Finding, Level, LineIndex, Page, Place};

/// What is told of a file that was looked at. Of a clean one hardly anything is kept: there may be thousands.
pub(crate) struct Sheet {
    /// How it is called in messages.
    pub(crate) shown: String,
    /// The text; empty where nothing is found in it.
    pub(crate) text: String,
    index: LineIndex,
    /// All findings, silenced ones included, in order of place then rule.
    pub(crate) findings: Vec<Finding>,
}

impl Sheet {
    pub(crate) fn new(shown: &str, page: &Page) -> Sheet {
        let findings = page.findings();
        let text = if findings.is_empty() { String::new() } else { page.text() };
        Sheet { shown: shown.to_owned(), index: LineIndex::new(&text), text, findings }
    }

    /// Where a byte stands, columns in characters.
    pub(crate) fn place(&self, at: u32) -> Place {
        self.index.place(&self.text, at, Encoding::Utf32)
    }
}

/// Which findings are shown.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Choice {
    pub(crate) hints: bool,
    pub(crate) allowed: bool,
}

/// How many findings there are of each kind.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize)]
pub(crate) struct Counts {
    pub(crate) error: usize,
    pub(crate) warning: usize,
    pub(crate) note: usize,
    pub(crate) hint: usize,
    pub(crate) allowed: usize,
}

impl Counts {
    pub(crate) fn of<'a>(findings: impl Iterator<Item = &'a Finding>) -> Counts {
        let mut counts = Counts::default();
        for finding in findings {
            let slot = match (finding.allowed.is_some(), finding.level) {
                (true, _) => &mut counts.allowed,
                (_, Level::Error) => &mut counts.error,
                (_, Level::Warning) => &mut counts.warning,
                (_, Level::Note) => &mut counts.note,
                (_, Level::Hint) => &mut counts.hint,
            };
            *slot += 1;
        }
        counts
    }
}
