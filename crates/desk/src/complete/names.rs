//! Ingredients by any of their names, the most likely first.

use super::CandidateKind;
use super::choice::{Choice, MOST, Typed};
use crate::Page;
use crate::page::Leaf;
use formula::{Catalogue, Formula, Item, Material};
use notation::{Block, BlockKind, Form, Line, PhaseKind, Span, Word, fold};
use std::collections::HashSet;
use std::sync::{Arc, OnceLock};

/// Formulas before and after this one in which is looked for what the file uses.
const NEIGHBOURS: usize = 40;

/// An ingredient with all its names, folded and as they are written; its own name first.
struct Row {
    material: Arc<Material>,
    names: Vec<(String, String)>,
}

/// The catalogue in the order of its names. Names that can mean several things lead to each of these.
fn catalogue() -> &'static [Row] {
    static ROWS: OnceLock<Vec<Row>> = OnceLock::new();
    ROWS.get_or_init(|| {
        let known = Catalogue::built_in();
        let mut rows: Vec<Row> =
            known.all().filter(|material| material.ambiguous.is_empty()).map(row).collect();
        rows.sort_by(|a, b| first(&a.names).cmp(first(&b.names)));
        for vague in known.all().filter(|material| !material.ambiguous.is_empty()) {
            for meaning in &vague.ambiguous {
                let meaning = fold(meaning);
                if let Some(row) = rows.iter_mut().find(|row| first(&row.names) == meaning) {
                    row.names.extend(names(vague));
                }
            }
        }
        rows
    })
}

fn first(names: &[(String, String)]) -> &str {
    names.first().map_or("", |(folded, _)| folded)
}

fn row(material: &Arc<Material>) -> Row {
    Row { material: Arc::clone(material), names: names(material).collect() }
}

fn names(material: &Material) -> impl Iterator<Item = (String, String)> {
    let written = std::iter::once(&material.name).chain(&material.inci).chain(&material.also);
    material.names().map(str::to_owned).zip(written.cloned())
}

/// What is used where.
struct Uses {
    /// In this formula, the line itself left out.
    here: HashSet<*const Material>,
    /// In other formulas of the text.
    file: HashSet<*const Material>,
}

impl Uses {
    fn of(page: &Page, own: Leaf<'_>, line: Span) -> Uses {
        let mut uses = Uses { here: HashSet::new(), file: HashSet::new() };
        let before = page.leaves_before(own.start).take(NEIGHBOURS);
        let near = before.chain(page.leaves_from(own.start).take(NEIGHBOURS + 1));
        for leaf in near {
            let Some(resolved) = leaf.resolved() else { continue };
            let this = leaf.start == own.start;
            for item in resolved.all().flat_map(|formula| &formula.items) {
                let Some(material) = &item.material else { continue };
                let being_written = this && line.start <= item.span.start && item.span.end <= line.end;
                if !being_written {
                    let to = if this { &mut uses.here } else { &mut uses.file };
                    let _ = to.insert(Arc::as_ptr(material));
                }
            }
        }
        uses
    }
}

/// A row that fits, with what it is ranked by.
struct Fit<'r> {
    rank: (u8, bool, bool, u8),
    name: &'r str,
    found_by: &'r str,
    material: &'r Material,
}

/// What is wanted of ingredients.
pub(super) struct Wish<'w> {
    pub(super) typed: &'w Typed,
    /// Whether one of the formula's own is meant.
    pub(super) of_formula: bool,
    /// The formula that was made, in a record.
    pub(super) made: Option<&'w Block>,
}

/// The ingredients that fit what is typed.
pub(super) fn ingredients(page: &Page, leaf: Leaf<'_>, line: &Line, wish: &Wish<'_>) -> Vec<Choice> {
    let mut by = Ranking {
        kind: phase_of(leaf.block(), line),
        uses: Uses::of(page, leaf, line.span),
        of_formula: wish.of_formula || wish.made.is_some(),
        weighed: leaf.block().kind != BlockKind::Ingredient,
    };
    if let Some(made) = wish.made {
        // One that is ambiguous is made for the asking, and has no place that lasts.
        let found = item_names(made).filter_map(|name| page.around.material(name));
        let found = found.filter(|material| material.ambiguous.is_empty());
        by.uses.here.extend(found.map(|material| Arc::as_ptr(&material)));
    }
    let own: Vec<Row> = page.around.all_own().iter().map(row).collect();
    let theirs = catalogue().iter().filter(|row| page.around.own_folded(first(&row.names)).is_none());
    let mut fits: Vec<Fit<'_>> =
        own.iter().chain(theirs).filter_map(|row| fit(row, wish.typed, &by)).collect();
    fits.sort_by(|a, b| (a.rank, a.name).cmp(&(b.rank, b.name)));
    fits.truncate(MOST);
    let mut choices = premixes(leaf.block(), wish.typed);
    choices.extend(fits.iter().map(choice));
    choices
}

/// The names on a formula's ingredient lines.
fn item_names(block: &Block) -> impl Iterator<Item = &str> {
    block.lines.iter().filter_map(|line| match &line.form {
        Form::Item(item) => Some(block.at(item.name.span)),
        _ => None,
    })
}

/// What ingredients are ranked by at a place.
struct Ranking {
    /// The kind of the phase.
    kind: Option<PhaseKind>,
    uses: Uses,
    of_formula: bool,
    /// Whether something that one weighs is meant, not what it consists of.
    weighed: bool,
}

fn fit<'r>(row: &'r Row, typed: &Typed, by: &Ranking) -> Option<Fit<'r>> {
    // Its own name goes before the others, where they fit alike.
    let (how, found_by) = row
        .names
        .iter()
        .enumerate()
        .filter_map(|(at, (folded, written))| Some((2 * typed.fits(folded)? + u8::from(at > 0), written)))
        .min_by_key(|(how, _)| *how)?;
    let material = &*row.material;
    let here = by.uses.here.contains(&Arc::as_ptr(&row.material));
    let used = material.own || by.uses.file.contains(&Arc::as_ptr(&row.material));
    let rank = match (by.of_formula, here, used) {
        (true, true, _) | (false, false, true) => 0,
        (true, false, true) => 1,
        // What the formula holds already is seldom wanted twice.
        (false, true, _) | (_, false, false) => 2,
    };
    let misfit = by.kind.is_some_and(|kind| !belongs(material, kind));
    // What only stands in others, a scent of an oil say, or only in a law, is seldom weighed.
    let bare = by.weighed && material.phase.is_none() && material.usage.is_empty() && !material.own;
    Some(Fit { rank: (rank, bare, misfit, how), name: first(&row.names), found_by, material })
}

fn choice(fit: &Fit<'_>) -> Choice {
    let material = fit.material;
    let kind = if material.own { CandidateKind::OwnIngredient } else { CandidateKind::Ingredient };
    let mut choice = Choice::new(&material.name, kind)
        .detail(material.inci.clone().unwrap_or_else(|| material.functions.join(", ")))
        .key(format!("ingredient:{}", material.name));
    if fit.found_by != material.name {
        choice.filter = Some(fit.found_by.to_owned());
    }
    if material.name.contains([';', '"']) {
        choice.text = Some(format!("\"{}\"", material.name));
    }
    choice
}

/// The formulas that a block includes, by the names that it gives them.
fn premixes(block: &Block, typed: &Typed) -> Vec<Choice> {
    let names = block.facts(Word::Include).filter_map(|(_, fact)| {
        let (path, name) = block.at(fact.rest).rsplit_once(" as ")?;
        Some((path.trim(), name.trim()))
    });
    names
        .filter(|(_, name)| !name.is_empty() && typed.fits(&fold(name)).is_some())
        .map(|(path, name)| Choice::new(name, CandidateKind::Premix).detail(path))
        .collect()
}

/// The kind of the phase in which a line stands.
fn phase_of(block: &Block, line: &Line) -> Option<PhaseKind> {
    let above = block.lines.iter().rev().skip_while(|other| other.span.start >= line.span.start);
    above
        .take_while(|other| !matches!(other.form, Form::Variant(_)))
        .find_map(|other| match &other.form {
            Form::Phase(phase) => Some(phase.kind.map(|(kind, _)| kind)),
            _ => None,
        })
        .flatten()
}

/// Whether practice puts a material into such a phase.
fn belongs(material: &Material, kind: PhaseKind) -> bool {
    if let Some(own) = material.phase {
        return own == kind || (kind == PhaseKind::Gel && own == PhaseKind::Water);
    }
    let does = |functions: &[&str]| functions.iter().any(|function| material.does(function));
    match kind {
        PhaseKind::Water | PhaseKind::Gel => material.dissolves_in("water"),
        PhaseKind::Oil => material.dissolves_in("oil"),
        PhaseKind::CoolDown => does(&["preservative", "fragrance", "essential oil", "active", "pH adjuster"]),
        PhaseKind::Active => does(&["active", "exfoliant", "UV filter"]),
        PhaseKind::Fragrance => does(&["fragrance", "essential oil"]),
        PhaseKind::Powder => does(&["powder", "clay", "pigment", "colour"]),
        PhaseKind::Surfactant => does(&["surfactant"]),
        PhaseKind::Slurry | PhaseKind::Other => true,
    }
}

/// The ingredients of the formula itself, as it writes them, in their order; the line itself left out.
pub(super) fn targets(formula: &Formula, line: Span) -> Vec<Choice> {
    let mut choices: Vec<Choice> = Vec::new();
    for item in &formula.items {
        let being_written = line.start <= item.span.start && item.span.end <= line.end;
        if !being_written && !item.name.is_empty() && !choices.iter().any(|known| known.label == item.name) {
            choices.push(target(formula, item));
        }
    }
    choices
}

fn target(formula: &Formula, item: &Item) -> Choice {
    let phase = item.phase.and_then(|at| formula.phases.get(at)).map(|phase| format!(" in {}", phase.label));
    let amount = &item.amount_text;
    let mut choice = Choice::new(&item.name, CandidateKind::Ingredient)
        .detail(format!("{amount}{}", phase.unwrap_or_default()))
        .key(format!("ingredient:{}", item.name));
    if [" with ", " for ", " in ", " to ", ";"].iter().any(|cut| item.name.contains(cut)) {
        choice.text = Some(format!("\"{}\"", item.name));
    }
    choice
}
