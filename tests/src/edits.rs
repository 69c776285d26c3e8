//! Any sequence of edits gives the same text and the same findings as opening the final text afresh, in every encoding.

use crate::LAW_DAY;
use desk::{Date, Desk, Encoding, MemoryShelf, Place, Resolved};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use std::path::Path;
use std::sync::Arc;

const START: &str = "# Crème de l'atelier 🧴\nformula Crème légère\nproduct cream, face\npH 5.0 to 5.5\n\nphase A water\n  to  100     %     purified water\n        5     %     glycerin\n\nphase B oil; heat to 75 °C\n       10     %     jojoba oil\n        3     %     cetyl alcohol\n\nphase C\n        0.5   %     benzyl alcohol\n\nvariant léger\nomit jojoba oil\n\ningredient huile d'été 🌞\nINCI Helianthus Annuus Seed Oil\nfunction oil\nsoluble in oil\n\nformula Second\nproduct balm\n       60     %     huile d'été 🌞\n       40     %     shea butter\n\nrecord 26-1\nof Second version 2\ndate 2026-03-02\nbatch 100 g\nweighed 70 g huile d'été 🌞; lot H-1\nweighed 40.1 g shea butter\nmeasured pH 6.2\n";

/// Pieces of text that an editor might type or paste.
fn piece() -> impl Strategy<Value = String> {
    prop_oneof![
        Just(String::new()),
        Just("\n".to_owned()),
        Just("\r\n".to_owned()),
        Just("formula Neu\n".to_owned()),
        Just("\nformula".to_owned()),
        Just("ingredient été\n".to_owned()),
        Just("workshop Atelier\nscales 0.1 g\n".to_owned()),
        Just("phase D\n 5 % µ-crystals ½\n".to_owned()),
        Just("𝛽".to_owned()),
        Just("½ tsp x".to_owned()),
        Just("version 2\ndated 2026-02-01\n".to_owned()),
        Just("version 3\n".to_owned()),
        Just("record 26-2\nof Second\nweighed 3 g beeswax\n".to_owned()),
        Just("deviation shea butter\n".to_owned()),
        Just("lot H-1; expires 2026-01\n".to_owned()),
        Just("3".to_owned()),
        Just(" ".to_owned()),
        Just("#".to_owned()),
        "[a-z0-9 %;,\n\"é🌞]{0,12}",
    ]
}

type Step = ((u32, u32), (u32, u32), String);

fn step() -> impl Strategy<Value = Step> {
    ((0..40u32, 0..40u32), (0..4u32, 0..40u32), piece())
}

fn findings_of(desk: &mut Desk, path: &Path) -> (String, String) {
    let page = desk.page(path).expect("a page");
    (page.text(), format!("{:?}", page.findings()))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, rng_seed: RngSeed::Fixed(20_261_124), ..ProptestConfig::default() })]

    #[test]
    fn edits_equal_a_fresh_open(steps in prop::collection::vec(step(), 1..8), encoding in 0..3usize) {
        let encoding = [Encoding::Utf8, Encoding::Utf16, Encoding::Utf32][encoding];
        let path = Path::new("a.formula");
        let day = Date::read(LAW_DAY).expect("a day");
        let mut desk = Desk::new(Arc::new(MemoryShelf::default()), day);
        desk.open(path, START.to_owned());
        for ((line, column), (lines, end), text) in steps {
            // Looking between the edits keeps what was found, and must not keep too much.
            let _ = desk.page(path);
            let from = Place { line, column };
            let to = if lines == 0 { Place { line, column: column + end } } else { Place { line: line + lines, column: end } };
            desk.edit(path, from, to, encoding, &text);
        }
        same_as_fresh(&mut desk, path)?;
    }

    /// The same where a formula and its records change line by line, each held against the other.
    #[test]
    fn records_and_their_formula_equal_a_fresh_open(steps in prop::collection::vec((0..26u32, 0..BENCH_LINES.len()), 1..10)) {
        let path = Path::new("a.formula");
        let day = Date::read(LAW_DAY).expect("a day");
        let mut desk = Desk::new(Arc::new(MemoryShelf::default()), day);
        desk.open(path, BENCH.to_owned());
        for (line, new) in steps {
            let _ = desk.page(path);
            let (from, to) = (Place { line, column: 0 }, Place { line: line + 1, column: 0 });
            desk.edit(path, from, to, Encoding::Utf8, BENCH_LINES[new]);
        }
        same_as_fresh(&mut desk, path)?;
    }
}

proptest! {
    /// The same where lines of a method, and what they speak of, come and go.
    #[test]
    fn methods_equal_a_fresh_open(steps in prop::collection::vec((0..18u32, 0..2u32, 0..METHOD_LINES.len()), 1..12)) {
        let path = Path::new("a.formula");
        let day = Date::read(LAW_DAY).expect("a day");
        let mut desk = Desk::new(Arc::new(MemoryShelf::default()), day);
        desk.open(path, METHOD.to_owned());
        for (line, over, new) in steps {
            let _ = desk.page(path);
            let (from, to) = (Place { line, column: 0 }, Place { line: line + over, column: 0 });
            desk.edit(path, from, to, Encoding::Utf8, METHOD_LINES[new]);
        }
        same_as_fresh(&mut desk, path)?;
    }
}

/// A cream with a method that names its lines in many ways.
const METHOD: &str = "formula A\nproduct cream\nphase A water; heat to 75 °C\n to 100 % water\n 4 % glycerin\nphase B \
                      oil; heat to 75 °C\n 10 % shea butter\n 5 % emulsifying wax\nphase C cool-down; below 40 °C\n 1 % \
                      lavender oil\nstep heat A and B to 75 °C; hold 20 min\nstep pour the oils into the water, then \
                      blend\nstep cool below 40 °C; add the scent and vitamin E\nstep fill\n";

/// Lines that may come in.
const METHOD_LINES: [&str; 16] = [
    "",
    "\n",
    "# µ ½ 🧴\n",
    "step mix everything\n",
    "step melt the butter; add the rest\n",
    "step add lavender oil, then rose oil\n",
    "step cool to 35 °C\n",
    "step pour the oils into the water, then blend\n",
    "step mix and heat\n",
    "phase D the scent\n",
    "phase C powder\n",
    " 2 % rose oil\n",
    " 3 % lavender oil; preservative\n",
    "variant plain\nomit lavender oil\n",
    "ingredient shea butter\nalso vitamin e\n",
    "formula B\n",
];

/// A formula, batches of it, a premix, and what stands on the shelf.
const BENCH: &str = "formula A\nversion 2\ndated 2026-02-01\nproduct balm\npH 5 to 6\ninclude a.formula#B as b\n 60 % jojoba oil\n 20 % shea butter\n 20 % b\n\nformula B\nproduct premix\n 50 % beeswax\n 50 % jojoba oil\n\nrecord 1\nof A version 2\ndate 2026-03-02\nbatch 100 g\nweighed 60 g jojoba oil; lot J-1\nweighed 20 g shea butter\nmeasured pH 5.5\n\nrecord 2\nof B\nyield 10 g\n\ningredient jojoba oil\nlot J-1; expires 2026-06\n";

/// Lines that may take the place of others.
const BENCH_LINES: [&str; 14] = [
    "",
    "version 3\n",
    "dated 2026-08-01\n",
    "batch 200 g\n",
    " 70 % jojoba oil\n",
    "record 3\n",
    "of A version 2\n",
    "of B\n",
    "weighed 30 g shea butter\n",
    "weighed 5 g cocoa butter; lot C-1\n",
    "measured pH 7\n",
    "yield 90 g\n",
    "formula A\n",
    "lot J-1; expires 2026-01\n",
];

fn same_as_fresh(desk: &mut Desk, path: &Path) -> Result<(), TestCaseError> {
    let day = Date::read(LAW_DAY).expect("a day");
    let (text, found) = findings_of(desk, path);
    let mut fresh = Desk::new(Arc::new(MemoryShelf::default()), day);
    fresh.open(path, text.clone());
    let (again, expected) = findings_of(&mut fresh, path);
    prop_assert_eq!(&again, &text);
    prop_assert_eq!(found, expected);
    let meant =
        |desk: &mut Desk| -> Vec<Resolved> { desk.page(path).expect("a page").formulas().cloned().collect() };
    prop_assert_eq!(meant(desk), meant(&mut fresh));
    Ok(())
}

/// The text after an edit is what the same edit makes of the whole text.
#[test]
fn an_edit_is_applied_where_it_says() {
    let path = Path::new("a.formula");
    let day = Date::read(LAW_DAY).expect("a day");
    for encoding in [Encoding::Utf8, Encoding::Utf16, Encoding::Utf32] {
        let mut desk = Desk::new(Arc::new(MemoryShelf::default()), day);
        desk.open(path, START.to_owned());
        let line = START.lines().next().expect("a line");
        let column = encoding.measure(line.trim_end_matches('🧴'));
        let wide = encoding.measure("🧴");
        desk.edit(path, Place { line: 0, column }, Place { line: 0, column: column + wide }, encoding, "🧪");
        assert_eq!(desk.page(path).expect("a page").text(), START.replace('🧴', "🧪"), "{encoding:?}");
    }
}

/// A changed ingredient is seen by the formulas that use it, also in another open file.
#[test]
fn what_others_say_is_seen() {
    let day = Date::read(LAW_DAY).expect("a day");
    let shelf = MemoryShelf::new([(
        "base.formula",
        "formula Base\nproduct premix\n 50 % jojoba oil\n 50 % shea butter\n",
    )]);
    let mut desk = Desk::new(Arc::new(shelf), day);
    let path = Path::new("a.formula");
    desk.open(
        path,
        "formula A\nproduct balm\ninclude base.formula as base\n 60 % base\n 40 % shea butter\n".to_owned(),
    );
    let formula = |desk: &mut Desk| {
        let page = desk.page(path).expect("a page");
        let item = page.formulas().next().expect("a formula").formula.items.first().expect("an item").clone();
        item.premix.map(|premix| premix.items.len())
    };
    assert_eq!(formula(&mut desk), Some(2));
    let base = Path::new("base.formula");
    desk.open(
        base,
        "formula Base\nproduct premix\n 50 % jojoba oil\n 30 % shea butter\n 20 % beeswax\n".to_owned(),
    );
    assert_eq!(formula(&mut desk), Some(3));
    desk.edit(base, Place { line: 4, column: 0 }, Place { line: 5, column: 0 }, Encoding::Utf8, "");
    assert_eq!(formula(&mut desk), Some(2));
    desk.close(base);
    assert_eq!(formula(&mut desk), Some(2));
    // An edit made before anybody else looked is seen too.
    let mut desk = Desk::new(Arc::new(MemoryShelf::default()), day);
    desk.open(base, "formula Base\nproduct premix\n 50 % jojoba oil\n 50 % shea butter\n".to_owned());
    desk.edit(base, Place { line: 2, column: 0 }, Place { line: 3, column: 0 }, Encoding::Utf8, "");
    desk.open(
        path,
        "formula A\nproduct balm\ninclude base.formula as base\n 60 % base\n 40 % shea butter\n".to_owned(),
    );
    assert_eq!(formula(&mut desk), Some(1));
}

/// An ingredient that comes later is offered for a name that is near it.
#[test]
fn a_new_name_is_offered_for_one_that_is_near() {
    let day = Date::read(LAW_DAY).expect("a day");
    let mut desk = Desk::new(Arc::new(MemoryShelf::default()), day);
    let path = Path::new("a.formula");
    let text = "formula A\nproduct balm\n 99 % jojoba oil\n 1 % wickmere sap\n";
    desk.open(path, text.to_owned());
    let help = |desk: &mut Desk| {
        let found = desk.page(path).expect("a page").findings();
        let unknown = found.into_iter().find(|finding| finding.rule == "ingredient-unknown");
        unknown.and_then(|finding| finding.help).unwrap_or_default()
    };
    assert!(!help(&mut desk).contains("Did you mean"));
    let end = Place { line: 4, column: 0 };
    desk.edit(path, end, end, Encoding::Utf8, "ingredient wickmere sapp\nINCI Sapp\n");
    assert!(help(&mut desk).contains("Did you mean `wickmere sapp`"), "{}", help(&mut desk));
}

/// A record is looked at again when the formula it is of changes, and the formula when its record does.
#[test]
fn a_record_follows_its_formula() {
    let day = Date::read(LAW_DAY).expect("a day");
    let mut desk = Desk::new(Arc::new(MemoryShelf::default()), day);
    let path = Path::new("a.formula");
    let text = "formula A\nversion 2\nproduct balm\n 60 % jojoba oil\n 40 % shea butter\n\n\
                record 1\nof A version 2\nbatch 100 g\nweighed 60 g jojoba oil\nweighed 40 g shea butter\n";
    desk.open(path, text.to_owned());
    let told = |desk: &mut Desk| -> Vec<&'static str> {
        desk.page(path).expect("a page").findings().into_iter().map(|finding| finding.rule).collect()
    };
    assert!(told(&mut desk).is_empty());
    // The formula changes: 40 % of shea butter to 30 %, 60 % of jojoba oil to 70 %.
    for line in [3, 4] {
        let digit = Place { line, column: 1 };
        let (after, new) = (Place { line, column: 2 }, if line == 3 { "7" } else { "3" });
        desk.edit(path, digit, after, Encoding::Utf8, new);
    }
    assert_eq!(told(&mut desk), ["weighed-off-plan", "weighed-off-plan"]);
    let place = desk.page(path).expect("a page").findings().first().map(|finding| finding.block.clone());
    assert_eq!(place.as_deref(), Some("1"));
    // The formula is no longer there: nothing is known of what was planned.
    let name = |column| Place { line: 0, column };
    desk.edit(path, name(8), name(9), Encoding::Utf8, "B");
    assert!(told(&mut desk).is_empty());
    desk.edit(path, name(8), name(9), Encoding::Utf8, "A");
    assert_eq!(told(&mut desk).len(), 2);
    // The record changes, and the formula hears of it.
    let end = Place { line: 11, column: 0 };
    desk.edit(path, end, end, Encoding::Utf8, "weighed 5 g beeswax\n");
    assert!(told(&mut desk).contains(&"version-unmoved"));
}

/// A record in the workshop's stock file is seen by the formula that it is of, also while both are open.
#[test]
fn a_record_of_the_stock_is_seen() {
    let day = Date::read(LAW_DAY).expect("a day");
    let shelf = MemoryShelf::new([
        ("workshop.formula", "workshop W\nstock stock.formula\n"),
        ("stock.formula", "record 1\nof A version 2\nweighed 60 g jojoba oil\nweighed 5 g beeswax\n"),
    ]);
    let mut desk = Desk::new(Arc::new(shelf), day);
    let (path, stock) = (Path::new("a.formula"), Path::new("stock.formula"));
    let text = "formula A\nversion 2\nproduct balm\n 60 % jojoba oil\n 40 % shea butter\n";
    desk.open(path, text.to_owned());
    let told = |desk: &mut Desk| desk.page(path).expect("a page").findings().len();
    assert_eq!(told(&mut desk), 1);
    desk.open(stock, "record 1\nof A version 2\nweighed 60 g jojoba oil\n".to_owned());
    assert_eq!(told(&mut desk), 0);
    let end = Place { line: 3, column: 0 };
    desk.edit(stock, end, end, Encoding::Utf8, "weighed 5 g cocoa butter\n");
    assert_eq!(told(&mut desk), 1);
    desk.close(stock);
    assert_eq!(told(&mut desk), 1);
}
