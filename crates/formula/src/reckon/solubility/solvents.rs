//! What a line is dissolved in, and what else may carry it.

use super::at_room_temperature;
use crate::exact::Exact;
use crate::formula::{Formula, Item};
use crate::material::Material;
use crate::method::{Step, Thermal};
use crate::substances::Via;
use notation::fold;

/// What other solvents, solubilisers, surfactants and oils may carry of something that dissolves in them: half their
/// own weight. A generous bound, not a prediction.
const CARRIED: f64 = 0.5;

/// The name of what a line is dissolved in, by its own word or by a step's.
pub(super) fn carrier_of<'f>(formula: &'f Formula, via: &Via) -> Option<&'f str> {
    let item = formula.items.get(via.item)?;
    let own = item.carried_in.iter().find(|(how, _)| how == "dissolved in").map(|(_, name)| name.as_str());
    let own = own.filter(|name| !is_all_water(formula, name));
    own.or_else(|| {
        let mut dissolving =
            formula.steps.iter().filter(|step| step.items.contains(&via.item) && dissolves(step));
        dissolving.find_map(|step| {
            let others =
                step.items.iter().filter(|at| **at != via.item).filter_map(|at| formula.items.get(*at));
            let mut solvents = others.filter(|other| other.does("solvent") || other.does("alcohol"));
            let first = solvents.next()?;
            // Water stands for all of it; another solvent beside water is a mixture that nobody knows.
            let watery = |item: &Item| item.is_watery(&Exact::zero());
            (!watery(first) && !solvents.any(watery)).then_some(first.name.as_str())
        })
    })
}

fn dissolves(step: &Step) -> bool {
    step.says(&["dissolve", "dissolves", "dissolved", "dissolving"])
}

/// `dissolved in water` where no line is called so: whatever water there is.
fn is_all_water(formula: &Formula, name: &str) -> bool {
    fold(name) == "water" && solvent_lines(formula, name, None).is_empty()
}

/// The lines of a solvent, those of one phase where that phase has any.
pub(super) fn solvent_lines<'f>(formula: &'f Formula, name: &str, phase: Option<usize>) -> Vec<&'f Item> {
    let wanted = fold(name);
    let fits = |item: &&Item| {
        fold(&item.name) == wanted
            || item.material.as_ref().is_some_and(|material| material.names().any(|own| own == wanted))
    };
    let all: Vec<&Item> = formula.items.iter().filter(fits).collect();
    let near: Vec<&Item> =
        all.iter().copied().filter(|item| phase.is_some() && item.phase == phase).collect();
    if near.is_empty() { all } else { near }
}

/// The water lines in which a step dissolves a line without heat. None where it says that only some is taken, or where
/// the line is heated: hot water holds more, and the rest of the water comes before it has cooled.
pub(super) fn cold_water_of_step<'f>(
    formula: &'f Formula,
    at: usize,
    item: &Item,
) -> Option<(String, Vec<&'f Item>)> {
    const PART: &[&str] =
        &["little", "some", "part", "half", "portion", "warm", "hot", "heated", "boiling", "boiled"];
    let heated = item
        .phase
        .and_then(|phase| formula.phases.get(phase))
        .is_some_and(|phase| phase.heat.as_ref().is_some_and(|(heat, _)| *heat > Exact::whole(30)));
    let step = formula.steps.iter().find(|step| {
        step.items.contains(&at)
            && dissolves(step)
            && !step.says(PART)
            && step.acts.iter().all(|act| {
                act.thermal != Thermal::Heats
                    && act.celsius.as_ref().is_none_or(|(celsius, _)| *celsius <= Exact::whole(30))
            })
    })?;
    // Water, hydrosols, juices; a salt or a surfactant that is sold as a solution is no solvent.
    let watery = |other: &Item| other.is_watery(&Exact::fraction(9, 10));
    let named: Vec<&Item> = step
        .items
        .iter()
        .filter(|other| **other != at)
        .filter_map(|other| formula.items.get(*other))
        .filter(|other| watery(other))
        .filter(|other| {
            step.phases.is_empty() || other.phase.is_some_and(|phase| step.phases.contains(&phase))
        })
        .collect();
    let first = named.first().filter(|_| !heated)?;
    Some((first.name.clone(), named))
}

/// What else may carry it: solvents that a figure is known for by that figure, all that is oily, foams or emulsifies by
/// a generous bound. Nothing of something that dissolves in water alone.
pub(super) fn carried(formula: &Formula, material: &Material, own: &[&&Via]) -> f64 {
    let only_water = !["oil", "alcohol"].iter().any(|solvent| material.dissolves_in(solvent));
    if only_water {
        return 0.0;
    }
    let others = formula.items.iter().enumerate().filter(|(at, _)| own.iter().all(|via| via.item != *at));
    others.filter_map(|(_, item)| carried_by(material, item)).sum()
}

fn carried_by(material: &Material, item: &Item) -> Option<f64> {
    let share = item.share.as_ref()?.high.estimate();
    let Some(other) = &item.material else { return Some(share * CARRIED) };
    let density = other.density.as_ref().and_then(|figure| figure.value.middle());
    let known =
        other.names().find_map(|name| at_room_temperature(material, name)).filter(|_| other.water.is_none());
    if let (Some((figure, _)), Some(density)) = (known, &density) {
        return Some(share / density.estimate() * figure.value.estimate() / 100.0);
    }
    let watery = other.water_share().is_some_and(|water| water >= Exact::fraction(1, 2));
    // Oils carry what dissolves in oil.
    let oily = material.dissolves_in("oil");
    let liquid = density.is_some() && other.dissolves_in("oil");
    // Glycerin mixes with water alone, and carries hardly more than water does.
    let solvent = (item.does("solvent") || item.does("alcohol"))
        && ["oil", "alcohol"].iter().any(|kind| other.dissolves_in(kind));
    let carries = solvent || item.does("solubiliser") || item.does("emulsifier");
    ((carries && !watery) || item.does("surfactant") || (oily && (item.is_oily() || liquid)))
        .then_some(share * CARRIED)
}
