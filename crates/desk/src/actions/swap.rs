//! Another ingredient in the place of one: of the same work, phase and charge, with what would change.

use super::ground::{Ground, Row};
use super::{Action, ActionKind};
use crate::facts::{self, Known};
use crate::mentions::{Thing, mentions};
use crate::{Desk, Page};
use formula::{Catalogue, Material};
use notation::{Edit, Edits, Span, fold};
use std::path::Path;
use std::sync::Arc;

/// The most that are offered.
const MOST: usize = 5;
/// The most differences that a title tells of.
const TOLD: usize = 3;
/// Cautions: told of before all else where the other ingredient has one that this one has not.
const CAUTIONS: [&str; 3] = ["phototoxic", "not for", "not with"];
/// What differences are told of, the weightiest first.
const WEIGHTY: [&str; 9] = [
    "usual share",
    "HLB it has",
    "HLB it needs",
    "works at pH",
    "melts at",
    "not above",
    "works on",
    "origin",
    "family",
];
/// Words at which a line could be cut.
const CUTS: [&str; 5] = [" in ", " to ", " with ", " for ", " as "];

/// One that could stand there, with what is known of it.
struct Like {
    unlikeness: usize,
    material: Arc<Material>,
    known: Vec<Known>,
}

impl Desk {
    /// Ingredients that could stand in the place of the selected one.
    pub fn swaps(&mut self, path: &Path, within: Span) -> Vec<Action> {
        let Some(page) = self.page_of(path) else { return Vec::new() };
        let Some(ground) = Ground::of(&page, within) else { return Vec::new() };
        let Some(row) = ground.one() else { return Vec::new() };
        let Some(material) = row.item.material.clone().filter(|material| material.ambiguous.is_empty())
        else {
            return Vec::new();
        };
        // A strength is that of one thing, and not of another.
        if row.item.strength.is_some() || row.written.name.quoted || material.functions.is_empty() {
            return Vec::new();
        }
        let taken: Vec<String> = ground.formula.items.iter().map(formula::Item::key).collect();
        let own = facts::known(&material);
        let mine = page.around.all_own();
        let theirs = Catalogue::built_in().all().filter(|known| page.around.own(&known.name).is_none());
        let mut like: Vec<Like> = mine
            .iter()
            .chain(theirs)
            .filter(|other| is_like(&material, other) && !taken.contains(&other.key()))
            .map(|other| {
                let known = facts::known(other);
                Like {
                    unlikeness: unlikeness(&material, &own, other, &known),
                    material: Arc::clone(other),
                    known,
                }
            })
            .collect();
        let rank = |like: &Like| (!like.material.own, like.unlikeness, like.material.name.clone());
        like.sort_by_cached_key(rank);
        like.truncate(MOST);
        let swap = |like: &Like| swap(&page, &ground, row, &own, like);
        like.iter().filter_map(swap).map(|action| action.shifted(ground.start)).collect()
    }
}

/// Whether another does the same work, in the same phase, with the same charge, and is as good a base for a limit.
fn is_like(one: &Material, other: &Material) -> bool {
    let charge = |material: &Material| material.charge.as_ref().map(|figure| figure.value.clone());
    one.key() != other.key()
        && other.ambiguous.is_empty()
        && one.functions.first() == other.functions.first()
        && one.phase == other.phase
        && charge(one) == charge(other)
        && one.soluble_in == other.soluble_in
        && !other.name.contains([';', '"', '#', ','])
        && !CUTS.iter().any(|cut| other.name.contains(cut))
}

/// How far apart two are: functions that only one has, and what else is told differently of them.
fn unlikeness(one: &Material, own: &[Known], other: &Material, known: &[Known]) -> usize {
    let only = |a: &Material, b: &Material| {
        a.functions.iter().filter(|function| !b.functions.contains(function)).count()
    };
    let differ = WEIGHTY.iter().filter(|what| told(own, what) != told(known, what)).count();
    let cautions = CAUTIONS.iter().filter(|what| !cautions(own, known, what).is_empty()).count();
    4 * (only(one, other) + only(other, one) + cautions) + differ
}

/// What the other one is not to be used for or with, and this one may be; without the reasons.
fn cautions(own: &[Known], other: &[Known], what: &str) -> Vec<String> {
    let of = |known: &[Known]| -> Vec<String> {
        let told = known.iter().filter(|known| known.what == what);
        told.map(|known| known.value.split(", because ").next().unwrap_or_default().to_owned()).collect()
    };
    let had = of(own);
    of(other).into_iter().filter(|caution| !had.contains(caution)).collect()
}

/// All that is told of one kind.
fn told(of: &[Known], what: &str) -> String {
    let values: Vec<&str> =
        of.iter().filter(|known| known.what == what).map(|known| known.value.as_str()).collect();
    values.join(" / ")
}

fn swap(page: &Page, ground: &Ground<'_>, row: &Row<'_>, own: &[Known], like: &Like) -> Option<Action> {
    let changes = differences(own, &like.known);
    let told = if changes.is_empty() { String::new() } else { format!(": {}", changes.join("; ")) };
    let name = &like.material.name;
    let title = format!("Swap {} for {name}{told}", row.item.name);
    let edits = renamed(page, ground, row, name)?;
    Some(Action::new(ActionKind::Swap, title, edits))
}

/// `melts at 34 to 38 °C, not 32 to 35 °C`
fn differences(own: &[Known], other: &[Known]) -> Vec<String> {
    let change = |what: &&str| {
        let (was, is) = (told(own, what), told(other, what));
        match (was.as_str(), is.as_str()) {
            (was, is) if was == is => None,
            (was, "") => Some(format!("{what} not known, was {was}")),
            ("", is) => Some(format!("{what} {is}")),
            (was, is) => Some(format!("{what} {is}, not {was}")),
        }
    };
    let careful = CAUTIONS.iter().filter_map(|what| {
        let new = cautions(own, other, what);
        (!new.is_empty()).then(|| format!("{what}: {}", new.join(", ")))
    });
    careful.chain(WEIGHTY.iter().filter_map(change)).take(TOLD).collect()
}

/// The other name on the line, and wherever the formula speaks of that line alone.
fn renamed(page: &Page, ground: &Ground<'_>, row: &Row<'_>, name: &str) -> Option<Edits> {
    let block = ground.block;
    let own = row.written.name.span;
    let mut edits = vec![Edit { span: own, text: name.to_owned() }];
    let alone = ground.rows.iter().filter(|other| other.item.key() == row.item.key()).count() == 1;
    if alone {
        let leaf = page.leaf_at(ground.start)?;
        let thing = Thing::Ingredient(page.around.key(&row.item.name));
        let written = fold(block.at(own));
        let elsewhere = |span: Span| span.end <= own.start || own.end <= span.start;
        for mention in mentions(leaf.reviewed(), &page.around) {
            let same = mention.thing == thing && fold(block.at(mention.span)) == written;
            if same && elsewhere(mention.span) {
                edits.push(Edit { span: mention.span, text: name.to_owned() });
            }
        }
    }
    Edits::new(edits).ok()
}
