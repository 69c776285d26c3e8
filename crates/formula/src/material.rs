//! What is known of one ingredient: from the catalogue, or from the maker's own block.

use crate::clash::Clash;
use crate::exact::Exact;
use crate::limit::{LabelDuty, Limit};
use crate::window::Window;
use notation::{Date, PhaseKind, fold};
use std::fmt;
use std::sync::{Arc, OnceLock};

/// How well a figure is founded. Ordered: the weakest first.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, PartialOrd, Ord)]
pub enum Standing {
    /// Common practice or a default of which the sources disagree.
    Default,
    /// From memory, not checked.
    FromMemory,
    /// What the trade usually does.
    CommonPractice,
    /// Read in a document that quotes the source.
    SecondHand,
    /// Read at the source, or said by the maker of their own material.
    Read,
}

/// What stands for the document of a rule of thumb.
pub const DEFAULT_OF_THE_TABLES: &str = "a default of the tables";

/// Where a figure comes from.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct Source {
    /// The document, section and date; or the words for what stands in its place.
    pub text: Arc<str>,
    /// How well it is founded.
    pub standing: Standing,
    /// Whether the maker's own block says it.
    pub own: bool,
}

impl Source {
    /// The weaker of two.
    pub fn weaker<'a>(&'a self, other: &'a Source) -> &'a Source {
        if other.standing < self.standing { other } else { self }
    }
}

/// A value with its source.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Figure<T> {
    /// The value.
    pub value: T,
    /// Where it comes from.
    pub source: Source,
}

/// A substance that is part of a material.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Part {
    /// The substance's name.
    pub name: String,
    /// Its share of the material, 0 to 1; none where it is present but nobody says how much.
    pub share: Option<Window>,
    /// Whether it takes all that the other parts leave.
    pub rest: bool,
    /// Whether it has to be named on the label.
    pub allergen: bool,
}

/// Limit of a photosensitising material.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Phototoxic {
    /// The most of it in a product that stays on skin in the light, as a share; none where no figure is known.
    pub limit: Option<Exact>,
    /// Whether it has its own limit, outside the common sum.
    pub outside_sum: bool,
}

/// Whom or what a material should be kept from.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Avoid {
    /// A person, an area, a form or a way.
    pub what: String,
    /// Why.
    pub because: String,
    /// `error`, `warning`, `note` or `hint`, where the line says it.
    pub level: Option<String>,
    /// Only from more than this share on; none for any amount.
    pub above: Option<Exact>,
}

/// How much of a substance dissolves.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Solubility {
    /// In what.
    pub solvent: String,
    /// Grams in 100 mL; none for the words below.
    pub grams_per_100_ml: Option<Window>,
    /// At which temperature, in °C.
    pub celsius: Option<Exact>,
    /// `miscible`, `insoluble`, `dispersible`, or empty.
    pub word: String,
}

/// A price.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Price {
    /// How much money.
    pub money: Exact,
    /// In which currency.
    pub currency: String,
    /// For how many grams; none where it is a price of a volume whose weight is not known.
    pub grams: Option<Exact>,
}

/// One lot on the shelf.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Lot {
    /// Its number.
    pub number: String,
    /// When it expires.
    pub expires: Option<Date>,
}

/// What is known of one ingredient. Nothing is guessed: what no line says is absent.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Material {
    /// The name of its block.
    pub name: String,
    /// Its name for the label.
    pub inci: Option<String>,
    /// Other names.
    pub also: Vec<String>,
    /// CAS numbers.
    pub cas: Vec<String>,
    /// What it does: words of [`notation::FUNCTIONS`].
    pub functions: Vec<String>,
    /// The phase that practice puts it in.
    pub phase: Option<PhaseKind>,
    /// `water`, `oil`, `alcohol`, `both`, `nothing`.
    pub soluble_in: Vec<String>,
    /// Solubilities.
    pub solubility: Vec<Figure<Solubility>>,
    /// Share of water in it, 0 to 1.
    pub water: Option<Figure<Window>>,
    /// Share of the substance itself in what is sold under its name, 0 to 1.
    pub usual_strength: Option<Figure<Window>>,
    /// Grams per millilitre.
    pub density: Option<Figure<Window>>,
    /// Milligrams in a drop.
    pub drop: Option<Figure<Window>>,
    /// Melting range, °C.
    pub melts: Vec<Figure<Window>>,
    /// The temperature above which it suffers, °C, and why.
    pub not_above: Option<Figure<(Exact, String)>>,
    /// HLB that it needs as an oil, and of which emulsion.
    pub required_hlb: Vec<Figure<(Window, String)>>,
    /// HLB that it has as an emulsifier.
    pub hlb: Vec<Figure<Window>>,
    /// `anionic`, `cationic`, `non-ionic`, `amphoteric`.
    pub charge: Option<Figure<String>>,
    /// pH at which it works.
    pub works_at_ph: Option<Figure<Window>>,
    /// pH at which it is stable.
    pub stable_at_ph: Option<Figure<Window>>,
    /// pH that it imposes.
    pub own_ph: Option<Figure<Window>>,
    /// Acid constants.
    pub pka: Vec<Figure<Exact>>,
    /// g/mol.
    pub molar_mass: Option<Figure<Exact>>,
    /// What it counts as for limits.
    pub counts_as: Vec<Figure<Part>>,
    /// What it contains.
    pub contains: Vec<Figure<Part>>,
    /// Micrograms of active in one international unit.
    pub microgram_per_iu: Option<Figure<Exact>>,
    /// Usual share of the product, 0 to 1.
    pub usage: Vec<Figure<Window>>,
    /// Share of the oils that an emulsifier needs to be, 0 to 1.
    pub needs_of_oils: Vec<Figure<Window>>,
    /// Share of itself and the water together from which it keeps that water, 0 to 1.
    pub keeps_water: Vec<Figure<Window>>,
    /// Share of the whole that the oils may be for an emulsifier to hold them, 0 to 1.
    pub oils_at_most: Vec<Figure<Window>>,
    /// Organisms that a preservative works on.
    pub works_on: Vec<String>,
    /// What it cannot stand beside.
    pub incompatible: Vec<Figure<Clash>>,
    /// Whom it should be kept from.
    pub avoid: Vec<Figure<Avoid>>,
    /// Allergen families.
    pub families: Vec<String>,
    /// Photosensitising.
    pub phototoxic: Option<Figure<Phototoxic>>,
    /// Whether light spoils it.
    pub light_sensitive: bool,
    /// Whether air spoils it.
    pub air_sensitive: bool,
    /// `plant`, `animal`, `mineral`, `synthetic`.
    pub origin: Option<String>,
    /// How much it clogs pores, 0 to 5, as tested on rabbit ears.
    pub pore_clogging: Option<Figure<Exact>>,
    /// Shelf life in days.
    pub shelf_life_days: Option<Figure<Exact>>,
    /// The things the name can mean; empty for a name that means one.
    pub ambiguous: Vec<String>,
    /// Prices.
    pub prices: Vec<Price>,
    /// Lots.
    pub lots: Vec<Lot>,
    /// Limits of law and of the trade.
    pub limits: Vec<Limit>,
    /// Sums that it is part of.
    pub groups: Vec<String>,
    /// Words that the label has to carry.
    pub labels: Vec<LabelDuty>,
    /// Whether a maker's own block speaks of it.
    pub own: bool,
    /// Its names, folded once.
    pub(crate) folded: FoldedNames,
}

/// Names folded when they are first asked for; no part of what a material is.
#[derive(Clone, Default)]
pub(crate) struct FoldedNames {
    names: OnceLock<Vec<String>>,
    words: OnceLock<Vec<String>>,
}

/// Shown alike whether anybody has asked for them or not, so that two texts of one material can be compared.
impl fmt::Debug for FoldedNames {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("FoldedNames")
    }
}

impl PartialEq for FoldedNames {
    fn eq(&self, _: &FoldedNames) -> bool {
        true
    }
}

impl Eq for FoldedNames {}

impl Material {
    /// The name under which it is compared and summed.
    pub fn key(&self) -> String {
        fold(&self.name)
    }

    /// Whether it has a function, in any of its kinds (`emulsifier` fits `emulsifier O/W`; `preservative` does not
    /// fit `preservative booster`).
    pub fn does(&self, function: &str) -> bool {
        self.functions.iter().any(|own| function_fits(own, function))
    }

    /// Whether it has a charge: `anionic` fits `anionic when neutralised` and `anionic sulfate`.
    pub fn has_charge(&self, charge: &str) -> bool {
        self.charge.as_ref().is_some_and(|own| function_fits(&own.value, charge))
    }

    /// Whether it is a free acid that makes water sour: a pKa between 1 and 6, no salt, no ampholyte, nothing alkaline.
    pub fn is_free_acid(&self) -> bool {
        let sour = |pka: &Figure<Exact>| pka.value >= Exact::one() && pka.value <= Exact::whole(6);
        let alkaline = self
            .own_ph
            .as_ref()
            .is_some_and(|own| own.value.low.as_ref().is_some_and(|low| *low >= Exact::whole(7)));
        self.pka.iter().any(sour) && self.charge.is_none() && !alkaline
    }

    /// Whether it dissolves in something.
    pub fn dissolves_in(&self, solvent: &str) -> bool {
        self.soluble_in.iter().any(|own| own == solvent || own == "both")
    }

    /// All its names, folded.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        let names = self.folded.names.get_or_init(|| {
            std::iter::once(&self.name)
                .chain(self.inci.as_ref())
                .chain(&self.also)
                .map(|name| fold(name))
                .collect()
        });
        names.iter().map(String::as_str)
    }

    /// The words of its names that `choose` takes; it is asked once for all.
    pub(crate) fn words_of_names(&self, choose: fn(&[&str]) -> Vec<String>) -> &[String] {
        self.folded.words.get_or_init(|| choose(&self.names().collect::<Vec<_>>()))
    }

    /// Its name for a label, else its own name.
    pub fn label_name(&self) -> &str {
        self.inci.as_deref().unwrap_or(&self.name)
    }

    /// The share of water, 0 to 1, as far as a line says one.
    pub fn water_share(&self) -> Option<Exact> {
        self.water.as_ref().and_then(|figure| figure.value.middle())
    }

    /// What the maker's own block says of the same thing laid over this: kind by kind, except limits, label duties,
    /// `counts as`, groups and phototoxicity, which stand beside each other.
    #[must_use]
    pub fn overlaid(&self, own: &Material) -> Material {
        fn list<T: Clone>(own: &[T], base: &[T]) -> Vec<T> {
            if own.is_empty() { base.to_vec() } else { own.to_vec() }
        }
        fn both<T: Clone>(own: &[T], base: &[T]) -> Vec<T> {
            own.iter().chain(base).cloned().collect()
        }
        let mut also = both(&own.also, &self.also);
        also.push(self.name.clone());
        let contains = own
            .contains
            .iter()
            .chain(self.contains.iter().filter(|part| {
                !own.contains.iter().any(|mine| fold(&mine.value.name) == fold(&part.value.name))
            }))
            .cloned()
            .collect();
        Material {
            name: own.name.clone(),
            inci: own.inci.clone().or_else(|| self.inci.clone()),
            also,
            cas: list(&own.cas, &self.cas),
            functions: list(&own.functions, &self.functions),
            phase: own.phase.or(self.phase),
            soluble_in: list(&own.soluble_in, &self.soluble_in),
            solubility: list(&own.solubility, &self.solubility),
            water: own.water.clone().or_else(|| self.water.clone()),
            usual_strength: own.usual_strength.clone().or_else(|| self.usual_strength.clone()),
            density: own.density.clone().or_else(|| self.density.clone()),
            drop: own.drop.clone().or_else(|| self.drop.clone()),
            melts: list(&own.melts, &self.melts),
            not_above: own.not_above.clone().or_else(|| self.not_above.clone()),
            required_hlb: list(&own.required_hlb, &self.required_hlb),
            hlb: list(&own.hlb, &self.hlb),
            charge: own.charge.clone().or_else(|| self.charge.clone()),
            works_at_ph: own.works_at_ph.clone().or_else(|| self.works_at_ph.clone()),
            stable_at_ph: own.stable_at_ph.clone().or_else(|| self.stable_at_ph.clone()),
            own_ph: own.own_ph.clone().or_else(|| self.own_ph.clone()),
            pka: list(&own.pka, &self.pka),
            molar_mass: own.molar_mass.clone().or_else(|| self.molar_mass.clone()),
            counts_as: both(&own.counts_as, &self.counts_as),
            contains,
            microgram_per_iu: own.microgram_per_iu.clone().or_else(|| self.microgram_per_iu.clone()),
            usage: list(&own.usage, &self.usage),
            needs_of_oils: list(&own.needs_of_oils, &self.needs_of_oils),
            keeps_water: list(&own.keeps_water, &self.keeps_water),
            oils_at_most: list(&own.oils_at_most, &self.oils_at_most),
            works_on: list(&own.works_on, &self.works_on),
            incompatible: list(&own.incompatible, &self.incompatible),
            avoid: list(&own.avoid, &self.avoid),
            families: list(&own.families, &self.families),
            phototoxic: own.phototoxic.clone().or_else(|| self.phototoxic.clone()),
            light_sensitive: own.light_sensitive || self.light_sensitive,
            air_sensitive: own.air_sensitive || self.air_sensitive,
            origin: own.origin.clone().or_else(|| self.origin.clone()),
            pore_clogging: own.pore_clogging.clone().or_else(|| self.pore_clogging.clone()),
            shelf_life_days: own.shelf_life_days.clone().or_else(|| self.shelf_life_days.clone()),
            ambiguous: list(&own.ambiguous, &self.ambiguous),
            prices: list(&own.prices, &self.prices),
            lots: list(&own.lots, &self.lots),
            limits: both(&own.limits, &self.limits),
            groups: both(&own.groups, &self.groups),
            labels: both(&own.labels, &self.labels),
            own: true,
            folded: FoldedNames::default(),
        }
    }
}

/// Whether a function written on a material fits one that is asked for. Functions are plain ASCII words.
pub(crate) fn function_fits(own: &str, asked: &str) -> bool {
    let Some((head, kind)) = own.split_at_checked(asked.len()) else { return false };
    head.eq_ignore_ascii_case(asked)
        && (kind.is_empty() || (kind.starts_with(' ') && !kind.starts_with(" booster")))
}
