//! How the amounts of a formula add up: every unit brought to a share of the whole, exactly.
#![deny(clippy::float_arithmetic)]

use crate::amount::{Amount, Reading};
use crate::draft::Draft;
use crate::exact::Exact;
use crate::formula::{Gap, Header, Item, Phase};
use crate::known::Settings;
use crate::shares;
use crate::window::Interval;
use notation::{Block, Quantity};

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
    /// The least and the most that the named lines can come to: ranges, spoons and adjusters are no single number.
    pub reach: (Exact, Exact),
    /// What it should come to: 1, or the grams of the batch; none where nothing says it.
    pub wanted: Option<Exact>,
    /// How far the sum may be off before it counts, in the same unit.
    pub tolerance: Exact,
    /// Lines that have no weight.
    pub open: Vec<usize>,
    /// The `to 100 %` lines.
    pub balances: Vec<usize>,
    /// What the balance line or the parts get, as a share of the whole; may be negative.
    pub left: Option<Exact>,
    /// The grams that the weights are a share of: what the balance line makes up to, else the batch.
    pub written_for: Option<Exact>,
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
        let Some(wanted) = self.wanted.as_ref().filter(|_| self.balances.is_empty()) else { return false };
        let (least, most) = &self.reach;
        wanted - most > self.tolerance || least - wanted > self.tolerance
    }
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
    let mut reading = Reading::of(block, draft, header, settings, phases);
    let written_for = reading.whole(draft, gaps);
    let mut amounts: Vec<Amount> = Vec::with_capacity(items.len());
    for (at, (line, item)) in draft.items.iter().zip(items.iter_mut()).enumerate() {
        amounts.push(reading.amount(at, &line.quantity, &line.clauses, item));
    }
    let halves: Vec<Exact> =
        draft.items.iter().map(|line| reading.half_of(&line.quantity).unwrap_or_default()).collect();
    gaps.append(&mut reading.gaps);
    let mut totals = std::mem::take(&mut reading.totals);
    totals.basis = basis(&totals, &amounts, written_for.as_ref());
    weigh_drops(&mut totals, &reading.drops, written_for.is_some());
    let mut whole = whole_grams(&totals, &amounts, written_for.as_ref());
    totals.batch_is_sum = written_for.is_none() && whole.is_some();
    let mut settled: Vec<Option<Interval>> = amounts
        .iter()
        .map(|amount| match amount {
            Amount::Share(share) => Some(share.clone()),
            Amount::Zero => Some(Interval::zero()),
            Amount::Grams(grams) => {
                let factor = whole.as_ref().and_then(|whole| Exact::one().over(whole));
                factor.map(|factor| grams.scaled(&factor))
            }
            _ => None,
        })
        .collect();
    let fills = totals.basis != Basis::Mixed && !totals.batch_is_sum;
    shares::settle(&amounts, items, phases, &mut settled, fills, &mut totals, gaps);
    if let Some(whole) = whole.as_mut().filter(|_| totals.batch_is_sum) {
        rescale(&mut settled, whole);
    }
    sum_up(&mut totals, &amounts, &settled, draft, items, &halves, whole.as_ref());
    totals.wanted = match totals.basis {
        Basis::Nothing | Basis::Mixed => None,
        _ if amounts.iter().any(|amount| matches!(amount, Amount::Parts(_))) => None,
        Basis::Share | Basis::Joined => Some(Exact::one()),
        Basis::Weight => written_for.clone(),
    };
    let said = header.batch.as_ref().and_then(|batch| batch.grams.clone()).filter(|grams| !grams.is_zero());
    totals.batch_grams = said.or_else(|| written_for.clone()).or(whole);
    totals.written_for = written_for;
    for (item, share) in items.iter_mut().zip(settled) {
        item.grams =
            share.as_ref().zip(totals.batch_grams.as_ref()).map(|(share, batch)| share.scaled(batch));
        item.share = share;
    }
    totals
}

fn basis(totals: &Totals, amounts: &[Amount], whole: Option<&Exact>) -> Basis {
    let any = |is: fn(&Amount) -> bool| amounts.iter().any(is);
    let weights = any(|amount| matches!(amount, Amount::Grams(_)));
    let shares = any(|amount| matches!(amount, Amount::Share(_)));
    let fills = any(|amount| matches!(amount, Amount::Parts(_) | Amount::Balance));
    match (shares, weights) {
        (false, false) if amounts.iter().all(|a| matches!(a, Amount::None | Amount::Zero)) => Basis::Nothing,
        (_, false) => Basis::Share,
        (false, true) if whole.is_some() || !fills => Basis::Weight,
        (true, true) if whole.is_some() => Basis::Joined,
        // Percents or parts, and drops: the drops are their own finding.
        _ if totals.by_weight.is_empty() => Basis::Share,
        // Percents, parts or `to 100 %` beside weights: nothing says what the weights are a share of.
        _ => Basis::Mixed,
    }
}

/// Drops are no weight, unless the maker has weighed their own and something joins them to the rest.
fn weigh_drops(totals: &mut Totals, drops: &[(usize, bool)], whole: bool) {
    let joined = whole || (totals.basis == Basis::Weight && !totals.by_weight.is_empty());
    for (at, own) in drops {
        if !own || !joined {
            totals.open.push(*at);
        }
        if !joined && totals.by_weight.is_empty() {
            totals.unknown.push((*at, Unknown::Drop));
        }
    }
    totals.open.sort_unstable();
}

/// The grams that shares are taken of: what the formula is written for; more, where the weights are more than that;
/// their sum, where nothing says it and nothing takes the rest.
fn whole_grams(totals: &Totals, amounts: &[Amount], written_for: Option<&Exact>) -> Option<Exact> {
    let weights = amounts.iter().filter_map(|amount| match amount {
        Amount::Grams(grams) => Some(grams.mid.clone()),
        _ => None,
    });
    let named: Exact = weights.sum();
    match (totals.basis, written_for) {
        (Basis::Weight, Some(whole)) if totals.balances.is_empty() => Some(named.max(whole.clone())),
        (Basis::Weight, None) if !named.is_zero() => Some(named),
        (_, whole) => whole.cloned(),
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

fn sum_up(
    totals: &mut Totals,
    amounts: &[Amount],
    settled: &[Option<Interval>],
    draft: &Draft<'_>,
    items: &[Item],
    halves: &[Exact],
    whole: Option<&Exact>,
) {
    let in_grams = totals.basis == Basis::Weight;
    let unit = if in_grams { whole.cloned().unwrap_or_default() } else { Exact::one() };
    let mut lines = 0i64;
    let mut rounding = Exact::zero();
    let lines_of = amounts.iter().zip(settled).zip(draft.items.iter().zip(items)).zip(halves);
    for (at, (((amount, share), (line, item)), half)) in lines_of.enumerate() {
        let Some(share) = share.as_ref().filter(|_| !totals.open.contains(&at)) else { continue };
        if matches!(amount, Amount::Balance) {
            continue;
        }
        let counted = share.scaled(&unit);
        totals.named = &totals.named + &counted.mid;
        let (least, most) = reach(&line.quantity, amount, item, &counted, &unit);
        totals.reach = (&totals.reach.0 + &least, &totals.reach.1 + &most);
        if matches!(line.quantity, Quantity::AsNeeded(_)) {
            continue;
        }
        lines += 1;
        let joined = matches!(amount, Amount::Grams(_)) && !in_grams;
        let half =
            if joined { whole.and_then(|whole| half.over(whole)).unwrap_or_default() } else { half.clone() };
        rounding = rounding + half;
    }
    // 0.05 points a line, of the whole.
    let whole = if in_grams { whole.cloned().unwrap_or_default() } else { Exact::one() };
    let allowance = Exact::fraction(5, 10_000) * Exact::whole(lines) * whole;
    totals.tolerance = rounding.min(allowance);
}

/// The least and the most that a line can be. A spoon or a drop is a tenth more or less even with a good figure, and
/// an adjuster takes what its end point needs: up to what is said, else up to 1 % (common practice).
fn reach(
    quantity: &Quantity,
    amount: &Amount,
    item: &Item,
    counted: &Interval,
    unit: &Exact,
) -> (Exact, Exact) {
    if matches!(quantity, Quantity::AsNeeded(_)) {
        let most = if matches!(amount, Amount::Zero) { unit.hundredth() } else { counted.high.clone() };
        return (Exact::zero(), most);
    }
    if item.conversion.is_some() {
        let tenth = &counted.mid * &Exact::fraction(1, 10);
        return (&counted.low - &tenth, &counted.high + &tenth);
    }
    (counted.low.clone(), counted.high.clone())
}
