//! Any sequence of edits gives the same text and the same findings as opening the final text afresh, in every encoding.

use crate::LAW_DAY;
use desk::{Date, Desk, Encoding, MemoryShelf, Place};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use std::path::Path;
use std::sync::Arc;

const START: &str = "# Crème de l'atelier 🧴\nformula Crème légère\nproduct cream, face\npH 5.0 to 5.5\n\nphase A water\n  to  100     %     purified water\n        5     %     glycerin\n\nphase B oil; heat to 75 °C\n       10     %     jojoba oil\n        3     %     cetyl alcohol\n\nphase C\n        0.5   %     benzyl alcohol\n\nvariant léger\nomit jojoba oil\n\ningredient huile d'été 🌞\nINCI Helianthus Annuus Seed Oil\nfunction oil\nsoluble in oil\n\nformula Second\nproduct balm\n       60     %     huile d'été 🌞\n       40     %     shea butter\n";

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
        Just("3".to_owned()),
        Just(" ".to_owned()),
        Just("#".to_owned()),
        "[a-z0-9 %;,\n\"é🌞]{0,12}",
    ]
}

type Step = ((u32, u32), (u32, u32), String);

fn step() -> impl Strategy<Value = Step> {
    ((0..32u32, 0..40u32), (0..4u32, 0..40u32), piece())
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
        let (text, found) = findings_of(&mut desk, path);
        let mut fresh = Desk::new(Arc::new(MemoryShelf::default()), day);
        fresh.open(path, text.clone());
        let (again, expected) = findings_of(&mut fresh, path);
        prop_assert_eq!(&again, &text);
        prop_assert_eq!(found, expected);
    }
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
