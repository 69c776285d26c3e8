//! The only door to files.

use std::collections::BTreeMap;
use std::io;
use std::path::{Path, PathBuf};

/// Where files come from. The terminal and the editor each bring one; tests use [`MemoryShelf`].
pub trait Shelf: Send + Sync {
    /// The text of a file.
    ///
    /// # Errors
    /// Whatever kept it from being read; text that is not UTF-8 is [`io::ErrorKind::InvalidData`].
    fn read(&self, path: &Path) -> io::Result<String>;

    /// Whether a folder is the root above which no workshop file is looked for.
    fn is_root(&self, folder: &Path) -> bool;

    /// The formula files in a folder and below it, in order of their paths. What cannot be read is left out.
    fn list(&self, folder: &Path) -> Vec<PathBuf>;
}

/// Files in memory.
#[derive(Clone, Debug, Default)]
pub struct MemoryShelf {
    files: BTreeMap<PathBuf, String>,
}

impl MemoryShelf {
    /// A shelf with these files.
    pub fn new<P: Into<PathBuf>, T: Into<String>>(files: impl IntoIterator<Item = (P, T)>) -> MemoryShelf {
        MemoryShelf { files: files.into_iter().map(|(path, text)| (path.into(), text.into())).collect() }
    }
}

impl Shelf for MemoryShelf {
    fn read(&self, path: &Path) -> io::Result<String> {
        self.files.get(path).cloned().ok_or_else(|| io::Error::from(io::ErrorKind::NotFound))
    }

    fn is_root(&self, folder: &Path) -> bool {
        folder.parent().is_none()
    }

    fn list(&self, folder: &Path) -> Vec<PathBuf> {
        let formula = |path: &&PathBuf| path.extension().is_some_and(|end| end == "formula");
        self.files.keys().filter(|path| path.starts_with(folder)).filter(formula).cloned().collect()
    }
}
