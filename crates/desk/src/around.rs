//! What a file can see: its own blocks, what it includes, the workshops above it with the ingredients that stand beside
//! them, and their stock files.

use crate::laid::{Blocks, Laid};
use crate::shelf::Shelf;
use formula::{
    Catalogue, Formula, Found, IncludeFault, Known, Material, Record, Resolved, Settings, own_material,
    read_record, read_settings, resolve,
};
use notation::{Block, BlockKind, Sheet, fold, nearest, read};
use std::cell::RefCell;
use std::collections::{BTreeMap, HashMap};
use std::path::{Component, Path, PathBuf};
use std::sync::{Arc, OnceLock};

/// The name of the file in which a workshop is described.
pub(crate) const WORKSHOP: &str = "workshop.formula";

/// How many includes may be nested.
const DEEPEST: usize = 16;

/// Texts that have been read from the shelf or laid over it, kept until they are forgotten.
pub(crate) struct Files {
    shelf: Arc<dyn Shelf>,
    /// The folders that are worked in; above them no workshop is looked for.
    pub(crate) roots: Vec<PathBuf>,
    read: RefCell<BTreeMap<PathBuf, Option<Arc<Sheet>>>>,
    /// The files of the folders that are worked in, once they have been asked for; known to all desks beside this one.
    pub(crate) listed: Arc<OnceLock<Vec<PathBuf>>>,
    laid: BTreeMap<PathBuf, Arc<Laid>>,
}

impl Files {
    pub(crate) fn new(shelf: Arc<dyn Shelf>) -> Files {
        Files {
            shelf,
            roots: Vec::new(),
            read: RefCell::default(),
            listed: Arc::default(),
            laid: BTreeMap::new(),
        }
    }

    /// The same shelf with the same texts laid over it, and nothing read yet but the list of files.
    pub(crate) fn aside(&self) -> Files {
        Files {
            shelf: Arc::clone(&self.shelf),
            roots: self.roots.clone(),
            read: RefCell::default(),
            listed: Arc::clone(&self.listed),
            laid: self.laid.clone(),
        }
    }

    /// The paths of the texts that are laid over the shelf.
    pub(crate) fn laid(&self) -> impl Iterator<Item = &PathBuf> {
        self.laid.keys()
    }

    /// Whether a text is laid over this file.
    pub(crate) fn is_laid(&self, path: &Path) -> bool {
        self.laid.contains_key(&plain(path))
    }

    /// The text of a file: as it is open, else as it is on the shelf. It is not kept.
    pub(crate) fn text(&self, path: &Path) -> Option<String> {
        match self.laid.get(&plain(path)) {
            Some(laid) => Some(laid.text()),
            None => self.shelf.read(path).ok(),
        }
    }

    /// The formula files below a folder, in order.
    pub(crate) fn below(&self, folder: &Path) -> Vec<PathBuf> {
        self.shelf.list(folder)
    }

    pub(crate) fn forget(&mut self) {
        self.read.borrow_mut().clear();
        self.listed = Arc::default();
        self.laid.clear();
    }

    /// An open text stands before the file on the shelf.
    pub(crate) fn lay(&mut self, path: &Path, text: Option<Arc<Laid>>) {
        let path = plain(path);
        self.read.borrow_mut().remove(&path);
        let _ = match text {
            Some(text) => self.laid.insert(path, text),
            None => self.laid.remove(&path),
        };
    }

    pub(crate) fn sheet(&self, path: &Path) -> Option<Arc<Sheet>> {
        let path = plain(path);
        if let Some(laid) = self.laid.get(&path) {
            return Some(Arc::clone(laid.sheet()));
        }
        if let Some(known) = self.read.borrow().get(&path) {
            return known.clone();
        }
        let sheet = self.shelf.read(&path).ok().map(|text| Arc::new(read(&text)));
        self.read.borrow_mut().insert(path, sheet.clone());
        sheet
    }

    /// The workshop files above a file, the farthest first.
    pub(crate) fn workshops(&self, path: &Path) -> Vec<PathBuf> {
        let own = path.parent().unwrap_or(Path::new("")).to_owned();
        let mut folders = Vec::new();
        let mut rooted = false;
        for folder in own.ancestors() {
            folders.push(folder.to_owned());
            if self.shelf.is_root(folder) || self.roots.iter().any(|root| root == folder) {
                rooted = true;
                break;
            }
        }
        if !rooted {
            folders.truncate(1);
        }
        folders.reverse();
        folders.into_iter().map(|folder| folder.join(WORKSHOP)).collect()
    }
}

/// A path without `.` and `..`, as far as it can be said without asking the disk.
pub fn plain(path: &Path) -> PathBuf {
    let mut out = PathBuf::new();
    for part in path.components() {
        match part {
            Component::CurDir => {}
            Component::ParentDir if matches!(out.components().next_back(), Some(Component::Normal(_))) => {
                let _ = out.pop();
            }
            other => out.push(other),
        }
    }
    out
}

/// Blocks with the bytes of their file at which they begin.
pub(crate) fn starts(blocks: &[Arc<Block>]) -> Vec<(Arc<Block>, u32)> {
    let mut start = 0;
    let place = |block: &Arc<Block>| {
        let own = start;
        start += block.text.len() as u32;
        (Arc::clone(block), own)
    };
    blocks.iter().map(place).collect()
}

/// What all formulas of one file see besides the catalogue.
#[derive(Clone, PartialEq, Debug, Default)]
pub(crate) struct Around {
    settings: Settings,
    /// Folded name → the maker's own material, laid over the catalogue's of that name.
    own: HashMap<String, Arc<Material>>,
    /// Other files whose ingredients are seen.
    stock: Vec<PathBuf>,
    /// Batches that were made, of any formula: those of the file, and those of the workshop's stock.
    records: Vec<Arc<Record>>,
    /// Other names of the catalogue's block that a maker's own is laid over: they lead to the maker's, unless a block
    /// of the maker's says them.
    lead: HashMap<String, Arc<Material>>,
}

impl Around {
    /// Looks around from a file with these blocks.
    pub(crate) fn of(path: &Path, blocks: &[Arc<Block>], files: &Files) -> Around {
        let mut around = Around::default();
        // The file's own records come with its blocks, even where a workshop names it as stock.
        let mut stock = vec![plain(path)];
        for workshop in files.workshops(path) {
            if plain(&workshop) == plain(path) {
                continue;
            }
            if let Some(sheet) = files.sheet(&workshop) {
                around.add_workshops(&workshop, &sheet.blocks, files, &mut stock);
                around.add_materials(&sheet.blocks);
            }
        }
        around.add_workshops(path, blocks, files, &mut stock);
        around.add_materials(blocks);
        around.add_records(blocks);
        around
    }

    pub(crate) fn settings(&self) -> &Settings {
        &self.settings
    }

    /// Other files whose ingredients are seen, in the order in which they are read.
    pub(crate) fn stock(&self) -> &[PathBuf] {
        &self.stock
    }

    /// The maker's own material of a name.
    pub(crate) fn own(&self, name: &str) -> Option<&Arc<Material>> {
        let folded = fold(name);
        self.own.get(&folded).or_else(|| self.lead.get(&folded))
    }

    /// The maker's own material of a name that is folded already.
    pub(crate) fn own_folded(&self, name: &str) -> Option<&Arc<Material>> {
        self.own.get(name).or_else(|| self.lead.get(name))
    }

    /// What a name means: the maker's own block, else the catalogue's.
    pub(crate) fn material(&self, name: &str) -> Option<Arc<Material>> {
        self.own(name).cloned().or_else(|| Catalogue::built_in().get(name))
    }

    /// The name under which an ingredient is compared.
    pub(crate) fn key(&self, name: &str) -> String {
        self.material(name).map_or_else(|| fold(name), |material| material.key())
    }

    /// All materials of the maker's own, in order of their names.
    pub(crate) fn all_own(&self) -> Vec<Arc<Material>> {
        let mut own: Vec<Arc<Material>> = self.own.values().map(Arc::clone).collect();
        own.sort_by(|a, b| a.name.cmp(&b.name));
        own.dedup_by(|a, b| a.name == b.name);
        own
    }

    fn add_workshops(&mut self, path: &Path, blocks: &[Arc<Block>], files: &Files, seen: &mut Vec<PathBuf>) {
        let folder = path.parent().unwrap_or(Path::new(""));
        let here: Vec<&Arc<Block>> =
            blocks.iter().filter(|block| block.kind == BlockKind::Workshop).collect();
        for block in here {
            let settings = read_settings(block);
            for stock in &settings.stock {
                let stock = plain(&folder.join(stock));
                let Some(sheet) = files.sheet(&stock) else { continue };
                self.add_materials(&sheet.blocks);
                if !seen.contains(&stock) {
                    self.add_records(&sheet.blocks);
                    self.stock.push(stock.clone());
                    seen.push(stock);
                }
            }
            let far = std::mem::take(&mut self.settings);
            self.settings = far.under(settings);
        }
    }

    fn add_materials(&mut self, blocks: &[Arc<Block>]) {
        for block in blocks.iter().filter(|block| block.kind == BlockKind::Ingredient) {
            let own = own_material(block);
            let base =
                Catalogue::built_in().get(&own.name).filter(|base| base.ambiguous.is_empty()).or_else(|| {
                    own.inci
                        .as_ref()
                        .and_then(|inci| Catalogue::built_in().get(inci))
                        .filter(|base| base.ambiguous.is_empty())
                });
            let material = Arc::new(base.map_or_else(|| own.clone(), |base| base.overlaid(&own)));
            // What comes later is nearer, and wins.
            for name in own.names() {
                let _ = self.own.insert(name.to_owned(), Arc::clone(&material));
            }
            for name in material.names() {
                let _ = self.lead.insert(name.to_owned(), Arc::clone(&material));
            }
        }
    }
}

impl Around {
    fn add_records(&mut self, blocks: &[Arc<Block>]) {
        let records = blocks.iter().filter(|block| block.kind == BlockKind::Record);
        self.records.extend(records.map(|block| Arc::new(read_record(block))));
    }

    fn records(&self, formula: &str) -> Vec<Arc<Record>> {
        let wanted = fold(formula);
        let of_it = |record: &&Arc<Record>| record.of.as_ref().is_some_and(|of| fold(&of.name) == wanted);
        self.records.iter().filter(of_it).cloned().collect()
    }
}

/// The formulas of a file by their folded names, as they were last resolved: what its records are of.
pub(crate) type Made = HashMap<String, Arc<Resolved>>;

/// An included formula, or why it is not there.
type Brought = Result<Arc<Formula>, IncludeFault>;

/// What one formula asked for, and what it was told.
#[derive(Clone, PartialEq, Debug, Default)]
pub(crate) struct Asked {
    names: Vec<(String, Option<Arc<Material>>)>,
    /// Unknown names, each with the maker's own that is nearest; the catalogue's do not change.
    near: Vec<(String, Option<String>)>,
    includes: Vec<(String, Option<String>, Brought)>,
    formulas: Vec<(String, Option<Arc<Resolved>>)>,
    records: Vec<(String, Vec<Arc<Record>>)>,
    settings: Settings,
}

/// The eyes of one file: answers a formula's questions and keeps what was asked.
pub(crate) struct Sight<'a> {
    path: &'a Path,
    around: &'a Around,
    /// The text in which it stands.
    here: &'a dyn Blocks,
    files: &'a Files,
    made: &'a Made,
    trail: Vec<(PathBuf, String)>,
    asked: RefCell<Asked>,
}

impl<'a> Sight<'a> {
    pub(crate) fn new(
        path: &'a Path,
        around: &'a Around,
        here: &'a dyn Blocks,
        files: &'a Files,
        made: &'a Made,
        asking: &str,
    ) -> Sight<'a> {
        let trail = vec![(plain(path), fold(asking))];
        Sight { path, around, here, files, made, trail, asked: RefCell::default() }
    }

    pub(crate) fn asked(self) -> Asked {
        Asked { settings: self.around.settings.clone(), ..self.asked.into_inner() }
    }

    /// Whether all that was asked would be answered alike today.
    pub(crate) fn answers_alike(&self, asked: &Asked) -> bool {
        let alike = |name: &str| match self.look_up(name) {
            Found::Known(material) => Some(material),
            Found::Unknown => None,
        };
        asked.settings == self.around.settings
            && asked.names.iter().all(|(name, told)| alike(name) == *told)
            && asked.near.iter().all(|(name, told)| self.own_near(name) == *told)
            && asked.formulas.iter().all(|(name, told)| self.made.get(&fold(name)) == told.as_ref())
            && asked.records.iter().all(|(name, told)| self.around.records(name) == *told)
            && asked.includes.iter().all(|(path, name, told)| self.bring(path, name.as_deref()) == *told)
    }

    /// The maker's own name that is nearest to one that means nothing.
    fn own_near(&self, name: &str) -> Option<String> {
        // The table's order of names does not say which of the maker's own comes first: the alphabet does.
        let mut own: Vec<&str> = self.around.own.values().map(|material| material.name.as_str()).collect();
        own.sort_unstable();
        own.dedup();
        nearest(name, own, 2).map(str::to_owned)
    }

    fn look_up(&self, name: &str) -> Found {
        if let Some(material) = self.around.own(name) {
            return Found::Known(Arc::clone(material));
        }
        match Catalogue::built_in().get(name) {
            Some(material) => Found::Known(material),
            None => Found::Unknown,
        }
    }

    fn bring(&self, path: &str, name: Option<&str>) -> Result<Arc<Formula>, IncludeFault> {
        if self.trail.len() > DEEPEST {
            return Err(IncludeFault::Circular);
        }
        let folder = self.path.parent().unwrap_or(Path::new(""));
        let target = plain(&folder.join(path));
        let is_here = target == plain(self.path);
        let sheet;
        let there: &dyn Blocks = if is_here {
            self.here
        } else {
            sheet = self.files.sheet(&target).ok_or(IncludeFault::NoFile)?;
            &*sheet
        };
        let blocks = there.blocks();
        let wanted = name.map(fold);
        let block = blocks
            .iter()
            .filter(|block| block.kind == BlockKind::Formula)
            .find(|block| wanted.as_ref().is_none_or(|wanted| fold(block.name()) == *wanted))
            .ok_or(IncludeFault::NoFormula)?;
        let step = (target.clone(), fold(block.name()));
        if self.trail.contains(&step) {
            return Err(IncludeFault::Circular);
        }
        let around = if is_here { self.around.clone() } else { Around::of(&target, blocks, self.files) };
        let mut trail = self.trail.clone();
        trail.push(step);
        let inner = Sight {
            path: &target,
            around: &around,
            here: there,
            files: self.files,
            made: self.made,
            trail,
            asked: RefCell::default(),
        };
        Ok(Arc::new(resolve(block, &inner).formula))
    }
}

impl Known for Sight<'_> {
    fn find(&self, name: &str) -> Found {
        let found = self.look_up(name);
        let told = match &found {
            Found::Known(material) => Some(Arc::clone(material)),
            Found::Unknown => None,
        };
        self.asked.borrow_mut().names.push((name.to_owned(), told));
        found
    }

    fn near(&self, name: &str) -> Vec<String> {
        let own = self.own_near(name);
        self.asked.borrow_mut().near.push((name.to_owned(), own.clone()));
        let mut near: Vec<String> = own.into_iter().collect();
        near.extend(Catalogue::built_in().near(name, 3));
        near.dedup();
        near
    }

    fn include(&self, path: &str, formula: Option<&str>) -> Result<Arc<Formula>, IncludeFault> {
        let told = self.bring(path, formula);
        self.asked.borrow_mut().includes.push((path.to_owned(), formula.map(str::to_owned), told.clone()));
        told
    }

    fn formula(&self, name: &str) -> Option<Arc<Resolved>> {
        let told = self.made.get(&fold(name)).cloned();
        self.asked.borrow_mut().formulas.push((name.to_owned(), told.clone()));
        told
    }

    fn records(&self, formula: &str) -> Vec<Arc<Record>> {
        let told = self.around.records(formula);
        self.asked.borrow_mut().records.push((formula.to_owned(), told.clone()));
        told
    }

    fn settings(&self) -> &Settings {
        &self.around.settings
    }
}
