//! Lines above blocks and phases: what they come to, and how often they are used.

use crate::label::label_markets;
use crate::outline::phase_sum;
use crate::page::Leaf;
use crate::{Desk, Page};
use formula::{Exact, Formula};
use notation::{BlockKind, Form, Span, fold, read_block, split_blocks};
use std::collections::BTreeSet;
use std::path::Path;

/// A line above another one.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Lens {
    /// The line above which it stands. Bytes from the file's start.
    pub span: Span,
    /// What it is about.
    pub about: LensKind,
}

/// What a line above another one is about.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum LensKind {
    /// A formula by its name, and something about it.
    Formula {
        /// Its name.
        name: String,
        /// What is told.
        text: String,
    },
    /// The label of a formula, by the formula's name.
    Label(String),
    /// An ingredient of the maker's own, by a byte of its name: how often it is used has to be looked for.
    Ingredient(u32),
}

impl Page {
    /// What stands above the formulas, their phases, and the maker's own ingredients, in order.
    pub fn lenses(&self) -> Vec<Lens> {
        self.leaves().flat_map(lenses_of).collect()
    }
}

/// How a formula stands to an earlier text.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Since {
    /// It is there, letter by letter.
    Same,
    /// One of its name is there.
    Changed,
    /// It is not there.
    New,
}

impl Page {
    /// How each formula stands to an earlier version of the text, with the line that opens it.
    pub fn since(&self, before: &str) -> Vec<(Span, Since)> {
        let earlier: Vec<&str> = split_blocks(before).into_iter().map(|span| span.of(before)).collect();
        let lines = |text: &str| text.trim_end().replace('\r', "");
        let same: BTreeSet<String> = earlier.iter().map(|text| lines(text)).collect();
        let names: BTreeSet<String> =
            earlier.iter().map(|text| fold(read_block(text.lines().next().unwrap_or("")).name())).collect();
        let formulas = self.leaves().filter(|leaf| leaf.block().kind == BlockKind::Formula);
        let told = formulas.filter_map(|leaf| {
            let block = leaf.block();
            let opener = block.lines.iter().find(|line| matches!(line.form, Form::Open(_)))?;
            let since = match (same.contains(&lines(&block.text)), names.contains(&fold(block.name()))) {
                (true, _) => Since::Same,
                (false, true) => Since::Changed,
                (false, false) => Since::New,
            };
            Some((opener.span.shifted(leaf.start), since))
        });
        told.collect()
    }
}

fn lenses_of(leaf: Leaf<'_>) -> Vec<Lens> {
    let block = leaf.block();
    let (Some(opener), Some(first)) =
        (block.opener(), block.lines.iter().find(|line| matches!(line.form, Form::Open(_))))
    else {
        return Vec::new();
    };
    let first = first.span.shifted(leaf.start);
    let mut lenses = Vec::new();
    match (block.kind, leaf.resolved()) {
        (BlockKind::Formula, Some(resolved)) => {
            let formula = &resolved.formula;
            let lens = |span: Span, text: String| {
                let about = LensKind::Formula { name: block.name().to_owned(), text };
                Lens { span, about }
            };
            if let Some(total) = total(formula) {
                lenses.push(lens(first, total));
            }
            if !resolved.variants.is_empty() {
                lenses.push(lens(first, format!("variants: {}", resolved.variants.len())));
            }
            if formula.batch_grams().is_some() && is_weighed(formula) {
                lenses.push(lens(first, "weigh out".to_owned()));
            }
            if has_label(formula) {
                lenses.push(Lens { span: first, about: LensKind::Label(block.name().to_owned()) });
            }
            let phases = block.lines.iter().filter(|line| matches!(line.form, Form::Phase(_)));
            for (at, line) in phases.enumerate() {
                // As much as an end point needs is nothing to be added up.
                if formula.items_of(at).any(|(_, item)| item.mid().is_some_and(|share| !share.is_zero())) {
                    let sum = phase_sum(formula, at).replace(", ", " = ");
                    lenses.push(lens(line.span.shifted(leaf.start), sum));
                }
            }
        }
        (BlockKind::Ingredient, _) if !opener.name.is_empty() => {
            let about = LensKind::Ingredient(opener.name.start + leaf.start);
            lenses.push(Lens { span: first, about });
        }
        _ => {}
    }
    lenses
}

/// Whether a formula is so far that a label can be written: something has a weight, and it is a product of its own.
fn has_label(formula: &Formula) -> bool {
    !formula.is_premix() && !label_markets(formula).0.is_empty() && is_weighed(formula)
}

/// Whether something in it has a weight.
fn is_weighed(formula: &Formula) -> bool {
    formula.items.iter().any(|item| item.mid().is_some_and(|share| !share.is_zero()))
}

/// `total 100 % = 200 g`; of what is known, where a line has no weight. None where nothing has one.
fn total(formula: &Formula) -> Option<String> {
    let known: Vec<&Exact> = formula.items.iter().filter_map(formula::Item::mid).collect();
    let sum: Exact = known.iter().map(|share| (*share).clone()).sum();
    if sum.is_zero() {
        return None;
    }
    let open = if known.len() < formula.items.len() { " of what is known" } else { "" };
    let grams = formula.batch_grams().map(|batch| format!(" = {} g", (&sum * batch).shown(2)));
    Some(format!("total{open} {} %{}", sum.percent().shown(2), grams.unwrap_or_default()))
}

impl Desk {
    /// How many formulas of the workspace use the ingredient whose name stands at a byte.
    pub fn formulas_with(&mut self, path: &Path, at: u32) -> usize {
        let mut formulas = BTreeSet::new();
        for target in self.references(path, at, true) {
            for (block, start) in self.blocks(&target.path) {
                let holds = start <= target.name.start && target.name.start < start + block.text.len() as u32;
                if block.kind == BlockKind::Formula && holds {
                    let _ = formulas.insert((target.path.clone(), start));
                }
            }
        }
        formulas.len()
    }
}
