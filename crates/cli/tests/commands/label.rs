//! `levigate label`

use crate::{Bench, json, keys};
use serde_json::{Value, json};

/// A night cream with all that a label can meet: a blend, a solution, an allergen, a warning, a colourant.
const CREAM: &str = "\
formula Wickmere night cream
version 2
product cream, leave-on, face
for sale
market EU
pack 30 mL jar; net 30 g
shelf life 9 months
directions Smooth on in the evening.
store Keep below 25 °C.

phase A water
  to  100     %     purified water
        4     %     glycerin
        3     %     sorbitol; strength 70 %

phase B oil
       12     %     jojoba oil
        4.5   %     glyceryl stearate (and) PEG-100 stearate
        1     %     yellow iron oxide

phase C cool-down
        1     %     phenoxyethanol (and) ethylhexylglycerin
        0.2   %     retinol
        0.2   %     geranium oil; fragrance

variant plain
omit geranium oil
";

const DAY: [&str; 2] = ["--on", "2026-11-24"];

fn shown(args: &[&str]) -> String {
    let bench = Bench::with(&[("cream.formula", CREAM)]);
    let ran = bench.run(&[&["label", "cream.formula"], args, &DAY].concat());
    assert_eq!((ran.status, ran.err.as_str()), (0, ""));
    ran.out
}

#[test]
fn a_label_to_copy() {
    insta::assert_snapshot!(shown(&[]));
}

#[test]
fn a_label_for_another_market() {
    insta::assert_snapshot!("uk", shown(&["--market", "uk", "--variant", "plain"]));
    insta::assert_snapshot!("us", shown(&["--market", "us", "--variant", "plain"]));
}

#[test]
fn a_label_as_markdown_and_as_a_page() {
    insta::assert_snapshot!("markdown", shown(&["--as", "markdown", "--variant", "plain"]));
    insta::assert_snapshot!("html", shown(&["--as", "html", "--variant", "plain"]));
}

#[test]
fn a_label_for_scripts() {
    let report = json(&shown(&["--as", "json"]));
    assert_eq!(keys(&report), ["levigate", "labels", "markets_without_label"]);
    let label = &report["labels"][0];
    assert_eq!(
        keys(label),
        [
            "name",
            "version",
            "variant",
            "market",
            "law_as_of",
            "complete",
            "trusted",
            "list",
            "block",
            "ingredients",
            "unsettled",
            "findings",
            "allergens",
            "words",
            "still_to_write",
            "notes"
        ]
    );
    assert_eq!((&label["market"], &label["law_as_of"]), (&"EU".into(), &"2026-11-24".into()));
    // 4.5 % of a blend that is 45 to 55 % of it.
    let blend = &label["ingredients"][4];
    assert_eq!(
        *blend,
        json!({
            "text": "PEG-100 Stearate", "place": "by weight", "least_percent": "2.025", "percent": "2.25",
            "most_percent": "2.475", "unsettled": false, "from": ["glyceryl stearate (and) PEG-100 stearate"],
            "standing": "from memory"
        })
    );
    // Geranium oil has 10 % citronellol or more: 0.2 % of it brings more than 0.001 %.
    let allergen =
        label["allergens"].as_array().unwrap().iter().find(|own| own["text"] == "Citronellol").unwrap();
    assert_eq!(allergen["above_percent"], "0.001");
    let words = &label["words"][0];
    assert_eq!((&words["rank"], &words["printed"]), (&"law".into(), &true.into()));
    let variant = &report["labels"][1];
    assert_eq!((&variant["variant"], &variant["allergens"]), (&"plain".into(), &json!([])));
    insta::assert_snapshot!("json", serde_json::to_string_pretty(variant).unwrap());
    // The sheet counts the same list.
    let bench = Bench::with(&[("cream.formula", CREAM)]);
    let sheet = json(&bench.run(&["sheet", "cream.formula", "--variant", "plain", "--as", "json"]).out);
    let mut sheet: Vec<&str> = sheet["formulas"][0]["ingredient_list"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(Value::as_str)
        .collect();
    let mut label: Vec<&str> =
        variant["ingredients"].as_array().unwrap().iter().filter_map(|own| own["text"].as_str()).collect();
    sheet.sort_unstable();
    label.sort_unstable();
    assert_eq!(sheet, label);
}

#[test]
fn a_list_that_cannot_be_trusted_says_so() {
    let short = CREAM.replace("to  100     %", "     70     %");
    let ran = Bench::with(&[]).pipe(&["label", "-", "--formula", "wickmere night cream"], &short);
    assert_eq!(ran.status, 1);
    assert!(
        ran.out
            .contains("\nSettle first\n  - The list cannot be trusted (total-not-100): the lines add up to ")
    );
    // The tables hold no scent allergens of UK law: that is no reason to leave them out.
    let scented = Bench::with(&[]).pipe(&["label", "-", "--market", "uk"], CREAM);
    assert_eq!(scented.status, 1);
    assert!(scented.out.contains("Parfum, Ethylhexylglycerin, [scent allergens by UK law?], CI 77492"));
    let unknown = "formula Odd\n  to 100 % jojoba oil\n  5 % moonmilk\n  5 % moonmilk\n";
    let ran = Bench::with(&[]).pipe(&["label", "-"], unknown);
    assert_eq!(ran.status, 1);
    assert!(ran.out.contains("Simmondsia Chinensis Seed Oil, [moonmilk: INCI name?]"), "{}", ran.out);
    assert_eq!(ran.out.matches("nobody knows moonmilk").count(), 1);
    assert!(ran.out.contains("No market is said, so the EU is assumed."));
    let report = json(&Bench::with(&[]).pipe(&["label", "-", "--as", "json"], unknown).out);
    let label = &report["labels"][0];
    assert_eq!((&label["complete"], &label["trusted"]), (&false.into(), &true.into()));
    assert_eq!(label["unsettled"], json!(["moonmilk", "moonmilk"]));
    let half =
        Bench::with(&[]).pipe(&["label", "-", "--as", "json"], "formula Odd\n  10 g jojoba oil\n  10 g\n");
    assert_eq!((half.status, &json(&half.out)["labels"][0]["trusted"]), (1, &false.into()));
}

#[test]
fn what_has_no_label_is_refused() {
    let bench = Bench::with(&[
        ("cream.formula", CREAM),
        ("empty.formula", "workshop House\n"),
        ("base.formula", "formula Soft base\nproduct premix\n  100 % jojoba oil\n"),
        ("far.formula", "formula Far\nmarket JP\n  100 % jojoba oil\n"),
        ("both.formula", "formula Both\nmarket JP, US\n  100 % jojoba oil\n"),
    ]);
    for (args, expected) in [
        (&["empty.formula"][..], "levigate: empty.formula: there is no formula in it\n"),
        (&["none.formula"], "levigate: none.formula: no such file or folder\n"),
        (
            &["base.formula"],
            "levigate: base.formula: a premix has no label of its own; ask for that of a product that holds it\n",
        ),
        (
            &["far.formula"],
            "levigate: far.formula: what a label needs is known for the EU, the UK and the US, not for JP; choose \
             one with --market\n",
        ),
        (
            &["cream.formula", "--formula", "Wickmere nite cream"],
            "levigate: no formula is called `Wickmere nite cream`; did you mean `Wickmere night cream`?\n",
        ),
        (
            &["cream.formula", "--variant", "plane"],
            "levigate: no variant is called `plane`; did you mean `plain`?\n",
        ),
    ] {
        let ran = bench.run(&[&["label"], args].concat());
        assert_eq!((ran.status, ran.out.as_str(), ran.err.as_str()), (2, "", expected));
    }
    assert_eq!(bench.run(&["label", "cream.formula", "--market", "mars"]).status, 2);
    assert_eq!(bench.run(&["label", "far.formula", "--market", "EU"]).status, 0);
    let both = bench.run(&["label", "both.formula"]);
    assert_eq!(both.status, 0);
    assert!(both.out.starts_with("Both: label for the US\n"));
    assert!(
        both.out
            .ends_with("No label: what a label needs is known for the EU, the UK and the US, not for JP.\n")
    );
}

#[test]
fn marks_of_other_languages_mean_nothing() {
    let text = "formula A <b>*bold*</b> & [c](d)\n  100 % jojoba oil\n";
    let page = Bench::with(&[]).pipe(&["label", "-", "--as", "html"], text).out;
    assert!(page.contains("<p class=\"name\">A &lt;b&gt;*bold*&lt;/b&gt; &amp; [c](d)</p>"), "{page}");
    let markdown = Bench::with(&[]).pipe(&["label", "-", "--as", "markdown"], text).out;
    assert!(markdown.contains("> A \\<b\\>\\*bold\\*\\</b\\> \\& \\[c\\](d)\n"), "{markdown}");
}

/// The guide shows what really comes.
#[test]
fn the_label_of_the_guide_is_real() {
    let guide = include_str!("../../../../grammar/guide/labels.md");
    let fenced = |fence: &str| {
        let (_, rest) = guide.split_once(&format!("```{fence}\n")).unwrap();
        rest.split_once("```\n").unwrap().0.to_owned()
    };
    let ran = Bench::with(&[]).pipe(&[&["label", "-"], &DAY[..]].concat(), &fenced("formula"));
    assert_eq!((ran.status, ran.out), (0, fenced("text")));
}
