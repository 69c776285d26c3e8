//! The ingredients of a formula as a label names them, summed by name: blends, solutions and premixes taken apart.
//!
//! What a market's law wants of the order is no business of this file; it counts, and says what it cannot count.
#![deny(clippy::float_arithmetic)]

use super::names::{colour_index, holds_its_water, is_scent, printed_names};
use crate::exact::Exact;
use crate::formula::{Formula, Item};
use crate::limit::Fit;
use crate::material::{Material, Part, Source};
use crate::window::{Interval, Window};
use notation::fold;
use std::sync::Arc;

/// The name of water on a label.
pub const WATER: &str = "Aqua";
/// The name of a perfume on a label, whatever is in it.
pub const SCENT: &str = "Parfum";

/// One name of the list, with all that comes in under it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Listed {
    /// The name: INCI, or the colour index number of a colourant. `(nano)` is not part of it.
    pub name: String,
    /// How much of it there is, as a share of the whole.
    pub share: Interval,
    /// Whether it colours, and may therefore stand behind all others.
    pub colour: bool,
    /// Whether the line says that it is of nano grade.
    pub nano: bool,
    /// The lines that bring it.
    pub items: Vec<usize>,
    /// The weakest figure on the way; none where the lines say all.
    pub source: Option<Source>,
    /// What is known of it.
    pub material: Option<Arc<Material>>,
    /// The blends that bring some of it in an unknown share, each so small that its parts may stand in any order.
    pub small_blends: Vec<String>,
}

/// Why a line cannot be put into the list as it is.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Why {
    /// Nobody knows the ingredient.
    Unknown,
    /// The name means several things, or a slot is left open.
    Undecided,
    /// It is known, but not its name for a label.
    NoName,
    /// It is a base that is not there.
    NoBase,
    /// Nothing on the line can be weighed.
    NoWeight,
    /// How much of each part is in the blend.
    Parts,
    /// What it is dissolved in has no name for a label.
    Carrier(String),
}

/// A line that cannot be put into the list as it is.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Unsettled {
    /// The name of the line; of a line in a base where it stands in one.
    pub name: String,
    /// The line of this formula.
    pub item: usize,
    /// Why.
    pub why: Why,
    /// How much of it there is, where that is known.
    pub share: Option<Interval>,
    /// Names for the label that are known all the same.
    pub names: Vec<String>,
}

/// All that can be said of the list.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Listing {
    /// The names in descending order of weight; equals in the order in which they are met.
    pub listed: Vec<Listed>,
    /// What keeps the list from being whole.
    pub unsettled: Vec<Unsettled>,
}

impl Listing {
    /// Whether every name and every share is known.
    pub fn is_whole(&self) -> bool {
        self.unsettled.is_empty() && !self.listed.is_empty()
    }
}

/// Looks a name up.
pub type Find<'a> = &'a dyn Fn(&str) -> Option<Arc<Material>>;

/// Counts the list of a formula. `find` knows the names of parts and carriers.
pub fn listing(formula: &Formula, find: Find<'_>) -> Listing {
    let sun = formula.header.product.is("sun care") == Fit::Yes;
    let mut counting = Counting { find, sun, listing: Listing::default() };
    counting.formula(formula, &Interval::exactly(Exact::one()), None);
    let mut listing = counting.listing;
    listing.listed.sort_by(|a, b| b.share.mid.cmp(&a.share.mid));
    listing
}

struct Counting<'a> {
    find: Find<'a>,
    /// Whether the product is one against the sun, in which what filters its light is no colourant.
    sun: bool,
    listing: Listing,
}

/// What a line puts into the list.
struct Piece<'m> {
    name: &'m str,
    share: Interval,
    source: Option<&'m Source>,
    material: Option<Arc<Material>>,
}

impl Counting<'_> {
    fn formula(&mut self, formula: &Formula, of: &Interval, outer: Option<usize>) {
        for (at, item) in formula.items.iter().enumerate() {
            let share = item.share.as_ref().map(|share| times(share, of));
            let at = outer.unwrap_or(at);
            if let (Some(premix), Some(share)) = (&item.premix, &share) {
                self.formula(premix, share, Some(at));
            } else if let Err((why, names)) = self.line(at, item, share.as_ref()) {
                self.listing.unsettled.push(Unsettled {
                    name: item.name.clone(),
                    item: at,
                    why,
                    share,
                    names,
                });
            }
        }
    }

    /// Puts a line into the list; else why that cannot be, with the names that are known all the same.
    fn line(&mut self, at: usize, item: &Item, share: Option<&Interval>) -> Result<(), (Why, Vec<String>)> {
        if item.premix_missing {
            return Err((Why::NoBase, Vec::new()));
        }
        if item.is_ambiguous() || item.open_slot {
            return Err((Why::Undecided, Vec::new()));
        }
        let names = printed_names(item);
        let Some(share) = share else { return Err((Why::NoWeight, names)) };
        if is_scent(item) {
            self.put(at, Piece { name: SCENT, share: share.clone(), source: None, material: None }, item);
            return Ok(());
        }
        match (names.as_slice(), &item.material) {
            ([], Some(material)) => {
                let done = self.parts(at, material, &[], share);
                if done { Ok(()) } else { Err((Why::NoName, names)) }
            }
            ([], None) => Err((Why::Unknown, names)),
            ([one], material) => {
                self.one(at, item, material.as_ref(), one, share).map_err(|why| (why, names))
            }
            (several, material) => {
                let diluted = item.strength.is_some();
                let parts = |own: &mut Counting<'_>| {
                    material.as_ref().is_some_and(|material| own.parts(at, material, several, share))
                };
                let done = !diluted && (parts(self) || self.small(at, item, several, share));
                if done { Ok(()) } else { Err((Why::Parts, names)) }
            }
        }
    }

    /// A line of one name: all of it, or as strong as it is said to be, the rest being its carrier.
    fn one(
        &mut self,
        at: usize,
        item: &Item,
        material: Option<&Arc<Material>>,
        name: &str,
        share: &Interval,
    ) -> Result<(), Why> {
        let (strength, source) = strength(item, material, name);
        let carrier = match &item.strength_in {
            Some(carrier) if item.strength.is_some() => {
                let found = (self.find)(carrier).filter(|found| found.ambiguous.is_empty());
                let inci = found.as_ref().and_then(|found| found.inci.clone());
                let single = inci.filter(|inci| !inci.contains(" (and) "));
                Some((single.ok_or_else(|| Why::Carrier(carrier.clone()))?, found))
            }
            _ => None,
        };
        let itself = material.cloned();
        let Some(strength) = strength else {
            self.put(at, Piece { name, share: share.clone(), source: None, material: itself }, item);
            return Ok(());
        };
        let rest = scaled(share, &rest_of(&strength));
        let own = scaled(share, &strength);
        self.put(at, Piece { name, share: own, source, material: itself }, item);
        let (carrier, material) = carrier.unwrap_or_else(|| (WATER.to_owned(), (self.find)("water")));
        self.bring(at, Piece { name: &carrier, share: rest, source, material });
        Ok(())
    }

    /// A blend by its parts, where every share is known: each name of `wanted` must be one of them, or, without any,
    /// all of them together must be the whole.
    fn parts(&mut self, at: usize, material: &Arc<Material>, wanted: &[String], share: &Interval) -> bool {
        let parts: Vec<(&Part, &Source)> = material
            .contains
            .iter()
            .map(|figure| (&figure.value, &figure.source))
            .filter(|(part, _)| !part.allergen && (part.rest || part.share.is_some()))
            .collect();
        let named: Exact = parts.iter().filter_map(|(part, _)| part.share.as_ref()?.middle()).sum();
        let mut pieces: Vec<(String, Interval, &Source, Option<Arc<Material>>)> = Vec::new();
        for (part, source) in &parts {
            let known = (self.find)(&part.name).filter(|known| known.ambiguous.is_empty());
            let inci = known.as_ref().and_then(|known| known.inci.clone());
            let own = wanted.iter().find(|name| fold(name) == fold(&part.name)).cloned();
            let Some(name) = inci.or(own) else { return false };
            let of = match &part.share {
                Some(window) => interval(window),
                None => Interval::exactly(Exact::one() - &named),
            };
            pieces.push((name, times(share, &of), source, known));
        }
        let listed = |name: &String| pieces.iter().any(|(own, ..)| fold(own) == fold(name));
        let whole =
            if wanted.is_empty() { is_whole(material, &parts, &named) } else { wanted.iter().all(listed) };
        if pieces.is_empty() || !whole {
            return false;
        }
        for (name, share, source, material) in pieces {
            self.bring(at, Piece { name: &name, share, source: Some(source), material });
        }
        true
    }

    /// A blend of unknown shares of which there is so little that each part may stand in any order.
    fn small(&mut self, at: usize, item: &Item, names: &[String], share: &Interval) -> bool {
        if share.high >= Exact::fraction(1, 100) {
            return false;
        }
        let each = Exact::one().over(&Exact::whole(i64::try_from(names.len()).unwrap_or(1)));
        let Some(each) = each else { return false };
        for name in names {
            let share = Interval { low: Exact::zero(), mid: &share.mid * &each, high: share.high.clone() };
            let material = (self.find)(name);
            self.bring(at, Piece { name, share, source: None, material });
            let found = self.listing.listed.iter_mut().find(|own| fold(&own.name) == fold(name));
            if let Some(own) = found.filter(|own| !own.small_blends.contains(&item.name)) {
                own.small_blends.push(item.name.clone());
            }
        }
        true
    }

    /// Puts in what the line itself is: its grade and its colour are those of the line.
    fn put(&mut self, at: usize, piece: Piece<'_>, item: &Item) {
        let bare = piece.name.strip_suffix(" (nano)");
        let nano = bare.is_some() || item.grades.iter().any(|grade| grade == "nano");
        let name = bare.unwrap_or(piece.name);
        let colour = colour_name(item, self.sun, name);
        let name = colour.clone().unwrap_or_else(|| name.to_owned());
        self.add(at, &name, piece, colour.is_some(), nano);
    }

    /// Puts in what comes with a line: a part, a carrier, water.
    fn bring(&mut self, at: usize, piece: Piece<'_>) {
        let nano = piece.name.ends_with(" (nano)");
        let name = piece.name.trim_end_matches(" (nano)").to_owned();
        let colour = name.starts_with("CI ");
        self.add(at, &name, piece, colour, nano);
    }

    fn add(&mut self, at: usize, name: &str, piece: Piece<'_>, colour: bool, nano: bool) {
        let key = fold(name);
        let found = self.listing.listed.iter_mut().find(|own| own.nano == nano && fold(&own.name) == key);
        let Some(own) = found else {
            self.listing.listed.push(Listed {
                name: name.to_owned(),
                share: piece.share,
                colour,
                nano,
                items: vec![at],
                source: piece.source.cloned(),
                material: piece.material,
                small_blends: Vec::new(),
            });
            return;
        };
        own.share = own.share.plus(&piece.share);
        own.colour &= colour;
        if !own.items.contains(&at) {
            own.items.push(at);
        }
        own.material = own.material.take().or(piece.material);
        own.source = match (own.source.take(), piece.source) {
            (Some(own), Some(other)) => Some(own.weaker(other).clone()),
            (own, other) => own.or_else(|| other.cloned()),
        };
    }
}

/// How strong a line of one name is, as a window, and who says so; none where it is all of that name. A window that
/// begins at nothing of water is a thing that is sold dry as well: it is taken as dry.
fn strength<'m>(
    item: &Item,
    material: Option<&'m Arc<Material>>,
    name: &str,
) -> (Option<Window>, Option<&'m Source>) {
    if let Some(strength) = &item.strength {
        return (Some(Window::at(strength.clone())), None);
    }
    let Some(material) = material.filter(|_| item.iu_per_gram.is_none()) else { return (None, None) };
    if let Some(usual) = &material.usual_strength {
        return (Some(usual.value.clone()), Some(&usual.source));
    }
    let water = material.water.as_ref().filter(|water| {
        water.value.low.as_ref().is_some_and(|low| !low.is_zero()) && !holds_its_water(material, name)
    });
    water.map_or((None, None), |water| (Some(rest_of(&water.value)), Some(&water.source)))
}

/// What a window leaves of a whole.
fn rest_of(window: &Window) -> Window {
    let rest = |end: &Option<Exact>| end.as_ref().map(|end| Exact::one() - end);
    Window::of(rest(&window.high), rest(&window.low))
}

/// Whether parts without a common name are all that is in a material.
fn is_whole(material: &Material, parts: &[(&Part, &Source)], named: &Exact) -> bool {
    let rest = parts.iter().any(|(part, _)| part.rest);
    let water = material.water_share().unwrap_or_default();
    let near = Exact::fraction(1, 50);
    let off = (named + &water - Exact::one()).abs().min((named - &Exact::one()).abs());
    !parts.is_empty() && (rest || off <= near)
}

/// The name of a line that colours: its colour index number where it has one. None for a line that does not colour.
fn colour_name(item: &Item, sun: bool, name: &str) -> Option<String> {
    let says = |word: &str| item.declared.iter().any(|own| crate::material::function_fits(own, word));
    let index = item.material.as_ref().and_then(|material| colour_index(material));
    if says("colour") || says("pigment") {
        return index.or_else(|| Some(name.to_owned()));
    }
    let filters = says("UV filter") || (sun && item.does("UV filter"));
    let colours = item.material.as_ref().is_some_and(|material| material.does("colour"));
    index.filter(|_| colours && !filters)
}

fn interval(window: &Window) -> Interval {
    let mid = window.middle().unwrap_or_default();
    let low = window.low.clone().unwrap_or_else(Exact::zero);
    let high = window.high.clone().unwrap_or_else(|| mid.clone());
    Interval { low, mid, high }
}

fn scaled(share: &Interval, window: &Window) -> Interval {
    times(share, &interval(window))
}

fn times(share: &Interval, of: &Interval) -> Interval {
    Interval { low: &share.low * &of.low, mid: &share.mid * &of.mid, high: &share.high * &of.high }
}
