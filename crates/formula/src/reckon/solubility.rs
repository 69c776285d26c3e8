//! What the water of a formula holds once it has cooled: solubility at room temperature, weak acids by pH.
//!
//! Grams per 100 mL of water are taken as grams per 100 g (water of 20 °C: 0.998 g/mL). A weak acid dissolves as itself
//! up to its own solubility S0 and beyond that as its salt: S = S0 (1 + 10^(pH − pKa)), with a further term for each
//! further pKa (A. Martin, Physical Pharmacy, solubility of weak electrolytes). Published figures of S0 hold for the
//! acid in plain water, where a little of it is dissociated already, so that S comes out a little high: on the side of
//! silence.

mod solvents;

use super::acid::{separates_below, solubility_at};
use crate::exact::Exact;
use crate::formula::{Formula, Item};
use crate::material::{Figure, Material, Solubility, Source};
use crate::substances::{Substance, Via};
use crate::window::Window;
use notation::PhaseKind;
use solvents::{carried, carrier_of, cold_water_of_step, solvent_lines};
use std::sync::Arc;

/// Published figures for one substance differ by about this factor.
const SPREAD: f64 = 1.15;
/// Something of which more is in a formula than the water holds at room temperature.
#[derive(Clone, PartialEq, Debug)]
pub struct Undissolved {
    /// The line that brings most of it.
    pub item: usize,
    /// All lines that bring it.
    pub lines: Vec<usize>,
    /// What does not dissolve: the line's own substance, or the free acid of its salt.
    pub material: Arc<Material>,
    /// How much of it there is, percent of the whole.
    pub percent: f64,
    /// The most that dissolves, percent of the whole.
    pub most: f64,
    /// The water that it is to dissolve in, percent of the whole; or another solvent.
    pub solvent: f64,
    /// What other liquids may carry of it, percent of the whole; part of `most`.
    pub carried: f64,
    /// The name of the solvent where the line or a step names one.
    pub named: Option<String>,
    /// The figure for room temperature.
    pub figure: Figure<Exact>,
    /// Where other figures for room temperature come from.
    pub others: Vec<Source>,
    /// The pH at which it was judged.
    pub ph: Option<Exact>,
    /// The acid constant that was used, and whose word it is.
    pub pka: Option<Figure<Exact>>,
    /// Whether it comes from a salt.
    pub from_salt: bool,
    /// The pH below which the acid falls out.
    pub falls_out_below: Option<f64>,
}

impl Undissolved {
    /// Whether it is a liquid, which separates instead of coming back as crystals.
    pub fn is_liquid(&self) -> bool {
        let room = Exact::whole(25);
        let solid =
            self.material.melts.iter().any(|figure| upper(&figure.value).is_some_and(|most| most > room));
        self.material.density.is_some() && !solid
    }

    /// An amount that dissolves, in percent, rounded down to what can be weighed: to a tenth, below 1 to a hundredth.
    pub fn rounded_down(&self) -> Option<Exact> {
        let (steps, denominator) = if self.most >= 1.0 { (10.0, 10) } else { (100.0, 100) };
        let whole = libm::floor(self.most * steps);
        (whole >= 1.0).then(|| Exact::fraction(whole as i128, denominator))
    }
}

/// What does not dissolve. Only what a figure for room temperature is known of; nothing that is suspended on purpose,
/// and nothing in products that are dry or full of grains.
pub fn undissolved(formula: &Formula) -> Vec<Undissolved> {
    const GRAINS: &[&str] = &[
        "scrub",
        "bath salts",
        "bath bomb",
        "powder",
        "loose powder",
        "pressed powder",
        "cleansing bar",
        "stick",
    ];
    let product = &formula.header.product;
    let little = formula.water.share.mid < Exact::fraction(1, 20);
    if little || product.is_premix() || GRAINS.iter().any(|form| product.says(form)) {
        return Vec::new();
    }
    formula.substances.iter().filter_map(|substance| judged(formula, substance)).collect()
}

fn judged(formula: &Formula, substance: &Substance) -> Option<Undissolved> {
    let material = substance.material.as_ref()?;
    if !material.contains.is_empty() || material.water.is_some() {
        return None;
    }
    let (figure, others) = at_room_temperature(material, "water")?;
    let brought: Vec<&Via> = substance.via.iter().filter(|via| brings(formula, material, via)).collect();
    let whole = in_all_water(formula, material, &brought, &figure);
    let found =
        whole.or_else(|| brought.iter().find_map(|via| in_named_solvent(formula, material, via, &figure)))?;
    Some(Undissolved { others, ..found })
}

/// Whether a way in brings something that has to dissolve: the substance itself, or a salt of this acid.
fn brings(formula: &Formula, material: &Material, via: &Via) -> bool {
    let Some(item) = formula.items.get(via.item) else { return false };
    let salt = !via.itself && !material.pka.is_empty() && via.origin.has_charge("anionic");
    // Inside a blend the other parts carry it.
    let own = via.itself && item.material.as_ref().is_some_and(|own| own.key() == material.key());
    (own || salt)
        && via.share.is_some()
        && item.strength_in.is_none()
        && !is_suspended(formula, via.item, item)
}

/// Whether a line is meant to stay a suspended powder: the line, its phase or a step says so.
fn is_suspended(formula: &Formula, at: usize, item: &Item) -> bool {
    const SUSPENDING: &[&str] = &[
        "disperse",
        "suspend",
        "suspended",
        "suspension",
        "slurry",
        "levigate",
        "mill",
        "grind",
        "sift",
        "sprinkle",
        "powders",
    ];
    let kind = item.phase.and_then(|phase| formula.phases.get(phase)).and_then(|phase| phase.kind);
    item.carried_in.iter().any(|(how, _)| how == "dispersed in" || how == "wetted in")
        || item.grades.iter().any(|grade| grade == "fine powder")
        || matches!(kind, Some(PhaseKind::Powder | PhaseKind::Slurry))
        || item.material.as_ref().is_some_and(|material| material.phase == Some(PhaseKind::Powder))
        || formula.steps.iter().any(|step| step.items.contains(&at) && step.says(SUSPENDING))
}

/// The best figure between 15 and 25 °C, with the sources of the others.
fn at_room_temperature(material: &Material, solvent: &str) -> Option<(Figure<Exact>, Vec<Source>)> {
    let room = |own: &Solubility| {
        let fits = |celsius: &Exact| *celsius >= Exact::whole(15) && *celsius <= Exact::whole(25);
        own.solvent == solvent && own.celsius.as_ref().is_none_or(fits)
    };
    let mut figures: Vec<Figure<Exact>> = material
        .solubility
        .iter()
        .filter(|figure| room(&figure.value))
        .filter_map(|figure| {
            let grams = figure.value.grams_per_100_ml.as_ref().and_then(upper)?;
            Some(Figure { value: grams, source: figure.source.clone() })
        })
        .collect();
    figures.sort_by(|a, b| b.value.cmp(&a.value));
    let mut figures = figures.into_iter();
    let best = figures.next()?;
    Some((best, figures.map(|figure| figure.source).collect()))
}

fn upper(window: &Window) -> Option<Exact> {
    window.high.clone().or_else(|| window.low.clone())
}

/// Held against all the water of the formula.
fn in_all_water(
    formula: &Formula,
    material: &Arc<Material>,
    brought: &[&Via],
    figure: &Figure<Exact>,
) -> Option<Undissolved> {
    let free: Vec<&&Via> = brought.iter().filter(|via| carrier_of(formula, via).is_none()).collect();
    let first = free.iter().max_by_key(|via| via.share.as_ref().map(|share| share.low.clone()))?;
    let from_salt = free.iter().any(|via| !via.itself);
    let total: Exact = free.iter().filter_map(|via| via.share.as_ref().map(|share| share.low.clone())).sum();
    let (per_100, ph) = acidity(formula, material, from_salt).held(&figure.value, material)?;
    let open: f64 = formula
        .water
        .open
        .iter()
        .filter_map(|at| formula.items.get(*at).and_then(Item::mid))
        .map(Exact::estimate)
        .sum();
    let water = formula.water.share.high.estimate() + open;
    let beside = carried(formula, material, &free);
    let most = water * per_100 / 100.0 + beside;
    let total = total.estimate();
    (total > most * SPREAD).then(|| Undissolved {
        item: first.item,
        lines: free.iter().map(|via| via.item).collect(),
        material: Arc::clone(material),
        percent: total * 100.0,
        most: most * 100.0,
        solvent: water * 100.0,
        carried: beside * 100.0,
        named: None,
        figure: figure.clone(),
        others: Vec::new(),
        falls_out_below: material
            .pka
            .first()
            .filter(|_| from_salt)
            .and_then(|pka| separates_below(&pka.value, total / water * 100.0, figure.value.estimate())),
        pka: material.pka.first().filter(|_| ph.is_some()).cloned(),
        ph,
        from_salt,
    })
}

/// Held against the solvent that the line names, or the water that a step dissolves it in cold.
fn in_named_solvent(
    formula: &Formula,
    material: &Arc<Material>,
    via: &Via,
    water_figure: &Figure<Exact>,
) -> Option<Undissolved> {
    let item = formula.items.get(via.item)?;
    let share = via.share.as_ref()?.low.estimate();
    let (name, lines) = match item.carried_in.iter().find(|(how, _)| how == "dissolved in") {
        Some((_, name)) => (name.clone(), solvent_lines(formula, name, item.phase)),
        None => cold_water_of_step(formula, via.item, item)?,
    };
    let mut watery = 0.0;
    let mut most = 0.0;
    let mut figure = water_figure.clone();
    let (per_100, ph) = acidity(formula, material, !via.itself).held(&water_figure.value, material)?;
    for line in &lines {
        let amount = line.share.as_ref()?.high.estimate();
        let solvent = line.material.as_ref()?;
        watery += amount;
        // Strong alcohol holds a little water and dissolves by itself: only its own figure says how much.
        if let Some(water) = solvent.water_share().filter(|water| *water >= Exact::fraction(1, 2)) {
            most += amount * water.estimate() * per_100 / 100.0;
        } else {
            let (own, _) = solvent.names().find_map(|name| at_room_temperature(material, name))?;
            let density = solvent.density.as_ref()?.value.middle()?.estimate();
            most += amount / density * own.value.estimate() / 100.0;
            figure = own;
        }
    }
    (watery > 0.0 && share > most * SPREAD).then(|| Undissolved {
        item: via.item,
        lines: vec![via.item],
        material: Arc::clone(material),
        percent: share * 100.0,
        most: most * 100.0,
        solvent: watery * 100.0,
        carried: 0.0,
        named: Some(name),
        figure,
        others: Vec::new(),
        pka: material.pka.first().filter(|_| ph.is_some()).cloned(),
        ph,
        from_salt: !via.itself,
        falls_out_below: None,
    })
}

fn constants(material: &Material) -> Vec<Exact> {
    let mut constants: Vec<Exact> = material.pka.iter().map(|figure| figure.value.clone()).collect();
    constants.sort();
    constants
}

/// The pH at which something is judged.
enum Acidity {
    /// None is needed: no acid, or a free acid with nothing that could turn it into its salt.
    Any,
    /// The upper end of the target, where most of an acid dissolves.
    At(Exact),
    /// It decides, and nobody says it.
    Unknown,
}

impl Acidity {
    /// What 100 mL of water hold, and the pH that was used; none where it cannot be told.
    fn held(self, free: &Exact, material: &Material) -> Option<(f64, Option<Exact>)> {
        match self {
            Acidity::Any => Some((free.estimate(), None)),
            Acidity::At(ph) => {
                let held = solubility_at(free, &constants(material), &ph);
                // An acid so weak that it is still itself needs no word about the pH.
                let matters = held > free.estimate() * 1.05;
                Some((held, Some(ph).filter(|_| matters)))
            }
            Acidity::Unknown => None,
        }
    }
}

fn acidity(formula: &Formula, material: &Material, from_salt: bool) -> Acidity {
    let Some(first) = constants(material).into_iter().next() else { return Acidity::Any };
    let target = formula.header.ph.as_ref().map(|(window, _)| window);
    let target = target.or_else(|| formula.items.iter().find_map(|item| item.to_ph.as_ref()));
    if let Some(ph) = target.and_then(upper) {
        return Acidity::At(ph);
    }
    // Skin products hardly lie above pH 7: there such an acid is still itself.
    if first > Exact::fraction(13, 2) && !from_salt {
        return Acidity::At(Exact::whole(7));
    }
    let alkaline = |item: &Item| {
        let own = item.material.as_ref().and_then(|material| material.own_ph.as_ref());
        let salt = item.material.as_ref().is_some_and(|material| material.has_charge("anionic"));
        let adjusts = (item.does("pH adjuster") || item.does("buffer"))
            && !item.material.as_ref().is_some_and(|material| material.is_free_acid());
        !item.is_known()
            || salt
            || adjusts
            || own.is_some_and(|own| own.value.high.as_ref().is_some_and(|high| *high >= Exact::whole(7)))
    };
    if from_salt || formula.items.iter().any(alkaline) { Acidity::Unknown } else { Acidity::Any }
}
