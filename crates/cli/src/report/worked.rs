//! A formula worked out: what both forms of the sheet show. None stands for what cannot be known.

use super::cost::{Cost, cost};
use desk::reckon::{Filled, packs, yield_of};
use desk::{Exact, Formula, Item, Listed, Listing, reckon};

/// A formula or variant with everything that follows from it.
pub(crate) struct Worked<'a> {
    pub(crate) formula: &'a Formula,
    /// Grams of the batch that is asked for, else of the one that is written.
    pub(crate) batch: Option<Exact>,
    pub(crate) phases: Vec<WorkedPhase<'a>>,
    pub(crate) total: Sum,
    pub(crate) balance: Option<Balance<'a>>,
    pub(crate) water: Sum,
    pub(crate) oils: Sum,
    /// Required and supplied HLB; none where HLB says nothing.
    pub(crate) hlb: Option<reckon::Hlb>,
    pub(crate) preservation: Vec<reckon::Preserving>,
    pub(crate) allergens: Vec<Allergen<'a>>,
    /// INCI names in descending order, or the lines of which a share or a name is not known.
    pub(crate) ingredients: Result<Vec<String>, Vec<String>>,
    pub(crate) packs: Vec<Filled<'a>>,
    /// The share of a batch that stays in the vessels, where the workshop says one.
    pub(crate) loss: Option<Exact>,
    pub(crate) cost: Option<Cost<'a>>,
}

/// A sum of shares, and the lines of which it is not known what they add.
pub(crate) struct Sum {
    pub(crate) known: Exact,
    pub(crate) open: Vec<String>,
}

impl Sum {
    /// The sum, where all of it is known.
    pub(crate) fn whole(&self) -> Option<&Exact> {
        self.open.is_empty().then_some(&self.known)
    }
}

/// The line that takes the rest.
pub(crate) struct Balance<'a> {
    pub(crate) name: &'a str,
    pub(crate) share: Option<Exact>,
}

pub(crate) struct WorkedPhase<'a> {
    /// None in a formula without phases, and for lines before the first phase.
    pub(crate) label: Option<&'a str>,
    pub(crate) kind: Option<&'static str>,
    pub(crate) heading: &'a str,
    pub(crate) sum: Sum,
    pub(crate) lines: Vec<&'a Item>,
}

/// A substance that has to be named on a label.
pub(crate) struct Allergen<'a> {
    pub(crate) name: &'a str,
    pub(crate) share: Option<Exact>,
    pub(crate) from: Vec<&'a str>,
}

/// Works a formula out, for its own batch or for another, of which a share may be lost in making. `listing` is what it
/// brings to a list of ingredients.
pub(crate) fn worked<'a>(
    formula: &'a Formula,
    listing: &Listing,
    batch: Option<&Exact>,
    loss: Option<&Exact>,
) -> Worked<'a> {
    let batch = batch.or(formula.batch_grams());
    let loss = loss.filter(|loss| !loss.is_zero());
    let yielded = batch.map(|batch| yield_of(batch, loss));
    Worked {
        formula,
        batch: batch.cloned(),
        phases: phases(formula),
        total: sum(formula.items.iter()),
        balance: formula
            .totals
            .balances
            .first()
            .and_then(|at| formula.items.get(*at))
            .map(|item| Balance { name: &item.name, share: item.mid().cloned() }),
        water: Sum {
            known: formula.water.share.mid.clone(),
            open: names(formula.items.iter().enumerate().filter_map(|(at, item)| {
                let open = formula.water.open.contains(&at) || (item.mid().is_none() && may_hold_water(item));
                open.then_some(item)
            })),
        },
        oils: Sum {
            known: formula.oils(),
            open: names(formula.items.iter().filter(|item| {
                !item.is_known()
                    || (item.mid().is_none() && (item.premix.is_some() || item.dissolves_in("oil")))
            })),
        },
        hlb: reckon::hlb(formula),
        preservation: reckon::preserving(formula),
        allergens: allergens(formula),
        ingredients: ingredient_list(listing),
        packs: packs(formula, yielded.as_ref()),
        loss: loss.cloned(),
        cost: cost(formula, batch),
    }
}

/// Whether a line could bring water: all that is not known to be free of it.
fn may_hold_water(item: &Item) -> bool {
    item.material.as_ref().is_none_or(|material| {
        material.water_share().map_or_else(|| material.dissolves_in("water"), |water| !water.is_zero())
    })
}

/// Grams of a share of the batch.
pub(crate) fn grams(share: Option<&Exact>, batch: Option<&Exact>) -> Option<Exact> {
    share.zip(batch).map(|(share, batch)| share * batch)
}

/// Names, each once.
fn names<'a>(items: impl Iterator<Item = &'a Item>) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for item in items {
        if !names.contains(&item.name) {
            names.push(item.name.clone());
        }
    }
    names
}

fn sum<'a>(items: impl Iterator<Item = &'a Item> + Clone) -> Sum {
    Sum {
        known: items.clone().filter_map(|item| item.mid().cloned()).sum(),
        open: names(items.filter(|item| item.mid().is_none())),
    }
}

fn phases(formula: &Formula) -> Vec<WorkedPhase<'_>> {
    let of = |phase: Option<usize>| formula.items.iter().filter(move |item| item.phase == phase);
    let mut phases = Vec::new();
    if of(None).next().is_some() || formula.phases.is_empty() {
        let lines = of(None).collect();
        phases.push(WorkedPhase { label: None, kind: None, heading: "", sum: sum(of(None)), lines });
    }
    for (at, phase) in formula.phases.iter().enumerate() {
        phases.push(WorkedPhase {
            label: Some(&phase.label),
            kind: phase.kind.map(desk::PhaseKind::spelling),
            heading: &phase.heading,
            sum: sum(of(Some(at))),
            lines: of(Some(at)).collect(),
        });
    }
    phases
}

/// All of them added, where all are known.
fn added(shares: impl Iterator<Item = Option<Exact>>) -> Option<Exact> {
    shares.collect::<Option<Vec<Exact>>>().map(|shares| shares.into_iter().sum())
}

fn allergens(formula: &Formula) -> Vec<Allergen<'_>> {
    let mut found = Vec::new();
    for substance in
        formula.substances.iter().filter(|substance| substance.via.iter().any(|via| via.allergen))
    {
        let share = added(substance.via.iter().map(|via| via.share.as_ref().map(|share| share.mid.clone())));
        let mut from: Vec<&str> = Vec::new();
        for item in substance.via.iter().filter_map(|via| formula.items.get(via.item)) {
            if !from.contains(&item.name.as_str()) {
                from.push(&item.name);
            }
        }
        found.push(Allergen { name: &substance.name, share, from });
    }
    found
}

/// The INCI names in descending order of weight, only where every name and every share on the way is known. What a
/// market wants beyond the order is the label's business.
fn ingredient_list(listing: &Listing) -> Result<Vec<String>, Vec<String>> {
    if listing.is_whole() {
        let nano = |listed: &Listed| if listed.nano { " (nano)" } else { "" };
        return Ok(listing.listed.iter().map(|listed| format!("{}{}", listed.name, nano(listed))).collect());
    }
    let mut open: Vec<String> = Vec::new();
    for unsettled in &listing.unsettled {
        if !open.contains(&unsettled.name) {
            open.push(unsettled.name.clone());
        }
    }
    Err(open)
}
