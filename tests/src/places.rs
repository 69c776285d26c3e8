//! Where names are declared and used, and what a rename changes.

use desk::{Date, Desk, MemoryShelf, Target};
use std::path::{Path, PathBuf};
use std::sync::Arc;

const CREAM: &str = "formula Cream
include base.formula as Soft base
phase A water
  to 100 % purified water
  3 % glycerin
  5 % of A Our oat milk
phase B oil
  12 % Soft base
step stir the glycerin into A
step add B to A
variant thin
omit glycerin in A
variant thinner: thin
";
const BASE: &str = "formula Base\n100 % shea butter\n";
const STOCK: &str = "ingredient Our oat milk\nfunction active\n\ningredient Other\nphase oil\n";
const SECOND: &str = "formula Second\n4 % our oat milk\n96 % glycerin\n";
const RECORD: &str = "record 12\nof Cream version 1\nweighed 5 g Our oat milk\n";

fn desk() -> Desk {
    let shelf = MemoryShelf::new([
        ("/w/cream.formula", CREAM),
        ("/w/base.formula", BASE),
        ("/w/stock.formula", STOCK),
        ("/w/second.formula", SECOND),
        ("/w/records.formula", RECORD),
        ("/w/workshop.formula", "workshop Ours\nstock stock.formula\n"),
    ]);
    let mut desk = Desk::new(Arc::new(shelf), Date::read(crate::LAW_DAY).expect("a day"));
    desk.set_roots(vec![PathBuf::from("/w")]);
    desk.open(Path::new("/w/cream.formula"), CREAM.to_owned());
    desk
}

/// The `nth` place of some words in the cream.
fn at(words: &str, nth: usize) -> u32 {
    CREAM.match_indices(words).nth(nth).expect("the words").0 as u32
}

fn shown(desk: &Desk, targets: &[Target]) -> Vec<String> {
    targets
        .iter()
        .map(|target| {
            let text = desk.text_of(&target.path).expect("a text");
            let line = 1 + text[..target.name.start as usize].matches('\n').count();
            let file = target.path.file_stem().expect("a name").to_string_lossy().into_owned();
            format!("{file}:{line} {}", target.name.of(&text))
        })
        .collect()
}

#[test]
fn a_name_leads_to_where_it_is_declared() {
    let mut desk = desk();
    for (words, nth, expected) in [
        ("glycerin", 1, "cream:5 glycerin"),
        ("glycerin", 2, "cream:5 glycerin"),
        ("A Our", 0, "cream:3 A"),
        ("A\nvariant", 0, "cream:3 A"),
        ("B to", 0, "cream:7 B"),
        ("Our oat", 0, "stock:1 Our oat milk"),
        ("Soft", 1, "base:1 Base"),
        ("thin\n", 1, "cream:11 thin"),
    ] {
        let found = desk.definition(Path::new("/w/cream.formula"), at(words, nth));
        assert_eq!(shown(&desk, &found), [expected], "{words}");
    }
    let from_record = desk.definition(Path::new("/w/records.formula"), 14);
    assert_eq!(shown(&desk, &from_record), ["cream:1 Cream"]);
}

#[test]
fn uses_are_found_in_the_whole_workspace() {
    let mut desk = desk();
    let path = Path::new("/w/cream.formula");
    let oats = desk.references(path, at("Our oat", 0), true);
    assert_eq!(
        shown(&desk, &oats),
        ["cream:6 Our oat milk", "records:3 Our oat milk", "second:2 our oat milk", "stock:1 Our oat milk"]
    );
    let glycerin = desk.references(path, at("glycerin", 0), false);
    assert_eq!(shown(&desk, &glycerin), ["cream:9 glycerin", "cream:12 glycerin"]);
    let mut aside = desk.aside();
    assert_eq!(aside.references(path, at("Our oat", 0), true), oats);
    let phase = desk.references(path, at("A water", 0), true);
    assert_eq!(shown(&desk, &phase), ["cream:3 A", "cream:6 A", "cream:9 A", "cream:10 A", "cream:12 A"]);
    let formula = desk.references(path, at("Cream", 0), true);
    assert_eq!(shown(&desk, &formula), ["cream:1 Cream", "records:2 Cream"]);
}

/// The files that a rename changes, as they are afterwards.
fn renamed(words: &str, nth: usize, name: &str) -> Result<Vec<(PathBuf, String)>, String> {
    let mut desk = desk();
    let changed = desk.rename(Path::new("/w/cream.formula"), at(words, nth), name)?;
    let apply = |(path, edits): (PathBuf, desk::Edits)| {
        let text = desk.text_of(&path).expect("a text");
        (path, edits.apply(&text))
    };
    Ok(changed.into_iter().map(apply).collect())
}

#[test]
fn a_rename_changes_every_mention_and_nothing_else() {
    let cream = |text: String| vec![(PathBuf::from("/w/cream.formula"), text)];
    assert_eq!(renamed("glycerin", 0, "glycerol"), Ok(cream(CREAM.replace("glycerin", "glycerol"))));
    assert_eq!(renamed("glycerin", 1, "glycerol"), Ok(cream(CREAM.replace("glycerin", "glycerol"))));
    let moved = CREAM.replace("phase B", "phase C").replace("add B", "add C");
    assert_eq!(renamed("B oil", 0, "C"), Ok(cream(moved)));
    assert_eq!(
        renamed("thin", 0, "light"),
        Ok(cream(CREAM.replace("variant thin\n", "variant light\n").replace(": thin", ": light")))
    );
    let all = renamed("Our oat", 0, "Oat drink").expect("a rename");
    assert_eq!(all.len(), 4, "{all:?}");
    assert!(
        all.iter().all(|(_, text)| text.contains("Oat drink") && !text.to_lowercase().contains("oat milk"))
    );
}

#[test]
fn a_name_that_would_break_the_text_is_refused() {
    for (words, name, why) in [
        ("B oil", "A", "There is a phase A already."),
        ("B oil", "oil", "A phase has one letter"),
        ("thin\n", "thinner", "There is a variant thinner already."),
        ("thin\n", "a, b", "no comma"),
        ("glycerin", " ", "at least one letter"),
        ("glycerin", "a;b", "cannot hold `;`"),
        ("glycerin", "water to drink", "`to` in it"),
        ("formula", "x", "There is no name here"),
    ] {
        let refused = renamed(words, 0, name).expect_err(words);
        assert!(refused.contains(why), "{words}: {refused}");
    }
}
