//! Whole texts: blocks, line ends, byte-order marks, comments, and texts of unusual size.

use crate::shown;
use notation::BlockKind::{self, Formula, Ingredient, Loose, Record, Workshop};
use notation::{Form, read, split_blocks};

fn says(text: &str) -> Vec<String> {
    shown::sheet(&read(text))
}

#[test]
fn line_ends_and_marks() {
    let expected = ["formula | Trial", "version | 3", "item 5 % | x"];
    for text in [
        "formula Trial\nversion 3\n5 % x\n",
        "formula Trial\nversion 3\n5 % x",
        "\u{feff}formula Trial\r\nversion 3\r\n5 % x\r\n",
        "formula Trial\rversion 3\r5 % x\r",
        "\t formula\tTrial\n\u{a0}version\u{a0}3\n\u{2009}5\u{202f}%\u{2009}x\u{a0}",
        "\n\nFORMULA Trial\n\n VERSION 3\n\n\n5 % x\n\n",
        "formula: Trial\nversion: 3\n5 % x\n",
    ] {
        assert_eq!(says(text), expected, "{text:?}");
    }
}

#[test]
fn blocks_follow_each_other() {
    let text = "# above\n\nformula A\n5 % x\ningredient b\nINCI B\n\nrecord 7\nworkshop W\n";
    let kinds: Vec<BlockKind> = read(text).blocks.iter().map(|block| block.kind).collect();
    assert_eq!(kinds, [Loose, Formula, Ingredient, Record, Workshop]);
    let joined: String = split_blocks(text).into_iter().map(|span| span.of(text)).collect();
    assert_eq!(joined, text);
    assert!(read("").blocks.is_empty());
    assert_eq!(says("formulas\n"), ["broken formulas", "!OutsideBlock"]);
    assert_eq!(says("formula\n"), ["formula | ", "!NameMissing"]);
    assert_eq!(says("formula A # draft\n"), ["formula | A # draft"]);
    assert_eq!(says("formula Colour #1\n"), ["formula | Colour #1"]);
}

#[test]
fn comments() {
    let expected = [
        "formula | T",
        "comment # a",
        "comment #12",
        "item 5 % | x # b",
        "item 1 % | Blue #1",
        "item 1 % | x#y",
    ];
    assert_eq!(says("formula T\n  # a\n#12\n5 % x\t# b\n1 % Blue #1\n1 % x#y\n"), expected);
}

#[test]
fn a_broken_line_spoils_only_itself() {
    let text = "formula T\n*** 5\nversion 3\n( \"\n5 % x\n";
    assert_eq!(
        says(text),
        [
            "formula | T",
            "broken *** 5",
            "version | 3",
            "broken ( \"",
            "item 5 % | x",
            "!Unreadable",
            "!Unreadable"
        ]
    );
}

#[test]
fn a_very_long_line() {
    let long = "x".repeat(100_000);
    for (line, form) in [
        (format!("5 % {long}"), "item"),
        (long.clone(), "item"),
        (format!("note {long}"), "note"),
        (format!("5 % x{}", "; y".repeat(33_000)), "item"),
        (format!("5 % x{}", ", 5".repeat(33_000)), "item"),
        (format!("5{} g x", " 000".repeat(25_000)), "item"),
        ("\"".repeat(100_000), "item"),
        ("(".repeat(100_000), "broken"),
    ] {
        let sheet = read(&format!("formula T\n{line}\nversion 3\n"));
        let block = &sheet.blocks[0];
        assert_eq!(block.lines.len(), 3);
        assert!(shown::line(&block.text, &block.lines[1]).starts_with(form), "{form}");
        assert!(matches!(block.lines[2].form, Form::Fact(_)));
    }
}

#[test]
fn foreign_blanks_and_what_cannot_be_seen() {
    // Where they keep a line from being read, one slip says so; what follows from it is not said.
    for line in [
        "\u{3000}5 % x",
        "5\u{3000}% x",
        "\u{200b}5 % x",
        "\u{2060}5 % x",
        "5 % gly\u{200b}cerin",
        "5 % gly\u{ad}cerin",
        "5 % gly\u{feff}cerin",
        "phase\u{3000}A oil",
        "pH\u{3000}5",
        "pH 5\u{200b} to 6",
        "5 % x; supplier gly\u{2060}cerin",
    ] {
        let said = says(&format!("formula T\n{line}\n"));
        let slips: Vec<&String> = said.iter().filter(|said| said.starts_with('!')).collect();
        assert!(matches!(slips.as_slice(), [one] if one.starts_with("!ForeignBlanks")), "{line:?}: {said:?}");
    }
    let openers = says("\u{3000}formula T\n");
    assert!(openers.iter().any(|said| said.starts_with("!ForeignBlanks")), "{openers:?}");
    // Where they stand in free text, in a name that is read, or as a mark between two symbols, nothing is said.
    for line in [
        "note a\u{3000}b\u{200b}c",
        "# a\u{3000}b",
        "5 % x # a\u{200b}b",
        "step stir\u{3000}well",
        "5 % 米\u{3000}油",
        "\u{feff}5 %\u{feff}x",
        "5 % x; allow prohibited because of\u{200b}this",
        "5 % نیم\u{200c}فاصله",
    ] {
        let said = says(&format!("formula T\n{line}\n"));
        assert!(!said.iter().any(|said| said.starts_with('!')), "{line:?}: {said:?}");
    }
}
