//! How the amounts of a formula add up: every unit brought to a share of the whole, exactly.
#![deny(clippy::float_arithmetic)]

use crate::draft::Draft;
use crate::exact::Exact;
use crate::factor;
use crate::formula::{Conversion, Gap, GapKind, Header, Item, Phase, is_oil};
use crate::known::Settings;
use crate::material::{Source, Standing};
use crate::window::{Interval, Window};
use notation::{Base, Block, ClauseWord, Measure, Measures, Quantity, Span, Unit, fold, read_number};
use std::sync::Arc;

/// What the amounts are written in.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Default)]
pub enum Basis {
    /// No line has an amount.
    #[default]
    Nothing,
    /// Shares of the whole.
    Share,
    /// Weights, or what can be turned into weights.
    Weight,
    /// Shares and weights, joined by a batch.
    Joined,
    /// Shares and weights with no batch to join them.
    Mixed,
}

/// How the amounts add up.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Totals {
    /// What they are written in.
    pub basis: Basis,
    /// The sum of what is named: a share of the whole, or grams where `basis` is weight.
    pub named: Exact,
    /// What it should come to: 1, or the grams of the batch; none where nothing says it.
    pub wanted: Option<Exact>,
    /// How far the sum may be off before it counts, in the same unit.
    pub tolerance: Exact,
    /// Lines that have no weight.
    pub open: Vec<usize>,
    /// The `to 100 %` lines.
    pub balances: Vec<usize>,
    /// What the balance line gets; may be negative.
    pub left: Option<Exact>,
    /// Grams of the whole batch.
    pub batch_grams: Option<Exact>,
    /// Whether the batch comes from the weights, not from a line that says it.
    pub batch_is_sum: bool,
    /// Lines in % w/v or % v/v.
    pub by_volume: Vec<usize>,
    /// Lines in % of the whole by weight.
    pub by_share: Vec<usize>,
    /// Lines in a weight or a volume.
    pub by_weight: Vec<usize>,
    /// Lines whose weight cannot be known: a volume without a density, activity without a strength.
    pub unknown: Vec<(usize, Unknown)>,
    /// Lines that are a percent of a phase or of the oils, and could not be resolved.
    pub unresolved: Vec<usize>,
}

/// Why a weight cannot be known.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Unknown {
    /// A volume of something whose density nobody says.
    Density,
    /// International units without a strength.
    Strength,
    /// A share by volume, without the product's or the ingredient's density.
    ProductDensity,
    /// Drops in a formula with no batch, or of something whose drop nobody knows.
    Drop,
}

impl Totals {
    /// How far the sum is off: positive when something is missing. None where nothing says what it should be, or
    /// where a balance line takes the rest.
    pub fn off(&self) -> Option<Exact> {
        if !self.balances.is_empty() {
            return None;
        }
        self.wanted.as_ref().map(|wanted| wanted - &self.named)
    }

    /// Whether the sum is off by more than rounding explains.
    pub fn is_off(&self) -> bool {
        self.off().is_some_and(|off| off.abs() > self.tolerance)
    }
}

/// One line's amount before the whole is known.
#[derive(Clone, Debug)]
enum Amount {
    Share(Interval),
    Grams(Interval),
    Parts(Interval),
    OfPhase(usize, Interval),
    OfOils(Interval),
    Balance,
    Zero,
    None,
}

struct Settling<'a> {
    block: &'a Block,
    header: &'a Header,
    settings: &'a Settings,
    totals: Totals,
}

pub(crate) fn settle(
    block: &Block,
    draft: &Draft<'_>,
    header: &Header,
    phases: &[Phase],
    items: &mut [Item],
    settings: &Settings,
    gaps: &mut Vec<Gap>,
) -> Totals {
    let mut settling = Settling { block, header, settings, totals: Totals::default() };
    let mut amounts: Vec<Amount> = Vec::with_capacity(items.len());
    let mut batch = header.batch.as_ref().and_then(|batch| batch.grams.clone());
    settling.batch_of_lines(draft, &mut batch, gaps);
    for (at, (line, item)) in draft.items.iter().zip(items.iter_mut()).enumerate() {
        amounts.push(settling.amount(at, &line.quantity, &line.clauses, item, phases, batch.as_ref()));
    }
    let mut totals = settling.totals;
    let weights = amounts.iter().any(|amount| matches!(amount, Amount::Grams(_)));
    let shares = amounts.iter().any(|amount| matches!(amount, Amount::Share(_)));
    totals.basis = match (shares, weights) {
        (false, false) if amounts.iter().all(|a| matches!(a, Amount::None | Amount::Zero)) => Basis::Nothing,
        (_, false) => Basis::Share,
        (false, true) => Basis::Weight,
        (true, true) if batch.is_some() => Basis::Joined,
        (true, true) => Basis::Mixed,
    };
    if totals.basis == Basis::Mixed && totals.by_weight.is_empty() {
        // Percents and drops: the drops are their own finding.
        totals.basis = Basis::Share;
    }
    if totals.basis == Basis::Weight && batch.is_none() && !totals.balances.is_empty() {
        // `to 100 %` beside weights: nothing says what the weights are a share of.
        totals.basis = Basis::Mixed;
    }
    let mut whole = whole_grams(&totals, &amounts, batch.as_ref());
    totals.batch_is_sum = batch.is_none() && whole.is_some();
    let mut settled: Vec<Option<Interval>> = amounts
        .iter()
        .map(|amount| match amount {
            Amount::Share(share) => Some(share.clone()),
            Amount::Zero => Some(Interval::zero()),
            Amount::Grams(grams) => whole.as_ref().and_then(|whole| {
                Exact::one().over(whole).map(|factor| grams.scaled(&factor))
            }),
            _ => None,
        })
        .collect();
    of_oils(&amounts, items, &mut settled);
    of_phases(&amounts, items, phases, &mut settled, &mut totals, gaps);
    of_parts(&amounts, &mut settled);
    if let Some(whole) = whole.as_mut().filter(|_| totals.batch_is_sum) {
        rescale(&mut settled, whole);
    }
    sum_up(&mut totals, &amounts, &settled, draft, block, batch.as_ref());
    balance(&mut totals, &amounts, &mut settled);
    totals.batch_grams = batch.or(whole);
    for (item, share) in items.iter_mut().zip(settled) {
        item.grams = share.as_ref().zip(totals.batch_grams.as_ref()).map(|(share, batch)| share.scaled(batch));
        item.share = share;
    }
    totals
}

/// The grams that shares are taken of: the batch; more, where the weights are more than the batch; their sum, where no
/// line says a batch and nothing takes the rest.
fn whole_grams(totals: &Totals, amounts: &[Amount], batch: Option<&Exact>) -> Option<Exact> {
    let weights = amounts.iter().filter_map(|amount| match amount {
        Amount::Grams(grams) => Some(grams.mid.clone()),
        _ => None,
    });
    let named: Exact = weights.sum();
    match (totals.basis, batch) {
        (Basis::Weight, Some(batch)) if totals.balances.is_empty() => Some(named.max(batch.clone())),
        (Basis::Weight, None) if !named.is_zero() => Some(named),
        (_, batch) => batch.cloned(),
    }
}

/// Without a batch, relative lines come on top of the weights: the whole grows, and every share shrinks with it.
fn rescale(settled: &mut [Option<Interval>], whole: &mut Exact) {
    let sum: Exact = settled.iter().flatten().map(|share| share.mid.clone()).sum();
    let Some(factor) = Exact::one().over(&sum) else { return };
    for share in settled.iter_mut().flatten() {
        *share = share.scaled(&factor);
    }
    *whole = &*whole * &sum;
}

impl Settling<'_> {
    fn at(&self, span: Span) -> &str {
        self.block.at(span)
    }

    /// A batch that lines of the body say: `to 500 g`, `30 g = 6 %`.
    fn batch_of_lines(&self, draft: &Draft<'_>, batch: &mut Option<Exact>, gaps: &mut Vec<Gap>) {
        for line in &draft.items {
            let says = match &line.quantity {
                Quantity::Balance(Some(measure), _) => self.grams_of(measure).map(|grams| grams.mid),
                Quantity::Both(first, second) => {
                    let grams = self.grams_of(first).or_else(|| self.grams_of(second));
                    let share = self.share_of(second).or_else(|| self.share_of(first));
                    grams.zip(share).and_then(|(grams, share)| grams.mid.over(&share.mid))
                }
                _ => None,
            };
            let Some(says) = says else { continue };
            match batch {
                None => *batch = Some(says),
                Some(known) => {
                    let balance = matches!(line.quantity, Quantity::Balance(..));
                    // Half a percent covers the rounding of both numbers.
                    let off = (&says - &*known).abs();
                    if !balance && off > &*known * &Exact::fraction(1, 200) {
                        gaps.push(Gap { kind: GapKind::BothDisagree { says, batch: known.clone() }, span: line.span });
                    }
                }
            }
        }
    }

    fn unit(measure: &Measure) -> Unit {
        measure.unit.map_or(Unit::Percent, |unit| unit.unit)
    }

    fn share_of(&self, measure: &Measure) -> Option<Interval> {
        let factor = factor::share(Self::unit(measure))?;
        Interval::read(&self.block.text, &measure.range).map(|amount| amount.scaled(&factor))
    }

    fn grams_of(&self, measure: &Measure) -> Option<Interval> {
        let factor = factor::grams(Self::unit(measure))?;
        Interval::read(&self.block.text, &measure.range).map(|amount| amount.scaled(&factor))
    }

    fn amount(
        &mut self,
        at: usize,
        quantity: &Quantity,
        clauses: &[notation::Clause],
        item: &mut Item,
        phases: &[Phase],
        batch: Option<&Exact>,
    ) -> Amount {
        match quantity {
            Quantity::Missing | Quantity::Fuzzy(_) => {
                self.totals.open.push(at);
                Amount::None
            }
            Quantity::Unread(_) => Amount::None,
            Quantity::AsNeeded(_) => {
                let about = clauses.iter().find(|clause| clause.word == Some(ClauseWord::About));
                let measure = about.and_then(|clause| clause.measure);
                match measure {
                    Some(measure) => self.given(at, &measure, item, phases, batch),
                    None => Amount::Zero,
                }
            }
            Quantity::Balance(..) => {
                self.totals.balances.push(at);
                Amount::Balance
            }
            Quantity::Given(measure) => self.given(at, measure, item, phases, batch),
            Quantity::Both(first, second) => {
                self.totals.by_share.push(at);
                self.share_of(second).or_else(|| self.share_of(first)).map_or(Amount::None, Amount::Share)
            }
        }
    }

    fn given(
        &mut self,
        at: usize,
        measure: &Measure,
        item: &mut Item,
        phases: &[Phase],
        batch: Option<&Exact>,
    ) -> Amount {
        let Some(amount) = Interval::read(&self.block.text, &measure.range) else { return Amount::None };
        let unit = Self::unit(measure);
        if let Some(factor) = factor::share(unit) {
            let share = amount.scaled(&factor);
            return match measure.of {
                Some(Base::Phase(label)) => {
                    let wanted = fold(self.at(label));
                    match phases.iter().position(|phase| fold(&phase.label) == wanted) {
                        Some(phase) => Amount::OfPhase(phase, share),
                        None => {
                            self.totals.unresolved.push(at);
                            Amount::None
                        }
                    }
                }
                Some(Base::Oils(_)) => Amount::OfOils(share),
                None => {
                    self.totals.by_share.push(at);
                    Amount::Share(share)
                }
            };
        }
        if let Some(factor) = factor::grams(unit) {
            self.totals.by_weight.push(at);
            return Amount::Grams(amount.scaled(&factor));
        }
        match unit {
            Unit::Parts => Amount::Parts(amount),
            Unit::Drop => self.drops(at, &amount, item, batch),
            Unit::Iu => self.activity(at, &amount, item),
            Unit::PercentWv | Unit::PercentVv => self.by_volume(at, unit, &amount, item),
            _ => self.volume(at, unit, &amount, item),
        }
    }

    fn volume(&mut self, at: usize, unit: Unit, amount: &Interval, item: &mut Item) -> Amount {
        let kitchen = self.settings.measures.unwrap_or_else(|| measures_of_market(&self.header.markets));
        let Some(factor) = factor::millilitres(unit, kitchen) else { return Amount::None };
        self.totals.by_weight.push(at);
        let density = item.material.as_ref().and_then(|material| material.density.as_ref());
        let Some((density, source)) = density.and_then(|d| Some((d.value.middle()?, d.source.clone()))) else {
            self.totals.unknown.push((at, Unknown::Density));
            return Amount::None;
        };
        let grams = amount.scaled(&(&factor * &density));
        let decided = factor::is_kitchen(unit).then(|| (factor, kitchen));
        item.conversion =
            Some(Conversion { figure: Window::at(density), source, kitchen: decided, grams: grams.clone() });
        Amount::Grams(grams)
    }

    fn drops(&mut self, at: usize, amount: &Interval, item: &mut Item, batch: Option<&Exact>) -> Amount {
        self.totals.open.push(at);
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
        let spread = if source.own { Exact::zero() } else { Exact::fraction(1, 2) };
        let grams = Interval {
            low: &amount.low * &(&middle * &thousandth) * (Exact::one() - &spread),
            high: &amount.high * &(&middle * &thousandth) * (Exact::one() + &spread),
            mid,
        };
        item.conversion = Some(Conversion { figure: drop, source, kitchen: None, grams: grams.clone() });
        let weights = !self.totals.by_weight.is_empty() || batch.is_some();
        if !weights {
            self.totals.unknown.push((at, Unknown::Drop));
        }
        Amount::Grams(grams)
    }

    fn activity(&mut self, at: usize, amount: &Interval, item: &Item) -> Amount {
        self.totals.by_weight.push(at);
        match item.iu_per_gram.as_ref().and_then(|strength| Exact::one().over(strength)) {
            Some(factor) => Amount::Grams(amount.scaled(&factor)),
            None => {
                self.totals.unknown.push((at, Unknown::Strength));
                Amount::None
            }
        }
    }

    fn by_volume(&mut self, at: usize, unit: Unit, amount: &Interval, item: &Item) -> Amount {
        self.totals.by_volume.push(at);
        let Some(product) = &self.header.density else {
            self.totals.unknown.push((at, Unknown::ProductDensity));
            return Amount::None;
        };
        let own = match unit {
            Unit::PercentWv => Some(Exact::one()),
            _ => item.material.as_ref().and_then(|m| m.density.as_ref()).and_then(|d| d.value.middle()),
        };
        match own.and_then(|own| own.over(product)) {
            Some(factor) => Amount::Share(amount.scaled(&factor.hundredth())),
            None => {
                self.totals.unknown.push((at, Unknown::ProductDensity));
                Amount::None
            }
        }
    }
}

/// Whose kitchen measures a market's recipes are written in, where the workshop says nothing.
pub(crate) fn measures_of_market(markets: &[String]) -> Measures {
    match markets.first().map(String::as_str) {
        Some("US") => Measures::Us,
        _ => Measures::Metric,
    }
}

fn of_oils(amounts: &[Amount], items: &[Item], settled: &mut [Option<Interval>]) {
    let mut oils = Interval::zero();
    for ((amount, item), share) in amounts.iter().zip(items).zip(settled.iter()) {
        if is_oil(item)
            && !matches!(amount, Amount::OfOils(_))
            && let Some(share) = share
        {
            oils = oils.plus(share);
        }
    }
    for (amount, share) in amounts.iter().zip(settled.iter_mut()) {
        if let Amount::OfOils(percent) = amount {
            *share = Some(oils.scaled(&percent.mid));
        }
    }
}

/// A percent of a phase's final weight: `p × (rest of the phase) / (1 − all such p)`; where the phase also takes the
/// balance, its weight is what the other phases leave.
fn of_phases(
    amounts: &[Amount],
    items: &[Item],
    phases: &[Phase],
    settled: &mut [Option<Interval>],
    totals: &mut Totals,
    gaps: &mut Vec<Gap>,
) {
    for (number, phase) in phases.iter().enumerate() {
        let relative: Exact = amounts
            .iter()
            .filter_map(|amount| match amount {
                Amount::OfPhase(of, share) if *of == number => Some(share.mid.clone()),
                _ => None,
            })
            .sum();
        if relative.is_zero() {
            continue;
        }
        let in_phase = |item: &Item| item.phase == Some(number);
        let of_this = |amount: &Amount| matches!(amount, Amount::OfPhase(of, _) if *of == number);
        let balanced = amounts.iter().zip(items).any(|(amount, item)| matches!(amount, Amount::Balance) && in_phase(item));
        let sum = |inside: bool| -> Exact {
            let shares = amounts.iter().zip(items).zip(settled.iter());
            shares
                .filter(|((amount, item), _)| in_phase(item) == inside && !of_this(amount))
                .filter_map(|(_, share)| share.as_ref().map(|share| share.mid.clone()))
                .sum()
        };
        let weight = if balanced {
            Some(Exact::one() - sum(false))
        } else {
            sum(true).over(&(Exact::one() - &relative))
        };
        let Some(weight) = weight.filter(|weight| !weight.is_negative() && !weight.is_zero()) else {
            gaps.push(Gap { kind: GapKind::AllRelative(phase.label.clone()), span: phase.span });
            let lines = amounts.iter().enumerate().filter(|(_, amount)| of_this(amount));
            totals.unresolved.extend(lines.map(|(at, _)| at));
            continue;
        };
        for (amount, share) in amounts.iter().zip(settled.iter_mut()) {
            if let Amount::OfPhase(of, percent) = amount
                && *of == number
            {
                *share = Some(percent.scaled(&weight));
            }
        }
    }
}

/// Parts share what the percents leave, or the whole.
fn of_parts(amounts: &[Amount], settled: &mut [Option<Interval>]) {
    let all: Exact = amounts
        .iter()
        .filter_map(|amount| match amount {
            Amount::Parts(parts) => Some(parts.mid.clone()),
            _ => None,
        })
        .sum();
    if all.is_zero() {
        return;
    }
    let others: Exact = settled.iter().flatten().map(|share| share.mid.clone()).sum();
    let Some(each) = (Exact::one() - others).over(&all).filter(|each| !each.is_negative()) else { return };
    for (amount, share) in amounts.iter().zip(settled.iter_mut()) {
        if let Amount::Parts(parts) = amount {
            *share = Some(parts.scaled(&each));
        }
    }
}

fn sum_up(
    totals: &mut Totals,
    amounts: &[Amount],
    settled: &[Option<Interval>],
    draft: &Draft<'_>,
    block: &Block,
    batch: Option<&Exact>,
) {
    let has_parts = amounts.iter().any(|amount| matches!(amount, Amount::Parts(_)));
    let in_grams = totals.basis == Basis::Weight;
    let mut lines = 0i64;
    let mut halves = Exact::zero();
    for (at, amount) in amounts.iter().enumerate() {
        let open = totals.open.contains(&at);
        let counted = match amount {
            Amount::Grams(grams) if in_grams && !open => Some(grams.mid.clone()),
            _ if open => None,
            _ => settled.get(at).and_then(Option::as_ref).map(|share| {
                if in_grams { batch.map_or_else(Exact::zero, |batch| &share.mid * batch) } else { share.mid.clone() }
            }),
        };
        let Some(counted) = counted else { continue };
        totals.named = &totals.named + &counted;
        lines += 1;
        let half = draft.items.get(at).and_then(|line| half_unit(block, &line.quantity)).unwrap_or_default();
        let joined = matches!(amount, Amount::Grams(_)) && !in_grams;
        halves = if joined {
            halves + batch.and_then(|batch| half.over(batch)).unwrap_or_default()
        } else {
            halves + half
        };
    }
    totals.wanted = match totals.basis {
        Basis::Nothing | Basis::Mixed => None,
        Basis::Share | Basis::Joined => (!has_parts).then(Exact::one),
        Basis::Weight => batch.cloned(),
    };
    // 0.05 points a line, of the whole.
    let allowance = Exact::fraction(5, 10_000) * Exact::whole(lines);
    let allowance = match (&totals.wanted, in_grams) {
        (Some(batch), true) => allowance * batch,
        _ => allowance,
    };
    totals.tolerance = halves.min(allowance);
}

/// Half a unit of the last written digit, in the unit that the sum is made in.
fn half_unit(block: &Block, quantity: &Quantity) -> Option<Exact> {
    let Quantity::Given(measure) = quantity else { return None };
    let number = read_number(block.at(measure.range.first)).ok()?;
    let step = Exact::fraction(1, 10i128.checked_pow(number.decimals.len() as u32)?);
    let unit = measure.unit.map_or(Unit::Percent, |unit| unit.unit);
    let factor = factor::share(unit).or_else(|| factor::grams(unit))?;
    Some(step * factor * Exact::fraction(1, 2))
}

fn balance(totals: &mut Totals, amounts: &[Amount], settled: &mut [Option<Interval>]) {
    if totals.balances.is_empty() || totals.basis == Basis::Mixed {
        return;
    }
    let known = settled.iter().flatten();
    let (mut low, mut mid, mut high) = (Exact::zero(), Exact::zero(), Exact::zero());
    for share in known {
        low = low + &share.low;
        mid = mid + &share.mid;
        high = high + &share.high;
    }
    let floor = |value: Exact| if value.is_negative() { Exact::zero() } else { value };
    let left = Exact::one() - mid;
    totals.left = Some(left.clone());
    let rest = Interval { low: floor(Exact::one() - high), mid: floor(left), high: floor(Exact::one() - low) };
    if let [only] = totals.balances.as_slice()
        && let Some(share) = settled.get_mut(*only)
        && matches!(amounts.get(*only), Some(Amount::Balance))
    {
        *share = Some(rest);
    }
}
