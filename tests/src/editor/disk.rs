//! Files in memory that can be written, and held back, while a session goes on.

use desk::Shelf;
use std::collections::BTreeMap;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Condvar, Mutex};

/// The files, which can be written while a session goes on.
#[derive(Default)]
pub(crate) struct Disk {
    files: Mutex<BTreeMap<PathBuf, String>>,
    /// As they were committed last.
    committed: Mutex<BTreeMap<PathBuf, String>>,
    reading: Gate,
    walking: Gate,
}

/// Where threads wait while it is shut.
#[derive(Default)]
struct Gate {
    shut: Mutex<bool>,
    opened: Condvar,
}

impl Gate {
    fn shut(&self, shut: bool) {
        *self.shut.lock().unwrap() = shut;
        self.opened.notify_all();
    }

    fn pass(&self) {
        let mut shut = self.shut.lock().unwrap();
        while *shut {
            shut = self.opened.wait(shut).unwrap();
        }
    }
}

impl Disk {
    pub(crate) fn write(&self, name: &str, text: Option<String>) {
        let path = Path::new("/w").join(name);
        let mut files = self.files.lock().unwrap();
        let _ = match text {
            Some(text) => files.insert(path, text),
            None => files.remove(&path),
        };
    }

    pub(crate) fn text(&self, name: &str) -> Option<String> {
        self.files.lock().unwrap().get(&Path::new("/w").join(name)).cloned()
    }

    /// Commits a file as it stands; false where there is none.
    pub(crate) fn commit(&self, name: &str) -> bool {
        let Some(text) = self.text(name) else { return false };
        let _ = self.committed.lock().unwrap().insert(Path::new("/w").join(name), text);
        true
    }

    /// A file as it was committed last.
    pub(crate) fn committed(&self, path: &Path) -> Option<String> {
        self.committed.lock().unwrap().get(path).cloned()
    }

    /// Lets every reader wait, or lets them go on.
    pub(crate) fn hold(&self, held: bool) {
        self.reading.shut(held);
    }

    /// Lets everyone wait who wants to know which files there are, or lets them go on.
    pub(crate) fn hold_walks(&self, held: bool) {
        self.walking.shut(held);
    }
}

impl Shelf for Disk {
    fn read(&self, path: &Path) -> io::Result<String> {
        self.reading.pass();
        self.files.lock().unwrap().get(path).cloned().ok_or_else(|| io::ErrorKind::NotFound.into())
    }

    fn is_root(&self, folder: &Path) -> bool {
        folder == Path::new("/w")
    }

    fn list(&self, folder: &Path) -> Vec<PathBuf> {
        self.walking.pass();
        let files = self.files.lock().unwrap();
        let formula = |path: &&PathBuf| path.extension().is_some_and(|end| end == "formula");
        files.keys().filter(|path| path.starts_with(folder)).filter(formula).cloned().collect()
    }
}
