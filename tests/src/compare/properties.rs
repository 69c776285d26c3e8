//! What holds of every comparison, over all example files and over changes that nobody thought of.

use super::comparison;
use desk::{BlockChange, Comparison, LineChange, News, Turn};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use std::collections::BTreeSet;
use std::path::Path;

/// All example texts.
fn examples() -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../examples");
    let mut paths = Vec::new();
    for folder in [folder.clone(), folder.join("with-mistakes")] {
        let files = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
        paths.extend(files.filter(|path| path.extension().is_some_and(|end| end == "formula")));
    }
    paths.sort();
    assert!(paths.len() > 20, "{paths:?}");
    paths.iter().map(|path| std::fs::read_to_string(path).unwrap()).collect()
}

/// A text with some of its lines left out, and two of them exchanged.
fn altered(text: &str, leave: &[usize], exchange: (usize, usize), double: usize) -> String {
    let mut lines: Vec<&str> = text.lines().collect();
    let count = lines.len();
    lines.swap(exchange.0 % count, exchange.1 % count);
    let doubled = lines[double % count];
    lines.insert(double % count, doubled);
    let gone: BTreeSet<usize> = leave.iter().map(|at| at % count).collect();
    let kept = lines.iter().enumerate().filter(|(at, _)| !gone.contains(at));
    kept.flat_map(|(_, line)| [*line, "\n"]).collect()
}

type Set = BTreeSet<String>;

fn turn<T: std::fmt::Debug>(into: &mut Set, what: &str, turn: &Turn<T>, back: bool) {
    let (from, to) = if back { (&turn.to, &turn.from) } else { (&turn.from, &turn.to) };
    let _ = into.insert(format!("{what}: {from:?} → {to:?}"));
}

fn line(into: &mut Set, of: &str, change: &LineChange, back: bool) {
    turn(into, &format!("{of} line"), &change.name, back);
    for mark in &change.marks {
        turn(into, &format!("{of} mark"), mark, back);
    }
}

/// What a comparison tells, with before and after exchanged where it is read backwards. Where something stood does
/// not count: it is told once, at its new place.
fn told(comparison: &Comparison, back: bool) -> Set {
    let mut set = Set::new();
    for block in comparison.blocks.iter().filter(|block| !block.is_empty()) {
        told_of(&mut set, block, back);
    }
    for change in &comparison.findings {
        let (from, to) = (change.before.clone(), change.after.clone());
        let (from, to) = if back { (to, from) } else { (from, to) };
        let message = |finding: Option<desk::Finding>| finding.map(|one| (one.rule, one.message));
        // What is allowed comes back when it is looked at from the other side.
        if change.news() != Some(News::Allowed) && from.as_ref().is_none_or(|one| one.allowed.is_none()) {
            let _ = set.insert(format!("finding {:?} {:?}", message(from), message(to)));
        }
    }
    set
}

fn told_of(set: &mut Set, block: &BlockChange, back: bool) {
    turn(set, "block", &block.name, back);
    turn(set, "version", &block.version, back);
    for fact in &block.facts {
        turn(set, &format!("{:?}", fact.word), &fact.said, back);
    }
    for phase in &block.phases {
        if phase.label.differs() {
            turn(set, "phase", &phase.label, back);
        }
        for words in &phase.words {
            turn(set, "words", words, back);
        }
        for change in &phase.lines {
            line(set, "", change, back);
        }
    }
    for variant in &block.variants {
        turn(set, "variant", &variant.name, back);
    }
}

#[test]
fn a_text_beside_itself_says_nothing() {
    for text in examples() {
        let comparison = comparison(&text, &text);
        assert!(comparison.is_empty() && comparison.is_same_text, "{comparison:?}");
    }
}

#[test]
fn the_canonical_form_is_no_change() {
    for text in examples() {
        let page = crate::page_on(&text, crate::LAW_DAY);
        let tidy = page.tidy().apply(&text);
        let comparison = comparison(&text, &tidy);
        let changed: Vec<&BlockChange> = comparison.blocks.iter().filter(|block| !block.is_empty()).collect();
        assert!(changed.is_empty(), "{changed:#?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, rng_seed: RngSeed::Fixed(20_261_127), ..ProptestConfig::default() })]

    #[test]
    fn backwards_what_was_added_is_taken_out(
        which in 0..100usize,
        leave in prop::collection::vec(0..200usize, 0..6),
        exchange in (0..200usize, 0..200usize),
        double in 0..200usize,
    ) {
        let all = examples();
        let text = &all[which % all.len()];
        let other = altered(text, &leave, exchange, double);
        let forth = comparison(text, &other);
        let back = comparison(&other, text);
        prop_assert_eq!(told(&forth, false), told(&back, true));
        prop_assert!(comparison(&other, &other).is_empty());
    }
}
