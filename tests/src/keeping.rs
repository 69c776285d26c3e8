//! How long things keep, against tables of others; and that what the rules of pH and of keeping offer settles what they
//! tell.

use crate::{LAW_DAY, findings, page_on, told};
use formula::{Catalogue, Exact};

/// Carrier oils and their shelf lives in months as two pages print them: aromahut.com/carrier-oil-shelf-life, from which
/// the catalogue takes its figures, and askfrannie.com/what-is-the-shelf-life-of-carrier-oils, which is independent.
const LIVES: &[(&str, i64, i64)] = &[
    ("rosehip oil", 6, 6),
    ("borage oil", 6, 6),
    ("linseed oil", 6, 6),
    ("evening primrose oil", 6, 12),
    ("hemp seed oil", 12, 12),
    ("sunflower oil", 12, 12),
    ("avocado oil", 12, 12),
    ("apricot kernel oil", 6, 12),
    ("walnut oil", 12, 12),
    ("hazelnut oil", 12, 12),
];

#[test]
fn oils_keep_as_long_as_published() {
    for (name, least, most) in LIVES {
        let oil = Catalogue::built_in().get(name).unwrap_or_else(|| panic!("{name} is not in the catalogue"));
        let days = &oil.shelf_life_days.as_ref().unwrap_or_else(|| panic!("{name} has no shelf life")).value;
        let months = |count: i64| Exact::whole(count) * Exact::fraction(365, 12);
        assert!(*days >= months(*least) && *days <= months(*most), "{name}: {days} days");
    }
}

/// Every fix of every case of these topics settles its finding, and changes nothing that cannot be read.
#[test]
fn what_is_offered_settles_what_is_told() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("corpus/cases");
    let mut offered = 0;
    for file in ["ph.formula", "keeping.formula"] {
        let all = std::fs::read_to_string(folder.join(file)).expect("a text");
        for case in all.split("\n## ").skip(1) {
            let (name, text) = case.split_once('\n').expect("a name");
            for finding in page_on(text, LAW_DAY).findings() {
                for fix in &finding.fixes {
                    offered += 1;
                    let after = fix.edits.apply(text);
                    let left = findings(&after);
                    assert!(
                        left.iter().all(|left| left.rule != finding.rule && left.rule != "line-unreadable"),
                        "{name}: {} is left after `{}`\n{after}",
                        finding.rule,
                        fix.title
                    );
                }
            }
        }
    }
    assert!(offered >= 15, "{offered} fixes are few");
}

#[test]
fn a_lot_ends_the_shelf_life_on_its_day() {
    let oil = |life: &str, expires: &str| {
        told(&format!(
            "formula Oil\nproduct body oil, body\nshelf life {life}\n100 % jojoba oil\n\n\
             ingredient jojoba oil\nlot A; 1 kg; expires {expires}\n"
        ))
    };
    // 2026-11-24 is the day; 90 days later is 2027-02-22.
    assert_eq!(oil("90 days", "2027-02-22"), Vec::<String>::new());
    assert_eq!(oil("91 days", "2027-02-22"), ["shelf-life-too-long warning"]);
    // What has expired already is another matter.
    assert!(!oil("91 days", "2026-11-24").contains(&"shelf-life-too-long warning".to_owned()));
}

#[test]
fn three_months_without_a_test_and_not_a_day_more() {
    let lotion = |head: &str| {
        told(&format!(
            "formula Lotion\nproduct lotion, body\npH 5 to 5.5\n{head}\nto 100 % purified water\n15 % jojoba oil\n\
             5 % cetearyl alcohol (and) ceteareth-20\n1 % phenoxyethanol (and) ethylhexylglycerin\n"
        ))
    };
    assert_eq!(lotion("shelf life 3 months"), Vec::<String>::new());
    assert_eq!(lotion("shelf life 13 weeks"), Vec::<String>::new());
    assert_eq!(lotion("shelf life 92 days"), ["shelf-life-too-long warning"]);
    assert_eq!(lotion("for own use\nshelf life 92 days"), ["shelf-life-too-long note"]);
    assert_eq!(lotion("shelf life 6 months\ntested challenge on 2026-03-01"), Vec::<String>::new());
}

/// A variant is told only what its parent has not.
#[test]
fn a_variant_with_its_own_shelf_life() {
    let text = "formula Lotion\nproduct lotion, body\npH 5 to 5.5\nshelf life 2 months\nto 100 % purified water\n\
                15 % jojoba oil\n5 % cetearyl alcohol (and) ceteareth-20\n\
                1 % phenoxyethanol (and) ethylhexylglycerin\n\nvariant long\nset shelf life to 9 months\n";
    let found = findings(text);
    assert_eq!(found.len(), 1, "{found:?}");
    let one = found.first().expect("one");
    assert_eq!((one.rule, one.variant.as_deref()), ("shelf-life-too-long", Some("long")));
    assert!(one.fixes.is_empty());
}
