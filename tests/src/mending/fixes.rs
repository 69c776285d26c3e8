//! Every fix that is offered anywhere: what it must do, and what it may not.

use super::product::{findings_by_rule, products};
use crate::{LAW_DAY, cases, corpus, page_on};
use desk::{Finding, Fix, Safety};
use std::collections::BTreeMap;

/// What is wrong with a fix; nothing where it is as it must be.
pub(crate) fn faults(text: &str, finding: &Finding, fix: &Fix) -> Vec<String> {
    let after = fix.edits.apply(text);
    let mut faults = Vec::new();
    let mut fault = |what: &str| {
        faults.push(format!("{}: `{}` {what}\n{text}becomes\n{after}", finding.rule, fix.title));
    };
    if after == text {
        fault("changes nothing");
    }
    let told = |text: &str| {
        let same = |other: &&Finding| other.rule == finding.rule && other.message == finding.message;
        page_on(text, LAW_DAY).findings().iter().filter(same).count()
    };
    if told(&after) >= told(text) {
        fault("does not settle its finding");
    }
    let slips = |text: &str| notation::read(text).blocks.iter().map(|block| block.slips.len()).sum::<usize>();
    if slips(&after) > slips(text) {
        fault("brings a new slip");
    }
    if fix.title.ends_with('.') || !fix.title.starts_with(char::is_uppercase) && !fix.title.starts_with('`') {
        fault("has a title that is no imperative");
    }
    if other_lines_change(text, &after, fix) {
        fault("changes a line that none of its edits touches");
    }
    if fix.safety == Safety::Safe {
        if products(text) != products(&after) {
            fault("is called safe and changes the product");
        }
        let mut left = findings_by_rule(text);
        let own = left
            .iter_mut()
            .find(|(rule, _)| rule.starts_with(&format!("{} ", finding.rule)) && rule.ends_with("false"));
        if let Some((_, count)) = own {
            *count -= 1;
        }
        left.retain(|_, count| *count > 0);
        let now = findings_by_rule(&after);
        if !now.iter().all(|(rule, count)| left.get(rule).is_some_and(|had| count <= had)) {
            fault("is called safe and brings another finding");
        }
    }
    faults
}

/// Whether a line goes that no edit touches.
fn other_lines_change(text: &str, after: &str, fix: &Fix) -> bool {
    let mut left: BTreeMap<&str, usize> = BTreeMap::new();
    for line in after.lines() {
        *left.entry(line).or_default() += 1;
    }
    let mut start = 0u32;
    for line in text.split_inclusive('\n') {
        let end = start + line.len() as u32;
        let touched = fix.edits.iter().any(|edit| edit.span.start < end && start <= edit.span.end);
        let kept = left.get_mut(line.trim_end_matches(['\r', '\n'])).filter(|count| **count > 0);
        match kept {
            Some(count) => *count -= 1,
            None if !touched => return true,
            None => {}
        }
        start = end;
    }
    false
}

/// The small cases, and the examples as files of their own.
#[test]
fn fixes_hold_on_all_that_is_told_of_the_corpus() {
    let examples = corpus::examples().into_iter().map(|(_, text)| text);
    let mut offered = 0;
    let mut wrong = Vec::new();
    for text in cases::texts().into_iter().chain(examples) {
        for finding in page_on(&text, LAW_DAY).findings() {
            for fix in &finding.fixes {
                offered += 1;
                wrong.extend(faults(&text, &finding, fix));
            }
        }
    }
    assert!(offered >= 30, "{offered} fixes are few");
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}
