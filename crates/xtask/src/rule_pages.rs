//! The rules as pages of the user guide: one for each rule, and an overview that lists them by group.

use rules::{ALL, Check, Fixes, Group, Rule};
use std::fmt::Write;

/// Where the pages lie.
pub const FOLDER: &str = "grammar/guide/rules";

/// The pages: file name and text.
#[must_use]
pub fn rule_pages() -> Vec<(String, String)> {
    let mut pages: Vec<(String, String)> =
        ALL.iter().map(|rule| (format!("{}.md", rule.name), page(rule))).collect();
    pages.push(("README.md".to_owned(), overview()));
    pages
}

/// The groups in their order, one line a rule.
fn overview() -> String {
    let mut out = format!(
        "# All rules\n\n\
         The {} rules, by what they are about; each name leads to its page: what it finds and why, a formula on \
         which it\nspeaks, others on which it must not, what its fix does, and where its figures come from. The level is \
         the loudest\nthat a finding of the rule can be. [Findings and rules](../rules.md) says how to read one, and \
         how to set one aside.\n\n\
         `levigate explain RULE` shows the same page in the terminal, `levigate explain --all` the same list.\n\n\
         These pages are made from the rules' own files by `cargo xtask pages`.\n",
        ALL.len()
    );
    let mut group: Option<Group> = None;
    for rule in ALL.iter().copied() {
        if group != Some(rule.group) {
            group = Some(rule.group);
            let title = rule.group.title();
            let _ =
                write!(out, "\n## {title}\n\n| rule | finds | level | fixes |\n| --- | --- | --- | --- |\n");
        }
        let (name, finds) = (rule.name, rule.summary().replace('|', "\\|"));
        let _ =
            writeln!(out, "| [`{name}`]({name}.md) | {finds} | {} | {} |", rule.level.word(), fixes(rule));
    }
    out
}

fn fixes(rule: &Rule) -> &'static str {
    match rule.fixes {
        Fixes::None => "none",
        Fixes::Sometimes => "for some",
        Fixes::Always => "always",
    }
}

/// A rule's own page, with where it belongs and how to allow it.
fn page(rule: &Rule) -> String {
    let own = rule.page();
    let (title, body) = own.split_once("\n\n").unwrap_or((own.as_str(), ""));
    let group = rule.group.title();
    let anchor = group.to_lowercase().replace(',', "").replace(' ', "-");
    let level = match rule.level.word() {
        level @ "error" => format!("at most an {level}"),
        level => format!("at most a {level}"),
    };
    let fixes = match rule.fixes {
        Fixes::None => "no fix",
        Fixes::Sometimes => "a fix for some findings",
        Fixes::Always => "a fix for every finding",
    };
    format!(
        "{title}\n\n[All rules](README.md) · [{group}](README.md#{anchor}) · {level} · {fixes} · since {}\n\n\
         {}\n\n## Allow\n{}",
        rule.since,
        body.trim_end(),
        allow(rule),
    )
}

/// How to set a finding of the rule aside.
fn allow(rule: &Rule) -> String {
    let name = rule.name;
    let more = "[Allowing a finding](../rules.md#allowing-a-finding) has the rest.\n";
    let line = format!("```\nallow {name} because REASON\n```\n");
    match rule.check {
        Check::Engine => {
            "What is said of an `allow` line cannot be allowed itself: mend the line, or take it out.\n"
                .to_owned()
        }
        Check::Record(_) => format!("In the record:\n{line}{more}"),
        Check::FormulaAndRecord(..) => {
            format!("In the formula or in the record, whichever the finding is about:\n{line}{more}")
        }
        Check::Writing(_) | Check::Formula(_) => format!(
            "In the formula, for it and its variants:\n{line}Behind the ingredient's line, for that line alone: \
             `; allow {name} because REASON`.\n{more}"
        ),
    }
}
