//! What could be written at a place, the most likely first.
//!
//! [`place`] finds out what is wanted, the others know what there is of it. Names, notes, reasons, comments and other
//! free words are left alone.

mod changes;
mod choice;
mod lines;
mod lists;
mod names;
mod near;
mod place;
mod qualifiers;
mod starts;
mod steps;
mod tell;

use crate::page::Leaf;
use crate::{Desk, Page};
use choice::{Choice, MOST, Typed, fitting};
use near::{Elsewhere, Near, Nowhere};
use notation::{Block, BlockKind, Line, Span, Word, fold};
use place::{Scene, Spot, Wanted, spot};
use std::path::Path;
use std::sync::Arc;

/// What a candidate is.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum CandidateKind {
    /// The first word of a line.
    LineWord,
    /// The first word of a line that opens others.
    Block,
    /// A unit.
    Unit,
    /// An ingredient.
    Ingredient,
    /// An ingredient of the maker's own.
    OwnIngredient,
    /// A formula that is used as an ingredient.
    Premix,
    /// A phase.
    Phase,
    /// A variant.
    Variant,
    /// The word of a qualifier.
    Qualifier,
    /// A word of a closed list.
    Word,
    /// A rule.
    Rule,
    /// A file.
    File,
    /// A formula.
    Formula,
}

/// Something that could be written.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Candidate {
    /// What it would stand for: bytes from the file's start, on one line, the cursor inside or at an end.
    pub span: Span,
    /// How it is listed.
    pub label: String,
    /// What would be written.
    pub text: String,
    /// The same with places to fill in, in the protocol's form of snippets.
    pub snippet: Option<String>,
    /// By what an editor shall find it, where that is not the label: another of its names, or one with what is typed in
    /// the place of letters with accents.
    pub filter: Option<String>,
    /// What it is.
    pub kind: CandidateKind,
    /// What is said beside the label.
    pub detail: String,
    /// With this [`Page::told`] tells more of it.
    pub key: Option<String>,
}

/// What could be written at a place.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Offer {
    /// The candidates, the most likely first.
    pub candidates: Vec<Candidate>,
    /// Whether another letter may bring candidates that are not among them.
    pub partial: bool,
}

impl Page {
    /// What could be written at a byte of the text. `asked`: whether the maker has asked for it; else nothing is
    /// offered where it would only be in the way.
    pub fn complete(&self, at: u32, asked: bool) -> Offer {
        self.offer(at, asked, &Nowhere::default()).unwrap_or_default()
    }

    /// Like [`Page::complete`]; none where other files have a say, for which [`Desk::complete`] has to read them.
    pub fn complete_alone(&self, at: u32, asked: bool) -> Option<Offer> {
        let nowhere = Nowhere::default();
        let offer = self.offer(at, asked, &nowhere).unwrap_or_default();
        (!nowhere.was_asked()).then_some(offer)
    }

    fn offer(&self, at: u32, asked: bool, elsewhere: &dyn Elsewhere) -> Option<Offer> {
        let Some(leaf) = self.leaf_at(at) else {
            // An empty text: any block can begin.
            let candidates =
                starts::blocks().filter(|_| asked).map(|choice| choice.at(Span::at(0))).collect();
            return Some(Offer { candidates, partial: false });
        };
        let local = at.checked_sub(leaf.start)?;
        let block = leaf.block();
        let number = block.lines.iter().position(|line| line.span.touches(local));
        // At the end of a text that ends with a line end, an empty line begins.
        let number = number.unwrap_or(block.lines.len());
        let empty = Line::blank(local);
        let line = block.lines.get(number).unwrap_or(&empty);
        let before = block.text.get(line.span.start as usize..local as usize)?;
        let scene = Scene { kind: block.kind, in_variant: starts::in_variant(block, number) };
        let spot = spot(before, scene);
        let typed_text = before.get(before.len().checked_sub(spot.typed)?..)?;
        let cursor = Cursor { page: self, leaf, line, number, before, asked };
        if spot.wanted.contains(&Wanted::Step) {
            let found = steps::choices(leaf, line.span, typed_text, asked);
            return Some(cursor.offer(found, false));
        }
        // A list that opens at each blank before a line or behind a number would be in the way.
        let begins = spot.wanted.contains(&Wanted::Start) && typed_text.is_empty();
        let glued = typed_text.is_empty() && before.ends_with(|c: char| c.is_alphanumeric() || c == '%');
        if !asked && (begins || glued) {
            return None;
        }
        let typed = Typed::new(typed_text);
        let (mut choices, partial) = cursor.choices(&spot, &typed, elsewhere);
        // Behind a name that is known already, only one that goes on from it is meant.
        if !asked && typed_text.ends_with(place::is_blank) && self.around.material(typed_text).is_some() {
            choices.retain(|choice| typed.fits(&fold(&choice.label)) == Some(0));
        }
        Some(cursor.offer(choices.into_iter().map(|choice| (spot.typed, choice)).collect(), partial))
    }
}

/// The place at which something is being written.
struct Cursor<'p> {
    page: &'p Page,
    leaf: Leaf<'p>,
    line: &'p Line,
    number: usize,
    /// The line up to it.
    before: &'p str,
    asked: bool,
}

impl Cursor<'_> {
    /// Everything that is wanted and fits, and whether there is more of it.
    fn choices(&self, spot: &Spot, typed: &Typed, elsewhere: &dyn Elsewhere) -> (Vec<Choice>, bool) {
        let mut partial = false;
        let mut all = Vec::new();
        for wanted in &spot.wanted {
            if let Wanted::Ingredient { of_formula } = wanted {
                let made = self.made(elsewhere);
                let wish = names::Wish { typed, of_formula: *of_formula, made: made.as_deref() };
                let found = names::ingredients(self.page, self.leaf, self.line, &wish);
                // An ingredient has more names than the one that it was found by.
                partial |= !found.is_empty();
                all.extend(found);
            } else {
                all.extend(fitting(self.listed(wanted, spot, elsewhere), typed));
            }
        }
        (all, partial)
    }

    fn listed(&self, wanted: &Wanted, spot: &Spot, elsewhere: &dyn Elsewhere) -> Vec<Choice> {
        let block = self.leaf.block();
        match wanted {
            Wanted::Start => starts::starts(block, self.number),
            Wanted::Words(list) => lists::words(list, spot),
            Wanted::Units(list) => lists::units(list, block),
            Wanted::Money => lists::money(self.page.around.settings().currency.as_deref()),
            Wanted::Target => match self.leaf.resolved() {
                Some(resolved) => names::targets(&resolved.formula, self.line.span),
                None => Vec::new(),
            },
            Wanted::Label => lists::labels(self.leaf),
            Wanted::NewLabel => vec![Choice::new(starts::next_label(block), CandidateKind::Phase)],
            Wanted::Rule => lists::rules(self.leaf, self.line.span, spot),
            Wanted::Variant => match self.made(elsewhere) {
                Some(made) => lists::variants(&made, usize::MAX, spot),
                None => lists::variants(block, self.number, spot),
            },
            Wanted::Qualifier(owner) => lists::qualifiers(*owner, block.kind, &self.pieces()),
            Wanted::Product => lists::product(spot),
            Wanted::Path => {
                let paths = elsewhere.paths().into_iter();
                paths.map(|path| Choice::new(path, CandidateKind::File)).collect()
            }
            Wanted::Formula(of) => self.formulas(of.as_deref(), elsewhere),
            Wanted::Step | Wanted::Ingredient { .. } => Vec::new(),
        }
    }

    /// The formula of which a record tells.
    fn made(&self, elsewhere: &dyn Elsewhere) -> Option<Arc<Block>> {
        let record = Some(self.leaf.block()).filter(|block| block.kind == BlockKind::Record)?;
        let (_, fact) = record.facts(Word::Of).next()?;
        let said = fold(record.at(fact.rest));
        let name = said.rfind(" version ").and_then(|at| said.get(..at)).unwrap_or(&said);
        let blocks = self.page.leaves().map(|leaf| &leaf.reviewed().block);
        let own = blocks.filter(|block| block.kind == BlockKind::Formula && fold(block.name()) == name);
        own.map(Arc::clone).next().or_else(|| elsewhere.formula(name))
    }

    /// The formulas of this text, or of another.
    fn formulas(&self, of: Option<&str>, elsewhere: &dyn Elsewhere) -> Vec<Choice> {
        let own = self.page.leaves().map(|leaf| leaf.block());
        let own = own.filter(|block| of.is_none() && block.kind == BlockKind::Formula);
        let mut names: Vec<String> = own.map(|block| block.name().to_owned()).collect();
        names.extend(elsewhere.formulas(of));
        let this = self.leaf.block();
        let mut choices: Vec<Choice> = Vec::new();
        for name in names {
            let itself = this.kind == BlockKind::Formula && name == this.name();
            if !name.is_empty() && !itself && !choices.iter().any(|choice| choice.label == name) {
                choices.push(Choice::new(name, CandidateKind::Formula));
            }
        }
        choices
    }

    /// The choices in their place, each with how much of it is typed.
    fn offer(&self, found: Vec<(usize, Choice)>, partial: bool) -> Offer {
        // An editor knows nothing of accents: it has to ask again at each letter.
        let accented = found.iter().any(|(_, choice)| choice.is_accented());
        let partial = partial || found.len() > MOST || accented;
        let after = self.after();
        // What is written out already needs no help.
        let behind = |typed: usize| self.before.get(self.before.len().saturating_sub(typed)..).unwrap_or("");
        if let [(typed, only)] = found.as_slice()
            && !self.asked
            && *typed > 0
        {
            let word = format!("{}{after}", behind(*typed));
            if only.snippet.is_none() && Typed::new(&word).is_all_of(&only.label) {
                return Offer::default();
            }
        }
        let at = self.leaf.start + self.line.span.start + self.before.len() as u32;
        let glued =
            self.before.ends_with([';', ',', '%', ':']) || self.before.ends_with(char::is_alphanumeric);
        let candidates = found.into_iter().take(MOST).map(|(typed, mut choice)| {
            // In the middle of a word the whole of it is meant; before a word nothing of it is.
            let more = if typed > 0 { after.len() as u32 } else { 0 };
            if typed == 0 && glued {
                choice.text = Some(format!(" {}", choice.text.as_ref().unwrap_or(&choice.label)));
            }
            if let Some(filter) = Typed::new(behind(typed)).within(choice.found_by()) {
                choice.filter = Some(filter);
            }
            choice.at(Span::new(at - typed as u32, at + more))
        });
        Offer { candidates: candidates.collect(), partial }
    }

    /// The qualifiers of the line, but for the one that is being written.
    fn pieces(&self) -> Vec<String> {
        let line = self.leaf.block().at(self.line.span);
        let mut before: Vec<&str> = self.before.split(';').skip(1).collect();
        let _ = before.pop();
        let after = line.get(self.before.len()..).unwrap_or("").split(';').skip(1);
        before.into_iter().chain(after).map(fold).collect()
    }

    /// What of the word under the cursor stands behind it.
    fn after(&self) -> &str {
        let line = self.leaf.block().at(self.line.span);
        let rest = line.get(self.before.len()..).unwrap_or("");
        let ends = |c: char| !(c.is_alphanumeric() || matches!(c, '-' | '\'' | '’'));
        rest.split(ends).next().unwrap_or("")
    }
}

/// With this [`Page::told`] tells what a line word says.
fn key_of_word(word: Word) -> String {
    let block = word.blocks().first().map_or("", |block| block.spelling());
    format!("word:{block}:{}", word.spelling())
}

impl Desk {
    /// What could be written at a byte of a page of the text at `path`; see [`Page::complete`]. Files and formulas of
    /// the folders that are worked in are known, too.
    pub fn complete(&self, path: &Path, page: &Page, at: u32, asked: bool) -> Offer {
        page.offer(at, asked, &Near { desk: self, path }).unwrap_or_default()
    }
}
