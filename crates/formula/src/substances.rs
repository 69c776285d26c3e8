//! What a formula brings, counted through blends, salts, solutions and premixes.
#![deny(clippy::float_arithmetic)]

use crate::catalogue::Found;
use crate::exact::Exact;
use crate::formula::Item;
use crate::known::Known;
use crate::material::{Material, Part, Source};
use crate::window::Interval;
use notation::fold;
use std::sync::Arc;

/// One way in which a substance comes in.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Via {
    /// The line that brings it.
    pub item: usize,
    /// The material that directly is it, counts as it, or contains it.
    pub origin: Arc<Material>,
    /// Whether the origin is the substance itself.
    pub itself: bool,
    /// How much of the substance, as a share of the whole; none where the line has no amount or nobody says how
    /// much of the substance is in it.
    pub share: Option<Interval>,
    /// The weakest figure on the way; none where no figure was needed.
    pub source: Option<Source>,
    /// Whether it has to be named on the label.
    pub allergen: bool,
    /// Functions said on the line, and those of the material that brings it.
    pub functions: Vec<String>,
}

/// A substance with everything that brings it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Substance {
    /// Its name.
    pub name: String,
    /// What is known of it.
    pub material: Option<Arc<Material>>,
    /// Every way in which it comes in.
    pub via: Vec<Via>,
}

impl Substance {
    /// How much there is, as far as it is known.
    pub fn share(&self) -> Interval {
        self.via
            .iter()
            .filter_map(|via| via.share.as_ref())
            .fold(Interval::zero(), |sum, share| sum.plus(share))
    }

    /// The weakest figure behind the amount.
    pub fn source(&self) -> Option<&Source> {
        self.via.iter().filter_map(|via| via.source.as_ref()).min_by_key(|source| source.standing)
    }

    /// The functions in which it is used here.
    pub fn functions(&self) -> Vec<String> {
        let mut functions: Vec<String> =
            self.via.iter().flat_map(|via| via.functions.iter().cloned()).collect();
        functions.dedup();
        functions
    }
}

/// How deep a blend may be made of blends.
const DEEPEST: usize = 6;

struct Counting<'a> {
    known: &'a dyn Known,
    substances: Vec<Substance>,
    water: Vec<Option<Interval>>,
    /// Lines of which it is not known how much water they bring.
    open_water: Vec<usize>,
}

/// The substances of some lines, and the water that each line brings.
pub(crate) struct Counted {
    pub(crate) substances: Vec<Substance>,
    pub(crate) water: Vec<Option<Interval>>,
    pub(crate) open_water: Vec<usize>,
}

/// Counts what the lines bring.
pub(crate) fn count(items: &[Item], known: &dyn Known) -> Counted {
    let mut counting =
        Counting { known, substances: Vec::new(), water: vec![None; items.len()], open_water: Vec::new() };
    for (at, item) in items.iter().enumerate() {
        counting.line(at, item);
    }
    let Counting { substances, water, open_water, .. } = counting;
    Counted { substances, water, open_water }
}

impl Counting<'_> {
    fn line(&mut self, at: usize, item: &Item) {
        if let Some(premix) = &item.premix {
            self.premix(at, item, premix);
            return;
        }
        let said: Vec<String> = item.functions.clone();
        if let Some(material) = &item.material {
            let active = match (&item.share, &item.strength) {
                (Some(share), Some(strength)) => Some(share.scaled(strength)),
                (share, _) => share.clone(),
            };
            if let (Some(share), Some(strength)) = (&item.share, &item.strength)
                && item.strength_in.is_none()
            {
                self.add_water(at, &share.scaled(&(Exact::one() - strength)));
            }
            let diluted = item.strength.is_some();
            self.material(at, material, active, None, &said, diluted, 0);
            return;
        }
        for (name, part) in &item.blend {
            match part {
                // The shares of a blend that is only known by its parts are not known.
                Some(material) => {
                    if material.water_share().is_some_and(|water| !water.is_zero()) {
                        self.open_water.push(at);
                    }
                    self.material(at, material, None, None, &material.functions, false, 0);
                }
                None => self.add_unknown(at, name),
            }
        }
        if item.blend.is_empty() {
            self.open_water.push(at);
        }
    }

    fn premix(&mut self, at: usize, item: &Item, premix: &crate::formula::Formula) {
        for substance in &premix.substances {
            for via in &substance.via {
                let share = item.share.as_ref().zip(via.share.as_ref()).map(|(outer, inner)| Interval {
                    low: &outer.low * &inner.low,
                    mid: &outer.mid * &inner.mid,
                    high: &outer.high * &inner.high,
                });
                let brought = Via { item: at, share, ..via.clone() };
                self.put(&substance.name, substance.material.as_ref(), brought);
            }
        }
        if let Some(share) = &item.share {
            let water = &premix.water.share;
            self.add_water(
                at,
                &Interval {
                    low: &share.low * &water.low,
                    mid: &share.mid * &water.mid,
                    high: &share.high * &water.high,
                },
            );
        }
        if !premix.water.open.is_empty() {
            self.open_water.push(at);
        }
    }

    fn put(&mut self, name: &str, material: Option<&Arc<Material>>, via: Via) {
        let key = material.map_or_else(|| fold(name), |material| material.key());
        let found = self.substances.iter_mut().find(|substance| {
            substance.material.as_ref().map_or_else(|| fold(&substance.name), |material| material.key())
                == key
        });
        if let Some(substance) = found {
            substance.via.push(via);
        } else {
            let name = material.map_or_else(|| name.to_owned(), |material| material.name.clone());
            self.substances.push(Substance { name, material: material.cloned(), via: vec![via] });
        }
    }

    fn add_unknown(&mut self, at: usize, name: &str) {
        let origin = Arc::new(Material { name: name.to_owned(), ..Material::default() });
        let via = Via {
            item: at,
            origin,
            itself: true,
            share: None,
            source: None,
            allergen: false,
            functions: Vec::new(),
        };
        self.put(name, None, via);
        self.open_water.push(at);
    }

    fn add_water(&mut self, at: usize, share: &Interval) {
        if let Some(slot) = self.water.get_mut(at) {
            *slot = Some(slot.as_ref().map_or_else(|| share.clone(), |sum| sum.plus(share)));
        }
    }

    #[expect(clippy::too_many_arguments, reason = "one recursive walk; each is a fact of the way down")]
    fn material(
        &mut self,
        at: usize,
        material: &Arc<Material>,
        share: Option<Interval>,
        source: Option<&Source>,
        functions: &[String],
        diluted: bool,
        depth: usize,
    ) {
        let itself = Via {
            item: at,
            origin: Arc::clone(material),
            itself: true,
            share: share.clone(),
            source: source.cloned(),
            allergen: false,
            functions: functions.to_vec(),
        };
        self.put(&material.name, Some(material), itself);
        if let (Some(water), Some(share), false) = (&material.water, &share, diluted) {
            self.add_water(at, &scaled_by(share, &water.value));
        }
        if depth >= DEEPEST {
            return;
        }
        for figure in &material.counts_as {
            let part = &figure.value;
            let amount = share.as_ref().zip(part.share.as_ref()).map(|(share, of)| scaled_by(share, of));
            let found = self.find(&part.name);
            let via = Via {
                item: at,
                origin: Arc::clone(material),
                itself: false,
                share: amount,
                source: Some(weakest(source, &figure.source)),
                allergen: part.allergen,
                functions: functions.to_vec(),
            };
            self.put(&part.name, found.as_ref(), via);
        }
        let named: Exact = material
            .contains
            .iter()
            .filter_map(|figure| figure.value.share.as_ref().and_then(crate::window::Window::middle))
            .sum();
        for figure in &material.contains {
            self.contained(
                at,
                material,
                &figure.value,
                &figure.source,
                share.as_ref(),
                source,
                functions,
                &named,
                depth,
            );
        }
    }

    #[expect(clippy::too_many_arguments, reason = "one recursive walk; each is a fact of the way down")]
    fn contained(
        &mut self,
        at: usize,
        material: &Arc<Material>,
        part: &Part,
        figure: &Source,
        share: Option<&Interval>,
        source: Option<&Source>,
        functions: &[String],
        named: &Exact,
        depth: usize,
    ) {
        let amount = match (&part.share, share) {
            (Some(of), Some(share)) => Some(scaled_by(share, of)),
            (None, Some(share)) if part.rest => Some(share.scaled(&(Exact::one() - named))),
            _ => None,
        };
        let weakest = weakest(source, figure);
        if let Some(found) = self.find(&part.name) {
            // What the part does in the blend, the blend does in the formula.
            let mut does: Vec<String> = functions.to_vec();
            does.extend(found.functions.iter().cloned());
            if material.water.is_some() && found.water_share() == Some(Exact::one()) {
                return;
            }
            let before = self.substances.iter().map(|s| s.via.len()).sum::<usize>();
            self.material(at, &found, amount, Some(&weakest), &does, false, depth + 1);
            if part.allergen {
                self.mark_allergen(&found.key(), before);
            }
        } else {
            let via = Via {
                item: at,
                origin: Arc::clone(material),
                itself: false,
                share: amount,
                source: Some(weakest),
                allergen: part.allergen,
                functions: functions.to_vec(),
            };
            self.put(&part.name, None, via);
        }
    }

    fn mark_allergen(&mut self, key: &str, _before: usize) {
        let found = self
            .substances
            .iter_mut()
            .find(|substance| substance.material.as_ref().is_some_and(|material| material.key() == key));
        if let Some(via) = found.and_then(|substance| substance.via.last_mut()) {
            via.allergen = true;
        }
    }

    fn find(&self, name: &str) -> Option<Arc<Material>> {
        match self.known.find(name) {
            Found::Known(material) if material.ambiguous.is_empty() => Some(material),
            _ => None,
        }
    }
}

fn weakest(known: Option<&Source>, figure: &Source) -> Source {
    known.map_or_else(|| figure.clone(), |known| known.weaker(figure).clone())
}

fn scaled_by(share: &Interval, window: &crate::window::Window) -> Interval {
    let mid = window.middle().unwrap_or_default();
    let low = window.low.clone().unwrap_or_else(|| mid.clone());
    let high = window.high.clone().unwrap_or_else(|| mid.clone());
    Interval { low: &share.low * &low, mid: &share.mid * &mid, high: &share.high * &high }
}
