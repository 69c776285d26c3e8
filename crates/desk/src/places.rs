//! Where names are declared and used, in one text and in the whole workspace, and what a rename changes.

use crate::around::starts;
use crate::mentions::{Mention, Thing, included_formula, mention_at, mentions};
use crate::page::Leaf;
use crate::{Desk, Page};
use notation::{BlockKind, Edit, Edits, Form, Span, Word, fold};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// A place in a file.
#[derive(Clone, PartialEq, Eq, Debug, PartialOrd, Ord)]
pub struct Target {
    /// The file.
    pub path: PathBuf,
    /// All of what stands there: a line, a block. Bytes from the file's start.
    pub span: Span,
    /// The name within it.
    pub name: Span,
}

/// A use of a name, within one text.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Mentioned {
    /// Bytes from the file's start.
    pub span: Span,
    /// Whether the line says what the name is.
    pub declares: bool,
}

impl Page {
    /// Every place of the block in which the thing at a byte is named; none where nothing has a name.
    pub fn highlights(&self, at: u32) -> Vec<Mentioned> {
        let Some((leaf, mention)) = self.mention(at) else { return Vec::new() };
        let all = mentions(leaf.reviewed(), &self.around).into_iter();
        all.filter(|other| other.thing == mention.thing)
            .map(|other| Mentioned { span: other.span.shifted(leaf.start), declares: other.declares })
            .collect()
    }

    pub(crate) fn mention(&self, at: u32) -> Option<(Leaf<'_>, Mention)> {
        let leaf = self.leaf_at(at)?;
        let all = mentions(leaf.reviewed(), &self.around);
        let mention = mention_at(&all, at.checked_sub(leaf.start)?)?.clone();
        Some((leaf, mention))
    }

    /// The name of a rule at a byte.
    pub fn rule_at(&self, at: u32) -> Option<String> {
        match self.mention(at)?.1.thing {
            Thing::Rule(name) => Some(name),
            _ => None,
        }
    }

    /// Every mention of a thing, in order.
    fn every(&self, path: &Path, thing: &Thing) -> Vec<(Target, bool)> {
        let mut found = Vec::new();
        for leaf in self.leaves() {
            for mention in mentions(leaf.reviewed(), &self.around) {
                if mention.thing == *thing {
                    found.push((target(path, leaf, &mention), mention.declares));
                }
            }
        }
        found
    }
}

fn target(path: &Path, leaf: Leaf<'_>, mention: &Mention) -> Target {
    let lines = &leaf.block().lines;
    let line =
        lines.iter().find(|line| line.span.start <= mention.span.start && mention.span.end <= line.span.end);
    let span = line.map_or(mention.span, |line| line.span);
    Target { path: path.to_owned(), span: span.shifted(leaf.start), name: mention.span.shifted(leaf.start) }
}

/// Why a name cannot be given.
pub type Refusal = String;

impl Desk {
    /// Where the thing at a byte of a text is declared: the line of the formula, else the maker's own block or the
    /// included formula.
    pub fn definition(&mut self, path: &Path, at: u32) -> Vec<Target> {
        let Some(page) = self.page_of(path) else { return Vec::new() };
        let Some((leaf, mention)) = page.mention(at) else { return Vec::new() };
        let here: Vec<Target> = mentions(leaf.reviewed(), &page.around)
            .iter()
            .filter(|other| other.declares && other.thing == mention.thing && other.span != mention.span)
            .map(|other| target(path, leaf, other))
            .collect();
        let name = leaf.block().at(mention.span);
        match &mention.thing {
            Thing::Ingredient(_) if mention.declares || here.is_empty() => {
                let included = self.included(path, leaf, |_, own| fold(own) == fold(name));
                if included.is_empty() { self.homes(path, &page, name) } else { included }
            }
            Thing::Formula(_) if !mention.declares => {
                let at_mention = |formula: Option<Span>| formula == Some(mention.span);
                let included = self.included(path, leaf, |formula, _| at_mention(formula));
                if included.is_empty() { self.formulas_named(path, name) } else { included }
            }
            Thing::Ingredient(_)
            | Thing::Phase(_)
            | Thing::Variant(_)
            | Thing::Formula(_)
            | Thing::Rule(_) => here,
        }
    }

    /// The maker's own blocks of a name that a file sees.
    fn homes(&self, path: &Path, page: &Page, name: &str) -> Vec<Target> {
        let key = page.around.key(name);
        let mut files = vec![path.to_owned()];
        files.extend(page.around.stock().iter().cloned());
        let mut found = Vec::new();
        for file in files {
            for (block, start) in self.blocks(&file) {
                let own = block.kind == BlockKind::Ingredient && page.around.key(block.name()) == key;
                if let Some(opener) = block.opener().filter(|_| own) {
                    let span = block.lines.first().map_or(opener.name, |line| line.span).join(opener.name);
                    found.push(Target {
                        path: file.clone(),
                        span: span.shifted(start),
                        name: opener.name.shifted(start),
                    });
                }
            }
        }
        found
    }

    /// The formula of the first fitting `include` line of this block: of the place where it names a formula within
    /// its file, and of the name that it gives it.
    fn included(
        &self,
        path: &Path,
        leaf: Leaf<'_>,
        fits: impl Fn(Option<Span>, &str) -> bool,
    ) -> Vec<Target> {
        let block = leaf.block();
        let found = block.facts(Word::Include).find_map(|(_, fact)| {
            let (file, own) = block.at(fact.rest).rsplit_once(" as ")?;
            fits(included_formula(block, fact), own).then(|| file.trim().to_owned())
        });
        let Some(file) = found else { return Vec::new() };
        let (file, formula) = match file.split_once('#') {
            Some((file, formula)) => (file.to_owned(), Some(fold(formula))),
            None => (file, None),
        };
        let file = crate::around::plain(&path.parent().unwrap_or(Path::new("")).join(file));
        let is_it = |name: &str| formula.as_ref().is_none_or(|formula| fold(name) == *formula);
        self.openers(&file, BlockKind::Formula, is_it).into_iter().take(1).collect()
    }

    /// The formulas of a name: those of this file, else of the workspace.
    fn formulas_named(&self, path: &Path, name: &str) -> Vec<Target> {
        let wanted = fold(name);
        let own = self.openers(path, BlockKind::Formula, |name| fold(name) == wanted);
        if !own.is_empty() {
            return own;
        }
        let files = self.workspace_files();
        files
            .iter()
            .flat_map(|file| self.openers(file, BlockKind::Formula, |name| fold(name) == wanted))
            .collect()
    }

    fn openers(&self, path: &Path, kind: BlockKind, fits: impl Fn(&str) -> bool) -> Vec<Target> {
        let mut found = Vec::new();
        for (block, start) in self.blocks(path) {
            if let Some(opener) = block.opener().filter(|_| block.kind == kind && fits(block.name())) {
                let line = block.lines.iter().find(|line| matches!(line.form, Form::Open(_)));
                let span = line.map_or(opener.name, |line| line.span);
                found.push(Target {
                    path: path.to_owned(),
                    span: span.shifted(start),
                    name: opener.name.shifted(start),
                });
            }
        }
        found
    }

    pub(crate) fn blocks(&self, path: &Path) -> Vec<(Arc<notation::Block>, u32)> {
        self.files.sheet(path).map(|sheet| starts(&sheet.blocks)).unwrap_or_default()
    }

    /// Every place in which the thing at a byte is named: an ingredient or a formula in all the workspace, a phase or
    /// a variant in its formula. With or without the lines that declare it.
    pub fn references(&mut self, path: &Path, at: u32, declarations: bool) -> Vec<Target> {
        let Some(page) = self.page_of(path) else { return Vec::new() };
        let Some((leaf, mention)) = page.mention(at) else { return Vec::new() };
        let mut found = match &mention.thing {
            Thing::Ingredient(_) | Thing::Formula(_) => {
                let name = leaf.block().at(mention.span).to_owned();
                self.everywhere(path, &page, &mention.thing, &name)
            }
            Thing::Phase(_) | Thing::Variant(_) | Thing::Rule(_) => within(path, &page, leaf, &mention.thing),
        };
        found.retain(|(_, declares)| declarations || !declares);
        let mut found: Vec<Target> = found.into_iter().map(|(target, _)| target).collect();
        found.sort();
        found.dedup();
        found
    }

    /// Every mention in the workspace, the file itself first. Only files that hold one of the names are read closely.
    fn everywhere(&mut self, path: &Path, page: &Page, thing: &Thing, name: &str) -> Vec<(Target, bool)> {
        let mut names: Vec<String> = vec![fold(name)];
        if let Some(material) = page.around.material(name) {
            names.extend(material.names().map(str::to_owned));
        }
        let mut found = page.every(path, thing);
        for file in self.workspace_files() {
            if file == path {
                continue;
            }
            let Some(text) = self.text_of(&file) else { continue };
            let folded = text.to_lowercase();
            if !names.iter().any(|name| folded.contains(name.as_str())) {
                continue;
            }
            if let Some(page) = self.page_of(&file) {
                found.extend(page.every(&file, thing));
            }
        }
        found
    }

    /// The name at a byte, where it can be given another one.
    ///
    /// # Errors
    /// Why it cannot.
    pub fn can_rename(&mut self, path: &Path, at: u32) -> Result<(Span, String), Refusal> {
        let nothing = || "There is no name here that could be changed.".to_owned();
        let page = self.page_of(path).ok_or_else(nothing)?;
        let (leaf, mention) = page.mention(at).ok_or_else(nothing)?;
        if matches!(mention.thing, Thing::Rule(_)) {
            return Err("Rules have fixed names.".to_owned());
        }
        Ok((mention.span.shifted(leaf.start), leaf.block().at(mention.span).to_owned()))
    }

    /// Gives the thing at a byte another name: a phase or variant in its formula; a catalogue ingredient in its
    /// formula; an ingredient of the maker's own and a formula wherever the workspace names it.
    ///
    /// # Errors
    /// Why the name cannot be given.
    pub fn rename(&mut self, path: &Path, at: u32, name: &str) -> Result<Vec<(PathBuf, Edits)>, Refusal> {
        let _ = self.can_rename(path, at)?;
        let name = name.trim();
        let nothing = || "There is no name here that could be changed.".to_owned();
        let page = self.page_of(path).ok_or_else(nothing)?;
        let (leaf, mention) = page.mention(at).ok_or_else(nothing)?;
        fits(name, &mention.thing, leaf)?;
        let written = leaf.block().at(mention.span).to_owned();
        let own = page.around.own(&written).is_some();
        let found = match &mention.thing {
            Thing::Ingredient(_) if own => self.everywhere(path, &page, &mention.thing, &written),
            Thing::Formula(_) => self.everywhere(path, &page, &mention.thing, &written),
            _ => within(path, &page, leaf, &mention.thing),
        };
        let mut files: Vec<(PathBuf, Vec<Edit>)> = Vec::new();
        for (target, _) in found {
            // Another of its names (its INCI, say) stays what it is.
            let as_written =
                self.text_of(&target.path).is_some_and(|text| fold(target.name.of(&text)) == fold(&written));
            if !as_written {
                continue;
            }
            let edit = Edit { span: target.name, text: name.to_owned() };
            match files.iter_mut().find(|(file, _)| *file == target.path) {
                Some((_, edits)) => edits.push(edit),
                None => files.push((target.path, vec![edit])),
            }
        }
        files
            .into_iter()
            .map(|(file, edits)| {
                Edits::new(edits).map(|edits| (file, edits)).map_err(|_| "The places overlap.".to_owned())
            })
            .collect()
    }
}

fn within(path: &Path, page: &Page, leaf: Leaf<'_>, thing: &Thing) -> Vec<(Target, bool)> {
    mentions(leaf.reviewed(), &page.around)
        .iter()
        .filter(|other| other.thing == *thing)
        .map(|other| (target(path, leaf, other), other.declares))
        .collect()
}

/// Whether a name can stand where the old one stands.
fn fits(name: &str, thing: &Thing, leaf: Leaf<'_>) -> Result<(), Refusal> {
    if name.is_empty() {
        return Err("A name needs at least one letter.".to_owned());
    }
    if let Some(bad) = name.chars().find(|c| c.is_control() || matches!(c, ';' | '"' | '#')) {
        return Err(format!("A name cannot hold `{}`.", bad.escape_default()));
    }
    let declared = |thing: &Thing| {
        leaf.block().lines.iter().any(|line| match (&line.form, thing) {
            (Form::Phase(phase), Thing::Phase(label)) => {
                leaf.block().at(phase.label).eq_ignore_ascii_case(label)
            }
            (Form::Variant(variant), Thing::Variant(name)) => fold(leaf.block().at(variant.name)) == *name,
            _ => false,
        })
    };
    match thing {
        Thing::Phase(label) => {
            let mut letters = name.chars();
            let letter = letters.next().is_some_and(|c| c.is_ascii_alphabetic());
            if !letter || name.len() > 3 || !letters.all(|c| c.is_ascii_digit()) {
                return Err("A phase has one letter and up to two digits: A, B, A2.".to_owned());
            }
            let upper = name.to_ascii_uppercase();
            if upper != *label && declared(&Thing::Phase(upper)) {
                return Err(format!("There is a phase {name} already."));
            }
        }
        Thing::Variant(old) => {
            if name.contains([':', ',']) {
                return Err("The name of a variant holds no comma and no colon.".to_owned());
            }
            let folded = fold(name);
            if folded != *old && declared(&Thing::Variant(folded)) {
                return Err(format!("There is a variant {name} already."));
            }
        }
        Thing::Ingredient(_) | Thing::Formula(_) => {
            let splits = [" to ", " with ", " in ", " as "];
            if let Some(word) = splits.iter().find(|word| name.contains(**word)) {
                return Err(format!("A name with `{}` in it would be cut there.", word.trim()));
            }
        }
        Thing::Rule(_) => return Err("Rules have fixed names.".to_owned()),
    }
    Ok(())
}
