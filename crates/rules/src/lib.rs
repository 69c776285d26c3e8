//! What is **wrong** with a formula: the rules, each a page and a check in one file, and the engine that runs them.
//!
//! Rules see a [`Case`] and nothing else: no file, no clock, no editor. What every finding has to keep (silence first,
//! no louder than the weakest figure, one cause one finding) is done here once, in the engine, not in each rule.

mod allow;
mod amounts;
mod card;
mod case;
mod chains;
mod changes;
mod diet;
mod emulsions;
mod engine;
mod finding;
mod findings;
mod heat;
mod labels;
mod law;
mod method;
mod people;
mod premixes;
mod records;
mod rules;
mod usual;
mod wording;
mod words;

pub use card::{Check, Fixes, Group, Rule};
pub use case::{Case, Made, Writing};
pub use changes::line_below;
pub use engine::{Reviewed, review, rule};
pub use finding::{Finding, Fix, Level, Related, Safety};
pub use findings::{Adding, Findings};
pub use labels::entries;
pub use rules::ALL;

/// The table of all rules, as Markdown: what `RULES.md` holds.
pub fn table() -> String {
    use std::fmt::Write;
    let mut out = String::from(
        "# The rules\n\nMade by `cargo xtask pages` from the pages in the rules' own files; a test keeps it \
         true.\n\
         `levigate explain RULE` shows a rule's page.\n",
    );
    let mut group = None;
    for rule in ALL.iter().copied() {
        if group != Some(rule.group) {
            group = Some(rule.group);
            let _ =
                write!(out, "\n## {}\n\n| rule | finds | level |\n| --- | --- | --- |\n", rule.group.title());
        }
        let _ = writeln!(out, "| `{}` | {} | {} |", rule.name, rule.summary(), rule.level.word());
    }
    out
}
