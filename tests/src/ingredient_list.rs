//! The list of ingredients on a label, held against the words of the law.
//!
//! Order, EU and UK: Reg. (EC) No 1223/2009 Art. 19(1)(g). Its words were read as the council of Cheshire East gives the
//! like ones of the UK Regulations of 2008 (cheshireeast.gov.uk, "Marking and Labelling of Cosmetic Products"):
//! descending order of weight as added; less than 1 % in any order after those of 1 % or more; colouring agents in any
//! order after the other ingredients; perfume under one word, solvents of perfumes not named. US: 21 CFR 701.3(a), as
//! cosmeticsinfo.org quotes it, and (f). Allergens: Annex III, 0.001 % leave-on, 0.01 % rinse-off.

use crate::pages::fires;
use crate::{LAW_DAY, cases, corpus, page_on};
use desk::{Exact, Formula, Label, LabelPlace, Market, Page};
use proptest::prelude::*;
use std::sync::Arc;

fn page(header: &str, lines: &str) -> Arc<Page> {
    let header = header.replace("; ", "\n");
    let lines = lines.replace(" + ", "\n");
    page_on(&format!("formula Table\n{header}\n{lines}\n"), LAW_DAY)
}

fn list_for(market: Market, header: &str, lines: &str) -> String {
    let page = page(header, lines);
    let formula = &page.formulas().next().expect("a formula").formula;
    page.label(formula, market).list()
}

fn list(header: &str, lines: &str) -> String {
    list_for(Market::Eu, header, lines)
}

const CREAM: &str = "product cream, face, leave-on";

/// Each with the words of the law that it shows.
#[test]
fn the_order_is_that_of_the_law() {
    let table = [
        // "in descending order of weight", however the sheet has them.
        ("2 % glycerin + 3 % propanediol + to 100 % water", "Aqua, Propanediol, Glycerin"),
        // "less than 1 % … after those of 1 % or more": 1 % itself is among the first.
        (
            "to 100 % water + 0.99 % allantoin + 1 % glycerin + 0.2 % disodium EDTA",
            "Aqua, Glycerin, Allantoin, Disodium EDTA",
        ),
        // The same name from two lines is one, with the weight of both.
        ("to 100 % water + 2 % glycerin + 3 % propanediol + 2 % glycerin", "Aqua, Glycerin, Propanediol"),
        // "Colouring agents … after the other ingredients", by their numbers, even if there is most of them.
        (
            "to 100 % squalane + 10 % titanium dioxide + 5 % red iron oxide + 0.5 % tocopherol",
            "Squalane, Tocopherol, CI 77891, CI 77491",
        ),
        // What filters light is none, where its line says so.
        (
            "to 100 % squalane + 10 % titanium dioxide; UV filter + 5 % red iron oxide",
            "Squalane, Titanium Dioxide, CI 77491",
        ),
        // A line that says that it colours does.
        (
            "to 100 % squalane + 5 % cocoa powder; colour + 1 % tocopherol",
            "Squalane, Tocopherol, Theobroma Cacao Seed Powder",
        ),
        (
            "to 100 % squalane + 5 % cocoa powder + 1 % tocopherol",
            "Squalane, Theobroma Cacao Seed Powder, Tocopherol",
        ),
        // Nanomaterials.
        (
            "to 100 % squalane + 5 % zinc oxide; nano + 3 % zinc oxide",
            "Squalane, Zinc Oxide (nano), Zinc Oxide",
        ),
        ("to 100 % squalane + 5 % titanium dioxide (nano)", "Squalane, Titanium Dioxide (nano)"),
        // A solution is what is dissolved, and water: 12 × 0.7 = 8.4 % against 8 %.
        (
            "to 100 % squalane + 12 % sorbitol; strength 70 % + 8 % glycerin",
            "Squalane, Sorbitol, Glycerin, Aqua",
        ),
        (
            "to 100 % squalane + 11 % sorbitol; strength 70 % + 8 % glycerin",
            "Squalane, Glycerin, Sorbitol, Aqua",
        ),
        // In something else than water.
        (
            "to 100 % water + 10 % retinol; strength 10 % in squalane + 5 % glycerin",
            "Aqua, Squalane, Glycerin, Retinol",
        ),
        // A juice is itself.
        ("to 100 % aloe vera juice + 5 % honey", "Aloe Barbadensis Leaf Juice, Mel"),
        // A blend is its parts: 10 × 0.9 = 9 % and 1 %.
        (
            "to 100 % water + 10 % phenoxyethanol (and) ethylhexylglycerin + 5 % glycerin",
            "Aqua, Phenoxyethanol, Glycerin, Ethylhexylglycerin",
        ),
        // As much as is needed comes last.
        ("to 100 % water + q.s. lactic acid; to pH 5 + 0.1 % allantoin", "Aqua, Allantoin, Lactic Acid"),
    ];
    for (lines, expected) in table {
        assert_eq!(list(CREAM, lines), expected, "{lines}");
    }
}

/// A blend of the maker's own is its parts, where they are all of it.
#[test]
fn own_blends_are_taken_apart() {
    let own = |contains: &str| {
        let text = format!(
            "ingredient Mallow keeper\nfunction preservative\n{contains}\n\nformula Table\nproduct cream\n\
             to 100 % water\n4 % glycerin\n5 % Mallow keeper\n"
        );
        let page = page_on(&text, LAW_DAY);
        let formula = &page.formulas().next().expect("a formula").formula;
        let label = page.label(formula, Market::Eu);
        (label.list(), label.is_whole())
    };
    let whole = ("Aqua, Phenoxyethanol, Glycerin, Ethylhexylglycerin".to_owned(), true);
    assert_eq!(own("contains 90 % phenoxyethanol\ncontains 10 % ethylhexylglycerin"), whole);
    assert_eq!(own("contains 90 % phenoxyethanol\ncontains rest ethylhexylglycerin"), whole);
    // Half of it is known: then nothing is.
    let part = ("Aqua, [Mallow keeper: INCI name?], Glycerin".to_owned(), false);
    assert_eq!(own("contains 50 % phenoxyethanol"), part);
}

/// "referred to by the terms ‘parfum’ or ‘aroma’", and US "fragrance or flavor".
#[test]
fn scent_goes_under_its_word() {
    let balm = "product lip balm";
    let lines = "to 100 % squalane + 0.5 % lavender oil; fragrance + 0.4 % linalool";
    for (market, header, expected) in [
        (
            Market::Eu,
            CREAM,
            "Squalane, Parfum, Lavandula Oil/Extract, Linalool, Geraniol, Coumarin, Limonene, Linalyl Acetate",
        ),
        (
            Market::Eu,
            balm,
            "Squalane, Aroma, Lavandula Oil/Extract, Linalool, Geraniol, Coumarin, Limonene, Linalyl Acetate",
        ),
        (Market::Uk, CREAM, "Squalane, Parfum, [scent allergens by UK law?]"),
        (Market::Us, CREAM, "Squalane, Fragrance"),
        (Market::Us, balm, "Squalane, Flavor"),
    ] {
        assert_eq!(list_for(market, header, lines), expected, "{market:?}");
    }
    // An essential oil that does not say so has a name of its own.
    assert_eq!(
        list_for(Market::Us, CREAM, "to 100 % squalane + 0.5 % lavender oil"),
        "Squalane, Lavandula Angustifolia Oil (Lavender Oil)"
    );
}

#[test]
fn allergens_stand_from_their_thresholds_on() {
    let wash = "product body wash";
    for (header, lines, expected) in [
        (CREAM, "to 100 % squalane + 0.001 % linalool", "Squalane, Parfum"),
        (CREAM, "to 100 % squalane + 0.0011 % linalool", "Squalane, Parfum, Linalool"),
        (wash, "to 100 % water + 0.01 % linalool", "Aqua, Parfum"),
        (wash, "to 100 % water + 0.011 % linalool", "Aqua, Parfum, Linalool"),
        // What stands there anyway is not named again.
        (CREAM, "to 100 % water + 0.8 % benzyl alcohol; preservative", "Aqua, Benzyl Alcohol"),
        // From 1 % on by weight: 73 % citral in lemongrass oil.
        (
            CREAM,
            "to 100 % squalane + 2 % lemongrass oil; fragrance + 1.2 % tocopherol",
            "Squalane, Parfum, Lemongrass Oil, Citral, Tocopherol, Geraniol",
        ),
        // Of a scent that nobody has taken apart.
        (CREAM, "to 100 % squalane + 0.3 % parfum", "Squalane, Parfum, [allergens of parfum?]"),
    ] {
        let told = list(header, lines);
        assert!(told.starts_with(expected), "{header}: {lines}: {told}");
    }
}

/// "21 CFR 701.3": English names, and plants by the names that people know, beside the others.
#[test]
fn american_names_are_those_that_people_know() {
    for (lines, expected) in [
        (
            "to 100 % water + 5 % shea butter + 4 % high-oleic sunflower oil",
            "Water, Butyrospermum Parkii Butter (Shea Butter), Helianthus Annuus Seed Oil (Sunflower Oil)",
        ),
        ("to 100 % squalane + 5 % red iron oxide", "Squalane, CI 77491 (red iron oxide)"),
        // Both grades go by one name.
        (
            "to 100 % squalane + 3 % zinc oxide; nano + 3 % zinc oxide + 5 % glycerin",
            "Squalane, Zinc Oxide, Glycerin",
        ),
        // 1 % is among those that may stand in any order; the order is kept all the same.
        ("to 100 % water + 1 % glycerin + 1.5 % propanediol", "Water, Propanediol, Glycerin"),
    ] {
        assert_eq!(list_for(Market::Us, CREAM, lines), expected, "{lines}");
    }
    let place = |market: Market| {
        let page = page(CREAM, "to 100 % water + 1 % glycerin");
        let formula = &page.formulas().next().expect("a formula").formula;
        page.label(formula, market).entries.get(1).map(|entry| entry.kind)
    };
    assert_eq!(place(Market::Eu), Some(LabelPlace::Weighed));
    assert_eq!(place(Market::Us), Some(LabelPlace::Minor));
}

#[test]
fn what_is_not_known_is_said_in_its_place() {
    let table = [
        ("to 100 % water + 60 % moonmilk", "[moonmilk: INCI name?], Aqua"),
        ("to 100 % water + 6 % moonmilk; INCI Lac Lunae", "Aqua, Lac Lunae"),
        ("60 % water + some beeswax", "Aqua, [Cera Alba: how much?]"),
        ("to 100 % water + 4 % vegetable oil", "Aqua, [vegetable oil: INCI name?]"),
        (
            "to 100 % squalane + 5 % emulsifying wax NF",
            "Squalane, [Cetearyl Alcohol, Polysorbate 60: how much of each?]",
        ),
        // Where all of it is less than 1 %, any order will do.
        ("to 100 % squalane + 0.9 % emulsifying wax NF", "Squalane, Cetearyl Alcohol, Polysorbate 60"),
        ("to 100 % water + 2 % retinol; strength 10 % in moonmilk", "Aqua, [Retinol, moonmilk: INCI name?]"),
    ];
    for (lines, expected) in table {
        assert_eq!(list(CREAM, lines), expected, "{lines}");
        let page = page(CREAM, lines);
        let formula = &page.formulas().next().expect("a formula").formula;
        assert_eq!(page.label(formula, Market::Eu).is_whole(), !expected.contains('['), "{lines}");
    }
}

#[test]
fn words_of_the_law_are_in_the_block() {
    let block = |header: &str, market: Market| {
        let page = page(header, "to 100 % squalane + 0.2 % retinol");
        let formula = &page.formulas().next().expect("a formula").formula;
        let block = page.label(formula, market).block();
        block.get(1..block.len() - 1).unwrap_or_default().to_vec()
    };
    let law = "Contains Vitamin A. Consider your daily intake before use.";
    assert_eq!(block(CREAM, Market::Eu), [law]);
    assert_eq!(block(CREAM, Market::Us), [""; 0]);
    // Said in the maker's own words, they are not said again; what is for the label stands in its order.
    let own = format!(
        "{CREAM}; store Keep cool.; warning CONTAINS VITAMIN A; directions Consider your daily intake before use"
    );
    assert_eq!(
        block(&own, Market::Eu),
        ["Consider your daily intake before use", "CONTAINS VITAMIN A", "Keep cool."]
    );
}

fn formulas(page: &Page) -> impl Iterator<Item = &Formula> {
    page.formulas().flat_map(|resolved| std::iter::once(&resolved.formula).chain(&resolved.variants))
}

fn texts() -> impl Iterator<Item = String> {
    fires().into_iter().chain(cases::texts()).chain(corpus::examples().into_iter().map(|(_, text)| text))
}

/// Nothing is lost and nothing comes in: the names and the lines that are not settled come to what the lines come to.
#[test]
fn the_list_weighs_what_the_lines_weigh() {
    let mut looked = 0;
    for text in texts() {
        let page = page_on(&text, LAW_DAY);
        for formula in formulas(&page) {
            let listing = page.listing(formula);
            let mut lines: Exact = formula.items.iter().filter_map(|item| item.mid().cloned()).sum();
            let open =
                listing.unsettled.iter().filter_map(|own| own.share.as_ref()).map(|share| share.mid.clone());
            lines = lines - open.sum::<Exact>();
            let low: Exact = listing.listed.iter().map(|own| own.share.low.clone()).sum();
            let high: Exact = listing.listed.iter().map(|own| own.share.high.clone()).sum();
            assert!(low <= lines && lines <= high, "{low} {lines} {high}: {text}");
            for market in Market::ALL {
                let label = page.label(formula, market);
                let last = label.notes().pop().expect("the law");
                assert!(last.title == "The law" && !label.particulars.is_empty());
                // What is to be settled is told, and what is not whole shows it.
                let settle = label.notes().iter().any(|section| section.title == "Settle first");
                assert!(settle || (label.is_whole() && label.is_sound()), "{}: {text}", label.list());
                let open = label.entries.iter().any(|entry| entry.unsettled && entry.text.contains('['));
                assert_eq!(open, !label.is_whole() && !label.entries.is_empty(), "{}: {text}", label.list());
            }
            looked += 1;
        }
    }
    assert!(looked > 100, "{looked} formulas are few");
}

/// The label and the rule count alike: what the rule wants named in a product for sale stands on the label.
#[test]
fn what_the_rules_ask_for_stands_on_the_label() {
    let mut asked = 0;
    for text in texts() {
        let sold = |line: &str| {
            if line.starts_with("formula ") { format!("{line}\nfor sale\n") } else { format!("{line}\n") }
        };
        let text: String = text.lines().map(sold).collect();
        let page = page_on(&text, LAW_DAY);
        let findings = page.findings();
        for formula in formulas(&page) {
            let variant = formula.variant.as_ref().map(|(name, _)| name.clone());
            let here = findings.iter().filter(|finding| {
                finding.formula.as_deref() == Some(&formula.name) && finding.variant == variant
            });
            for finding in here.filter(|finding| finding.message.starts_with("EU law")) {
                if finding.rule != "allergens-to-declare" {
                    continue;
                }
                let label = page.label(formula, Market::Eu);
                let named = finding.fixes.iter().flat_map(|fix| fix.edits.iter());
                let names = named.filter_map(|edit| edit.text.trim().strip_prefix("note List: "));
                for name in names.flat_map(|names| names.split(", ")) {
                    let there = label.entries.iter().any(|entry| entry.text == name)
                        || (name == "scent allergens" && label.list().contains("[allergens of "));
                    assert!(there, "{name}: {}: {text}", label.list());
                    asked += 1;
                }
            }
        }
    }
    assert!(asked > 100, "{asked} names are few");
}

const LINES: &[&str] = &[
    "5 % glycerin",
    "3 % propanediol",
    "2 % titanium dioxide",
    "1 % red iron oxide",
    "0.9 % phenoxyethanol (and) ethylhexylglycerin",
    "4 % sorbitol; strength 70 %",
    "0.3 % lavender oil",
    "0.2 % geranium oil; fragrance",
    "6 % shea butter",
    "2 % glycerin",
    "0.4 % emulsifying wax NF",
    "3 % zinc oxide; nano",
    "1.5 % moonmilk",
];

fn label_of(page: &Page, market: Market) -> Label<'_> {
    page.label(&page.formulas().next().expect("a formula").formula, market)
}

proptest! {
    /// The order of the sheet changes nothing, but for names of one weight.
    #[test]
    fn the_order_of_the_lines_changes_nothing(order in Just(LINES.to_vec()).prop_shuffle()) {
        let text = |lines: &[&str]| format!("formula Table\n{CREAM}\nto 100 % water\n{}\n", lines.join("\n"));
        let (one, two) = (page_on(&text(LINES), LAW_DAY), page_on(&text(&order), LAW_DAY));
        for market in Market::ALL {
            let (one, two) = (label_of(&one, market), label_of(&two, market));
            let key = |label: &Label<'_>| {
                let share = |share: &Option<desk::Interval>| share.as_ref().map(|share| share.mid.clone());
                let mut all: Vec<_> =
                    label.entries.iter().map(|own| (own.kind, share(&own.share), own.text.clone())).collect();
                all.sort_by(|a, b| a.0.cmp(&b.0).then(b.1.cmp(&a.1)).then(a.2.cmp(&b.2)));
                all
            };
            prop_assert_eq!(key(&one), key(&two));
            // Where the shares differ, so does the place.
            let shares = |label: &Label<'_>| -> Vec<_> {
                label.entries.iter().map(|own| own.share.as_ref().map(|share| share.mid.clone())).collect()
            };
            prop_assert_eq!(shares(&one), shares(&two));
            prop_assert_eq!(one.is_whole(), two.is_whole());
        }
    }
}
