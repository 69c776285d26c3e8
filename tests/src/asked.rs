//! Names with several meanings are asked, never guessed.

use crate::findings;
use desk::Level;

/// The message of `ingredient-vague` on a formula with one line of this name; empty where it is not asked.
fn asked(name: &str) -> String {
    let text = format!(
        "formula Table\nproduct cream, face\nto 100 % purified water\n0.2 % {name}\n\
         0.9 % phenoxyethanol (and) ethylhexylglycerin\n"
    );
    findings(&text)
        .into_iter()
        .find(|finding| finding.rule == "ingredient-vague" && finding.level == Level::Warning)
        .map(|finding| finding.message)
        .unwrap_or_default()
}

#[test]
fn names_with_several_meanings_are_asked() {
    let table = [
        ("lemon oil", "lemon oil can mean cold-pressed lemon oil or distilled lemon oil"),
        ("aloe vera", "aloe vera can mean aloe vera juice, aloe vera gel, aloe vera powder or aloe vera oil"),
        (
            "vitamin C",
            "vitamin C can mean ascorbic acid, sodium ascorbyl phosphate, magnesium ascorbyl phosphate, \
             ascorbyl glucoside or tetrahexyldecyl ascorbate",
        ),
        ("eucalyptus oil", "eucalyptus oil can mean eucalyptus globulus oil or lemon eucalyptus oil"),
        ("DHA", "DHA can mean dehydroacetic acid or dihydroxyacetone"),
        ("PHA", "PHA can mean gluconolactone or lactobionic acid"),
    ];
    for (name, message) in table {
        assert_eq!(asked(name), message);
    }
}

#[test]
fn what_is_asked_is_not_judged_by_one_of_its_meanings() {
    // Dehydroacetic acid would be over its limit; dihydroxyacetone is no self-tan without the word.
    let text = "formula Table\nproduct cream, face\nmarket EU\nto 100 % purified water\n2 % DHA\n\
                0.9 % phenoxyethanol (and) ethylhexylglycerin\n";
    let rules: Vec<&str> = findings(text).into_iter().map(|finding| finding.rule).collect();
    assert_eq!(rules, ["ingredient-vague"]);
    // Pressed lemon oil would be phototoxic at this amount.
    let text = "formula Table\nproduct body oil\n96 % jojoba oil\n4 % lemon oil\n";
    let rules: Vec<&str> = findings(text).into_iter().map(|finding| finding.rule).collect();
    assert_eq!(rules, ["ingredient-vague"]);
}

#[test]
fn a_meaning_that_is_written_is_not_asked() {
    for name in [
        "distilled lemon oil",
        "cold-pressed lemon oil",
        "aloe vera juice",
        "dehydroacetic acid",
        "gluconolactone",
    ] {
        assert_eq!(asked(name), "", "{name}");
    }
}
