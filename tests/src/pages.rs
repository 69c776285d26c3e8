//! Every rule's page: its sections, and its examples run as tests.

use crate::mending::fixes::faults;
use crate::{LAW_DAY, findings, page_on};
use desk::{RULES, Rule};
use std::fmt::Write;
use std::path::Path;

const SECTIONS: [&str; 4] = ["## Why", "## Fires", "## Quiet", "## Fix"];

/// The fenced formulas of a section.
fn examples(page: &str, section: &str) -> Vec<String> {
    let mut inside = false;
    let mut fence: Option<String> = None;
    let mut found = Vec::new();
    for line in page.lines() {
        if let Some(text) = &mut fence {
            if line == "```" {
                found.extend(fence.take());
            } else {
                text.push_str(line);
                text.push('\n');
            }
        } else if line.starts_with("## ") {
            inside = line == section;
        } else if inside && line == "```formula" {
            fence = Some(String::new());
        }
    }
    found
}

/// The formulas of all pages on which a rule speaks.
pub(crate) fn fires() -> Vec<String> {
    RULES.iter().flat_map(|rule| examples(&rule.page(), "## Fires")).collect()
}

fn name_of(rule: &Rule) -> &'static str {
    rule.name
}

fn told(text: &str) -> String {
    let lines: Vec<String> = findings(text)
        .iter()
        .map(|f| {
            format!("  {} {}: {} [{}]", f.rule, f.level.word(), f.message, f.help.clone().unwrap_or_default())
        })
        .collect();
    lines.join("\n")
}

#[test]
fn sections_stand_in_order() {
    for rule in RULES {
        let page = rule.page();
        let places: Vec<usize> = SECTIONS
            .iter()
            .map(|section| {
                page.find(&format!("\n{section}\n")).unwrap_or_else(|| panic!("{}: no {section}", rule.name))
            })
            .collect();
        assert!(places.is_sorted(), "{}: sections out of order", rule.name);
        assert!(rule.summary().ends_with('.'), "{}: the first line is a sentence", rule.name);
    }
}

#[test]
fn names_are_unique_and_kebab_case() {
    let mut names: Vec<&str> = RULES.iter().map(|rule| name_of(rule)).collect();
    for name in &names {
        assert!(name.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-'), "{name}");
    }
    names.sort_unstable();
    let before = names.len();
    names.dedup();
    assert_eq!(names.len(), before);
}

#[test]
fn fires_exactly_once() {
    let mut wrong = Vec::new();
    for rule in RULES {
        let examples = examples(&rule.page(), "## Fires");
        if examples.is_empty() {
            wrong.push(format!("{}: no example", rule.name));
        }
        for text in examples {
            let count = findings(&text).iter().filter(|finding| finding.rule == rule.name).count();
            if count != 1 {
                wrong.push(format!("{}: fires {count} times on\n{text}found:\n{}", rule.name, told(&text)));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}

#[test]
fn stays_quiet() {
    let mut wrong = Vec::new();
    for rule in RULES {
        let examples = examples(&rule.page(), "## Quiet");
        if examples.is_empty() {
            wrong.push(format!("{}: no quiet example", rule.name));
        }
        for text in examples {
            if !findings(&text).is_empty() {
                wrong.push(format!("{}: not quiet on\n{text}found:\n{}", rule.name, told(&text)));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}

#[test]
fn fixes_settle_in_one_go() {
    let mut wrong = Vec::new();
    for rule in RULES {
        let mut offered = 0;
        for text in examples(&rule.page(), "## Fires") {
            let page = page_on(&text, LAW_DAY);
            for finding in page.findings().iter().filter(|finding| finding.rule == rule.name) {
                for fix in &finding.fixes {
                    offered += 1;
                    wrong.extend(faults(&text, finding, fix));
                    // On its own page it settles all that the rule finds.
                    let after = fix.edits.apply(&text);
                    if findings(&after).iter().any(|f| f.rule == rule.name) {
                        wrong.push(format!("{}: `{}` does not settle\n{after}", rule.name, fix.title));
                    }
                }
            }
        }
        let declared = format!("{:?}", rule.fixes);
        if declared == "None" && offered > 0 || declared == "Always" && offered == 0 {
            wrong.push(format!("{}: declares {declared} and offers {offered} fixes", rule.name));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}

/// What each rule's first example says, word for word: place, message, help, sources, and what its fixes write.
#[test]
fn each_message_as_it_is_told() {
    let mut all = String::new();
    for rule in RULES {
        let Some(text) = examples(&rule.page(), "## Fires").into_iter().next() else { continue };
        let page = page_on(&text, LAW_DAY);
        let finding =
            page.findings().into_iter().find(|finding| finding.rule == rule.name).expect("it fires");
        let place = page.place(finding.span.start, desk::Encoding::Utf32);
        let under = finding.span.of(&text);
        let _ = writeln!(all, "{} ({})", rule.name, finding.level.word());
        let _ = writeln!(all, "  {}:{} `{under}`", place.line + 1, place.column + 1);
        let _ = writeln!(all, "  {}", finding.message);
        for related in &finding.related {
            let _ = writeln!(all, "  also `{}`: {}", related.span.of(&text), related.message);
        }
        if let Some(help) = &finding.help {
            let _ = writeln!(all, "  help: {help}");
        }
        for source in &finding.sources {
            let _ = writeln!(all, "  source: {source}");
        }
        for fix in &finding.fixes {
            let _ = writeln!(all, "  fix ({:?}): {}", fix.safety, fix.title);
            let after = fix.edits.apply(&text);
            for line in after.lines().filter(|line| !text.lines().any(|before| before == *line)) {
                let _ = writeln!(all, "    + {line}");
            }
        }
        all.push('\n');
    }
    insta::assert_snapshot!(all);
}

#[test]
fn the_table_of_rules_is_current() {
    let committed = include_str!("../../crates/rules/RULES.md");
    assert!(committed == rules::table(), "run `cargo xtask pages`");
}

/// A folder of the guide holds the pages that are made for it, and nothing else.
fn is_current(folder: &str, made: &[(String, String)]) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(folder);
    for (name, text) in made {
        let committed = std::fs::read_to_string(folder.join(name)).unwrap_or_default();
        assert!(committed == *text, "{name}: run `cargo xtask pages`");
    }
    let there = std::fs::read_dir(&folder).unwrap().count();
    assert_eq!(there, made.len(), "a page of what is no longer there: run `cargo xtask pages`");
}

#[test]
fn the_catalogue_in_the_guide_is_current() {
    is_current(xtask::FAMILIES, &xtask::families());
}

#[test]
fn the_rules_in_the_guide_are_current() {
    is_current(xtask::RULES, &xtask::rule_pages());
}

/// Every link of a rule's page leads to a page of the guide, and to a heading on it.
#[test]
fn links_of_rule_pages_lead_somewhere() {
    let guide = Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(xtask::RULES);
    let anchor = |heading: &str| heading.to_lowercase().replace(',', "").replace(' ', "-");
    for (name, text) in xtask::rule_pages() {
        let links: Vec<&str> = text
            .split("](")
            .skip(1)
            .filter_map(|rest| rest.split_once(')'))
            .map(|(link, _)| link)
            .filter(|link| link.contains(".md"))
            .collect();
        assert!(!links.is_empty(), "{name} leads nowhere");
        for link in links {
            let (file, heading) = link.split_once('#').unwrap_or((link, ""));
            let there = std::fs::read_to_string(guide.join(file)).unwrap_or_default();
            let mut headings = there.lines().filter_map(|line| line.strip_prefix("## ")).map(anchor);
            assert!(!there.is_empty(), "{name}: {link}");
            assert!(heading.is_empty() || headings.any(|own| own == heading), "{name}: {link}");
        }
    }
}
