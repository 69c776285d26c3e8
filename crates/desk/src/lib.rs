//! What one can **ask** about open formulas: the one place that terminal and editor get their findings from.
//!
//! The desk is given a [`Shelf`] and touches no file itself. A [`Page`] is a snapshot of one text: a list of blocks
//! with running starts. An edit reads and reviews only the blocks that it touches; a changed ingredient or workshop
//! makes only those formulas be looked at again that asked for what has changed.

mod actions;
mod allowing;
mod around;
mod bundle;
mod colours;
mod compare;
mod complete;
pub mod facts;
mod file;
mod hints;
mod hover;
mod label;
mod laid;
mod lenses;
mod lines;
mod links;
mod mend;
mod mentions;
mod outline;
mod page;
mod places;
mod shelf;
mod workspace;

pub use actions::{Action, ActionKind, NewFile, Scaled};
pub use allowing::{REASON, allowing};
pub use colours::{Colour, Coloured};
pub use compare::{Comparison, FindingChange, News};
pub use complete::{Candidate, CandidateKind, Offer};
pub use formula::compare::{
    Amount, BlockChange, FactChange, LineChange, PhaseChange, StepChange, SumChange, Turn, VariantChange,
};
pub use formula::labels::{Due, Listed, Listing};
pub use formula::{
    Basis, Batch, Catalogue, Ceiling, Condition, DEFAULT_OF_THE_TABLES, Exact, Figure, Formula, Found,
    Header, Interval, Item, LAW_READ_ON, Limit, Material, Occasion, Pack, Part, Phase, Price, Product, Rank,
    Resolved, Settings, Source, Standing, Substance, Totals, Via, Window, Written, factor, reckon,
};
pub use hints::{Hint, HintKind};
pub use hover::Hover;
pub use label::{Asked, Label, LabelEntry, LabelPlace, Market, Particular, Section, label_markets};
pub use lenses::{Lens, LensKind, Since};
pub use lines::line_edits;
pub use links::{Link, LinkTarget};
pub use mend::{Choice, Hunk, Mended, Mending, hunks, mended, safe};
pub use notation::{
    BlockKind, Date, Edit, Edits, Encoding, FUNCTIONS, LineIndex, PhaseKind, Place, Span, TokenKind, Unit,
    UnitWord, Word, find_unit, fold, lex, nearest, read, tidy,
};
pub use outline::{Entry, EntryKind};
pub use page::Page;
pub use places::{Mentioned, Refusal, Target};
pub use rules::{ALL as RULES, Finding, Fix, Fixes, Group, Level, Related, Rule, Safety, rule};
pub use shelf::{MemoryShelf, Shelf};
pub use workspace::{Symbol, UseOf};

pub use around::plain;
use around::{Around, Files};
use file::OpenFile;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// The open files, what they can see, and what is found in them.
pub struct Desk {
    files: Files,
    law_day: Date,
    open: BTreeMap<PathBuf, OpenFile>,
}

impl Desk {
    /// A desk with a shelf; the law is that of `law_day`.
    pub fn new(shelf: Arc<dyn Shelf>, law_day: Date) -> Desk {
        Desk { files: Files::new(shelf), law_day, open: BTreeMap::new() }
    }

    /// Lays a text on the desk under its path; an open one is replaced.
    pub fn open(&mut self, path: &Path, text: String) {
        let mut open = OpenFile::new(path, &text);
        self.files.lay(path, Some(open.laid()));
        let _ = self.open.insert(path.to_owned(), open);
        self.look_again(path);
    }

    /// Replaces what stands between two places; places that do not fit are clamped.
    pub fn edit(&mut self, path: &Path, from: Place, to: Place, encoding: Encoding, text: &str) {
        let Some(open) = self.open.get_mut(path) else { return };
        open.edit(from, to, encoding, text);
        self.files.lay(path, Some(open.laid()));
        self.look_again(path);
    }

    /// Takes a text off the desk.
    pub fn close(&mut self, path: &Path) {
        if self.open.remove(path).is_some() {
            self.files.lay(path, None);
            self.look_again(path);
        }
    }

    /// A snapshot of an open text and all that is found in it, cheap to keep. None for a text that is not open.
    pub fn page(&mut self, path: &Path) -> Option<Arc<Page>> {
        let open = self.open.get_mut(path)?;
        Some(open.page(&self.files, self.law_day))
    }

    /// The folders that are worked in: what is looked for everywhere is looked for in them.
    pub fn set_roots(&mut self, roots: Vec<PathBuf>) {
        self.files.roots = roots;
        self.forget_files();
    }

    /// The folders that are worked in.
    pub fn roots(&self) -> &[PathBuf] {
        &self.files.roots
    }

    /// All formula files of the folders that are worked in, and all open texts, in order, each once.
    pub fn workspace_files(&self) -> Vec<PathBuf> {
        let mut files: Vec<PathBuf> =
            self.files.roots.iter().flat_map(|root| self.files.below(root)).collect();
        files.extend(self.files.laid().cloned());
        files.sort();
        files.dedup();
        files
    }

    /// Whether a text is open under this path, here or on the desk of which this one was made.
    pub fn has_open(&self, path: &Path) -> bool {
        self.files.is_laid(path)
    }

    /// A desk of its own for long searches: it sees the same files and open texts as this one does now.
    #[must_use]
    pub fn aside(&self) -> Desk {
        Desk { files: self.files.aside(), law_day: self.law_day, open: BTreeMap::new() }
    }

    /// The text of a file: as it is open, else as it is on the shelf.
    pub fn text_of(&self, path: &Path) -> Option<String> {
        self.files.text(path)
    }

    /// A snapshot of a text, open or not. Nothing of one that is not open is kept.
    pub fn page_of(&mut self, path: &Path) -> Option<Arc<Page>> {
        if self.open.contains_key(path) {
            return self.page(path);
        }
        let text = self.files.text(path)?;
        Some(OpenFile::new(path, &text).page(&self.files, self.law_day))
    }

    /// A snapshot of another text in the place of an open one, which stays as it is. None for a path that is not open.
    pub fn instead(&mut self, path: &Path, text: &str) -> Option<Arc<Page>> {
        let here = self.open.get_mut(path)?.laid();
        let mut other = OpenFile::new(path, text);
        self.files.lay(path, Some(other.laid()));
        let page = other.page(&self.files, self.law_day);
        self.files.lay(path, Some(here));
        Some(page)
    }

    /// An open text with the fixes made that `choose` takes; the open text itself stays as it is. None for a path that
    /// is not open.
    pub fn mended(&mut self, path: &Path, choose: impl FnMut(&Page, &Finding) -> Choice) -> Option<Mended> {
        let page = self.page(path)?;
        Some(mended(&page, |text| self.instead(path, text), choose))
    }

    /// The settings of the workshops that an open text stands in. None for a text that is not open.
    pub fn settings(&mut self, path: &Path) -> Option<Settings> {
        let _ = self.page(path)?;
        self.open.get(path)?.settings().cloned()
    }

    /// The ingredients that a file at this path sees, whether it is there or not: the maker's own first, each laid
    /// over the catalogue's of that name, then all others of the catalogue.
    pub fn ingredients(&self, path: &Path) -> Vec<Arc<Material>> {
        let own = Around::of(path, &[], &self.files).all_own();
        let others = Catalogue::built_in()
            .all()
            .filter(|known| !own.iter().any(|mine| mine.names().any(|name| name == known.key())));
        own.iter().chain(others).cloned().collect()
    }

    /// What a name means in a file at this path: the maker's own block, else the catalogue's.
    pub fn ingredient(&self, path: &Path, name: &str) -> Option<Arc<Material>> {
        let around = Around::of(path, &[], &self.files);
        around.material(name)
    }

    /// Files on disk that open formulas may have read (a workshop, an include, a stock file) have changed.
    pub fn forget_files(&mut self) {
        self.files.forget();
        for (path, open) in &mut self.open {
            self.files.lay(path, Some(open.laid()));
            open.look_again();
        }
    }

    /// The paths of all open texts.
    pub fn paths(&self) -> Vec<PathBuf> {
        self.open.keys().cloned().collect()
    }

    /// Another file than `path` may have read it.
    fn look_again(&mut self, path: &Path) {
        for (other, open) in &mut self.open {
            if other != path {
                open.look_again();
            }
        }
    }
}

/// A function as the closed list spells it.
pub fn function_spelling(word: &str) -> &str {
    FUNCTIONS.iter().copied().find(|known| fold(known) == fold(word)).unwrap_or(word)
}

/// The page of a rule, as Markdown; none for an unknown name.
pub fn rule_page(name: &str) -> Option<String> {
    rule(name).map(Rule::page)
}
