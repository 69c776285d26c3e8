//! Amounts, totals and conversions, held against figures from outside: standards, handbooks, worked examples.

mod findings;
mod outside;
mod working;

use crate::{LAW_DAY, findings, page_on, told};
use desk::{Basis, Exact, Formula, Item};
use std::fmt::Write as _;

/// The first formula of a text whose name is `name`, or simply the last one.
fn formula(text: &str) -> Formula {
    page_on(text, LAW_DAY).formulas().last().expect("a formula").formula.clone()
}

fn variant(text: &str, name: &str) -> Formula {
    let page = page_on(text, LAW_DAY);
    let all = page.formulas().flat_map(|resolved| resolved.variants.clone()).collect::<Vec<_>>();
    all.into_iter().find(|f| f.variant.as_ref().is_some_and(|(own, _)| own == name)).expect("the variant")
}

fn line<'a>(formula: &'a Formula, name: &str) -> &'a Item {
    formula.items.iter().find(|item| item.name == name).unwrap_or_else(|| panic!("no line {name}"))
}

/// Grams of a line, exactly.
fn grams(formula: &Formula, name: &str) -> String {
    line(formula, name).grams.as_ref().map_or_else(|| "none".to_owned(), |grams| grams.mid.data())
}

/// Percent of a line, exactly.
fn percent(formula: &Formula, name: &str) -> String {
    line(formula, name).share.as_ref().map_or_else(|| "none".to_owned(), |share| share.mid.percent().data())
}

/// Low and high percent of a line.
fn percents(formula: &Formula, name: &str) -> (String, String) {
    let share = line(formula, name).share.clone().expect("a share");
    (share.low.percent().data(), share.high.percent().data())
}

/// Percent of a substance, counted through everything that brings it.
fn substance(formula: &Formula, name: &str) -> String {
    let found = formula.substances.iter().find(|substance| substance.name == name).expect("the substance");
    found.share().mid.percent().data()
}

fn exact(text: &str) -> Exact {
    Exact::read(text).expect("a number")
}

/// `rule: message` of each finding of a rule.
fn says(text: &str, rule: &str) -> Vec<String> {
    findings(text).into_iter().filter(|f| f.rule == rule).map(|f| f.message).collect()
}

/// Nothing that this group of rules could say.
fn sums_up(text: &str) {
    let group = [
        "total-not-100",
        "total-not-batch",
        "nothing-left-to-100",
        "to-100-twice",
        "units-mixed",
        "percent-base-mixed",
        "weight-unknown",
        "variant-total",
        "variant-target-missing",
    ];
    let told: Vec<_> =
        findings(text).into_iter().filter(|f| group.contains(&f.rule)).map(|f| f.message).collect();
    assert!(told.is_empty(), "{text}{told:?}");
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig {
        failure_persistence: None,
        rng_seed: proptest::test_runner::RngSeed::Fixed(20_261_124),
        ..Default::default()
    })]

    /// With a balance line all shares come to exactly one and all weights to exactly the batch; and the same sheet in
    /// grams has the same shares.
    #[test]
    fn shares_come_to_one(tenths in proptest::collection::vec(1u32..90, 1..9), batch in 1u32..5000) {
        const NAMES: [&str; 9] = [
            "shea butter", "beeswax", "cocoa butter", "castor oil", "tocopherol", "squalane", "mango butter",
            "apricot kernel oil", "sunflower oil",
        ];
        let head = format!("formula T\nproduct premix\nbatch {batch} g\n");
        let (mut percents, mut weights) = (format!("{head}to 100 % jojoba oil\n"), format!("{head}to 100 g jojoba oil\n"));
        for (name, tenths) in NAMES.iter().zip(&tenths) {
            writeln!(percents, "{}.{} % {name}", tenths / 10, tenths % 10).unwrap();
            writeln!(weights, "{}.{} g {name}", tenths / 10, tenths % 10).unwrap();
        }
        let (percents, weights) = (formula(&percents), formula(&weights));
        for formula in [&percents, &weights] {
            let shares: Exact = formula.items.iter().filter_map(|item| item.mid().cloned()).sum();
            proptest::prop_assert_eq!(shares, Exact::one());
            let sum: Exact = formula.items.iter().filter_map(|item| item.grams.as_ref().map(|g| g.mid.clone())).sum();
            proptest::prop_assert_eq!(sum, Exact::whole(i64::from(batch)));
        }
        let shares = |formula: &Formula| formula.items.iter().map(|item| item.mid().cloned()).collect::<Vec<_>>();
        proptest::prop_assert_eq!(shares(&percents), shares(&weights));
    }
}
