//! Hover cards: what is told of the thing under the cursor, drawn as `|`.

use crate::page_on;

/// The card at the `|` of a text, and the text that it is about.
fn card(drawn: &str) -> Option<(String, String)> {
    let at = drawn.find('|').expect("a cursor");
    let text = drawn.replacen('|', "", 1);
    let page = page_on(&text, crate::LAW_DAY);
    let hover = page.hover(at as u32)?;
    Some((hover.span.of(&text).to_owned(), hover.text))
}

const CREAM: &str = "formula Cream
version 2
product cream, leave-on, body
batch 200 g
pH 5.0 to 5.5
allow too-small-to-weigh because the scales were borrowed
phase A water; heat to 75 °C
  to 100 % purified water
  3 % glycerin
phase B oil; heat to 75 °C
  12 % sunflower oil
  6 % cetearyl alcohol (and) ceteareth-20
phase C cool-down; below 40 °C
  1 % benzyl alcohol
  0.5 % lactic acid 80 %
  0.2 % lavender oil
step stir glycerin into the water of A
variant plain
omit lavender oil
";

/// The cream with the cursor before the `nth` occurrence of some words.
fn at(words: &str, nth: usize) -> String {
    let (place, _) = CREAM.match_indices(words).nth(nth).expect("the words");
    format!("{}|{}", &CREAM[..place], &CREAM[place..])
}

#[test]
fn cards_tell_what_stands_there() {
    for (words, nth, about, parts) in [
        ("glycerin", 0, "glycerin", &["INCI Glycerin", "humectant", "**Here** 3 % = 6 g of 200 g"][..]),
        ("lycerin", 1, "glycerin", &["INCI Glycerin"]),
        ("3 %", 0, "3 %", &["**glycerin** 3 % = 6 g of 200 g", "all lines together 100 %"]),
        ("to 100", 0, "to 100 %", &["what the other lines leave"]),
        ("A water", 0, "A", &["**phase A** water", "heated to 75 °C", "in 2 lines"]),
        ("A\nvariant", 0, "A", &["**phase A** water"]),
        ("too-small", 0, "too-small-to-weigh", &["too-small-to-weigh"]),
        (
            "Cream",
            0,
            "Cream",
            &["**Cream**, version 2", "free water", "limits of EU (nobody says a market: assumed)"],
        ),
        ("plain", 0, "plain", &["**variant plain** of Cream", "without lavender oil"]),
        ("lavender", 0, "lavender oil", &["essential oil", "linalool", "an allergen"]),
        ("lactic", 0, "lactic acid", &["**Here** 0.5 %", "active content 0.4 % = 0.8 g"]),
        ("benzyl", 0, "benzyl alcohol", &["EU law: 1 %", "preservative"]),
        ("lavender", 1, "lavender oil", &["essential oil"]),
    ] {
        let drawn = at(words, nth);
        let (span, text) = card(&drawn).unwrap_or_else(|| panic!("no card at {words}"));
        assert_eq!(span, about, "{text}");
        for part in parts {
            assert!(text.contains(part), "{words}: no `{part}` in\n{text}");
        }
    }
}

#[test]
fn nothing_is_told_where_nothing_stands() {
    for drawn in
        ["|", "formula A\n|\n", "formula A\nnote gly|cerin\n", "formula A\n5 % glycerin # gly|cerin\n"]
    {
        assert_eq!(card(drawn), None, "{drawn}");
    }
}

#[test]
fn what_is_unknown_is_said_to_be() {
    let (_, text) = card("formula A\n5 % glyc|erim\n").expect("a card");
    assert!(text.contains("neither in the catalogue") && text.contains("near it: glycerin"), "{text}");
    let (_, text) = card(
        "formula A\n5 % Kitchen we|ll water\ningredient Kitchen well water\nfunction solvent\nwater 99 %\n",
    )
    .expect("a card");
    assert!(text.contains("block of your own") && text.contains("water: 99 %"), "{text}");
}
