//! Records of batches: what is compared with what, in odd cases.

use crate::{findings, told};

const SHEET: &str = "formula Gorse balm\nversion 3\nproduct balm, body\n  to 100 % jojoba oil\n  20 % beeswax\n  0.4 % tocopherol\n\n";

fn with(record: &str) -> String {
    format!("{SHEET}record 26-1\nof Gorse balm version 3\ndate 2026-07-02\nbatch 500 g\n{record}")
}

/// 20 % of 500 g are 100 g; told is what lies more than 5 % of it, two steps of the scales and half a written digit off.
#[test]
fn how_far_a_weight_may_lie_off() {
    for (weighed, tells) in [
        ("weighed 105 g beeswax\n", false),
        ("weighed 105.1 g beeswax\n", true),
        ("weighed 94.9 g beeswax\n", true),
        ("weighed 0.1 kg beeswax\n", false),
        ("weighed 3.5 oz beeswax\n", false),
        ("weighed 3 oz beeswax\n", true),
        // As the catalogue names it otherwise.
        ("weighed 120 g yellow beeswax\n", true),
        // Volumes are no weights.
        ("weighed 50 mL beeswax\n", false),
        // 2 g of tocopherol on scales that show whole grams, as far as was written.
        ("weighed 2 g tocopherol\n", false),
        ("weighed 2.2 g tocopherol\n", true),
        // What takes the rest is planned too: 79.6 % of 500 g are 398 g.
        ("weighed 398 g jojoba oil\n", false),
        ("weighed 450 g jojoba oil\n", true),
    ] {
        let expected: &[&str] = if tells { &["weighed-off-plan note"] } else { &[] };
        assert_eq!(told(&with(weighed)), expected, "{weighed}");
    }
    let coarse = format!("workshop W\nscales 1 g\n\n{}", with("weighed 4 g tocopherol\n"));
    assert!(told(&coarse).iter().all(|told| !told.starts_with("weighed-off-plan")), "two steps of 1 g");
}

/// A record belongs to the block that it stands in, and can set a finding aside with its reason.
#[test]
fn findings_stand_in_the_record() {
    let text = with("weighed 120 g beeswax\n");
    let found = findings(&text);
    let [only] = found.as_slice() else { panic!("{found:?}") };
    assert_eq!((only.block.as_str(), only.formula.as_deref(), only.variant.as_deref()), ("26-1", None, None));
    assert_eq!(only.span.of(&text), "weighed 120 g beeswax");
    let allowed = with("weighed 120 g beeswax\nallow weighed-off-plan because a firm balm was asked for\n");
    assert!(told(&allowed).is_empty());
    let unused = with("weighed 100 g beeswax\nallow weighed-off-plan because a firm balm was asked for\n");
    assert_eq!(told(&unused), ["allow-unused note"]);
}

/// White and yellow beeswax are one thing on a label: nothing foreign went in.
#[test]
fn what_may_be_the_same_is_not_foreign() {
    assert!(told(&with("weighed 100 g Cera Alba\n")).is_empty());
    assert_eq!(told(&with("weighed 100 g cocoa butter\n")), ["version-unmoved note"]);
}

/// Versions that are no numbers tell nothing of their order.
#[test]
fn versions_that_have_no_order() {
    for (sheet, batch, tells) in [
        ("3", "4", true),
        ("3.9", "3.10", true),
        ("3", "2", false),
        ("spring", "autumn", false),
        ("v3", "3", false),
    ] {
        let text = with("").replace("version 3\nproduct", &format!("version {sheet}\nproduct"));
        let text = text.replace("balm version 3", &format!("balm version {batch}"));
        assert_eq!(!told(&text).is_empty(), tells, "{sheet} {batch}");
    }
}

/// The lots of a record are compared with the shelf also where its formula stands in another file.
#[test]
fn lots_need_no_formula() {
    let shelf = "ingredient beeswax\nlot BW-1; expires 2026-06\n\n";
    let record = |date: &str| {
        format!("{shelf}record 1\nof Elsewhere version 9\ndate {date}\nweighed 3 g beeswax; lot bw-1\n")
    };
    assert_eq!(told(&record("2026-07-01")), ["lot-expired warning"]);
    // The month counts to its end; a batch of which only the month is known may have been made on its first day.
    assert!(told(&record("2026-06-30")).is_empty());
    assert!(told(&record("2026-06")).is_empty());
}

/// 500 g less 3 % are 485 g: one pack of 540 g is more than a tenth fuller than that, one of 530 g is not.
#[test]
fn packs_are_filled_from_what_is_left() {
    for (net, tells) in [("530 g", false), ("540 g", true)] {
        let text = format!(
            "workshop W\nloss 3 %\n\n{}",
            SHEET.replace("product balm", &format!("batch 500 g\npack {net} tin\nproduct balm"))
        );
        assert_eq!(told(&text).contains(&"pack-mismatch warning".to_owned()), tells, "{net}");
    }
}
