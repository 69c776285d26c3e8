//! `allow` lines: when they do nothing, and taking them out.

use super::product::products;
use crate::{LAW_DAY, findings, page_on};
use desk::{Finding, Safety};

fn unused(text: &str) -> Vec<Finding> {
    findings(text).into_iter().filter(|finding| finding.rule == "allow-unused").collect()
}

/// `amount-missing` is told with the total, and needs no line of its own; who allows it has still a reason to.
#[test]
fn what_another_finding_speaks_for_may_be_allowed() {
    const SHORT: &str = "formula Hut balm\nproduct balm, body\nbatch 200 g\n 120 g jojoba oil\n 40 g shea butter\n 28 g beeswax\n some tocopherol";
    let told: Vec<&str> = findings(SHORT).iter().map(|finding| finding.rule).collect();
    assert_eq!(told, ["total-not-batch"]);
    for allow in [
        SHORT.replace("batch 200 g", "batch 200 g\nallow amount-unweighable because it is a trace"),
        format!("{SHORT}; allow amount-unweighable because it is a trace"),
    ] {
        assert!(unused(&allow).is_empty(), "{allow}");
        assert_eq!(findings(&allow).len(), 1, "the total is still told:\n{allow}");
    }
    // On another line, or of another rule, it is as idle as before.
    let elsewhere = SHORT.replace("beeswax", "beeswax; allow amount-unweighable because it is a trace");
    assert_eq!(unused(&elsewhere).len(), 1);
    assert_eq!(unused(&format!("{SHORT}; allow too-hot because it is not")).len(), 1);
}

/// In a chain on one line: more than the law allows speaks for more than is usual.
#[test]
fn a_weaker_rule_of_a_chain_may_be_allowed() {
    const SERUM: &str = "formula Bright serum\nproduct gel serum, face\nmarket EU\nto 100 % purified water\n \
                         5 % salicylic acid\n 0.9 % phenoxyethanol (and) ethylhexylglycerin\n";
    let alone: Vec<&str> = findings(SERUM).iter().map(|finding| finding.rule).collect();
    assert!(alone.contains(&"over-limit") && !alone.contains(&"outside-usage"), "{alone:?}");
    let allowed = SERUM.replace("salicylic acid", "salicylic acid; allow outside-usage because of the trial");
    assert!(unused(&allowed).is_empty());
    assert!(findings(&allowed).iter().any(|finding| finding.rule == "over-limit"));
}

/// A variant that has the same as its parent tells nothing; its `allow` silences that all the same.
#[test]
fn what_a_variant_shares_with_its_parent_may_be_allowed() {
    let text = "formula Bright serum\nproduct gel serum, face\nto 100 % purified water\n 12 % niacinamide\n \
                0.9 % phenoxyethanol (and) ethylhexylglycerin\n\nvariant strong\nreplace niacinamide with 14 % niacinamide; \
                allow outside-usage because it was tried\n";
    let told: Vec<&str> = findings(text).iter().map(|finding| finding.rule).collect();
    assert_eq!(told, ["outside-usage"], "only the parent's");
}

/// The fix of the only finding of a rule, and the text after it.
fn mended(text: &str) -> (Safety, String) {
    let [finding] = unused(text).try_into().expect("one");
    let [fix] = finding.fixes.try_into().expect("a fix");
    (fix.safety, fix.edits.apply(text))
}

#[test]
fn an_idle_allow_is_taken_out() {
    for (before, after) in [
        ("formula Oil\nallow too-hot because so\n 100 % jojoba oil\n", "formula Oil\n 100 % jojoba oil\n"),
        (
            "formula Oil\r\nallow too-hot because so\r\n 100 % jojoba oil\r\n",
            "formula Oil\r\n 100 % jojoba oil\r\n",
        ),
        ("formula Oil\n 100 % jojoba oil\nallow too-hot because so", "formula Oil\n 100 % jojoba oil\n"),
        (
            "formula Oil\nallow too-hot, total-not-100 because so # ask\n 90 % jojoba oil\n",
            "formula Oil\nallow total-not-100 because so # ask\n 90 % jojoba oil\n",
        ),
        (
            "formula Oil\nallow total-not-100,  too-hot because so\n 90 % jojoba oil\n",
            "formula Oil\nallow total-not-100 because so\n 90 % jojoba oil\n",
        ),
        (
            "formula Oil\n 100 % jojoba oil ; refined ; allow too-hot because so # old\n",
            "formula Oil\n 100 % jojoba oil ; refined # old\n",
        ),
        (
            "formula Oil\n 100 % jojoba oil; allow too-hot because so; refined\n",
            "formula Oil\n 100 % jojoba oil; refined\n",
        ),
    ] {
        let (safety, text) = mended(before);
        assert_eq!(text, after);
        assert_eq!(safety, Safety::Safe);
        assert_eq!(products(before), products(after));
        assert!(unused(after).is_empty());
    }
}

/// As long as something is not read or not known, the rule that was allowed may be silent for that alone.
#[test]
fn an_allow_that_may_be_needed_again_is_not_taken_out_unasked() {
    for text in [
        "formula Oil\nallow total-not-100 because so\n 60 % jojoba oil\n 1,000 % squalane\n",
        "formula Oil\nallow total-not-100 because so\n 60 % jojoba oil\n %% squalane\n 40 % squalane\n",
        "formula Oil\nallow too-hot because so\n 60 % jojoba oil\n 40 % wickmere sap\n",
        "formula Oil\nallow too-hot because so\n 60 % jojoba oil\n 40 % squalane (and) wickmere sap\n",
        "formula Oil\ninclude base.formula as base\nallow too-hot because so\n 60 % jojoba oil\n 40 % base\n",
        "formula Oil\nallow total-not-100 because it is open until 2026-01\n 60 % jojoba oil\n 30 % squalane\n",
    ] {
        assert_eq!(mended(text).0, Safety::Judgement, "{text}");
    }
}

#[test]
fn dots_are_no_reason() {
    for reason in ["…", "...", "?", "–"] {
        for text in [
            format!("formula Oil\nallow total-not-100 because {reason}\n 60 % jojoba oil\n"),
            format!("formula Oil\n 60 % jojoba oil\n 40 g squalane; allow units-mixed because {reason}\n"),
        ] {
            let rules: Vec<&str> = findings(&text).iter().map(|finding| finding.rule).collect();
            assert!(rules.contains(&"allow-unreasoned"), "{text}{rules:?}");
            assert!(
                page_on(&text, LAW_DAY).findings().iter().all(|finding| finding.allowed.is_none()),
                "{text}"
            );
        }
    }
}

/// A misspelt name in a qualifier is put right where it stands.
#[test]
fn a_misspelt_name_behind_an_ingredient_is_put_right() {
    let text = "formula Oil\n 90 % jojoba oil; allow total-not-100, to-hot because so\n";
    let unknown = findings(text).into_iter().find(|finding| finding.rule == "allow-unknown").expect("told");
    assert_eq!(unknown.span.of(text), "to-hot");
    let fix = unknown.fixes.first().expect("a fix");
    assert_eq!(fix.edits.apply(text), text.replace("to-hot", "too-hot"));
}
