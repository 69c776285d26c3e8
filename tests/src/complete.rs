//! What is offered at a place, drawn as `|`.

mod accents;
mod everywhere;

use crate::page_on;
use desk::{Date, Desk, MemoryShelf, Offer};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// The offer at the `|` of a text, asked for or on its own.
fn offer(drawn: &str, asked: bool) -> (String, Offer) {
    let at = drawn.find('|').expect("a cursor");
    let text = drawn.replacen('|', "", 1);
    let offer = page_on(&text, crate::LAW_DAY).complete(at as u32, asked);
    (text, offer)
}

fn labels(drawn: &str, asked: bool) -> Vec<String> {
    offer(drawn, asked).1.candidates.into_iter().map(|candidate| candidate.label).collect()
}

/// A formula with a line that is being written.
const CREAM: &str = "formula Cream
version 2
product cream, leave-on, body
batch 200 g

phase A water; heat to 75 °C
  to 100 % purified water
  3 % glycerin
phase B oil; heat to 75 °C
  12 % sunflower oil
  0.2 % lavender oil
";

/// The cream with another line at its end.
fn cream(line: &str) -> String {
    format!("{CREAM}{line}")
}

/// The cream with another line in its water phase.
fn watery(line: &str) -> String {
    CREAM.replace("phase B", &format!("{line}\nphase B"))
}

fn ingredient(line: &str) -> String {
    format!("ingredient Oat milk\nphase water\n{line}")
}

#[test]
fn the_first_is_what_is_most_likely() {
    let mut wrong = Vec::new();
    for (drawn, first) in [
        // Lines.
        ("f|".to_owned(), &["formula"][..]),
        ("formula A\npro|".to_owned(), &["product"]),
        ("formula A\nshelf l|".to_owned(), &["shelf life"]),
        (cream("ste|"), &["step"]),
        (cream("ph|"), &["phase"]),
        (cream("variant a\nom|"), &["omit"]),
        (cream("variant a\nomit lavender oil\nre|"), &["replace"]),
        ("ingredient A\ninc|".to_owned(), &["INCI", "incompatible with"]),
        ("workshop A\nme|".to_owned(), &["measures"]),
        ("record 1\nw|".to_owned(), &["weighed"]),
        // Units, then ingredients.
        (cream("  5 |"), &["%", "g", "mg"]),
        (cream("  5 m|"), &["mg", "mL"]),
        (cream("  5 fl o|"), &["fl oz"]),
        (cream("  30 g = 5 |"), &["%", "g"]),
        ("formula A\n12 g shea butter\n5 k|".to_owned(), &["kg"]),
        ("formula A\n2 tsp shea butter\n5 |".to_owned(), &["%", "tsp", "g"]),
        (cream("  to 100 |").replace("to 100 % p", "10 % p"), &["%", "g"]),
        (cream("  5 % butyrospermum park|"), &["shea butter"]),
        (cream("  5 % 56-|"), &[]),
        (cream("  5 % of |"), &["A", "B", "oils"]),
        (cream("  5 % of B cety|"), &["cetyl alcohol"]),
        (watery("  q.s. citric|"), &["citric acid"]),
        // Names after words.
        (cream("  0.3 % xanthan gum; wetted in gly|"), &["glycerin"]),
        (watery("  0.3 % xanthan gum; wetted in |"), &["glycerin"]),
        ("record 1\nof A\nweighed 20 g glyce|".to_owned(), &["glycerin"]),
        (ingredient("contains 40 to 60 % linal|"), &["linalool"]),
        (ingredient("incompatible with any c|"), &["any cationic"]),
        // Variants.
        (cream("variant a\nomit lav|"), &["lavender oil"]),
        (cream("variant a\nomit |"), &["purified water", "glycerin", "sunflower oil", "lavender oil"]),
        (cream("variant a\nreplace sunflower oil in |"), &["A", "B"]),
        (cream("variant a\nreplace sunflower oil with jojoba o|"), &["jojoba oil"]),
        (cream("variant a\nreplace sunflower oil with 5 |"), &["%"]),
        (cream("variant a\nadd 5 % glyc|"), &["glycerin"]),
        (cream("variant a\nadd 5 % jojoba oil to |"), &["A", "B"]),
        (cream("variant a\nset gl|"), &["glycerin"]),
        (cream("variant a\nset shelf|"), &["shelf life"]),
        (cream("variant a\nset glycerin to 5 |"), &["%", "g"]),
        (cream("variant a\nset product to cre|"), &["cream"]),
        (cream("variant a\nset shelf life to 6 |"), &["months"]),
        (cream("variant a\nomit lavender oil\nvariant both: |"), &["a"]),
        // Steps.
        (cream("step add |"), &["A", "B", "purified water", "glycerin"]),
        (cream("step add B to A|"), &[]),
        (cream("step stir sunf|"), &["sunflower oil"]),
        (cream("step stir sunflower o|"), &["sunflower oil"]),
        (cream("step ho|"), &["hold", "homogenise"]),
        (cream("step heat A to 75 |"), &["°C"]),
        (cream("step stir 3 |"), &["min", "h"]),
        // Qualifiers.
        (cream("  1 % lactic acid; wet|"), &["wetted in"]),
        (cream("  1 % lactic acid; pres|"), &["preservative booster", "preservative"]),
        (cream("  q.s. lactic acid; |"), &["to pH", "about"]),
        (cream("  1 % lactic acid; strength 80 |"), &["%", "IU/g"]),
        (cream("phase C oil; |"), &["heat to", "hold", "below"]),
        (cream("phase C oil; heat to 70 |"), &["°C", "°F"]),
        (cream("phase C oil; heat to 70 °C; hold 5 |"), &["min", "h"]),
        (cream("phase |"), &["C"]),
        (cream("phase C |"), &["water", "oil", "cool-down"]),
        (cream("phase C co|"), &["cool-down"]),
        (ingredient("limit 1 %; la|"), &["law"]),
        (ingredient("usage 1 to 3 |"), &["%", "ppm"]),
        (ingredient("usage 1 to 3 %; from m|"), &["from memory"]),
        // Lists.
        ("formula A\nproduct |".to_owned(), &["cream", "lotion"]),
        ("formula A\nproduct shampoo, |".to_owned(), &["rinse-off"]),
        ("formula A\nproduct cream, leave-on, ey|".to_owned(), &["eye area"]),
        ("formula A\nfor bab|".to_owned(), &["babies"]),
        ("formula A\nmarket EU, |".to_owned(), &["UK", "US"]),
        ("formula A\nstatus |".to_owned(), &["trial", "approved", "withdrawn"]),
        ("formula A\nclaim fra|".to_owned(), &["fragrance-free"]),
        ("formula A\npack 50 |".to_owned(), &["mL", "g"]),
        ("formula A\npack 50 mL amb|".to_owned(), &["amber bottle"]),
        ("formula A\npack 50 mL jar; |".to_owned(), &["net", "cost"]),
        ("formula A\nshelf life 9 |".to_owned(), &["months"]),
        (cream("  0.2 % retinol; allow |"), &["too-hot", "no-preservative"]),
        (CREAM.replace("batch 200 g", "allow |"), &["too-hot"]),
        ("formula A\nallow total-not-1|".to_owned(), &["total-not-100"]),
        (cream("  1 % lactic acid; allow outside-us|"), &["outside-usage"]),
        ("workshop A\ntreat total-not-100 as |".to_owned(), &["error", "warning"]),
        ("formula A\ntested cha|".to_owned(), &["challenge"]),
        (ingredient("function humec|"), &["humectant"]),
        (ingredient("price 14.20 |"), &["EUR"]),
    ] {
        let found = labels(&drawn, false);
        let fits = if first.is_empty() {
            found.is_empty()
        } else {
            found.iter().zip(first).filter(|(a, b)| a == b).count() == first.len()
        };
        if !fits {
            let last = drawn.lines().last().unwrap_or_default();
            wrong.push(format!(
                "{last}: wanted {first:?}, offered {:?}",
                found.iter().take(8).collect::<Vec<_>>()
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn ingredients_are_ranked_by_use_then_by_phase_then_by_their_beginning() {
    let first =
        |drawn: &str, many: usize| -> Vec<String> { labels(drawn, false).into_iter().take(many).collect() };
    let oat = "ingredient Oat drink\nphase water\nfunction active\n";
    // The maker's own, then what another formula uses, then what the phase is for.
    let other = "formula Other\n5 % oat extract\n95 % jojoba oil\n";
    let both = format!("{oat}{other}{}", watery("  2 % o|"));
    assert_eq!(first(&both, 2), ["Oat drink", "oat extract"]);
    assert_eq!(first(&watery("  2 % ca|"), 2), ["caffeine", "calcium chloride"]);
    assert_eq!(first(&cream("  2 % ca|"), 3), ["calendula oil", "camellia oil", "candelilla wax"]);
    // A beginning goes before a middle, and after a middle comes what belongs elsewhere.
    let oils = labels(&cream("  2 % cocoa|"), false);
    assert_eq!(oils.first().map(String::as_str), Some("cocoa butter"), "{oils:?}");
    // What the formula holds already is seldom wanted twice, but is there.
    let twice = labels(&cream("  2 % sunflower|"), false);
    assert!(twice.contains(&"sunflower oil".to_owned()), "{twice:?}");
}

#[test]
fn an_ingredient_is_found_by_any_name_and_written_by_its_own() {
    let (text, offer) = offer(&cream("  5 % butyrosp|; cold-pressed"), false);
    let shea = offer.candidates.first().expect("a candidate");
    assert_eq!((shea.label.as_str(), shea.text.as_str()), ("shea butter", "shea butter"));
    assert_eq!(shea.filter.as_deref(), Some("Butyrospermum Parkii Butter"));
    assert_eq!(shea.span.of(&text), "butyrosp");
    assert!(offer.partial, "another letter may find it by another name");
    let every = super::complete::offer(&cream("  5 % |"), false).1;
    assert!(every.partial && every.candidates.len() == 100, "{}", every.candidates.len());
    // A name with several meanings leads to each of them.
    let meant = labels(&cream("  5 % vitamin c|"), false);
    assert!(
        meant.contains(&"ascorbic acid".to_owned()) && !meant.contains(&"vitamin C".to_owned()),
        "{meant:?}"
    );
    // A word in the middle of which the cursor stands is meant as a whole.
    let (text, offer) = super::complete::offer(&cream("  5 % jojo|ba oil"), false);
    assert_eq!(offer.candidates.first().expect("a candidate").span.of(&text), "jojoba");
}

#[test]
fn nothing_is_offered_where_words_are_free() {
    for drawn in [
        "|",
        "formula Gly|",
        "formula A |",
        "formula A\n  |",
        "formula A\nnote |",
        "formula A\nnote the gly|",
        "formula A\nnote 5 % gly|",
        "formula A\nprivate note step |",
        "formula A\ndirections Use a gly|",
        "formula A\nby |",
        "formula A\ncode |",
        "formula A\nversion |",
        "formula A\n# phase gly|",
        "formula A\n5 % glycerin # gly|",
        "formula A\n5 % glycerin; lot |",
        "formula A\n5 % glycerin; supplier gly|",
        "formula A\n5 % glycerin; allow outside-usage because |",
        "formula A\nallow outside-usage because gly|",
        "formula A\nproduct cream |",
        "formula A\nphase A water |",
        "formula A\nphase A water heat|",
        "formula A\nvariant gly|",
        "formula A\n5|",
        "formula A\n5 %|",
        "formula A\n5 % glycerin |",
        "formula A\n5 % glycerin\nstep stir slowly |",
        "formula A\n5 % glycerin\nstep fill |",
        "formula A\n1,000 gly|",
        "record 1\nobserved 2026-04-14 gly|",
        "record 1\nmade by |",
        "record 1\ndeviation the gly|",
        "ingredient A\nnot above 45 °C because gly|",
        "ingredient A\nsource The gly|",
        "ingredient A\nusage 1 to 3 %; source the gly|",
        "ingredient A\nincompatible with any cationic because gly|",
    ] {
        let found = labels(drawn, false);
        assert!(found.is_empty(), "{drawn}: {found:?}");
    }
}

#[test]
fn what_is_written_out_is_offered_only_when_asked_for() {
    for drawn in [
        "formula A\nstatus trial|",
        "formula A\nmarket EU|",
        "formula A\nph|",
        "formula A\nphase A\n5 % xanthan gum|",
    ] {
        let (quiet, asked) = (labels(drawn, false), labels(drawn, true));
        let whole = !drawn.ends_with("ph|");
        assert_eq!(quiet.is_empty(), whole, "{drawn}: {quiet:?}");
        assert!(!asked.is_empty(), "{drawn}");
    }
    // An empty text, an empty line, and a number without a blank.
    assert_eq!(labels("|", true), ["formula", "ingredient", "record", "workshop"]);
    assert_eq!(labels("formula A\n|", true).first().map(String::as_str), Some("code"));
    let (_, offer) = offer("formula A\n5|", true);
    assert_eq!(offer.candidates.first().map(|candidate| candidate.text.as_str()), Some(" %"));
}

#[test]
fn lines_that_are_said_are_not_offered_again() {
    let lines = labels(&CREAM.replace("batch 200 g\n", "|\n"), true);
    for (word, there) in
        [("version", false), ("product", false), ("batch", true), ("claim", true), ("note", true)]
    {
        assert_eq!(lines.iter().any(|label| label == word), there, "{word}: {lines:?}");
    }
    let qualifiers = labels(&cream("  1 % lactic acid; optional; |; lot 7"), false);
    assert!(!qualifiers.iter().any(|label| label == "optional" || label == "lot"), "{qualifiers:?}");
    let products = labels("formula A\nproduct cream, leave-on, face, |", false);
    assert!(!products.iter().any(|label| ["cream", "balm", "rinse-off", "face"].contains(&label.as_str())));
    assert!(products.iter().any(|label| label == "body"), "{products:?}");
}

#[test]
fn blocks_bring_places_to_fill_in_and_plain_words() {
    for (drawn, plain, begins) in [
        ("form|".to_owned(), "formula", "formula ${1:name}\n"),
        ("ingr|".to_owned(), "ingredient", "ingredient ${1:name}\n"),
        ("reco|".to_owned(), "record", "record ${1:"),
        (cream("phas|"), "phase C", "phase C ${1|water,"),
        (cream("vari|"), "variant", "variant ${1:name}\n"),
    ] {
        let found = offer(&drawn, false).1.candidates;
        let block = found.first().expect("a candidate");
        assert_eq!(block.text, plain);
        assert!(block.snippet.as_deref().is_some_and(|snippet| snippet.starts_with(begins)), "{block:?}");
    }
}

#[test]
fn more_is_told_of_a_candidate_when_it_is_looked_at() {
    for (drawn, parts) in [
        (cream("  5 % shea butt|"), &["**shea butter**", "INCI Butyrospermum Parkii Butter"][..]),
        ("formula A\nallow total-not|".to_owned(), &["**total-not-100**"]),
        ("formula A\nshelf|".to_owned(), &["`shelf life 9 months`", "a line of: formula, ingredient"]),
        ("formula A\ncla|".to_owned(), &["`claim SPF 15, UVA`", "several such lines"]),
    ] {
        let (text, offer) = offer(&drawn, false);
        let first = offer.candidates.first().expect("a candidate");
        let key = first.key.clone().unwrap_or_else(|| panic!("no key on {first:?}"));
        let told = page_on(&text, crate::LAW_DAY).told(&key).expect("something to tell");
        for part in parts {
            assert!(told.contains(part), "{key}: no `{part}` in\n{told}");
        }
    }
    let page = page_on(CREAM, crate::LAW_DAY);
    for key in ["", "rule:", "rule:none", "ingredient:no such thing", "word:formula:none", "word:", "x:y"] {
        assert_eq!(page.told(key), None, "{key}");
    }
}

#[test]
fn files_and_formulas_nearby_are_known() {
    let shelf = MemoryShelf::new([
        (
            "/w/base.formula",
            "formula Soft base\n100 % shea butter\nvariant vegan\nformula Hard base\n100 % beeswax\n",
        ),
        ("/w/deep/er.formula", "formula Deep\n"),
        ("/w/workshop.formula", "workshop Ours\ncurrency NOK\nstock own.formula\n"),
        ("/w/own.formula", "ingredient Our oat milk\nfunction active\n"),
        ("/else/where.formula", "formula Elsewhere\n"),
    ]);
    let mut desk = Desk::new(Arc::new(shelf), Date::read(crate::LAW_DAY).expect("a day"));
    desk.set_roots(vec![PathBuf::from("/w")]);
    for (file, drawn, wanted) in [
        (
            "/w/a.formula",
            "formula A\ninclude |",
            &["base.formula", "own.formula", "workshop.formula", "deep/er.formula"][..],
        ),
        ("/w/deep/a.formula", "formula A\ninclude ../b|", &["../base.formula"]),
        ("/w/a.formula", "formula A\ninclude base.formula#|", &["Soft base", "Hard base"]),
        ("/w/a.formula", "formula A\ninclude base.formula as |", &[]),
        ("/w/a.formula", "workshop A\nstock ow|", &["own.formula"]),
        ("/w/r.formula", "record 1\nof so|", &["Soft base"]),
        (
            "/w/r.formula",
            "record 1\nof Soft base version 1\nweighed 20 g |",
            &["shea butter", "Our oat milk"],
        ),
        ("/w/r.formula", "record 1\nof Soft base version 1; variant |", &["vegan"]),
        ("/w/a.formula", "formula A\n5 % our|", &["Our oat milk"]),
        ("/w/a.formula", "ingredient A\nprice 5 |", &["NOK", "EUR"]),
        ("/w/a.formula", "formula A\ninclude base.formula as Soft base\n5 % so|", &["Soft base"]),
    ] {
        let at = drawn.find('|').expect("a cursor");
        let path = Path::new(file);
        desk.open(path, drawn.replacen('|', "", 1));
        let page = desk.page(path).expect("a page");
        let found: Vec<String> = desk
            .complete(path, &page, at as u32, false)
            .candidates
            .into_iter()
            .map(|found| found.label)
            .collect();
        desk.close(path);
        let many = if wanted.is_empty() { found.len() } else { wanted.len() };
        assert_eq!(found.get(..many).unwrap_or(&found), wanted, "{drawn}: {found:?}");
    }
}
