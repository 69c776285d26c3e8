//! Required and supplied HLB, by W. C. Griffin's rule of mixtures (J. Soc. Cosmet. Chem. 1 (1949) 311-326): each is the
//! mean of the single values by weight. HLB has no unit; the scale for non-ionic emulsifiers runs from 1 to 20.
#![deny(clippy::float_arithmetic)]

use crate::exact::Exact;
use crate::formula::Formula;
use crate::material::{Figure, Material, Source, Standing};
use crate::reckon::emulsion::{Emulsifier, Emulsion, EmulsionKind, Oil, emulsion};
use crate::window::Window;

/// One term of a mean: a line, how much of it there is, and its figure.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Term {
    /// The line.
    pub item: usize,
    /// Its name.
    pub name: String,
    /// Its share of the whole, 0 to 1.
    pub share: Exact,
    /// The value that counts, with its source; none where nobody says one.
    pub figure: Option<Figure<Exact>>,
    /// What else tables say, each with its source.
    pub others: Vec<Figure<Exact>>,
    /// The least and the most that the value may be: all that tables say, ±2 for a default, ±1 from memory.
    pub span: Option<(Exact, Exact)>,
}

/// Required and supplied HLB of a formula, with what they were made from.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Hlb {
    /// The kind of emulsion that it holds for.
    pub kind: EmulsionKind,
    /// The oils.
    pub oils: Vec<Term>,
    /// The emulsifiers.
    pub emulsifiers: Vec<Term>,
    /// What the known oils need.
    pub required: Option<Exact>,
    /// The least and the most that all oils may need: as the spans of the terms; unknown oils may need anything that
    /// tables say of any oil, 5 to 17.
    pub required_span: Option<(Exact, Exact)>,
    /// What the emulsifiers give; none where one of them has no figure.
    pub supplied: Option<Exact>,
    /// The least and the most that they may give. At the least, fatty alcohols and other stabilisers of the oil phase take
    /// part with an HLB of 1 (from memory): beside an ethoxylate they build the same network as a ready-made wax.
    pub supplied_span: Option<(Exact, Exact)>,
}

/// The least and the most that published tables give as the HLB that an oil needs: dimethicone 5 to stearic acid 17.
fn any_oil() -> (Exact, Exact) {
    (Exact::whole(5), Exact::whole(17))
}

impl Hlb {
    /// How many of the oils have a figure.
    pub fn known(&self) -> usize {
        self.oils.iter().filter(|oil| oil.figure.is_some()).count()
    }

    /// The part of the oils, by weight, that has a figure.
    pub fn known_share(&self) -> Exact {
        let of = |known: bool| -> Exact {
            self.oils.iter().filter(|oil| !known || oil.figure.is_some()).map(|oil| oil.share.clone()).sum()
        };
        of(true).over(&of(false)).unwrap_or_default()
    }

    /// Names of the oils without a figure.
    pub fn unknown(&self) -> Vec<&str> {
        self.oils.iter().filter(|oil| oil.figure.is_none()).map(|oil| oil.name.as_str()).collect()
    }

    /// How far the supplied value lies outside of all that the oils may need, whatever the true values of weak figures
    /// are: positive above, negative below; zero inside. None where either is not known.
    pub fn off(&self) -> Option<Exact> {
        let (least, most) = self.required_span.as_ref()?;
        let (low, high) = self.supplied_span.as_ref()?;
        Some(if low > most {
            low - most
        } else if high < least {
            high - least
        } else {
            Exact::zero()
        })
    }

    /// The two emulsifiers and the shares of the whole, the same in sum, that would give just what the oils need. None
    /// where there are not two lines, or where no split of them reaches it.
    pub fn split(&self) -> Option<[(usize, Exact); 2]> {
        let [a, b] = self.emulsifiers.as_slice() else { return None };
        let (of_a, of_b) = (&a.figure.as_ref()?.value, &b.figure.as_ref()?.value);
        let part = split(self.required.as_ref()?, of_a, of_b)?;
        let sum = &a.share + &b.share;
        let first = &sum * &part;
        Some([(a.item, first.clone()), (b.item, sum - first)])
    }
}

/// The part, 0 to 1, of the first of two emulsifiers in a blend that gives the required HLB: `(R − B) / (A − B)`. None
/// where both are alike, or where the required value does not lie between them.
pub fn split(required: &Exact, first: &Exact, second: &Exact) -> Option<Exact> {
    let part = (required - second).over(&(first - second))?;
    (!part.is_negative() && part <= Exact::one()).then_some(part)
}

/// HLB of a formula. None where it says nothing: no emulsion, no emulsifier, a self-emulsifying, ionic, lamellar or
/// polymeric system, soap made in place, surfactants, something unknown that may emulsify, or as much emulsifier as oil,
/// which dissolves it.
pub fn hlb(formula: &Formula) -> Option<Hlb> {
    let emulsion = emulsion(formula)?;
    hlb_of(formula, &emulsion)
}

/// HLB of a formula whose emulsion is known.
pub fn hlb_of(formula: &Formula, emulsion: &Emulsion) -> Option<Hlb> {
    let all_follow = emulsion.emulsifiers.iter().all(Emulsifier::follows_hlb);
    if emulsion.emulsifiers.is_empty()
        || !all_follow
        || emulsion.is_mixed_system()
        || emulsion.may_hold_an_unknown(formula)
        || emulsion.emulsifiers.iter().any(|own| own.share.is_none())
    {
        return None;
    }
    let emulsifying: Exact = emulsion.emulsifiers.iter().filter_map(|own| own.share.clone()).sum();
    if emulsifying >= emulsion.oil_share {
        return None;
    }
    let kind = emulsion.kind().unwrap_or(EmulsionKind::OilInWater);
    let oils: Vec<Term> = emulsion
        .oils
        .iter()
        .map(|oil| {
            let figures = oil.material.as_ref().map_or_else(Vec::new, |material| needs(material, kind));
            term(oil.item, &oil.name, &oil.share, figures)
        })
        .collect();
    let emulsifiers: Vec<Term> = emulsion
        .emulsifiers
        .iter()
        .filter_map(|own| {
            let figure = own.hlb().and_then(middle);
            Some(term(own.item, &own.name, own.share.as_ref()?, figure.into_iter().collect()))
        })
        .collect();
    let whole = emulsifiers.iter().all(|own| own.figure.is_some());
    let value = |term: &Term| term.figure.as_ref().map(|figure| figure.value.clone());
    let low = |term: &Term| term.span.as_ref().map(|span| span.0.clone());
    let high = |term: &Term| term.span.as_ref().map(|span| span.1.clone());
    let (least, most) = any_oil();
    let required = mean(&oils, value);
    let required_span = required.as_ref().and_then(|_| {
        Some((
            mean(&oils, |term| Some(low(term).unwrap_or_else(|| least.clone())))?,
            mean(&oils, |term| Some(high(term).unwrap_or_else(|| most.clone())))?,
        ))
    });
    let supplied = mean(&emulsifiers, value).filter(|_| whole);
    let supplied_span = supplied.as_ref().and_then(|_| {
        let mut all = emulsifiers.clone();
        all.extend(stabilisers(emulsion));
        Some((mean(&all, low)?.min(mean(&emulsifiers, low)?), mean(&emulsifiers, high)?))
    });
    Some(Hlb { kind, oils, emulsifiers, required, required_span, supplied, supplied_span })
}

/// The stabilisers among the oils, as partners of low HLB.
fn stabilisers(emulsion: &Emulsion) -> impl Iterator<Item = Term> {
    let stabilises = |oil: &&Oil| oil.material.as_ref().is_some_and(|material| material.does("stabiliser"));
    emulsion.oils.iter().filter(stabilises).map(|oil| Term {
        item: oil.item,
        name: oil.name.clone(),
        share: oil.share.clone(),
        figure: None,
        others: Vec::new(),
        span: Some((Exact::one(), Exact::one())),
    })
}

/// The mean by weight over the terms that have a value: `Σ w·h / Σ w`.
fn mean(terms: &[Term], value: impl Fn(&Term) -> Option<Exact>) -> Option<Exact> {
    let known = || terms.iter().filter_map(|term| Some((&term.share, value(term)?)));
    let weight: Exact = known().map(|(share, _)| share.clone()).sum();
    let sum: Exact = known().map(|(share, value)| share * &value).sum();
    sum.over(&weight)
}

/// What tables say that an oil needs in a kind of emulsion; a line that names none is for oil in water.
fn needs(material: &Material, kind: EmulsionKind) -> Vec<Figure<Exact>> {
    material
        .required_hlb
        .iter()
        .filter(|figure| {
            let of = figure.value.1.as_str();
            of == kind.word() || (of.is_empty() && kind == EmulsionKind::OilInWater)
        })
        .filter_map(|figure| Some(Figure { value: figure.value.0.middle()?, source: figure.source.clone() }))
        .collect()
}

fn middle(figure: &Figure<Window>) -> Option<Figure<Exact>> {
    Some(Figure { value: figure.value.middle()?, source: figure.source.clone() })
}

/// Where tables disagree, the value marked as the default counts, else the first.
fn term(item: usize, name: &str, share: &Exact, mut figures: Vec<Figure<Exact>>) -> Term {
    let chosen = figures.iter().position(|figure| figure.source.standing == Standing::Default).unwrap_or(0);
    let span = span(&figures);
    let figure = (chosen < figures.len()).then(|| figures.remove(chosen));
    Term { item, name: name.to_owned(), share: share.clone(), figure, others: figures, span }
}

fn span(figures: &[Figure<Exact>]) -> Option<(Exact, Exact)> {
    let low = figures.iter().map(|figure| &figure.value - &doubt(&figure.source)).min()?;
    let high = figures.iter().map(|figure| &figure.value + &doubt(&figure.source)).max()?;
    Some((low, high))
}

/// How far a single figure may be off (common practice): 2 where it is a default, 1 from memory.
fn doubt(source: &Source) -> Exact {
    match source.standing {
        Standing::Default => Exact::whole(2),
        Standing::FromMemory => Exact::one(),
        _ => Exact::zero(),
    }
}
