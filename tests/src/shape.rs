//! Outline, folds, selections, colours and links of texts, and what must hold of them on every text.

use crate::page_on;
use desk::{Colour, EntryKind, LinkTarget, Page, Span};
use std::path::Path;
use std::sync::Arc;

fn page(text: &str) -> Arc<Page> {
    page_on(text, crate::LAW_DAY)
}

const CREAM: &str = "# Ours.
# Read https://example.org/cream (2026).
formula Cream
batch 200 g
include base.formula#Base as Soft base
phase A water; heat to 75 °C
  to 100 % purified water
  3 % glycerin; wetted in purified water
phase B oil
  12 % sunflower oil # cold-pressed
step melt B
step add B to A
variant plain
omit sunflower oil

ingredient Kitchen water
water 99 %
";

/// A short text tells of every line; a book of 20,000 lines of its phases and methods.
#[test]
fn the_outline_of_a_book_ends_at_the_phases() {
    let formula = "formula Balm\nphase A oil\n 60 % shea butter\n 40 % jojoba oil\nstep melt A\n";
    for (copies, lines) in [(3999, 2), (4000, 0)] {
        let outline = page(&formula.repeat(copies)).outline();
        assert_eq!(outline.len(), copies);
        let children =
            |entry: &desk::Entry| entry.children.iter().map(|child| child.children.len()).sum::<usize>();
        assert!(outline.iter().all(|entry| entry.children.len() == 2));
        assert!(outline.iter().all(|entry| children(entry) == lines + usize::from(lines > 0)), "{copies}");
    }
}

#[test]
fn the_outline_holds_what_stands_in_the_text() {
    let drawn = |text: &str| {
        fn draw(entry: &desk::Entry, text: &str, depth: usize, out: &mut String) {
            assert!(!entry.name_span.of(text).is_empty());
            assert!(entry.span.start <= entry.name_span.start && entry.name_span.end <= entry.span.end);
            let detail = if entry.detail.is_empty() { String::new() } else { format!(" ({})", entry.detail) };
            out.push_str(&format!("{}{}{detail}\n", "  ".repeat(depth), entry.name));
            for child in &entry.children {
                draw(child, text, depth + 1, out);
            }
        }
        let mut out = String::new();
        for entry in page(text).outline() {
            draw(&entry, text, 0, &mut out);
        }
        out
    };
    let expected = "\
Cream (formula, 200 g)
  phase A (88 %, 176 g)
    purified water (to 100 %)
    glycerin (3 %)
  phase B (12 %, 24 g)
    sunflower oil (12 %)
  method
    melt B
    add B to A
  variant plain
    omit sunflower oil
Kitchen water (ingredient)
";
    assert_eq!(drawn(CREAM), expected);
    assert_eq!(page(CREAM).outline()[0].kind, EntryKind::Formula);
}

#[test]
fn links_lead_to_files_and_addresses() {
    let links: Vec<(String, LinkTarget)> =
        page(CREAM).links().into_iter().map(|link| (link.span.of(CREAM).to_owned(), link.target)).collect();
    let address = "https://example.org/cream".to_owned();
    let expected = vec![
        (address.clone(), LinkTarget::Address(address)),
        ("base.formula#Base".to_owned(), LinkTarget::File("base.formula".to_owned())),
    ];
    assert_eq!(links, expected);
}

#[test]
fn pieces_are_coloured_for_what_they_are() {
    let page = page(CREAM);
    let found: Vec<(&str, Colour)> = page
        .colours(Span::new(0, u32::MAX))
        .into_iter()
        .map(|piece| (piece.span.of(CREAM), piece.colour))
        .collect();
    for wanted in [
        ("# Ours.", Colour::Comment),
        ("formula", Colour::Word),
        ("Cream", Colour::Block),
        ("200", Colour::Number),
        ("g", Colour::Unit),
        ("Soft base", Colour::Ingredient),
        ("A", Colour::Phase),
        ("heat to", Colour::Qualifier),
        ("glycerin", Colour::Ingredient),
        ("wetted in", Colour::Qualifier),
        ("# cold-pressed", Colour::Comment),
        ("plain", Colour::Variant),
        ("omit", Colour::Word),
        ("Kitchen water", Colour::Ingredient),
    ] {
        assert!(found.contains(&wanted), "{wanted:?} is not among {found:?}");
    }
}

/// Every text of the examples and of the corpus, and a few of this file.
pub(crate) fn texts() -> Vec<String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut texts = vec![CREAM.to_owned(), String::new(), "formula".to_owned(), CREAM.replace('\n', "\r\n")];
    for folder in ["../examples", "../examples/with-mistakes", "corpus/quiet", "corpus/cases"] {
        let mut files: Vec<_> = std::fs::read_dir(root.join(folder))
            .expect("the folder")
            .map(|entry| entry.expect("an entry").path())
            .filter(|path| path.extension().is_some_and(|end| end == "formula"))
            .collect();
        files.sort();
        texts.extend(files.iter().map(|path| std::fs::read_to_string(path).expect("a text")));
    }
    texts
}

#[test]
fn on_every_text_pieces_lie_apart_and_spans_nest() {
    for text in texts() {
        let page = page(&text);
        let mut end = 0;
        for piece in page.colours(Span::new(0, u32::MAX)) {
            assert!(piece.span.start >= end && !piece.span.is_empty(), "{piece:?} in\n{text}");
            assert!(!piece.span.of(&text).contains(['\n', '\r']), "{piece:?}");
            end = piece.span.end;
        }
        let folds = page.folds();
        for (at, fold) in folds.iter().enumerate() {
            assert!(fold.of(&text).contains('\n') && !fold.of(&text).ends_with(['\n', '\r']), "{fold:?}");
            for other in folds.get(at + 1..).unwrap_or_default() {
                let apart = fold.end <= other.start;
                let within = fold.start <= other.start && other.end <= fold.end;
                assert!(apart || within, "{fold:?} and {other:?} in\n{text}");
            }
        }
        for at in (0..=text.len()).step_by(7).filter(|at| text.is_char_boundary(*at)) {
            let grown = page.selections(at as u32);
            assert_eq!(grown.last().map(|span| span.len() as usize), Some(text.len()));
            for pair in grown.windows(2) {
                assert!(pair[1].start <= pair[0].start && pair[0].end <= pair[1].end, "{pair:?}");
            }
            assert!(grown.iter().all(|span| span.touches(at as u32)), "{grown:?} at {at}");
            if let Some(card) = page.hover(at as u32) {
                assert!(card.span.touches(at as u32) && !card.text.trim().is_empty());
            }
            // Between the two bytes of a line end there is no place.
            let split = text[..at].ends_with('\r') && text[at..].starts_with('\n');
            let there = page.place(at as u32, desk::Encoding::Utf16);
            assert!(split || page.offset(there, desk::Encoding::Utf16) == at as u32);
        }
    }
}
