//! Small figures between the words, and lines above them.

use crate::{LAW_DAY, page_on};
use desk::{HintKind, LensKind, Span};

/// The lines behind which a figure of a kind is shown, with it.
fn shown(text: &str, kind: HintKind) -> Vec<(String, String)> {
    let hints = page_on(text, LAW_DAY).hints(Span::new(0, u32::MAX));
    assert!(hints.is_sorted_by_key(|hint| hint.at), "{hints:?}");
    let line = |at: u32| text[..at as usize].lines().last().unwrap_or_default().trim().to_owned();
    hints.into_iter().filter(|hint| hint.kind == kind).map(|hint| (line(hint.at), hint.text)).collect()
}

/// Henderson and Hasselbalch by hand: benzoic acid, pKa 4.20 (CRC Handbook), at pH 5.2 is `1 / (1 + 10)` undissociated.
#[test]
fn a_preservative_tells_how_much_of_its_acid_works() {
    let text = "formula Tonic\npH 4.8 to 5.2\nphase A\n  to 100 % purified water\n  0.5 % sodium benzoate # 50 % of it\n  1 % phenoxyethanol\n";
    let expected = [("0.5 % sodium benzoate".to_owned(), "9.09 % undissociated at pH 5.2".to_owned())];
    assert_eq!(shown(text, HintKind::Acid), expected);
    assert_eq!(shown(&text.replace("pH 4.8 to 5.2\n", ""), HintKind::Acid), [], "nobody says a pH");
}

#[test]
fn emulsifiers_tell_what_they_give_and_what_the_oils_need() {
    let text = "formula Lotion\nproduct lotion, O/W\nphase A water\n  to 100 % purified water\nphase B oil\n  15 % paraffin oil\n  3 % polysorbate 60\n  2 % sorbitan stearate\n";
    // Griffin's mean by weight: (3 × 14.9 + 2 × 4.7) / 5.
    let told = shown(text, HintKind::Hlb);
    let [(line, hlb)] = told.as_slice() else { panic!("{told:?}") };
    assert_eq!(line, "2 % sorbitan stearate");
    assert!(hlb.starts_with("HLB 10.8, oils need about "), "{hlb}");
    assert_eq!(shown("formula Oil\n 100 % jojoba oil\n", HintKind::Hlb), []);
}

#[test]
fn what_stands_above_a_formula_says_only_what_is_known() {
    let told = |text: &str| -> Vec<String> {
        let lenses = page_on(text, LAW_DAY).lenses().into_iter();
        let text = |lens: desk::Lens| match lens.about {
            LensKind::Formula { text, .. } => text,
            LensKind::Label(name) => format!("label of {name}"),
            LensKind::Ingredient(at) => format!("ingredient at {at}"),
        };
        lenses.map(text).collect()
    };
    assert_eq!(told("formula A\n"), [""; 0]);
    assert_eq!(
        told("formula A\n 60 % jojoba oil\n some beeswax\n"),
        ["total of what is known 60 %", "label of A"]
    );
    let text = "formula A\nbatch 50 g\nphase A oil\n 40 g jojoba oil\n 10 g beeswax\nphase B\n q.s. lactic acid; to pH 5\n\ningredient X\n";
    let ingredient = format!("ingredient at {}", text.find('X').expect("its name"));
    assert_eq!(told(text), ["total 100 % = 50 g", "weigh out", "label of A", "100 % = 50 g", &ingredient]);
    // What is no product of its own has no label; nor has one for a market whose labels are not known.
    for header in ["product premix", "market CA"] {
        let text = format!("formula A\n{header}\n 100 % jojoba oil\n");
        assert_eq!(told(&text), ["total 100 %"], "{header}");
    }
}
