//! What an emulsion is made of: its oils, counted in full, and whatever brings them together with water.
#![deny(clippy::float_arithmetic)]

use crate::exact::Exact;
use crate::formula::{Formula, Item, is_oil, is_oily};
use crate::limit::Fit;
use crate::material::{Figure, Material, function_fits};
use crate::window::Window;
use std::sync::Arc;

/// An oil: a line of which all dissolves in oil, or such a line of a premix.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Oil {
    /// The line that brings it.
    pub item: usize,
    /// Its name; that of the line inside the premix, where it comes with one.
    pub name: String,
    /// What it is; none for a blend of oils of which only the parts are known.
    pub material: Option<Arc<Material>>,
    /// Its share of the whole, 0 to 1.
    pub share: Exact,
}

/// What brings oil and water together by its nature.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Emulsifier {
    /// The line that brings it.
    pub item: usize,
    /// Its name.
    pub name: String,
    /// What it is; none where only the line says that it emulsifies.
    pub material: Option<Arc<Material>>,
    /// Its share of the whole, 0 to 1.
    pub share: Option<Exact>,
    /// Whether it comes inside a premix.
    pub in_premix: bool,
}

/// Which phase lies in which.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum EmulsionKind {
    /// O/W
    OilInWater,
    /// W/O
    WaterInOil,
}

impl EmulsionKind {
    /// `O/W` or `W/O`
    pub fn word(self) -> &'static str {
        match self {
            EmulsionKind::OilInWater => "O/W",
            EmulsionKind::WaterInOil => "W/O",
        }
    }
}

impl Emulsifier {
    fn does(&self, kind: &str) -> bool {
        self.material.as_ref().is_some_and(|material| material.does(kind))
    }

    /// The kind of emulsion that it makes by itself; none where it makes both, or nobody says which.
    pub fn makes(&self) -> Option<EmulsionKind> {
        if self.does("emulsifier lamellar") && !self.does("emulsifier O/W") {
            return None;
        }
        match (self.does("emulsifier O/W"), self.does("emulsifier W/O")) {
            (true, false) => Some(EmulsionKind::OilInWater),
            (false, true) => Some(EmulsionKind::WaterInOil),
            _ => None,
        }
    }

    /// Whether sums of HLB mean something for it: one plain non-ionic emulsifier, no ready-made, lamellar or polymeric
    /// system and none that carries a charge.
    pub fn follows_hlb(&self) -> bool {
        let Some(material) = &self.material else { return false };
        let system = ["self-emulsifying", "lamellar", "polymeric"]
            .iter()
            .any(|kind| self.does(&format!("emulsifier {kind}")));
        let neutral = material.charge.as_ref().is_some_and(|charge| charge.value == "non-ionic");
        neutral && !system && !material.name.contains(" (and) ")
    }

    /// Its own HLB.
    pub fn hlb(&self) -> Option<&Figure<Window>> {
        self.material.as_ref()?.hlb.first()
    }
}

/// An emulsion: what is to be held together, and what could do it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Emulsion {
    /// Free water, as a share of the whole.
    pub water: Exact,
    /// The oils in the order of the lines.
    pub oils: Vec<Oil>,
    /// All oils together, as a share of the whole.
    pub oil_share: Exact,
    /// What emulsifies, in the order of the lines.
    pub emulsifiers: Vec<Emulsifier>,
    /// Lines that emulsify beside their first work, in an amount that tells: 3 % and more of lanolin or cholesterol
    /// (common practice), a gel that holds fine drops from the lower end of its usual share on.
    pub helpers: Vec<usize>,
    /// Whether one of them is a polymer.
    pub polymeric: bool,
    /// A wax or an acid that a base turns into soap, and the base: together they emulsify.
    pub soap: Option<(usize, usize)>,
    /// Lines that hold oil in water in another way: surfactants, charged conditioners, clays, food with its own emulsion.
    pub others: Vec<usize>,
    /// Lines of which nobody knows what they are or how much of them there is.
    pub open: Vec<usize>,
    /// The type that the product line says.
    pub declared: Option<EmulsionKind>,
}

/// What is no emulsion, or none that has to hold.
const NO_EMULSIONS: &[&str] = &[
    "shake before use",
    "scrub",
    "mask",
    "peel",
    "paste",
    "bath",
    "bath oil",
    "bath salts",
    "bath bomb",
    "bath milk",
    "cleansing bar",
    "loose powder",
    "pressed powder",
    "powder",
    "premix",
    "water-free",
];

/// The least oil, and the least water, that make an emulsion; below it is a matter of dissolving.
pub fn least_of_a_phase() -> Exact {
    Exact::fraction(5, 100)
}

/// A formula as an emulsion. None where it is none that has to hold: less than 5 % of oils or of free water, products
/// that are shaken before use, scrubs, masks, powders and bath products, premixes.
pub fn emulsion(formula: &Formula) -> Option<Emulsion> {
    let product = &formula.header.product;
    let other = NO_EMULSIONS.iter().any(|word| product.is(word) == Fit::Yes);
    let shaken = formula.header.label_words().iter().any(|words| notation::fold(words).contains("shake"));
    if other || shaken || product.usage() == Some("bath") {
        return None;
    }
    let mut found = Emulsion {
        water: formula.water.share.mid.clone(),
        oils: Vec::new(),
        oil_share: Exact::zero(),
        emulsifiers: Vec::new(),
        helpers: Vec::new(),
        polymeric: false,
        soap: soap(formula),
        others: others(formula),
        open: Vec::new(),
        declared: None,
    };
    for (at, item) in formula.items.iter().enumerate() {
        line(&mut found, at, item, &Exact::one(), false);
    }
    found.oil_share = found.oils.iter().map(|oil| oil.share.clone()).sum();
    found.declared = [EmulsionKind::OilInWater, EmulsionKind::WaterInOil]
        .into_iter()
        .find(|kind| product.is(kind.word()) == Fit::Yes);
    let least = least_of_a_phase();
    (found.oil_share >= least && found.water >= least).then_some(found)
}

/// Counts a line in; `of` is the share of the premix that it stands in.
fn line(found: &mut Emulsion, at: usize, item: &Item, of: &Exact, in_premix: bool) {
    let share = item.mid().map(|share| share * of);
    if let Some(premix) = &item.premix {
        let Some(share) = share else {
            found.open.push(at);
            return;
        };
        for inner in &premix.items {
            line(found, at, inner, &share, true);
        }
        return;
    }
    let declared = item.declared.iter().any(|function| function_fits(function, "emulsifier"));
    if declared || emulsifies(item) {
        let material = item.material.clone();
        found.emulsifiers.push(Emulsifier { item: at, name: item.name.clone(), material, share, in_premix });
        return;
    }
    if item.does("emulsifier") && helps(item, share.as_ref()) {
        found.helpers.push(at);
        found.polymeric |= item.does("emulsifier polymeric");
    }
    let unknown =
        !item.is_known() || item.is_ambiguous() || item.blend.iter().any(|(_, part)| part.is_none());
    if unknown || item.premix_missing {
        found.open.push(at);
    } else if is_oil(item) || blend_of_oils(item) {
        match share {
            Some(share) => {
                found.oils.push(Oil {
                    item: at,
                    name: item.name.clone(),
                    material: item.material.clone(),
                    share,
                });
            }
            None => found.open.push(at),
        }
    }
}

/// Whether emulsifying or dissolving oil in water is a line's first work.
fn emulsifies(item: &Item) -> bool {
    let first = |material: &Material| {
        material
            .functions
            .first()
            .is_some_and(|first| function_fits(first, "emulsifier") || function_fits(first, "solubiliser"))
    };
    let parts = item.blend.iter().filter_map(|(_, part)| part.as_ref());
    item.material.iter().chain(parts).any(|material| first(material))
}

fn helps(item: &Item, share: Option<&Exact>) -> bool {
    let usual = item.material.as_ref().and_then(|material| material.usage.first()?.value.low.clone());
    let least =
        usual.filter(|_| item.does("emulsifier polymeric")).unwrap_or_else(|| Exact::fraction(3, 100));
    share.is_none_or(|share| *share >= least)
}

fn blend_of_oils(item: &Item) -> bool {
    !item.blend.is_empty()
        && item.blend.iter().all(|(_, part)| part.as_ref().is_some_and(|part| is_oily(part)))
}

/// A wax or fatty acid that turns into soap when it is neutralised, with something that may neutralise it.
pub(crate) fn soap(formula: &Formula) -> Option<(usize, usize)> {
    let acid = |item: &Item| {
        item.material.as_ref().is_some_and(|material| {
            let charge = material.charge.as_ref().map_or("", |charge| charge.value.as_str());
            material.dissolves_in("oil")
                && charge.starts_with("anionic")
                && charge.ends_with("when neutralised")
        })
    };
    let place = |is: &dyn Fn(&Item) -> bool| formula.items.iter().position(is);
    Some((place(&acid)?, place(&may_be_alkaline)?))
}

/// Whether a line may be alkaline: it imposes a pH above 7.5, or sets the pH and is not known as an acid.
fn may_be_alkaline(item: &Item) -> bool {
    let basic = Exact::fraction(15, 2);
    item.material.as_ref().is_some_and(|material| {
        let own =
            material.own_ph.as_ref().and_then(|own| own.value.low.as_ref()).is_some_and(|low| *low >= basic);
        let sets = material.does("pH adjuster") && !material.does("exfoliant");
        own || (sets && (material.pka.is_empty() || material.pka.iter().any(|pka| pka.value >= basic)))
    })
}

fn others(formula: &Formula) -> Vec<usize> {
    let little = Exact::fraction(1, 100);
    let mut lines: Vec<usize> = formula
        .substances
        .iter()
        .filter(|substance| {
            substance.material.as_ref().is_some_and(|material| {
                let charge = material.charge.as_ref().map_or("", |charge| charge.value.as_str());
                material.does("surfactant")
                    || (material.does("conditioner") && charge.starts_with("cationic"))
            })
        })
        .flat_map(|substance| substance.via.iter().map(|via| via.item))
        .collect();
    let held = formula.items.iter().enumerate().filter(|(_, item)| {
        (item.does("clay") || item.does("food")) && item.mid().is_none_or(|share| *share >= little)
    });
    lines.extend(held.map(|(at, _)| at));
    lines.sort_unstable();
    lines.dedup();
    lines
}

impl Emulsion {
    /// Whether something that nobody knows could be the emulsifier: 0.2 % or more of it, or an unknown amount.
    pub fn may_hold_an_unknown(&self, formula: &Formula) -> bool {
        let least = Exact::fraction(2, 1000);
        let enough = |item: &Item| item.mid().is_none_or(|share| *share >= least);
        self.open.iter().any(|at| formula.items.get(*at).is_some_and(enough))
    }

    /// Whether something other than a plain emulsifier is at work, so that sums over emulsifiers say nothing.
    pub fn is_mixed_system(&self) -> bool {
        self.soap.is_some() || self.polymeric || !self.others.is_empty()
    }

    /// The kind that it is meant to be: declared, else what its emulsifiers make.
    pub fn kind(&self) -> Option<EmulsionKind> {
        self.declared.or_else(|| {
            let kinds: Vec<EmulsionKind> = self.emulsifiers.iter().filter_map(Emulsifier::makes).collect();
            // A pair of both kinds is how oil in water is made.
            if kinds.contains(&EmulsionKind::OilInWater) {
                Some(EmulsionKind::OilInWater)
            } else {
                kinds.first().copied()
            }
        })
    }
}

/// How far the emulsifiers reach for the oils that there are, each by the least share that it needs.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Reach {
    /// Sum over the emulsifiers of their share over the least that all the oils, or the whole, would need of each: one
    /// and more is enough.
    pub filled: Exact,
    /// The lines that were counted, each with the figure that it was counted by.
    pub by: Vec<(usize, Figure<Window>)>,
    /// Whether the figures are shares of the oils; else they are shares of the whole.
    pub of_oils: bool,
}

/// How far the emulsifiers reach. Oil in water by `needs … % of oils`; W/O and polymeric emulsifiers by the lower end
/// of their usual share of the whole. None where an emulsifier has no figure, an amount is open, or both kinds are mixed.
pub fn reach(emulsion: &Emulsion) -> Option<Reach> {
    let mut filled = Exact::zero();
    let mut by = Vec::new();
    let mut of_oils = None;
    for own in &emulsion.emulsifiers {
        let material = own.material.as_ref()?;
        let share = own.share.as_ref()?;
        let by_whole = material.does("emulsifier polymeric") || own.makes() == Some(EmulsionKind::WaterInOil);
        let figure = if by_whole { material.usage.first()? } else { material.needs_of_oils.first()? };
        if *of_oils.get_or_insert(!by_whole) == by_whole {
            return None;
        }
        let least = figure.value.low.as_ref().or(figure.value.high.as_ref())?;
        let whole = if by_whole { Exact::one() } else { emulsion.oil_share.clone() };
        filled = filled + share.over(&(least * &whole))?;
        by.push((own.item, figure.clone()));
    }
    Some(Reach { filled, by, of_oils: of_oils? })
}
