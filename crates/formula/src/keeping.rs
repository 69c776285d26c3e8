//! How long what is in a formula keeps, and what keeps it.
#![deny(clippy::float_arithmetic)]

use crate::exact::Exact;
use crate::formula::Formula;
use crate::material::{Figure, Material};
use crate::window::Interval;
use notation::Date;
use std::sync::Arc;

/// A material with all of it that a formula holds as itself, blends and premixes counted.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Held {
    /// What it is.
    pub material: Arc<Material>,
    /// The lines that bring it, the one with the most first.
    pub items: Vec<usize>,
    /// Its share of the whole, as far as it is known.
    pub share: Exact,
}

/// The materials that a formula holds, in the order in which they come in.
pub fn held(formula: &Formula) -> Vec<Held> {
    let mut found = Vec::new();
    for substance in &formula.substances {
        let Some(material) = &substance.material else { continue };
        let mut ways: Vec<(usize, Exact)> = substance
            .via
            .iter()
            .filter(|via| via.itself)
            .map(|via| (via.item, via.share.as_ref().map_or_else(Exact::zero, mid)))
            .collect();
        if ways.is_empty() {
            continue;
        }
        let share = ways.iter().map(|(_, share)| share.clone()).sum();
        ways.sort_by(|a, b| b.1.cmp(&a.1));
        let items = ways.into_iter().map(|(item, _)| item).collect();
        found.push(Held { material: Arc::clone(material), items, share });
    }
    found
}

fn mid(share: &Interval) -> Exact {
    share.mid.clone()
}

/// The shortest-lived of the materials that make up enough of a formula: 5 %, or 1 % where the maker gives the figure.
/// In days from the day on which it was opened.
pub fn shortest_lived(formula: &Formula) -> Option<(Held, Figure<Exact>)> {
    held(formula)
        .into_iter()
        .filter_map(|held| {
            let figure = held.material.shelf_life_days.clone()?;
            let least = if figure.source.own { Exact::fraction(1, 100) } else { Exact::fraction(5, 100) };
            (held.share >= least).then_some((held, figure))
        })
        .min_by(|a, b| a.1.value.cmp(&b.1.value))
}

/// The material whose last lot expires first: its lot and the day. Only materials of which every lot has a date; not
/// those that have expired on `today` already.
pub fn first_to_expire(formula: &Formula, today: Date) -> Option<(Held, String, Date)> {
    held(formula)
        .into_iter()
        .filter_map(|held| {
            let lots = &held.material.lots;
            let all: Option<Vec<(Date, &String)>> =
                lots.iter().map(|lot| Some((lot.expires?, &lot.number))).collect();
            let (day, number) = all?.into_iter().max()?;
            let number = number.clone();
            (day > today).then_some((held, number, day))
        })
        .min_by_key(|(_, _, day)| *day)
}

/// Oils that air turns rancid, and how much of the whole they are.
pub fn drying_oils(formula: &Formula) -> (Vec<Held>, Exact) {
    let oils: Vec<Held> = held(formula)
        .into_iter()
        .filter(|held| held.material.air_sensitive && held.material.does("oil") && !held.share.is_zero())
        .collect();
    let sum = oils.iter().map(|held| held.share.clone()).sum();
    (oils, sum)
}

/// Whether something protects oils from the air: an antioxidant that dissolves in oil, in whatever amount; also where
/// something unknown might.
pub fn has_antioxidant(formula: &Formula) -> bool {
    let protects = held(formula)
        .iter()
        .any(|held| held.material.does("antioxidant") && held.material.dissolves_in("oil"));
    let unknown = formula.items.iter().any(|item| {
        item.premix_missing
            || (item.premix.is_none()
                && item.material.is_none()
                && item.blend.iter().all(|(_, part)| part.is_none()))
            || item.blend.iter().any(|(_, part)| part.is_none())
    });
    protects || unknown
}

/// Fresh food: watery juices, milk, egg, fruit.
pub fn fresh_food(formula: &Formula) -> Vec<Held> {
    held(formula)
        .into_iter()
        .filter(|held| {
            let watery = held.material.water_share().is_some_and(|water| water >= Exact::fraction(1, 2));
            held.material.does("food") && watery
        })
        .collect()
}
