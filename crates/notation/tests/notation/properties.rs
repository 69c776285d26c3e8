//! What holds for any text.

use crate::layout::tidied;
use crate::shown;
use crate::spans::check_spans;
use notation::{Sheet, lex, read, read_block, read_block_again, split_blocks};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

const NAMES: &[&str] = &[
    "glycerin",
    "C12-15 Alkyl Benzoate",
    "polysorbate 20",
    "1,2-hexanediol",
    "lactic acid 80 %",
    "crème base",
    "cre\u{301}me",
    "\"half; half\"",
    "\"shea  butter\"",
    "\"in A\"",
    "FD&C Blue #1",
    "oil of B",
    "of oils",
    "any oil",
    "pH",
    "oil, sweet",
    "x to A",
    "\"x",
    "of of x",
    "w/v x",
    "a preservative",
    "sun\u{a0}oil",
    "g",
    "2 in 1",
    "-x",
    "(x)",
    "\"to 5 % x\"",
    "\"g\"",
    "\"pH\"",
    "½ x",
    "000 x",
    "glycerin, 3 % urea",
    ".5",
    ",x",
    ":x",
    "#x",
    "#1",
    "\"\"",
    "",
];
const NUMBERS: &[&str] = &[
    "5",
    "0,5",
    ".5",
    "½",
    "1½",
    "1 1/2",
    "1/2",
    "12.25",
    "1,000",
    "1 000",
    "1e-3",
    "5.",
    "-5",
    "1-2",
    "0.5–1",
    "5 to 6",
    "about 2",
    "~3",
    "up to 4",
    "at least 1",
    ">5",
    "≤ 6",
    "5.2 ± 0.2",
    "5.2+/-0.2",
    "1",
    "1.0",
    "12345",
    "1/0",
    "1-1/2",
    "100",
    "007",
    "5 - 6",
    "2 to 1/2",
];
const UNITS: &[&str] = &[
    "%",
    "g",
    "grams",
    "ml",
    "mL",
    "tsp",
    "US cup",
    "fl. oz",
    "oz.",
    "T",
    "gramms",
    "drops",
    "% w/v",
    "ppm",
    "parts",
    "",
    "°C",
    "C",
    "months",
    "min",
    "IU",
    "% of B",
    "% of oils",
    "g of B",
    "g/mL",
    "EUR",
    "kg",
    "drops of",
    "% of",
];
const BLANKS: &[&str] = &["", " ", " ", " ", "  ", "\t", "\u{a0}", "\u{202f} "];
const AMOUNTS: &[&str] = &[
    "to 100 %",
    "q.s. to 100 %",
    "ad 100",
    "balance",
    "remainder",
    "to make 500 g",
    "q.s.",
    "qs",
    "q. s. p. 100 %",
    "a few drops of",
    "some",
    "a pinch",
    "30 g = 6 %",
    "3 = 4",
    "to 5 min",
    "some of",
    "to 100 gramms",
    "",
];
const CLAUSES: &[&str] = &[
    "; optional",
    ";to pH 5,3",
    "; heat to 75C",
    "; hold for 20 min",
    ";",
    "; ;",
    "; hold: for 5 min",
    "; uv filter",
    "; source a; b # c",
    "; source: a; b",
    "; strength 80 %",
    "; lot 12-3",
    "; 1kg",
    "; wetted in 1,2-hexanediol",
    "; INCI: x",
    ";#x",
    "; 2x refined",
    "; about 0,3 %",
    "; law, x",
    "; version 2b",
    "; allow a because b",
    "; at pH 3,5 or above",
    "; under 1 year",
    "; not in lips",
    "; \"a; b\"",
    "; \"",
    "; source",
    "; from 2026-01",
    "; 5",
    "; 5 ; x",
    "; net 5,0 g",
];
const WORDS: &[&str] = &[
    "version",
    "ph",
    "pH",
    "color",
    "keeps",
    "shelf  life",
    "market",
    "product",
    "for",
    "batch",
    "pack",
    "note",
    "private note",
    "allow",
    "limit",
    "not above",
    "contains",
    "melts",
    "also",
    "INCI",
    "price",
    "source",
    "ambiguous",
    "by",
    "tested",
    "include",
    "works at pH",
    "varsion",
    "light-sensitive",
    "scales",
    "weighed",
    "observed",
    "phototoxic",
];
const COMMENTS: &[&str] = &["", "", "", " # why", "\t#12", "#x", " because y", " because", "  "];
const ENDS: &[&str] = &["\n", "\n", "\n", "\n", "\r\n", "\r", "\n\n", "\n \n\n", ""];

fn pick(list: &'static [&'static str]) -> impl Strategy<Value = &'static str> {
    proptest::sample::select(list)
}

fn number_and_unit() -> impl Strategy<Value = String> {
    (pick(NUMBERS), pick(BLANKS), pick(UNITS))
        .prop_map(|(number, blank, unit)| format!("{number}{blank}{unit}"))
}

fn amount() -> impl Strategy<Value = String> {
    prop_oneof![3 => number_and_unit(), 1 => pick(AMOUNTS).prop_map(str::to_owned)]
}

fn clauses() -> impl Strategy<Value = String> {
    proptest::collection::vec(pick(CLAUSES), 0..3).prop_map(|clauses| clauses.concat())
}

fn item() -> impl Strategy<Value = String> {
    (pick(BLANKS), amount(), pick(BLANKS), pick(NAMES), clauses())
        .prop_map(|(indent, amount, blank, name, clauses)| format!("{indent}{amount}{blank}{name}{clauses}"))
}

fn fact() -> impl Strategy<Value = String> {
    let rest = prop_oneof![number_and_unit(), pick(NAMES).prop_map(str::to_owned), item()];
    (pick(WORDS), proptest::sample::select(&[" ", "  ", ":", ": ", "\u{a0}", ",", ""][..]), rest, clauses())
        .prop_map(|(word, blank, rest, clauses)| format!("{word}{blank}{rest}{clauses}"))
}

fn structural() -> impl Strategy<Value = String> {
    let label = proptest::sample::select(&["A", "a", "B2", "1", "AB", "A:", ": A", ""][..]);
    let heading =
        proptest::sample::select(&["water", "Cool  Down", "oils x", "watr", "x", ":oil", "#x", ""][..]);
    let change = proptest::sample::select(&["replace", "Swap", "omit", "add", "set", "substitute"][..]);
    let joint = proptest::sample::select(&["with", "for", "to", "in A to", "In a with", "in", ""][..]);
    let place = proptest::sample::select(&["", " in A", " to b", " to lips"][..]);
    prop_oneof![
        (label, heading, clauses())
            .prop_map(|(label, heading, clauses)| format!("Phase {label} {heading}{clauses}")),
        pick(NAMES).prop_map(|words| format!("step  {words} ; x")),
        pick(NAMES).prop_map(|name| format!("variant {name}")),
        Just("variant both :a b,  c,d".to_owned()),
        pick(BLANKS).prop_map(|blank| format!("{blank}# a  b ")),
        pick(BLANKS).prop_map(str::to_owned),
        (change, pick(NAMES), joint, item(), place)
            .prop_map(|(change, name, joint, item, place)| format!("{change} {name} {joint} {item}{place}")),
        (pick(WORDS), amount()).prop_map(|(word, amount)| format!("set {word} to {amount}")),
    ]
}

fn garbage() -> impl Strategy<Value = String> {
    prop_oneof![
        "[ -~]{0,20}",
        "\\PC{0,12}",
        proptest::collection::vec(
            prop_oneof![pick(NAMES), pick(NUMBERS), pick(UNITS), pick(BLANKS), pick(WORDS)],
            0..8
        )
        .prop_map(|pieces| pieces.concat()),
    ]
}

fn line() -> impl Strategy<Value = String> {
    let body = prop_oneof![4 => item(), 3 => fact(), 3 => structural(), 1 => garbage()];
    (body, pick(COMMENTS), pick(ENDS)).prop_map(|(body, comment, end)| format!("{body}{comment}{end}"))
}

fn sheet() -> impl Strategy<Value = String> {
    let openers = &[
        "formula T\n",
        "Formula  T # x\n",
        "ingredient t\n",
        "workshop W\n",
        "record R\n",
        "",
        "\u{feff}",
        "formula:#x\n",
    ][..];
    let block = (proptest::sample::select(openers), proptest::collection::vec(line(), 0..8))
        .prop_map(|(opener, lines)| format!("{opener}{}", lines.concat()));
    proptest::collection::vec(block, 0..4).prop_map(|blocks| blocks.concat())
}

/// What a sheet says; `balance` and a bare 100 are written as `100 %` where that is the same.
fn meaning(text: &str) -> Vec<String> {
    let lines = shown::sheet(&read(text)).into_iter();
    lines
        .map(|line| match line.split_once(" rest to 100 ").or_else(|| line.split_once(" rest ")) {
            Some((head, tail)) => format!("{head} rest {}", tail.strip_prefix("% ").unwrap_or(tail)),
            // The lines stand elsewhere afterwards, and so do the blanks in them.
            None if line.starts_with("!ForeignBlanks") => {
                format!("!ForeignBlanks {}", line.matches("Span").count())
            }
            None => line,
        })
        .collect()
}

fn blockwise(text: &str) -> Sheet {
    let blocks =
        split_blocks(text).into_iter().map(|span| std::sync::Arc::new(read_block(span.of(text)))).collect();
    Sheet { blocks }
}

fn check_reading(text: &str) {
    let tokens = lex(text);
    let covered: String = tokens.iter().map(|token| token.span.of(text)).collect();
    assert_eq!(covered, text);
    let sheet = read(text);
    let joined: String = sheet.blocks.iter().map(|block| &*block.text).collect();
    assert_eq!(joined, text);
    assert_eq!(sheet.blocks, blockwise(text).blocks);
    sheet.blocks.iter().for_each(|block| check_spans(block));
}

fn check_layout(text: &str) {
    let once = tidied(text);
    assert_eq!(meaning(&once), meaning(text), "\nbefore {text:?}\nafter  {once:?}");
    let twice = tidied(&once);
    assert_eq!(twice, once, "\nbefore {text:?}");
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, rng_seed: RngSeed::Fixed(20_261_124), ..ProptestConfig::default() })]

    #[test]
    fn any_text_is_read(text in "\\PC{0,60}|[\\x00-\\x7f]{0,60}") {
        check_reading(&text);
    }

    #[test]
    fn any_sheet_is_read(text in sheet()) {
        check_reading(&text);
    }

    /// A block whose lines come and go is read as if it were read for the first time.
    #[test]
    fn what_is_read_again_is_read_alike(
        opener in proptest::sample::select(&["formula T\n", "formula T\nphase A\n", "ingredient t\n", "record R\n", ""][..]),
        mut lines in proptest::collection::vec(line(), 0..10),
        edits in proptest::collection::vec((0..12usize, 0..3usize, proptest::collection::vec(line(), 0..2)), 1..6),
    ) {
        let mut before = read_block(&format!("{opener}{}", lines.concat()));
        for (at, over, fresh) in edits {
            let at = at.min(lines.len());
            let upto = (at + over).min(lines.len());
            let _ = lines.splice(at..upto, fresh);
            let text = format!("{opener}{}", lines.concat());
            let again = read_block_again(&text, Some(&before));
            prop_assert_eq!(&again, &read_block(&text));
            before = again;
        }
    }

    #[test]
    fn formatting_keeps_the_meaning(text in sheet()) {
        check_layout(&text);
    }

    #[test]
    fn formatting_keeps_any_text(text in "\\PC{0,60}|(formula x\n)?[\\x00-\\x7f]{0,60}") {
        check_layout(&text);
    }
}
