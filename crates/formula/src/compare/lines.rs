//! Ingredient lines: how much of what, and what is said of it.

use super::Turn;
use super::canon::{Said, clause, quantity};
use super::phases::Body;
use crate::exact::Exact;
use crate::formula::{Item, Written};
use crate::material::Material;
use crate::totals::Basis;
use crate::window::Interval;
use notation::{Base, Block, ChangeKind, Clause, Form, Quantity, Span, fold, nearest};
use std::sync::Arc;

/// How much of an ingredient a phase holds, all its lines together.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Amount {
    /// Share of the whole; none where it cannot be known.
    pub share: Option<Interval>,
    /// Grams, where the formula is written in weights.
    pub grams: Option<Interval>,
    /// As written, without the blanks of columns; several lines joined with `+`.
    pub written: String,
    /// Whether it makes up the rest.
    pub is_balance: bool,
    /// Whether it is as much as it takes, with no figure that says how much.
    pub is_as_needed: bool,
    /// What is written, apart from how.
    key: String,
    /// Whether it is a part of other lines.
    is_relative: bool,
}

/// An ingredient of a phase that is not the same.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct LineChange {
    /// Its name as it was and is written.
    pub name: Turn<String>,
    /// How much of it there was and is.
    pub amount: Turn<Amount>,
    /// The phase in which it stood, where that was another one; empty for lines outside phases.
    pub moved_from: Option<String>,
    /// What is said of it behind the name.
    pub marks: Vec<Turn<String>>,
}

impl LineChange {
    /// Whether it stood there before, and there is another amount of it.
    pub fn is_resized(&self) -> bool {
        let (Some(from), Some(to)) = (&self.amount.from, &self.amount.to) else { return false };
        if from.is_balance != to.is_balance {
            return true;
        }
        let written = from.key != to.key;
        match (&from.share, &to.share) {
            (Some(old), Some(new)) => old != new && (written || to.is_balance || to.is_relative),
            _ => written,
        }
    }

    /// Whether its amount changed only because other lines did.
    pub fn is_consequence(&self) -> bool {
        self.is_resized()
            && self.amount.from.as_ref().map(|amount| &amount.key)
                == self.amount.to.as_ref().map(|amount| &amount.key)
    }

    /// Whether it is written by another name.
    pub fn is_renamed(&self) -> bool {
        match (&self.name.from, &self.name.to) {
            (Some(from), Some(to)) => fold(from) != fold(to),
            _ => false,
        }
    }

    /// By how much its share of the whole grew; negative where it shrank.
    pub fn growth(&self) -> Option<Exact> {
        let share = |amount: &Option<Amount>| amount.as_ref()?.share.as_ref().map(|share| share.mid.clone());
        Some(share(&self.amount.to)? - share(&self.amount.from)?)
    }

    /// The growth as a share of what there was.
    pub fn relative_growth(&self) -> Option<Exact> {
        let before = self.amount.from.as_ref()?.share.as_ref()?;
        self.growth()?.over(&before.mid)
    }

    fn says_something(&self) -> bool {
        self.name.is_new()
            || self.name.is_gone()
            || self.moved_from.is_some()
            || self.is_renamed()
            || self.is_resized()
            || !self.marks.is_empty()
    }
}

/// All lines of one phase that are the same ingredient.
#[derive(Clone, Debug)]
pub(super) struct Ingredient {
    key: String,
    name: String,
    material: Option<Arc<Material>>,
    amount: Amount,
    marks: Vec<Said>,
}

/// The ingredients of a phase in their order; none for lines outside phases.
pub(super) fn ingredients(body: Body<'_>, phase: Option<usize>) -> Vec<Ingredient> {
    let mut found: Vec<Ingredient> = Vec::new();
    for item in body.formula.items.iter().filter(|item| item.phase == phase) {
        let one = ingredient(body, item);
        match found.iter_mut().find(|other| other.key == one.key) {
            Some(other) => other.join(one),
            None => found.push(one),
        }
    }
    found
}

/// What became of an ingredient; none where it is the same.
pub(super) fn change(
    from: Option<&Ingredient>,
    to: Option<&Ingredient>,
    moved_from: Option<String>,
) -> Option<LineChange> {
    let none = Vec::new();
    let marks = match (from, to) {
        (Some(from), Some(to)) => super::canon::turns(&from.marks, &to.marks),
        _ => none,
    };
    let change = LineChange {
        name: Turn { from: from.map(|one| one.name.clone()), to: to.map(|one| one.name.clone()) },
        amount: Turn { from: from.map(|one| one.amount.clone()), to: to.map(|one| one.amount.clone()) },
        moved_from,
        marks: marks.into_iter().map(super::canon::shown).collect(),
    };
    change.says_something().then_some(change)
}

impl Ingredient {
    /// Whether both are the same thing. Each side may see other blocks of the maker's own, so that one thing can be
    /// known by different names.
    pub(super) fn is(&self, other: &Ingredient) -> bool {
        let knows = |one: &Ingredient, key: &str| {
            one.material.as_ref().is_some_and(|material| material.names().any(|name| name == key))
        };
        self.key == other.key
            || fold(&self.name) == fold(&other.name)
            || knows(self, &other.key)
            || knows(other, &self.key)
    }

    /// Whether one of both is a name that nobody knows, near to that of the other, and in the same amount.
    pub(super) fn is_miswritten(&self, other: &Ingredient) -> bool {
        const EDITS: usize = 2;
        let (one, another) = (fold(&self.name), fold(&other.name));
        (self.material.is_none() || other.material.is_none())
            && self.amount.key == other.amount.key
            && one.len() > 2 * EDITS
            && nearest(&one, [another.as_str()], EDITS).is_some()
    }

    fn join(&mut self, other: Ingredient) {
        let sum = |one: Option<&Interval>, other: Option<&Interval>| Some(one?.plus(other?));
        let amount = &mut self.amount;
        amount.share = sum(amount.share.as_ref(), other.amount.share.as_ref());
        amount.grams = sum(amount.grams.as_ref(), other.amount.grams.as_ref());
        amount.written = format!("{} + {}", amount.written, other.amount.written);
        // Which line comes first means nothing.
        let mut keys: Vec<&str> = amount.key.split(" + ").chain([other.amount.key.as_str()]).collect();
        keys.sort_unstable();
        amount.key = keys.join(" + ");
        amount.is_balance |= other.amount.is_balance;
        amount.is_relative |= other.amount.is_relative;
        amount.is_as_needed &= other.amount.is_as_needed;
        for mark in other.marks {
            if !self.marks.contains(&mark) {
                self.marks.push(mark);
            }
        }
    }
}

fn ingredient(body: Body<'_>, item: &Item) -> Ingredient {
    let written = item.amount_span.and_then(|span| quantity_at(body.block, span));
    let by_weight = body.formula.totals.basis == Basis::Weight;
    let amount = Amount {
        share: item.share.clone(),
        grams: item.grams.clone().filter(|_| by_weight),
        written: item.amount_text.clone(),
        is_balance: item.written == Written::Balance,
        is_as_needed: item.written == Written::AsNeeded
            && item.share.as_ref().is_none_or(|share| share.high.is_zero()),
        key: written.map(|written| quantity(body.block, written)).unwrap_or_default(),
        is_relative: written.is_some_and(is_relative),
    };
    Ingredient {
        key: item.key(),
        name: item.name.clone(),
        material: item.material.clone(),
        amount,
        marks: marks(body.block, item),
    }
}

/// Whether an amount is a percent of a phase or of the oils.
fn is_relative(quantity: &Quantity) -> bool {
    matches!(quantity, Quantity::Given(measure) if matches!(measure.of, Some(Base::Phase(_) | Base::Oils(_))))
}

/// The quantity that is written at a place: on a line of the formula, or in a change of a variant.
fn quantity_at(block: &Block, at: Span) -> Option<&Quantity> {
    match &form_at(block, at)? {
        Form::Item(item) => Some(&item.quantity),
        Form::Change(change) => match &change.kind {
            ChangeKind::Replace { quantity, .. }
            | ChangeKind::Add { quantity, .. }
            | ChangeKind::Amount { quantity, .. } => Some(quantity),
            ChangeKind::Omit { .. } | ChangeKind::Header(_) => None,
        },
        _ => None,
    }
}

fn form_at(block: &Block, at: Span) -> Option<&Form> {
    let after = block.lines.partition_point(|line| line.span.start <= at.start);
    block.lines.get(after.checked_sub(1)?).map(|line| &line.form)
}

/// What is said of an ingredient behind its name; a strength in the name is one of these.
fn marks(block: &Block, item: &Item) -> Vec<Said> {
    let clauses: &[Clause] = match form_at(block, item.name_span) {
        Some(Form::Item(line)) => &line.clauses,
        Some(Form::Change(change)) => &change.clauses,
        _ => &[],
    };
    let mut marks: Vec<Said> = clauses.iter().map(|one| clause(block, one)).collect();
    if let Some(strength) = &item.strength
        && !marks.iter().any(|mark| mark.about == "strength")
    {
        let value = strength.data();
        marks.push(Said {
            key: format!("strength Exact {value}..{value} share "),
            about: "strength".to_owned(),
            shown: format!("strength {} %", strength.percent().text()),
        });
    }
    marks
}
