//! A block for an ingredient that nobody describes yet.

use super::ground::{Ground, Row};
use super::{Action, ActionKind};
use crate::around::{Files, WORKSHOP, plain};
use crate::{Desk, function_spelling};
use notation::{BlockKind, Edits, PhaseKind, Span, Word};
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// What another file gets at its end.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct NewFile {
    /// The file.
    pub path: PathBuf,
    /// Whether it has to be made first.
    pub creates: bool,
    /// The changes of its text.
    pub edits: Edits,
}

impl Desk {
    /// For each unknown ingredient on the lines that a span touches: its block, with what the line says of it, at the
    /// end of the first stock file that the nearest workshop names. None where no workshop names one, and where that
    /// file is not there and none may be created; a fix of the finding writes it into the text itself.
    pub fn describing(&mut self, path: &Path, within: Span, creates: bool) -> Vec<Action> {
        let Some(page) = self.page_of(path) else { return Vec::new() };
        let Some(ground) = Ground::of(&page, within) else { return Vec::new() };
        let unknown = |row: &&&Row<'_>| {
            let item = row.item;
            let name = item.name.as_str();
            let missing = !item.is_known() && !item.open_slot && !item.premix_missing;
            missing && !name.is_empty() && !name.contains([';', '"', '#'])
        };
        let selected = ground.selected();
        let unknown: Vec<&&Row<'_>> = selected.iter().filter(unknown).collect();
        if unknown.is_empty() {
            return Vec::new();
        }
        let Some(home) = stock_file(&self.files, path).filter(|home| *home != plain(path)) else {
            return Vec::new();
        };
        let there = self.files.text(&home);
        if there.is_none() && !creates {
            return Vec::new();
        }
        unknown.into_iter().map(|row| describing(&ground, row, there.as_deref(), &home)).collect()
    }
}

fn describing(ground: &Ground<'_>, row: &Row<'_>, there: Option<&str>, home: &Path) -> Action {
    let name = &row.item.name;
    let file = home.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let new = if there.is_none() { "a new file " } else { "" };
    let title = format!("Describe {name} in {new}{file}");
    let edits = at_end(there.unwrap_or(""), &block(ground, row));
    let file = NewFile { path: home.to_owned(), creates: there.is_none(), edits };
    Action { file: Some(file), ..Action::new(ActionKind::Extract, title, Edits::default()) }
}

/// The block: what the ingredient's line says, and as remarks what would be worth saying.
fn block(ground: &Ground<'_>, row: &Row<'_>) -> String {
    let item = row.item;
    let mut block = format!("ingredient {}\n", item.name);
    let _ = match &item.inci {
        Some(inci) => writeln!(block, "INCI {inci}"),
        None => writeln!(block, "# INCI …"),
    };
    for function in &item.declared {
        let _ = writeln!(block, "function {}", function_spelling(function));
    }
    if item.declared.is_empty() {
        let _ = writeln!(block, "# function …");
    }
    let phase = item.phase.and_then(|at| ground.formula.phases.get(at)).and_then(|phase| phase.kind);
    let _ = match phase.filter(|kind| *kind != PhaseKind::Other) {
        Some(kind) => writeln!(block, "phase {}", kind.spelling()),
        None => writeln!(block, "# phase oil"),
    };
    block.push_str("# soluble in oil\n# origin plant\n");
    block
}

/// A block behind all that stands in a text, a blank line between.
fn at_end(text: &str, block: &str) -> Edits {
    let end = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let said = text.trim_end().len();
    let gap = if said == 0 { String::new() } else { end.repeat(2) };
    let block = block.replace('\n', end);
    Edits::one(Span::new(said as u32, text.len() as u32), format!("{gap}{block}"))
}

/// The first stock file that the nearest workshop names.
fn stock_file(files: &Files, path: &Path) -> Option<PathBuf> {
    let mut places = files.workshops(path);
    places.retain(|place| place.file_name().is_some_and(|name| name == WORKSHOP));
    places.push(path.to_owned());
    places.iter().rev().find_map(|place| {
        let sheet = files.sheet(place)?;
        let folder = place.parent().unwrap_or(Path::new(""));
        let workshops = sheet.blocks.iter().filter(|block| block.kind == BlockKind::Workshop);
        let stock = workshops.flat_map(|block| {
            block
                .facts(Word::Stock)
                .map(|(_, fact)| block.at(fact.rest).trim_matches('"').to_owned())
                .collect::<Vec<_>>()
        });
        stock.into_iter().find(|stock| !stock.is_empty()).map(|stock| plain(&folder.join(stock)))
    })
}
