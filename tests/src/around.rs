//! What a formula sees of the files around it.

use crate::LAW_DAY;
use desk::{Date, Desk, MemoryShelf};
use std::path::Path;
use std::sync::Arc;

const FORMULA: &str = "formula Oil\nproduct face oil\n99 % jojoba oil\n1 % house blend\n";

/// The source of the density of a name, as a formula in `house/rooms/a.formula` sees it.
fn density_source(files: &[(&str, &str)], name: &str) -> Option<String> {
    let desk = desk(files);
    let material = desk.ingredient(Path::new("house/rooms/a.formula"), name)?;
    material.density.as_ref().map(|figure| figure.source.text.to_string())
}

fn desk(files: &[(&str, &str)]) -> Desk {
    Desk::new(Arc::new(MemoryShelf::new(files.iter().copied())), Date::read(LAW_DAY).expect("a day"))
}

fn unknown(desk: &mut Desk, path: &Path) -> bool {
    let page = desk.page(path).expect("a page");
    page.findings().iter().any(|finding| finding.rule == "ingredient-unknown")
}

#[test]
fn ingredients_in_the_workshop_file_are_seen() {
    let path = Path::new("house/rooms/a.formula");
    let block = "ingredient house blend\nsoluble in oil\n";
    for workshop in [
        format!("workshop House\n{block}"),
        // Without a `workshop` block, before it, and in a folder above.
        block.to_owned(),
        format!("{block}workshop House\nmarket EU\n"),
    ] {
        for at in ["house/rooms/workshop.formula", "house/workshop.formula", "workshop.formula"] {
            let mut desk = desk(&[(at, &workshop)]);
            desk.open(path, FORMULA.to_owned());
            assert!(!unknown(&mut desk, path), "{at}: {workshop}");
        }
    }
    let mut desk = desk(&[("house/other/workshop.formula", block)]);
    desk.open(path, FORMULA.to_owned());
    assert!(unknown(&mut desk, path), "a workshop beside it, not above");
}

#[test]
fn the_nearer_one_is_meant() {
    let far = ("house/workshop.formula", "ingredient lavender oil\ndensity 0.9 g/mL; source far\n");
    let near = ("house/rooms/workshop.formula", "ingredient lavender oil\ndensity 0.9 g/mL; source near\n");
    let is = |files: &[(&str, &str)], name: &str, source: &str| {
        assert_eq!(density_source(files, name).as_deref(), Some(source), "{name}");
    };
    // By the name of the block, and by another name of the catalogue's.
    for name in ["lavender oil", "Lavandula Angustifolia Oil"] {
        is(&[far], name, "far");
        is(&[far, near], name, "near");
    }
    let stock = ("house/rooms/stock.formula", "ingredient lavender oil\ndensity 0.9 g/mL; source stock\n");
    let naming = ("house/rooms/workshop.formula", "workshop Rooms\nstock stock.formula\n");
    is(&[far, naming, stock], "lavender oil", "stock");
    let both =
        "workshop Rooms\nstock stock.formula\ningredient lavender oil\ndensity 0.9 g/mL; source near\n";
    is(&[("house/rooms/workshop.formula", both), stock], "lavender oil", "near");
}

#[test]
fn the_file_itself_is_nearest() {
    let path = Path::new("house/rooms/a.formula");
    let workshop =
        "ingredient house blend\nfunction oil\nsoluble in oil\nlimit 0.5 %; law; market EU; source far\n";
    let mut desk = desk(&[("house/workshop.formula", workshop)]);
    let over = |desk: &mut Desk| {
        desk.page(path).expect("a page").findings().iter().any(|finding| finding.rule == "over-limit")
    };
    desk.open(path, FORMULA.to_owned());
    assert!(over(&mut desk));
    desk.open(path, format!("{FORMULA}\ningredient house blend\nfunction oil\nsoluble in oil\n"));
    assert!(!over(&mut desk));
}

#[test]
fn a_change_of_the_workshop_is_seen_at_once() {
    let (path, workshop) = (Path::new("house/rooms/a.formula"), Path::new("house/workshop.formula"));
    let mut desk = desk(&[]);
    desk.open(path, FORMULA.to_owned());
    assert!(unknown(&mut desk, path));
    desk.open(workshop, "ingredient house blend\nsoluble in oil\n".to_owned());
    assert!(!unknown(&mut desk, path));
    desk.close(workshop);
    assert!(unknown(&mut desk, path));
}
