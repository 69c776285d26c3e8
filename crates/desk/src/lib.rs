//! What one can **ask** about open formulas: the one place that terminal and editor get their findings from.

mod shelf;

pub use notation::{Date, Edit, Edits, Encoding, LineIndex, Place, Span, SlipKind};
pub use rules::{Finding, Fix, Level, Related, Safety};
pub use shelf::{MemoryShelf, Shelf};

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// The open files, what they can see, and what is found in them.
pub struct Desk {
    #[expect(dead_code, reason = "used from the next step on")]
    shelf: Arc<dyn Shelf>,
    open: BTreeMap<PathBuf, String>,
}

impl Desk {
    /// A desk with a shelf; the law is that of `law_day`.
    pub fn new(shelf: Arc<dyn Shelf>, _law_day: Date) -> Desk {
        Desk { shelf, open: BTreeMap::new() }
    }

    /// Lays a text on the desk under its path; an open one is replaced.
    pub fn open(&mut self, path: &Path, text: String) {
        self.open.insert(path.to_owned(), text);
    }

    /// Replaces what stands between two places; places that do not fit are clamped.
    pub fn edit(&mut self, path: &Path, from: Place, to: Place, encoding: Encoding, text: &str) {
        let Some(open) = self.open.get_mut(path) else { return };
        let index = LineIndex::new(open);
        let start = index.offset(open, from, encoding);
        let end = index.offset(open, to, encoding);
        *open = Edits::one(Span::new(start, end), text).apply(open);
    }

    /// Takes a text off the desk.
    pub fn close(&mut self, path: &Path) {
        self.open.remove(path);
    }

    /// A snapshot of an open text and all that is found in it, cheap to keep. None for a text that is not open.
    pub fn page(&mut self, path: &Path) -> Option<Arc<Page>> {
        self.open.get(path).map(|text| Arc::new(Page { text: text.clone(), index: LineIndex::new(text) }))
    }

    /// A file on disk that open formulas may have read (a workshop, an include, a stock file) has changed.
    pub fn forget_files(&mut self) {}
}

/// A snapshot of one text.
pub struct Page {
    text: String,
    index: LineIndex,
}

impl Page {
    /// The whole text.
    pub fn text(&self) -> String {
        self.text.clone()
    }

    /// Line and column of a byte.
    pub fn place(&self, at: u32, encoding: Encoding) -> Place {
        self.index.place(&self.text, at, encoding)
    }

    /// All findings, in order of place then rule name; spans count from the file's start.
    pub fn findings(&self) -> Vec<Finding> {
        Vec::new()
    }

    /// At most `most` findings, the most serious first, and how many there are in all. Findings silenced by `allow`
    /// do not count.
    pub fn gravest(&self, _most: usize) -> (Vec<Finding>, usize) {
        (Vec::new(), 0)
    }

    /// The edits that bring the text into its canonical form.
    pub fn tidy(&self) -> Edits {
        Edits::default()
    }
}

/// The page of a rule, as Markdown; none for an unknown name.
pub fn rule_page(_rule: &str) -> Option<String> {
    None
}
