//! Words that a label has to carry, and allergens that its list has to name, counted through all that brings them.
#![deny(clippy::float_arithmetic)]

mod list;
mod names;
mod said;

pub use list::{Find, Listed, Listing, SCENT, Unsettled, WATER, Why, listing};
pub use names::everyday_name;
pub use said::{names, says};

use crate::exact::Exact;
use crate::formula::Formula;
use crate::limit::{Fit, LabelDuty, Rank, Use};
use crate::material::Source;
use crate::substances::Substance;
use crate::window::Interval;
use notation::{Date, fold};

/// Words that a formula's label has to carry.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Due {
    /// The words, or the allergen's name.
    pub text: String,
    /// How much of it there is, as a share of the whole, as far as it is known.
    pub amount: Interval,
    /// Whether more of it comes in than the amount says: present, share unknown.
    pub open: bool,
    /// Whether the text is no name, but stands for all allergens of a scent whose parts nobody has named.
    pub unnamed: bool,
    /// The lines that bring it.
    pub items: Vec<usize>,
    /// Whether the product's words decide that it falls under the duty.
    pub fit: Fit,
    /// From which share on.
    pub above: Option<Exact>,
    /// Who says it.
    pub rank: Rank,
    /// Where it was read.
    pub source: Source,
}

/// A duty, with the substance on which it stands.
struct Standing<'f> {
    duty: &'f LabelDuty,
    substance: &'f Substance,
    fit: Fit,
}

/// The words that the label has to carry in a market on a day: warnings, or the names of allergens. One a text, over
/// all substances that bring it.
pub fn label_duties(formula: &Formula, market: &str, day: Date, allergens: bool) -> Vec<Due> {
    let ph = formula.header.ph.as_ref().and_then(|(window, _)| window.high.as_ref().or(window.low.as_ref()));
    let mut texts: Vec<(String, Vec<Standing<'_>>)> = Vec::new();
    for substance in &formula.substances {
        let Some(material) = &substance.material else { continue };
        for duty in material.labels.iter().filter(|duty| duty.allergen == allergens) {
            let functions = substance.functions();
            let share = substance.share().high;
            let used = Use { functions: &functions, said: &[], share: &share, ph, grade: Fit::Open };
            let fit = duty.fits(&formula.header.product, used);
            if fit == Fit::No || !duty.in_force(market, day) {
                continue;
            }
            let key = fold(&duty.text);
            let standing = Standing { duty, substance, fit };
            match texts.iter_mut().find(|(text, _)| *text == key) {
                Some((_, known)) => known.push(standing),
                None => texts.push((key, vec![standing])),
            }
        }
    }
    texts.iter().filter_map(|(_, standing)| due(formula, standing)).collect()
}

/// The allergens that the list of ingredients has to name in a market on a day, besides those that stand in it anyway:
/// what brings most first.
pub fn allergens(formula: &Formula, market: &str, day: Date) -> Vec<Due> {
    let mut due = label_duties(formula, market, day, true);
    due.retain(|due| !is_listed(formula, due));
    due.sort_by(|a, b| b.amount.mid.cmp(&a.amount.mid).then_with(|| a.text.cmp(&b.text)));
    due
}

/// Whether the list of ingredients names it anyway, because a line is it and is no scent: benzyl alcohol that
/// preserves.
fn is_listed(formula: &Formula, due: &Due) -> bool {
    due.items.iter().filter_map(|at| formula.items.get(*at)).any(|item| {
        // What it does first, as the line says it, else as it is known.
        let scent = item.functions.first().is_none_or(|first| {
            let first = fold(first);
            first.starts_with("fragrance") || first.starts_with("essential oil")
        });
        let list = item.material.as_ref().map_or("", |material| material.label_name());
        !scent && fold(list).split(" (and) ").any(|name| name == fold(&due.text))
    })
}

fn due(formula: &Formula, standing: &[Standing<'_>]) -> Option<Due> {
    let first = standing.first()?;
    let mut counted: Vec<&Substance> = Vec::new();
    let mut amount = Interval::zero();
    let mut most = Exact::zero();
    let mut items: Vec<usize> = Vec::new();
    let mut open = false;
    for Standing { substance, .. } in standing {
        if counted.iter().any(|known| known.name == substance.name) {
            continue;
        }
        counted.push(substance);
        for via in &substance.via {
            let Some(item) = formula.items.get(via.item) else { continue };
            // A line without a weight brings nothing that could be counted.
            let Some(whole) = item.share.as_ref().filter(|whole| !whole.high.is_zero()) else { continue };
            match &via.share {
                Some(share) => {
                    most = most
                        + if item.is_range || item.conversion.is_some() { &share.high } else { &share.mid };
                    amount = amount.plus(share);
                }
                None => {
                    open = true;
                    most = most + &whole.high;
                }
            }
            if !items.contains(&via.item) {
                items.push(via.item);
            }
        }
    }
    let reached = |duty: &LabelDuty| duty.above.as_ref().is_none_or(|above| most > *above);
    // What the product's words decide comes before what they leave open; then the lowest threshold.
    let own = standing
        .iter()
        .filter(|own| reached(own.duty))
        .min_by_key(|own| (own.fit != Fit::Yes, own.duty.above.clone()))?;
    (!items.is_empty()).then(|| Due {
        text: first.duty.text.clone(),
        amount,
        open,
        unnamed: first
            .substance
            .material
            .as_ref()
            .is_some_and(|material| material.inci.is_none() && material.key() == fold(&first.duty.text)),
        items,
        fit: own.fit,
        above: own.duty.above.clone(),
        rank: own.duty.force.rank,
        source: own.duty.source.clone(),
    })
}
