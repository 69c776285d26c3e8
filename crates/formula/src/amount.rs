//! One line's amount, in whatever unit it is written: a share, a weight, or a share of something else.
#![deny(clippy::float_arithmetic)]

use crate::draft::Draft;
use crate::exact::Exact;
use crate::factor;
use crate::formula::{Conversion, Gap, GapKind, Header, Item, Phase};
use crate::known::Settings;
use crate::material::{Source, Standing};
use crate::totals::{Totals, Unknown};
use crate::window::{Interval, Window};
use notation::{Base, Block, Clause, ClauseWord, Measure, Measures, Quantity, Span, Unit, fold, read_number};
use std::sync::Arc;

/// One line's amount before the whole is known.
#[derive(Clone, Debug)]
pub(crate) enum Amount {
    /// A share of the whole.
    Share(Interval),
    /// A weight.
    Grams(Interval),
    /// Parts of what the percents leave.
    Parts(Interval),
    /// A share of a phase's final weight.
    OfPhase(usize, Interval),
    /// A share of the oils.
    OfOils(Interval),
    /// What is left.
    Balance,
    /// As much as the end point needs.
    Zero,
    /// Not known.
    None,
}

/// Reads the amounts of the lines of one formula; what it meets on the way is written into the totals.
pub(crate) struct Reading<'a> {
    pub(crate) block: &'a Block,
    pub(crate) header: &'a Header,
    pub(crate) settings: &'a Settings,
    pub(crate) phases: &'a [Phase],
    pub(crate) totals: Totals,
    /// Lines in drops, and whether the maker has weighed their own drops.
    pub(crate) drops: Vec<(usize, bool)>,
    /// Phases that are named and are not there.
    pub(crate) gaps: Vec<Gap>,
    /// The whole that parts are counted of, where a `to 100 parts` line says it.
    all_parts: Option<Exact>,
}

impl<'a> Reading<'a> {
    pub(crate) fn of(
        block: &'a Block,
        draft: &Draft<'_>,
        header: &'a Header,
        settings: &'a Settings,
        phases: &'a [Phase],
    ) -> Reading<'a> {
        let parts = draft.items.iter().any(|line| match &line.quantity {
            Quantity::Given(measure) => unit_of(measure) == Unit::Parts,
            _ => false,
        });
        let all_parts = draft.items.iter().filter(|_| parts).find_map(|line| match &line.quantity {
            Quantity::Balance(Some(measure), _)
                if measure.unit.is_none_or(|unit| unit.unit == Unit::Parts) =>
            {
                Interval::read(&block.text, &measure.range).map(|all| all.mid).filter(|all| !all.is_zero())
            }
            _ => None,
        });
        Reading {
            block,
            header,
            settings,
            phases,
            totals: Totals::default(),
            drops: Vec::new(),
            gaps: Vec::new(),
            all_parts,
        }
    }

    fn at(&self, span: Span) -> &str {
        self.block.at(span)
    }

    /// The grams that the weights are a share of: what the balance line makes up to, else the batch, else what a line
    /// that says both a weight and a percent comes to. A formula written `to 100 g` for a batch of 500 g is written
    /// for 100 g.
    pub(crate) fn whole(&self, draft: &Draft<'_>, gaps: &mut Vec<Gap>) -> Option<Exact> {
        let made_up = draft.items.iter().find_map(|line| match &line.quantity {
            Quantity::Balance(Some(measure), _) => {
                self.grams_of(measure).or_else(|| self.grams_by_density(measure))
            }
            _ => None,
        });
        let said = self.header.batch.as_ref().and_then(|batch| batch.grams.clone());
        let mut whole = made_up.map(|made| made.mid).or(said).filter(|whole| !whole.is_zero());
        for line in &draft.items {
            let Quantity::Both(first, second) = &line.quantity else { continue };
            let weighed = if self.grams_of(first).is_some() { (first, second) } else { (second, first) };
            let (Some(grams), Some(share)) = (self.grams_of(weighed.0), self.share_of(weighed.1)) else {
                continue;
            };
            let Some(says) = grams.mid.over(&share.mid) else { continue };
            match &whole {
                None => whole = Some(says),
                Some(known) => {
                    let half = |measure: &Measure| self.half_unit(measure).unwrap_or_default();
                    let (half_gram, half_share) = (half(weighed.0), half(weighed.1));
                    // What both numbers could have been before they were rounded.
                    let least = (&share.low - &half_share) * known.clone() <= &grams.high + &half_gram;
                    let most = (&share.high + &half_share) * known.clone() >= &grams.low - &half_gram;
                    if !(least && most) {
                        gaps.push(Gap {
                            kind: GapKind::BothDisagree { says, batch: known.clone() },
                            span: line.span,
                        });
                    }
                }
            }
        }
        whole
    }

    fn share_of(&self, measure: &Measure) -> Option<Interval> {
        let factor = factor::share(unit_of(measure))?;
        Interval::read(&self.block.text, &measure.range).map(|amount| amount.scaled(&factor))
    }

    fn grams_of(&self, measure: &Measure) -> Option<Interval> {
        let factor = factor::grams(unit_of(measure))?;
        Interval::read(&self.block.text, &measure.range).map(|amount| amount.scaled(&factor))
    }

    /// `to 100 mL`, where the product's density is said.
    fn grams_by_density(&self, measure: &Measure) -> Option<Interval> {
        let factor = factor::millilitres(unit_of(measure), self.kitchen_of(unit_of(measure)))?;
        let density = self.header.density.as_ref()?;
        Interval::read(&self.block.text, &measure.range).map(|amount| amount.scaled(&(factor * density)))
    }

    fn kitchen_of(&self, unit: Unit) -> Measures {
        kitchen_of(unit, &self.header.markets, self.settings)
    }

    /// Half a unit of the last written digit, as a share or in grams.
    fn half_unit(&self, measure: &Measure) -> Option<Exact> {
        let number = read_number(self.at(measure.range.first)).ok()?;
        let step = Exact::fraction(1, 10i128.checked_pow(number.decimals.len() as u32)?);
        let unit = unit_of(measure);
        let factor = factor::share(unit).or_else(|| factor::grams(unit))?;
        Some(step * factor * Exact::fraction(1, 2))
    }

    /// Half a unit of a line's last written digit, as a share or in grams, as the line is counted.
    pub(crate) fn half_of(&self, quantity: &Quantity) -> Option<Exact> {
        match quantity {
            Quantity::Given(measure) => self.half_unit(measure),
            Quantity::Both(first, second) => {
                let share =
                    [second, first].into_iter().find(|measure| factor::share(unit_of(measure)).is_some());
                self.half_unit(share.unwrap_or(first))
            }
            _ => None,
        }
    }

    pub(crate) fn amount(
        &mut self,
        at: usize,
        quantity: &Quantity,
        clauses: &[Clause],
        item: &mut Item,
    ) -> Amount {
        match quantity {
            Quantity::Missing | Quantity::Fuzzy(_) => {
                self.totals.open.push(at);
                Amount::None
            }
            Quantity::Unread(_) => Amount::None,
            Quantity::AsNeeded(_) => {
                let about = clauses
                    .iter()
                    .filter(|clause| clause.word == Some(ClauseWord::About))
                    .find(|clause| crate::possible::clause(&self.block.text, clause));
                match about.and_then(|clause| clause.measure) {
                    Some(measure) => self.given(at, &measure, item),
                    None => Amount::Zero,
                }
            }
            Quantity::Balance(..) => {
                self.totals.balances.push(at);
                Amount::Balance
            }
            Quantity::Given(measure) => self.given(at, measure, item),
            Quantity::Both(first, second) => match self.share_of(second).or_else(|| self.share_of(first)) {
                Some(share) => {
                    self.totals.by_share.push(at);
                    Amount::Share(share)
                }
                // Two weights, `1 oz = 28 g`: the first counts.
                None => self.given(at, first, item),
            },
        }
    }

    fn given(&mut self, at: usize, measure: &Measure, item: &mut Item) -> Amount {
        let Some(amount) = Interval::read(&self.block.text, &measure.range) else { return Amount::None };
        let unit = unit_of(measure);
        if let Some(factor) = factor::share(unit) {
            return self.share(at, measure, amount.scaled(&factor));
        }
        if let Some(factor) = factor::grams(unit) {
            self.totals.by_weight.push(at);
            return Amount::Grams(amount.scaled(&factor));
        }
        match unit {
            Unit::Parts => match self.all_parts.as_ref().and_then(|all| Exact::one().over(all)) {
                Some(each) => {
                    self.totals.by_share.push(at);
                    Amount::Share(amount.scaled(&each))
                }
                None => Amount::Parts(amount),
            },
            Unit::Drop => self.drops(at, &amount, item),
            Unit::Iu => self.activity(at, &amount, item),
            Unit::PercentWv | Unit::PercentVv => self.by_volume(at, unit, &amount, item),
            _ => self.volume(at, unit, &amount, item),
        }
    }

    fn share(&mut self, at: usize, measure: &Measure, share: Interval) -> Amount {
        match measure.of {
            Some(Base::Phase(label)) => {
                let wanted = fold(self.at(label));
                let Some(phase) = self.phases.iter().position(|phase| fold(&phase.label) == wanted) else {
                    let kind = GapKind::NoSuchPhase(self.at(label).to_owned());
                    self.gaps.push(Gap { kind, span: measure.span });
                    self.totals.unresolved.push(at);
                    return Amount::None;
                };
                Amount::OfPhase(phase, share)
            }
            Some(Base::Oils(_)) => Amount::OfOils(share),
            None => {
                self.totals.by_share.push(at);
                Amount::Share(share)
            }
        }
    }

    fn volume(&mut self, at: usize, unit: Unit, amount: &Interval, item: &mut Item) -> Amount {
        let kitchen = self.kitchen_of(unit);
        let Some(factor) = factor::millilitres(unit, kitchen) else { return Amount::None };
        self.totals.by_weight.push(at);
        let Some((density, source)) = density(item) else {
            self.totals.unknown.push((at, Unknown::Density));
            return Amount::None;
        };
        let grams = amount.scaled(&(&factor * &density));
        let decided = factor::is_kitchen(unit).then_some((factor, kitchen));
        item.conversion =
            Some(Conversion { figure: Window::at(density), source, kitchen: decided, grams: grams.clone() });
        Amount::Grams(grams)
    }

    fn drops(&mut self, at: usize, amount: &Interval, item: &mut Item) -> Amount {
        let own = item.material.as_ref().and_then(|material| material.drop.as_ref());
        let house = self.settings.drop.as_ref().map(|window| {
            let text = Arc::from("the workshop's `drops` line");
            (window.clone(), Source { text, standing: Standing::Read, own: true })
        });
        // 0.05 mL of water: 20 drops to the millilitre, the convention of the pharmacopoeias.
        let usual = || {
            let text = Arc::from("USP <1101>: a medicine dropper gives water drops of 45 to 55 mg");
            (Window::at(Exact::whole(50)), Source { text, standing: Standing::Read, own: false })
        };
        let (drop, source) = own
            .filter(|figure| figure.source.own)
            .map(|figure| (figure.value.clone(), figure.source.clone()))
            .or(house)
            .or_else(|| own.map(|figure| (figure.value.clone(), figure.source.clone())))
            .unwrap_or_else(usual);
        let Some(middle) = drop.middle() else { return Amount::None };
        let thousandth = Exact::fraction(1, 1000);
        let mid = &amount.mid * &(&middle * &thousandth);
        self.drops.push((at, source.own));
        let spread = if source.own { Exact::zero() } else { Exact::fraction(1, 2) };
        let grams = Interval {
            low: &amount.low * &(&middle * &thousandth) * (Exact::one() - &spread),
            high: &amount.high * &(&middle * &thousandth) * (Exact::one() + &spread),
            mid,
        };
        item.conversion = Some(Conversion { figure: drop, source, kitchen: None, grams: grams.clone() });
        Amount::Grams(grams)
    }

    fn activity(&mut self, at: usize, amount: &Interval, item: &Item) -> Amount {
        self.totals.by_weight.push(at);
        let Some(factor) = item.iu_per_gram.as_ref().and_then(|strength| Exact::one().over(strength)) else {
            self.totals.unknown.push((at, Unknown::Strength));
            return Amount::None;
        };
        Amount::Grams(amount.scaled(&factor))
    }

    fn by_volume(&mut self, at: usize, unit: Unit, amount: &Interval, item: &Item) -> Amount {
        self.totals.by_volume.push(at);
        let Some(product) = &self.header.density else {
            self.totals.unknown.push((at, Unknown::ProductDensity));
            return Amount::None;
        };
        let own = match unit {
            Unit::PercentWv => Some(Exact::one()),
            _ => density(item).map(|(density, _)| density),
        };
        let Some(own) = own else {
            self.totals.unknown.push((at, Unknown::Density));
            return Amount::None;
        };
        own.over(product).map_or(Amount::None, |factor| Amount::Share(amount.scaled(&factor.hundredth())))
    }
}

fn unit_of(measure: &Measure) -> Unit {
    measure.unit.map_or(Unit::Percent, |unit| unit.unit)
}

/// Grams in a millilitre of what a line stands for.
fn density(item: &Item) -> Option<(Exact, Source)> {
    if let Some(premix) = &item.premix {
        let text = Arc::from("the `density` line of the included formula");
        return premix
            .header
            .density
            .clone()
            .map(|density| (density, Source { text, standing: Standing::Read, own: true }));
    }
    let figure = item.material.as_ref()?.density.as_ref()?;
    let middle = figure.value.middle().filter(|density| !density.is_zero())?;
    Some((middle, figure.source.clone()))
}

/// Whose kitchen a unit is measured in where it does not say: the workshop's, else the market's. In the UK spoons are
/// metric, and a fluid ounce is the imperial one.
pub(crate) fn kitchen_of(unit: Unit, markets: &[String], settings: &Settings) -> Measures {
    settings.measures.unwrap_or(match (markets.first().map(String::as_str), unit) {
        (Some("US"), _) => Measures::Us,
        (Some("UK"), Unit::FluidOunce(_)) => Measures::Imperial,
        _ => Measures::Metric,
    })
}
