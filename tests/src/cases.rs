//! Small formulas by topic, each with all that must be said of it at note or above, and nothing else.
//!
//! A file of `corpus/cases` holds many cases. Each begins with a line `## name`, then comment lines that say what is
//! expected, then its own text (a formula, with ingredient or workshop blocks where it needs them):
//!
//! - `# tells RULE LEVEL` for each finding, in any order; none for a case that must stay silent
//! - `# tells nothing` for a silent case
//! - `# not RULE, RULE`: rules that may not even hint
//! - `# on DATE`: the day whose law counts, where it is not the usual one

use crate::{LAW_DAY, findings_on};
use desk::{Level, rule};
use std::path::Path;

pub(crate) struct Expected {
    pub(crate) place: String,
    tells: Vec<String>,
    never: Vec<String>,
    day: String,
    pub(crate) text: String,
}

fn cases(name: &str, text: &str) -> Vec<Expected> {
    let mut cases: Vec<Expected> = Vec::new();
    for line in text.lines() {
        if let Some(title) = line.strip_prefix("## ") {
            cases.push(Expected {
                place: format!("{name}: {title}"),
                tells: Vec::new(),
                never: Vec::new(),
                day: LAW_DAY.to_owned(),
                text: String::new(),
            });
            continue;
        }
        let Some(case) = cases.last_mut() else {
            assert!(line.is_empty() || line.starts_with('#'), "{name}: `{line}` before the first case");
            continue;
        };
        if let Some(told) = line.strip_prefix("# tells ") {
            case.tells.push(told.to_owned());
        } else if let Some(rules) = line.strip_prefix("# not ") {
            case.never.extend(rules.split(", ").map(str::to_owned));
        } else if let Some(day) = line.strip_prefix("# on ") {
            day.clone_into(&mut case.day);
        } else {
            case.text.push_str(line);
            case.text.push('\n');
        }
    }
    cases
}

/// What is wrong with a case; none where it holds.
fn fault(case: &Expected) -> Option<String> {
    let findings = findings_on(&case.text, &case.day);
    let mut told: Vec<(String, &str)> = findings
        .iter()
        .filter(|finding| finding.level > Level::Hint)
        .map(|f| (format!("{} {}", f.rule, f.level.word()), f.message.as_str()))
        .collect();
    told.sort_unstable();
    let mut wanted: Vec<&str> = case.tells.iter().map(String::as_str).filter(|t| *t != "nothing").collect();
    wanted.sort_unstable();
    let hinted = findings.iter().find(|finding| case.never.iter().any(|rule| rule == finding.rule));
    let alike = told.iter().map(|(told, _)| told.as_str()).eq(wanted.iter().copied());
    (!alike || hinted.is_some()).then(|| {
        let hint = hinted.map_or_else(String::new, |f| format!("\n  hints {}: {}", f.rule, f.message));
        let said: Vec<String> = told.iter().map(|(told, message)| format!("\n  {told}: {message}")).collect();
        format!("{}\n  wanted {wanted:?}, told:{}{hint}", case.place, said.concat())
    })
}

/// The texts of all cases.
pub(crate) fn texts() -> Vec<String> {
    let all = ["cases", "official"].into_iter().flat_map(of_folder);
    all.map(|case| case.text).collect()
}

/// The cases of a folder of the corpus.
pub(crate) fn of_folder(name: &str) -> Vec<Expected> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("corpus").join(name);
    let mut files: Vec<_> =
        std::fs::read_dir(folder).expect("the folder").map(|entry| entry.expect("an entry").path()).collect();
    files.sort();
    let mut all = Vec::new();
    for file in files {
        let name = file.file_name().unwrap_or_default().to_string_lossy().into_owned();
        all.extend(cases(&name, &std::fs::read_to_string(&file).expect("a text")));
    }
    all
}

/// Asserts that each case says what it expects, and that it is told that and no more.
pub(crate) fn hold(all: &[Expected]) {
    for case in all {
        assert!(!case.tells.is_empty(), "{}: nothing is expected, not even nothing", case.place);
        for rule_name in case
            .tells
            .iter()
            .filter_map(|told| told.split(' ').next())
            .chain(case.never.iter().map(String::as_str))
        {
            assert!(
                rule_name == "nothing" || rule(rule_name).is_some(),
                "{}: no rule {rule_name}",
                case.place
            );
        }
    }
    let faults: Vec<String> = all.iter().filter_map(fault).collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn each_case_says_what_it_must_and_no_more() {
    let all = of_folder("cases");
    hold(&all);
    assert!(all.len() >= 350, "{} cases are few", all.len());
    let silent = all.iter().filter(|case| case.tells.iter().all(|told| told == "nothing")).count();
    assert!(silent * 5 >= all.len() * 2, "{silent} of {} are silent: too few", all.len());
}
