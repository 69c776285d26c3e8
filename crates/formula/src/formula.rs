//! A formula as it is meant: every name looked up, every amount exact, every value with the place it came from.

use crate::exact::Exact;
use crate::known::IncludeFault;
use crate::limit::Fit;
use crate::material::{Material, Source, function_fits};
use crate::method::{Step, Timeline};
use crate::product::{Occasion, Product};
use crate::reckon::Water;
use crate::record::Record;
use crate::substances::Substance;
use crate::totals::Totals;
use crate::window::{Interval, Window};
use notation::{Date, PhaseKind, Span, Unit, Word, fold};
use std::sync::Arc;

/// A formula, or one of its variants.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Formula {
    /// Its name.
    pub name: String,
    /// Where the name stands.
    pub name_span: Span,
    /// The variant's name and where it stands; none for the parent.
    pub variant: Option<(String, Span)>,
    /// What the header lines say.
    pub header: Header,
    /// Its phases in order.
    pub phases: Vec<Phase>,
    /// Its ingredients in order.
    pub items: Vec<Item>,
    /// Its method in order.
    pub steps: Vec<Step>,
    /// What is at which temperature when, from phases and steps together.
    pub timeline: Timeline,
    /// How the amounts add up.
    pub totals: Totals,
    /// What the lines bring, counted through blends, salts, solutions and premixes.
    pub substances: Vec<Substance>,
    /// Free water, hidden water counted.
    pub water: Water,
    /// The batches of it that were made, as far as they are seen, the latest first; those without a day come last.
    pub records: Vec<Arc<Record>>,
    /// What could not be resolved.
    pub gaps: Vec<Gap>,
    /// Whether it is still being written: no line with a name yet, or the last line does not read.
    pub unfinished: bool,
    /// Whether some line of its body could not be read.
    pub broken: bool,
}

/// The header lines.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Header {
    /// `version 3`
    pub version: Option<(String, Span)>,
    /// `dated 2026-03`: the first and the last day that it can mean.
    pub dated: Option<(Date, Date)>,
    /// `trial`, `approved`, `withdrawn`, where one is said.
    pub status: Option<String>,
    /// Kind of product.
    pub product: Product,
    /// On what occasion it is made.
    pub occasion: Occasion,
    /// Where it is sold.
    pub markets: Vec<String>,
    /// Whether nobody said a market, so that the EU is assumed.
    pub market_assumed: bool,
    /// The size it is written for.
    pub batch: Option<Batch>,
    /// Containers.
    pub packs: Vec<Pack>,
    /// The product's own density, g/mL.
    pub density: Option<Exact>,
    /// The pH it should have.
    pub ph: Option<(Window, Span)>,
    /// Water activity said by the maker.
    pub water_activity: Option<(Exact, Span)>,
    /// Shelf life in days.
    pub shelf_life_days: Option<(Exact, Span)>,
    /// What it is said to be or do.
    pub claims: Vec<(String, Span)>,
    /// Tests.
    pub tests: Vec<Test>,
    /// Included formulas.
    pub includes: Vec<Include>,
    /// How long it keeps once it is open, in days.
    pub after_opening_days: Option<Exact>,
    /// Words for the label, in written order: `directions`, `store`, `warning` and `caution` lines.
    pub label_lines: Vec<(Word, String)>,
}

impl Header {
    /// What the label says of use and care: all words for it but those on storing.
    pub fn label_words(&self) -> Vec<String> {
        let lines = self.label_lines.iter().filter(|(word, _)| *word != Word::Store);
        lines.map(|(_, text)| text.clone()).collect()
    }
}

/// The size of a batch.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Batch {
    /// Grams, where they are known.
    pub grams: Option<Exact>,
    /// As written.
    pub written: String,
    /// Where.
    pub span: Span,
}

/// A container.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Pack {
    /// Millilitres, where it is a volume.
    pub millilitres: Option<Exact>,
    /// Kind of container.
    pub kind: String,
    /// Grams that the label says are in it.
    pub net_grams: Option<Exact>,
    /// Cost and currency.
    pub cost: Option<(Exact, String)>,
    /// Where.
    pub span: Span,
}

/// A test.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Test {
    /// What was tested.
    pub what: String,
    /// When.
    pub on: Option<Date>,
    /// Of which version.
    pub version: Option<String>,
    /// Where.
    pub span: Span,
}

/// Another formula used as an ingredient.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Include {
    /// Under which name.
    pub name: String,
    /// From where.
    pub path: String,
    /// The formula, or why it is not there.
    pub formula: Result<Arc<Formula>, IncludeFault>,
    /// Where the line stands.
    pub span: Span,
}

/// A phase.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Phase {
    /// `A2`, upper case.
    pub label: String,
    /// Its kind, where one is said.
    pub kind: Option<PhaseKind>,
    /// Free words of its heading.
    pub heading: String,
    /// Where the label stands.
    pub span: Span,
    /// The highest temperature that its clauses name, °C, and where.
    pub heat: Option<(Exact, Span)>,
    /// The temperature that it is kept below or cooled to, °C, and where.
    pub cool: Option<(Exact, Span)>,
    /// Whether it is made cold.
    pub cold: bool,
    /// How long it is held hot, minutes, and where.
    pub hold: Option<(Exact, Span)>,
}

impl Phase {
    /// Whether its own line keeps it from the heat: it goes in cool, or is made cold.
    pub fn is_kept_cool(&self) -> bool {
        self.heat.is_none() && (self.cool.is_some() || self.cold || self.kind == Some(PhaseKind::CoolDown))
    }
}

/// How an amount is written.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Written {
    /// Nothing is said.
    Missing,
    /// Nothing that could be weighed.
    Fuzzy,
    /// A number that could not be read; the reader has said so.
    Unread,
    /// `q.s.`
    AsNeeded,
    /// `to 100 %`
    Balance,
    /// An amount in this unit.
    Amount(Unit),
    /// `30 g = 6 %`
    Both,
}

/// How a weight was worked out from something that is none.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Conversion {
    /// Grams per millilitre, or milligrams per drop.
    pub figure: Window,
    /// Where the figure comes from.
    pub source: Source,
    /// Millilitres of the unit where whose kitchen it was had to be decided, and for whose.
    pub kitchen: Option<(Exact, notation::Measures)>,
    /// Grams.
    pub grams: Interval,
}

/// An ingredient line.
#[derive(Clone, PartialEq, Eq, Debug)]
#[expect(clippy::struct_excessive_bools, reason = "each is a fact of its own that a line says or does not")]
pub struct Item {
    /// The line, without its comment.
    pub span: Span,
    /// The name as written, without a strength that was read from it.
    pub name: String,
    /// Where the name stands.
    pub name_span: Span,
    /// Index into the formula's phases.
    pub phase: Option<usize>,
    /// What it is; none where nobody knows.
    pub material: Option<Arc<Material>>,
    /// The names of a blend whose whole is unknown, with what they are.
    pub blend: Vec<(String, Option<Arc<Material>>)>,
    /// The formula it stands for.
    pub premix: Option<Arc<Formula>>,
    /// An included formula of that name that is not there.
    pub premix_missing: bool,
    /// Names near an unknown one.
    pub near: Vec<String>,
    /// `any light oil`: an open slot.
    pub open_slot: bool,
    /// How the amount is written.
    pub written: Written,
    /// Where the amount stands.
    pub amount_span: Option<Span>,
    /// The amount as written.
    pub amount_text: String,
    /// Whether the amount is a range.
    pub is_range: bool,
    /// Share of the whole, 0 to 1.
    pub share: Option<Interval>,
    /// Grams in the batch.
    pub grams: Option<Interval>,
    /// How a weight was worked out.
    pub conversion: Option<Conversion>,
    /// Strength as a share, 0 to 1, where the line says one.
    pub strength: Option<Exact>,
    /// International units in a gram, where the line says them.
    pub iu_per_gram: Option<Exact>,
    /// What it is dissolved in when the strength is said and it is not water.
    pub strength_in: Option<String>,
    /// Functions said on the line, then those of the material.
    pub functions: Vec<String>,
    /// Functions said on the line.
    pub declared: Vec<String>,
    /// Grades said on the line.
    pub grades: Vec<String>,
    /// The end point of an adjuster.
    pub to_ph: Option<Window>,
    /// `dissolved in`, `wetted in`, `dispersed in`, with the name.
    pub carried_in: Vec<(String, String)>,
    /// The maker's own limit for this line, as a share, from a certificate.
    pub own_limit: Option<(Exact, Span)>,
    /// The lot that the line names.
    pub lot: Option<String>,
    /// `optional`
    pub optional: bool,
    /// Rules allowed on this line, with their reasons.
    pub allows: Vec<(Vec<String>, String, Span)>,
    /// INCI said on the line.
    pub inci: Option<String>,
    /// Whether a variant put it here, and the line that did.
    pub changed: bool,
}

impl Item {
    /// Whether it has a function, in any of its kinds.
    pub fn does(&self, function: &str) -> bool {
        self.functions.iter().any(|own| crate::material::function_fits(own, function))
    }

    /// The name under which it is compared.
    pub fn key(&self) -> String {
        self.material.as_ref().map_or_else(|| fold(&self.name), |material| material.key())
    }

    /// Whether something is known of it.
    pub fn is_known(&self) -> bool {
        self.material.is_some() || self.premix.is_some() || !self.blend.is_empty()
    }

    /// Whether its name must be asked: several things with different facts.
    pub fn is_ambiguous(&self) -> bool {
        self.material.as_ref().is_some_and(|material| !material.ambiguous.is_empty())
    }

    /// Whether it dissolves in a solvent, as far as is known.
    pub fn dissolves_in(&self, solvent: &str) -> bool {
        self.material.as_ref().is_some_and(|material| material.dissolves_in(solvent))
    }

    /// Whether it counts among the oils: soluble in oil alone, no emulsifier, solubiliser or preservative.
    pub fn is_oily(&self) -> bool {
        is_oil(self)
    }

    /// The share of what is meant in it: the amount times the strength.
    pub fn active(&self) -> Option<Interval> {
        let share = self.share.as_ref()?;
        Some(self.strength.as_ref().map_or_else(|| share.clone(), |strength| share.scaled(strength)))
    }

    /// The share that totals count; none where it is not known.
    pub fn mid(&self) -> Option<&Exact> {
        self.share.as_ref().map(|share| &share.mid)
    }

    /// Whether at least so much of it is water, as far as a line says; with nothing asked for, whether any of it is.
    pub fn is_watery(&self, least: &Exact) -> bool {
        let water = self.material.as_ref().and_then(|material| material.water_share());
        water.is_some_and(|water| !water.is_zero() && water >= *least)
    }

    /// The least share of the substance itself in what is usually sold under its name, where it is a solution and
    /// the line does not say how strong.
    pub fn strength_when_unsaid(&self) -> Option<Exact> {
        let said = self.strength.is_some()
            || self.iu_per_gram.is_some()
            || self.name.contains('%')
            || self.grades.iter().any(|grade| grade == "fine powder");
        let material = self.material.as_ref().filter(|_| !said)?;
        let usual = material.usual_strength.as_ref().and_then(|figure| figure.value.low.clone());
        usual.or_else(|| {
            let water = material.water.as_ref().and_then(|figure| figure.value.high.clone())?;
            Some(Exact::one() - water)
        })
    }

    /// Whether nothing on the line can be weighed.
    pub fn has_no_weight(&self) -> bool {
        matches!(self.written, Written::Missing | Written::Fuzzy)
            || matches!(self.written, Written::Amount(Unit::Drop))
    }
}

/// What could not be resolved, as data.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Gap {
    /// What.
    pub kind: GapKind,
    /// Where.
    pub span: Span,
}

/// What could not be resolved.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum GapKind {
    /// A variant changes a line that the parent does not have.
    VariantTarget(String),
    /// A variant names a phase that the parent does not have.
    VariantPhase(String),
    /// A combined variant names a variant that is not there.
    VariantPart(String),
    /// Two variants that are put together change the same thing in different ways: the name of each, and its line.
    VariantClash {
        /// The one that comes first.
        first: (String, Span),
        /// The one that comes later.
        second: (String, Span),
    },
    /// `30 g = 6 %` says another batch than the batch line or another such line.
    BothDisagree {
        /// The batch that this line says, grams.
        says: Exact,
        /// The batch that is known, grams.
        batch: Exact,
    },
    /// A percent of a phase in which every line is relative.
    AllRelative(String),
    /// A percent of a phase that the formula does not have.
    NoSuchPhase(String),
}

impl Formula {
    /// Whether the product is a premix.
    pub fn is_premix(&self) -> bool {
        self.header.product.is_premix()
    }

    /// Whether the formula holds no water to speak of.
    pub fn is_water_free(&self) -> bool {
        self.header.product.is("water-free") == Fit::Yes || self.water.share.high < Exact::fraction(1, 100)
    }

    /// The grams of the whole batch, where they are known.
    pub fn batch_grams(&self) -> Option<&Exact> {
        self.totals.batch_grams.as_ref()
    }

    /// The items of a phase.
    pub fn items_of(&self, phase: usize) -> impl Iterator<Item = (usize, &Item)> {
        self.items.iter().enumerate().filter(move |(_, item)| item.phase == Some(phase))
    }

    /// The share of all lines soluble in oil, scent included, emulsifiers and preservatives not.
    pub fn oils(&self) -> Exact {
        self.items.iter().filter(|item| is_oil(item)).filter_map(|item| item.mid().cloned()).sum()
    }

    /// Whether a test of some kind was made of this version. A test without a version counts for all.
    pub fn tested(&self, what: &[&str]) -> bool {
        self.header.tests.iter().any(|test| {
            let named = fold(&test.what);
            let this = match (&test.version, &self.header.version) {
                (Some(tested), Some((version, _))) => fold(tested) == fold(version),
                _ => true,
            };
            this && what
                .iter()
                .any(|word| named.split(|c: char| !c.is_alphanumeric()).any(|part| part == *word))
        })
    }
}

/// Whether a line counts among the oils.
pub(crate) fn is_oil(item: &Item) -> bool {
    let otherwise = |function: &String| NO_OILS.iter().any(|other| function_fits(function, other));
    item.material.as_ref().is_some_and(|material| is_oily(material)) && !item.declared.iter().any(otherwise)
}

/// What is soluble in oil and yet no oil that has to be emulsified.
const NO_OILS: &[&str] = &["emulsifier", "preservative", "solubiliser"];

/// Whether a material counts among the oils. Fats that also help an emulsifier, like lanolin, are oils first.
pub(crate) fn is_oily(material: &Material) -> bool {
    let fat = material.functions.first().is_some_and(|first| {
        ["oil", "butter", "wax", "emollient"].iter().any(|fat| function_fits(first, fat))
    });
    material.dissolves_in("oil")
        && !material.dissolves_in("water")
        && material.water_share().is_none_or(|water| water.is_zero())
        && (fat || !NO_OILS.iter().any(|other| material.does(other)))
}
