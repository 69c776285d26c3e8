//! What stands in other files: their paths and their formulas.

use crate::Desk;
use crate::around::Files;
use notation::{Block, BlockKind, fold};
use std::cell::Cell;
use std::path::{Component, Path, PathBuf};
use std::sync::Arc;

/// What stands in other files.
pub(super) trait Elsewhere {
    /// Files, as this one would name them.
    fn paths(&self) -> Vec<String>;
    /// Formulas: of a file that is named as this one would name it, else of all that are near.
    fn formulas(&self, of: Option<&str>) -> Vec<String>;
    /// The block of a formula that is near, by its folded name.
    fn formula(&self, name: &str) -> Option<Arc<Block>>;
}

/// No other file is known; remembers that one was asked for.
#[derive(Default)]
pub(super) struct Nowhere(Cell<bool>);

impl Nowhere {
    /// Whether another file was asked for.
    pub(super) fn was_asked(&self) -> bool {
        self.0.get()
    }
}

impl Elsewhere for Nowhere {
    fn paths(&self) -> Vec<String> {
        self.0.set(true);
        Vec::new()
    }

    fn formulas(&self, _: Option<&str>) -> Vec<String> {
        self.0.set(true);
        Vec::new()
    }

    fn formula(&self, _: &str) -> Option<Arc<Block>> {
        self.0.set(true);
        None
    }
}

impl Files {
    /// All files of the folders that are worked in, as they were when that was first asked since files changed. Who
    /// asks while another looks waits for that.
    fn everywhere(&self) -> &[PathBuf] {
        self.listed.get_or_init(|| {
            let mut files: Vec<PathBuf> = self.roots.iter().flat_map(|root| self.below(root)).collect();
            files.sort();
            files.dedup();
            files
        })
    }
}

/// What lies near a text.
pub(super) struct Near<'d> {
    pub(super) desk: &'d Desk,
    pub(super) path: &'d Path,
}

/// The most files that are read for their formulas.
const MOST_READ: usize = 50;

impl Near<'_> {
    fn folder(&self) -> &Path {
        self.path.parent().unwrap_or(Path::new(""))
    }

    fn formulas_in(&self, file: &Path) -> Vec<Arc<Block>> {
        let Some(sheet) = self.desk.files.sheet(file) else { return Vec::new() };
        sheet.blocks.iter().filter(|block| block.kind == BlockKind::Formula).map(Arc::clone).collect()
    }

    /// The formulas of this folder, and of all open texts.
    fn around(&self) -> Vec<Arc<Block>> {
        let files = self.desk.files.everywhere();
        let near = files.iter().filter(|file| file.parent() == Some(self.folder()) && *file != self.path);
        let open = self.desk.files.laid().filter(|file| file.parent() != Some(self.folder()));
        near.take(MOST_READ).chain(open.take(MOST_READ)).flat_map(|file| self.formulas_in(file)).collect()
    }
}

impl Elsewhere for Near<'_> {
    fn paths(&self) -> Vec<String> {
        let files = self.desk.files.everywhere();
        let others = files.iter().filter(|file| *file != self.path);
        let mut paths: Vec<String> = others.filter_map(|file| relative(self.folder(), file)).collect();
        // What lies near comes first.
        paths.sort_by_key(|path| (path.matches('/').count(), fold(path)));
        paths
    }

    fn formulas(&self, of: Option<&str>) -> Vec<String> {
        let blocks = match of {
            Some(path) => self.formulas_in(&self.folder().join(path)),
            None => self.around(),
        };
        blocks.iter().map(|block| block.name().to_owned()).collect()
    }

    fn formula(&self, name: &str) -> Option<Arc<Block>> {
        self.around().into_iter().find(|block| fold(block.name()) == name)
    }
}

/// A path as seen from a folder, with `/` on all systems; none between drives, and none that is not text.
fn relative(folder: &Path, file: &Path) -> Option<String> {
    let (mut from, mut to) = (folder.components().peekable(), file.components().peekable());
    while from.peek().is_some() && from.peek() == to.peek() {
        let _ = (from.next(), to.next());
    }
    let mut parts: Vec<&str> = Vec::new();
    for part in from {
        match part {
            Component::Normal(_) => parts.push(".."),
            _ => return None,
        }
    }
    for part in to {
        parts.push(match part {
            Component::Normal(name) => name.to_str()?,
            _ => return None,
        });
    }
    Some(parts.join("/"))
}
