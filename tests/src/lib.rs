//! Tests that look at the house from outside: rule pages, corpus, command lines, sessions, and the figures of the
//! outside world. One test binary for all of them.

use desk::{Date, Desk, Finding, Level, MemoryShelf, Page};
use std::path::Path;
use std::sync::Arc;

/// The day whose law the tests use.
pub const LAW_DAY: &str = "2026-11-24";

/// A page for a text, with no other file around it.
///
/// # Panics
/// When the desk has no page for an open text.
#[expect(clippy::expect_used, reason = "a test helper")]
pub fn page_on(text: &str, day: &str) -> Arc<Page> {
    let mut desk = Desk::new(Arc::new(MemoryShelf::default()), Date::read(day).expect("a day"));
    let path = Path::new("test.formula");
    desk.open(path, text.to_owned());
    desk.page(path).expect("a page")
}

/// What is found in a text and not allowed by it.
pub fn findings(text: &str) -> Vec<Finding> {
    findings_on(text, LAW_DAY)
}

/// What is found in a text by the law of a day.
pub fn findings_on(text: &str, day: &str) -> Vec<Finding> {
    page_on(text, day).findings().into_iter().filter(|finding| finding.allowed.is_none()).collect()
}

/// `rule level` of each finding, without hints.
pub fn told(text: &str) -> Vec<String> {
    told_on(text, LAW_DAY)
}

/// `rule level` of each finding by the law of a day, without hints.
pub fn told_on(text: &str, day: &str) -> Vec<String> {
    findings_on(text, day)
        .into_iter()
        .filter(|finding| finding.level > Level::Hint)
        .map(|finding| format!("{} {}", finding.rule, finding.level.word()))
        .collect()
}

#[cfg(test)]
mod acting;
#[cfg(test)]
mod amounts;
#[cfg(test)]
mod around;
#[cfg(test)]
mod asked;
#[cfg(test)]
mod cards;
#[cfg(test)]
mod cases;
#[cfg(test)]
mod compare;
#[cfg(test)]
mod complete;
#[cfg(test)]
mod corpus;
#[cfg(test)]
mod dissolving;
#[cfg(test)]
mod editor;
#[cfg(test)]
mod edits;
#[cfg(test)]
mod emulsion;
#[cfg(test)]
mod glances;
#[cfg(test)]
mod heat;
#[cfg(test)]
mod ingredient_list;
#[cfg(test)]
mod keeping;
#[cfg(test)]
mod labels;
#[cfg(test)]
mod law;
#[cfg(test)]
mod making;
#[cfg(test)]
mod mending;
#[cfg(test)]
mod official;
#[cfg(test)]
mod pages;
#[cfg(test)]
mod people;
#[cfg(test)]
mod ph;
#[cfg(test)]
mod places;
#[cfg(test)]
mod preservation;
#[cfg(test)]
mod quiet;
#[cfg(test)]
mod reading;
#[cfg(test)]
mod records;
#[cfg(test)]
mod reference;
#[cfg(test)]
mod sessions;
#[cfg(test)]
mod shape;
#[cfg(test)]
mod steady;
#[cfg(test)]
mod sun;
#[cfg(test)]
mod workspace;
