//! What the product of a text is, without the places where it is written: what a safe fix may not change.

use crate::{LAW_DAY, page_on};
use desk::Formula;
use std::collections::BTreeMap;

/// Every formula of a text, variants included, as one piece of text each without places, suppressions, gaps, and how
/// the amounts and names were spelt.
pub(crate) fn products(text: &str) -> Vec<String> {
    page_on(text, LAW_DAY)
        .formulas()
        .flat_map(|resolved| std::iter::once(&resolved.formula).chain(&resolved.variants))
        .map(product)
        .collect()
}

/// The whole formula as the house knows it, in the words of its own fields: a field that is added later is compared
/// without a change here.
fn product(formula: &Formula) -> String {
    let mut formula = formula.clone();
    formula.gaps.clear();
    for item in &mut formula.items {
        item.allows.clear();
        item.amount_text.clear();
    }
    let _ = formula.variant.as_mut().map(|(_, span)| *span = desk::Span::default());
    placeless(&format!("{formula:#?}"))
}

/// A value's own description with every place in it left out.
fn placeless(described: &str) -> String {
    let mut out = String::new();
    let mut lines = described.lines();
    while let Some(line) = lines.next() {
        let Some(before) = line.strip_suffix("Span {") else {
            out.push_str(line);
            out.push('\n');
            continue;
        };
        // `start`, `end` and the closing brace.
        for _ in 0..3 {
            let _ = lines.next();
        }
        out.push_str(before.trim_end());
        out.push_str(" somewhere\n");
    }
    out
}

/// What is told at which level, and what is allowed, how often: a safe fix takes its own finding away and no other.
pub(crate) fn findings_by_rule(text: &str) -> BTreeMap<String, usize> {
    let mut found = BTreeMap::new();
    for finding in page_on(text, LAW_DAY).findings() {
        let allowed = finding.allowed.is_some();
        *found.entry(format!("{} {:?} allowed {allowed}", finding.rule, finding.level)).or_default() += 1;
    }
    found
}

#[test]
fn the_comparison_sees_what_makes_a_product() {
    const OIL: &str = "formula Oil\nproduct body oil\n 60 % jojoba oil\n 40 % squalane; refined\nstep mix\n";
    for (same, why) in [
        (
            "# a remark\nformula Oil\nproduct body oil\n\n   60 %   jojoba oil\n 40 % squalane; refined\nstep mix\n",
            "blanks",
        ),
        (
            "formula Oil\nproduct body oil\nallow too-hot because it is not\n 60 % jojoba oil\n 40 % squalane; refined; allow over-limit because so\nstep mix\n",
            "suppressions",
        ),
        (
            "formula Oil\nproduct body oil\nnote A word.\n 60 % jojoba oil\n 40 % squalane; refined\nstep mix\n",
            "a note",
        ),
    ] {
        assert_eq!(products(OIL), products(same), "{why}");
    }
    for (other, why) in [
        (OIL.replace("60 %", "61 %"), "an amount"),
        (OIL.replace("60 % jojoba", "60.0 % apricot kernel"), "an ingredient"),
        (OIL.replace("refined", "unrefined"), "a grade"),
        (OIL.replace("body oil", "face oil"), "the product line"),
        (OIL.replace("step mix\n", ""), "the method"),
        (OIL.replace(" 60 %", "phase A oil\n 60 %"), "a phase"),
        (format!("{OIL}variant light\nomit squalane\n"), "a variant"),
        (OIL.replace("product", "batch 1 kg\nproduct"), "the batch"),
    ] {
        assert_ne!(products(OIL), products(&other), "{why}");
    }
}
