//! Questions about all files of a workspace.

use desk::{Date, Desk, MemoryShelf};
use std::path::{Path, PathBuf};
use std::sync::Arc;

const CREAM: &str = "formula Oat cream\ninclude base/soft.formula as Soft base\nphase A oil\n  60 % Soft base\n  40 % jojoba oil\nvariant light: x\n";
const BALM: &str =
    "formula Balm\ninclude base/soft.formula#Soft as base\n100 % base\n\nformula Other\n100 % jojoba oil\n";
const SOFT: &str = "formula Soft\ninclude wax.formula as wax\n50 % wax\n50 % jojoba oil\n\nformula Softer\n100 % olive oil\n";
const WAX: &str = "formula Wax\n100 % beeswax\n";

fn desk() -> Desk {
    let shelf = MemoryShelf::new([
        ("/w/cream.formula", CREAM),
        ("/w/balm.formula", BALM),
        ("/w/base/soft.formula", SOFT),
        ("/w/base/wax.formula", WAX),
        ("/w/workshop.formula", "workshop Ours\nstock base/stock.formula\n"),
        ("/w/base/stock.formula", "ingredient Oat milk\nphase water\n"),
    ]);
    let mut desk = Desk::new(Arc::new(shelf), Date::read(crate::LAW_DAY).expect("a day"));
    desk.set_roots(vec![PathBuf::from("/w")]);
    desk
}

#[test]
fn names_are_found_by_their_letters() {
    let desk = desk();
    let found = |query: &str| -> Vec<String> {
        desk.symbols(query, 10).iter().map(|symbol| format!("{} {}", symbol.name, symbol.within)).collect()
    };
    assert_eq!(found("oat"), ["Oat cream ", "Oat milk "]);
    assert_eq!(found("lght"), ["light Oat cream"]);
    assert_eq!(found("soft"), ["Soft ", "Softer "]);
    assert_eq!(found("").len(), 9);
    assert_eq!(desk.symbols("", 2).len(), 2);
    for symbol in desk.symbols("", 99) {
        let text = desk.text_of(&symbol.target.path).expect("a text");
        assert_eq!(symbol.target.name.of(&text), symbol.name);
        assert!(symbol.target.span.of(&text).contains(&symbol.name));
    }
}

#[test]
fn a_base_knows_its_users_and_what_it_uses() {
    let mut desk = desk();
    let soft = Path::new("/w/base/soft.formula");
    let users = desk.users(soft, 9);
    let names: Vec<(&str, usize)> = users.iter().map(|user| (user.name.as_str(), user.lines.len())).collect();
    assert_eq!(names, [("Balm", 1), ("Oat cream", 1)]);
    assert_eq!(users[1].lines[0].of(CREAM), "Soft base");
    // From the line that uses it, the same base is meant.
    let at = CREAM.rfind("Soft base").expect("the line") as u32;
    let (name, target) = desk.formula_at(Path::new("/w/cream.formula"), at).expect("a formula");
    assert_eq!((name.as_str(), target.path.as_path()), ("Soft", soft));
    let used: Vec<String> = desk.used(soft, 9).into_iter().map(|used| used.name).collect();
    assert_eq!(used, ["Wax"]);
    let second = SOFT.find("Softer").expect("the name") as u32;
    assert!(desk.users(soft, second).is_empty());
}

#[test]
fn moved_files_are_named_anew() {
    let desk = desk();
    let changed = |from: &str, to: &str| -> Vec<String> {
        desk.moved(&[(PathBuf::from(from), PathBuf::from(to))])
            .into_iter()
            .map(|(path, edits)| {
                let text = edits.apply(&desk.text_of(&path).expect("a text"));
                let line = text.lines().find(|line| line.starts_with("include") || line.starts_with("stock"));
                format!("{}: {}", path.display(), line.expect("a line"))
            })
            .collect()
    };
    assert_eq!(
        changed("/w/base/soft.formula", "/w/soft.formula"),
        [
            "/w/balm.formula: include soft.formula#Soft as base",
            "/w/base/soft.formula: include base/wax.formula as wax",
            "/w/cream.formula: include soft.formula as Soft base",
        ]
    );
    // A folder takes what is in it along: among themselves its files still fit.
    assert_eq!(
        changed("/w/base", "/w/bases"),
        [
            "/w/balm.formula: include bases/soft.formula#Soft as base",
            "/w/cream.formula: include bases/soft.formula as Soft base",
            "/w/workshop.formula: stock bases/stock.formula",
        ]
    );
    assert_eq!(
        changed("/w/cream.formula", "/w/x/cream.formula"),
        ["/w/cream.formula: include ../base/soft.formula as Soft base"]
    );
    assert!(changed("/w/none.formula", "/w/else.formula").is_empty());
}
