//! Every place of a block where something has a name: ingredients, phases, variants, formulas, rules.
//!
//! What stands under the cursor, where a name is declared and used, and what a rename has to change all come from this
//! one list.

use crate::around::Around;
use formula::Formula;
use formula::method::Step;
use notation::{
    Base, Block, BlockKind, Change, ChangeKind, Clause, ClauseWord, Fact, Form, ItemLine, Quantity, Span,
    Word, fold, list_words, split_because,
};
use rules::Reviewed;

/// What a name stands for. Names are folded.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) enum Thing {
    /// An ingredient, by the name under which it is compared.
    Ingredient(String),
    /// A phase of this block, by its label in upper case.
    Phase(String),
    /// A variant of this block.
    Variant(String),
    /// A formula.
    Formula(String),
    /// A rule.
    Rule(String),
}

/// A name in its place.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Mention {
    /// Where; without quotes around it.
    pub(crate) span: Span,
    /// What it stands for.
    pub(crate) thing: Thing,
    /// Whether the line says what it is: an ingredient line, a phase line, an opener.
    pub(crate) declares: bool,
}

/// All names of a block, in order of their places.
pub(crate) fn mentions(reviewed: &Reviewed, around: &Around) -> Vec<Mention> {
    let mut list = List { block: &reviewed.block, around, found: Vec::new() };
    for line in &reviewed.block.lines {
        match &line.form {
            Form::Open(opener) => match opener.kind {
                BlockKind::Formula => list.put(opener.name, Thing::Formula, true),
                BlockKind::Ingredient => list.ingredient(opener.name, true),
                BlockKind::Loose | BlockKind::Workshop | BlockKind::Record => {}
            },
            Form::Phase(phase) => list.phase(phase.label, true),
            Form::Item(item) => list.item(item),
            Form::Variant(variant) => {
                list.put(variant.name, Thing::Variant, true);
                for part in &variant.parts {
                    list.put(*part, Thing::Variant, false);
                }
            }
            Form::Change(change) => list.change(change),
            Form::Fact(fact) => list.fact(fact),
            Form::Blank | Form::Comment | Form::Broken | Form::Step(_) => {}
        }
    }
    if let Some(resolved) = &reviewed.resolved {
        for step in &resolved.formula.steps {
            list.step(step, &resolved.formula);
        }
    }
    list.found.sort_by_key(|mention| mention.span);
    list.found.dedup_by_key(|mention| mention.span);
    list.found
}

/// The mention under a place; the one that begins there goes before the one that ends there.
pub(crate) fn mention_at(mentions: &[Mention], at: u32) -> Option<&Mention> {
    mentions.iter().rev().find(|mention| mention.span.touches(at))
}

struct List<'a> {
    block: &'a Block,
    around: &'a Around,
    found: Vec<Mention>,
}

impl List<'_> {
    fn put(&mut self, span: Span, thing: fn(String) -> Thing, declares: bool) {
        if !span.is_empty() {
            let thing = thing(fold(self.block.at(span)));
            self.found.push(Mention { span, thing, declares });
        }
    }

    fn ingredient(&mut self, span: Span, declares: bool) {
        let written = self.block.at(span);
        // Only a name that nobody knows as it stands has its strength read off its end.
        let name = match self.around.material(written) {
            Some(_) => written,
            None => without_strength(written),
        };
        if !name.is_empty() {
            let thing = Thing::Ingredient(self.around.key(name));
            let span = Span::new(span.start, span.start + name.len() as u32);
            self.found.push(Mention { span, thing, declares });
        }
    }

    fn phase(&mut self, span: Span, declares: bool) {
        if !span.is_empty() {
            let label = self.block.at(span).to_ascii_uppercase();
            self.found.push(Mention { span, thing: Thing::Phase(label), declares });
        }
    }

    fn quantity(&mut self, quantity: &Quantity) {
        let (first, second) = match quantity {
            Quantity::Given(measure) => (Some(measure), None),
            Quantity::Both(first, second) => (Some(first), Some(second)),
            Quantity::Balance(measure, _) => (measure.as_ref(), None),
            Quantity::Missing | Quantity::Fuzzy(_) | Quantity::AsNeeded(_) | Quantity::Unread(_) => return,
        };
        for measure in first.into_iter().chain(second) {
            if let Some(Base::Phase(label)) = measure.of {
                self.phase(label, false);
            }
        }
    }

    fn item(&mut self, item: &ItemLine) {
        self.quantity(&item.quantity);
        self.ingredient(item.name.span, true);
        self.clauses(&item.clauses);
    }

    fn clauses(&mut self, clauses: &[Clause]) {
        for clause in clauses {
            match clause.word {
                Some(ClauseWord::DissolvedIn | ClauseWord::WettedIn | ClauseWord::DispersedIn) => {
                    self.ingredient(clause.rest.trimmed(&self.block.text), false);
                }
                Some(ClauseWord::Allow) => self.rules(clause.rest),
                Some(ClauseWord::Variant) => {
                    self.put(clause.rest.trimmed(&self.block.text), Thing::Variant, false);
                }
                _ => {}
            }
        }
    }

    fn rules(&mut self, span: Span) {
        let (names, _) = split_because(&self.block.text, span);
        for name in list_words(&self.block.text, names) {
            self.put(name, Thing::Rule, false);
        }
    }

    fn change(&mut self, change: &Change) {
        match &change.kind {
            ChangeKind::Replace { old, phase, quantity, new } => {
                self.ingredient(old.span, false);
                self.phase(phase.unwrap_or_default(), false);
                self.quantity(quantity);
                self.ingredient(new.span, false);
            }
            ChangeKind::Omit { old, phase } => {
                self.ingredient(old.span, false);
                self.phase(phase.unwrap_or_default(), false);
            }
            ChangeKind::Add { quantity, new, phase } => {
                self.quantity(quantity);
                self.ingredient(new.span, false);
                self.phase(phase.unwrap_or_default(), false);
            }
            ChangeKind::Amount { old, phase, quantity } => {
                self.ingredient(old.span, false);
                self.phase(phase.unwrap_or_default(), false);
                self.quantity(quantity);
            }
            ChangeKind::Header(fact) => self.fact(fact),
        }
        self.clauses(&change.clauses);
    }

    fn fact(&mut self, fact: &Fact) {
        match fact.word {
            Word::Allow => self.rules(fact.rest),
            Word::Treat => {
                let rule = self.block.at(fact.rest).split(" as ").next().unwrap_or("").trim();
                self.put(Span::new(fact.rest.start, fact.rest.start + rule.len() as u32), Thing::Rule, false);
            }
            Word::Include => {
                if let Some(formula) = included_formula(self.block, fact) {
                    self.put(formula, Thing::Formula, false);
                }
                if let Some(name) = after_last(self.block.at(fact.rest), " as ") {
                    self.ingredient(Span::new(fact.rest.end - name.len() as u32, fact.rest.end), true);
                }
            }
            Word::Of | Word::BasedOn => {
                let text = self.block.at(fact.rest);
                let name = text.rfind(" version ").and_then(|at| text.get(..at)).unwrap_or(text).trim_end();
                let span = Span::new(fact.rest.start, fact.rest.start + name.len() as u32);
                self.put(span, Thing::Formula, false);
            }
            Word::Weighed | Word::ToppedUp => self.ingredient(fact.rest, false),
            _ => {}
        }
        self.clauses(&fact.clauses);
    }

    /// Labels that stand alone, and names as the ingredient lines write them, the longest first.
    fn step(&mut self, step: &Step, formula: &Formula) {
        let text = self.block.at(step.span).to_owned();
        let mut taken: Vec<Span> = Vec::new();
        let mut items: Vec<_> = step.items.iter().filter_map(|at| formula.items.get(*at)).collect();
        items.sort_by_key(|item| std::cmp::Reverse(item.name.len()));
        for item in items {
            for at in words(&text, &item.name, false) {
                if !taken.iter().any(|other| other.start < at.end && at.start < other.end) {
                    taken.push(at);
                    self.ingredient(at.shifted(step.span.start), false);
                }
            }
        }
        for phase in step.phases.iter().filter_map(|at| formula.phases.get(*at)) {
            for at in words(&text, &phase.label, true) {
                if !taken.iter().any(|other| other.start < at.end && at.start < other.end) {
                    taken.push(at);
                    self.phase(at.shifted(step.span.start), false);
                }
            }
        }
    }
}

/// `lactic acid` of `lactic acid 80 %`
fn without_strength(name: &str) -> &str {
    let cut = name.strip_suffix('%').map(str::trim_end).and_then(|head| {
        let at = head.rfind(|c: char| !c.is_ascii_digit() && c != '.' && c != ',')?;
        let number = head.get(at..)?.trim_start();
        (!number.is_empty() && head.get(at..)?.starts_with(char::is_whitespace)).then(|| head.get(..at))?
    });
    cut.map_or(name, str::trim_end)
}

/// Where a word or name stands in a text, not inside other words.
fn words(text: &str, name: &str, case: bool) -> Vec<Span> {
    if name.is_empty() {
        return Vec::new();
    }
    let edge = |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric() && c != '-');
    text.char_indices()
        .filter_map(|(start, _)| {
            let end = start + name.len();
            let piece = text.get(start..end)?;
            let same = if case { piece == name } else { piece.eq_ignore_ascii_case(name) };
            let before = text.get(..start)?.chars().next_back();
            let after = text.get(end..)?.chars().next();
            (same && edge(before) && edge(after)).then(|| Span::new(start as u32, end as u32))
        })
        .collect()
}

/// The formula that an `include` line names within its file: `Oil base` of `bases.formula#Oil base as base`.
pub(crate) fn included_formula(block: &Block, fact: &Fact) -> Option<Span> {
    let text = block.at(fact.rest);
    let file = text.rfind(" as ").and_then(|at| text.get(..at)).unwrap_or(text);
    let start = file.find('#')? + 1;
    let end = fact.rest.start + file.len() as u32;
    Some(Span::new(fact.rest.start + start as u32, end).trimmed(&block.text))
}

/// What stands behind the last of some words.
fn after_last<'t>(text: &'t str, words: &str) -> Option<&'t str> {
    text.rfind(words).and_then(|at| text.get(at + words.len()..)).map(str::trim_start)
}
