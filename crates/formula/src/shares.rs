//! Lines that are a share of something other than the whole, solved together: percents of a phase, of the oils,
//! parts, and the balance. Each depends on the others, linearly, so that they are one small system of equations.
#![deny(clippy::float_arithmetic)]

use crate::amount::Amount;
use crate::exact::Exact;
use crate::formula::{Gap, GapKind, Item, Phase, is_oil};
use crate::totals::Totals;
use crate::window::Interval;

/// What a relative line is a share of.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Of {
    Phase(usize),
    Oils,
    Parts,
    Rest,
}

fn of(amount: &Amount) -> Option<(Of, Interval)> {
    Some(match amount {
        Amount::OfPhase(phase, share) => (Of::Phase(*phase), share.clone()),
        Amount::OfOils(share) => (Of::Oils, share.clone()),
        Amount::Parts(parts) => (Of::Parts, parts.clone()),
        Amount::Balance => (Of::Rest, Interval::exactly(Exact::one())),
        _ => return None,
    })
}

/// Settles the relative lines; what cannot be settled stays without a share. `fills` says whether parts and the
/// balance line take what the others leave.
pub(crate) fn settle(
    amounts: &[Amount],
    items: &[Item],
    phases: &[Phase],
    settled: &mut [Option<Interval>],
    fills: bool,
    totals: &mut Totals,
    gaps: &mut Vec<Gap>,
) {
    let mut bases: Vec<Of> = Vec::new();
    for (base, _) in amounts.iter().filter_map(of) {
        if !bases.contains(&base) {
            bases.push(base);
        }
    }
    let parts = bases.contains(&Of::Parts);
    // Parts share all that is left, so that nothing is left beside them.
    bases.retain(|base| match base {
        Of::Rest => fills && !parts && totals.balances.len() == 1,
        Of::Parts => fills,
        Of::Phase(phase) => !is_all_relative(amounts, items, *phase),
        Of::Oils => true,
    });
    tell_relative_phases(amounts, items, phases, totals, gaps);
    let values = solve(&rows(&bases, amounts, items, settled));
    let known: Exact = settled.iter().flatten().map(|share| share.mid.clone()).sum();
    for (at, (amount, share)) in amounts.iter().zip(settled.iter_mut()).enumerate() {
        let Some((base, coefficient)) = of(amount) else { continue };
        if base == Of::Rest {
            continue;
        }
        let place = bases.iter().position(|other| *other == base);
        let value = place.and_then(|place| values.as_ref()?.get(place)).filter(|value| !value.is_negative());
        match value {
            Some(value) if base == Of::Parts || !value.is_zero() => *share = Some(coefficient.scaled(value)),
            _ if base == Of::Parts || totals.unresolved.contains(&at) => {}
            _ => totals.unresolved.push(at),
        }
    }
    if fills && (parts || !totals.balances.is_empty()) {
        let others: Exact =
            if parts { known } else { settled.iter().flatten().map(|share| share.mid.clone()).sum() };
        totals.left = Some(Exact::one() - others);
    }
    rest(&bases, totals, settled);
}

/// What the balance line gets. Its ends follow from the ends of the others; less than nothing is nothing.
fn rest(bases: &[Of], totals: &Totals, settled: &mut [Option<Interval>]) {
    let (true, [only], Some(left)) = (bases.contains(&Of::Rest), totals.balances.as_slice(), &totals.left)
    else {
        return;
    };
    let others = settled.iter().flatten().fold(Interval::zero(), |sum, share| sum.plus(share));
    let floor = |value: Exact| if value.is_negative() { Exact::zero() } else { value };
    if let Some(share) = settled.get_mut(*only) {
        *share = Some(Interval {
            low: floor(Exact::one() - others.high),
            mid: floor(left.clone()),
            high: floor(Exact::one() - others.low),
        });
    }
}

/// Whether nothing but percents of the phase itself stands in a phase, or they take all of it.
fn is_all_relative(amounts: &[Amount], items: &[Item], phase: usize) -> bool {
    let here = |amount: &Amount| matches!(amount, Amount::OfPhase(of, _) if *of == phase);
    let mut all = true;
    for (amount, item) in amounts.iter().zip(items) {
        all &= item.phase != Some(phase) || here(amount);
    }
    let inside = amounts.iter().zip(items).filter(|(amount, item)| here(amount) && item.phase == Some(phase));
    let sum: Exact = inside.filter_map(|(amount, _)| of(amount)).map(|(_, share)| share.mid).sum();
    all || sum >= Exact::one()
}

fn tell_relative_phases(
    amounts: &[Amount],
    items: &[Item],
    phases: &[Phase],
    totals: &mut Totals,
    gaps: &mut Vec<Gap>,
) {
    for (number, phase) in phases.iter().enumerate() {
        let lines: Vec<usize> = amounts
            .iter()
            .enumerate()
            .filter(|(_, amount)| matches!(amount, Amount::OfPhase(of, _) if *of == number))
            .map(|(at, _)| at)
            .collect();
        if !lines.is_empty() && is_all_relative(amounts, items, number) {
            gaps.push(Gap { kind: GapKind::AllRelative(phase.label.clone()), span: phase.span });
            totals.unresolved.extend(lines);
        }
    }
}

/// One equation for each base: its weight is the sum of the lines that belong to it; parts and the balance are what
/// makes all lines the whole.
fn rows(bases: &[Of], amounts: &[Amount], items: &[Item], settled: &[Option<Interval>]) -> Vec<Vec<Exact>> {
    bases
        .iter()
        .map(|base| {
            let fills = matches!(base, Of::Parts | Of::Rest);
            let belongs = |amount: &Amount, item: &Item| match base {
                Of::Phase(phase) => item.phase == Some(*phase),
                Of::Oils => is_oil(item) && !matches!(amount, Amount::OfOils(_)),
                Of::Parts | Of::Rest => true,
            };
            let mut row = vec![Exact::zero(); bases.len() + 1];
            let mut known = Exact::zero();
            for ((amount, item), share) in amounts.iter().zip(items).zip(settled) {
                if !belongs(amount, item) {
                    continue;
                }
                if let Some(share) = share {
                    known = known + &share.mid;
                } else if let Some((other, coefficient)) = of(amount)
                    && let Some(place) = bases.iter().position(|base| *base == other)
                    && let Some(cell) = row.get_mut(place)
                {
                    *cell = &*cell + &coefficient.mid;
                }
            }
            // Filling: Σ lines = 1 − known. Else: base − Σ lines = known.
            if !fills {
                for cell in &mut row {
                    *cell = -&*cell;
                }
                let own = bases.iter().position(|other| other == base);
                if let Some(cell) = own.and_then(|own| row.get_mut(own)) {
                    *cell = &*cell + &Exact::one();
                }
            }
            if let Some(last) = row.last_mut() {
                *last = if fills { Exact::one() - known } else { known };
            }
            row
        })
        .collect()
}

/// Gauss and Jordan, exactly; none where the equations do not decide.
fn solve(rows: &[Vec<Exact>]) -> Option<Vec<Exact>> {
    let mut rows = rows.to_vec();
    for column in 0..rows.len() {
        let pivot = (column..rows.len())
            .find(|row| rows.get(*row).and_then(|row| row.get(column)).is_some_and(|cell| !cell.is_zero()))?;
        rows.swap(column, pivot);
        let scale = Exact::one().over(rows.get(column)?.get(column)?)?;
        let lead: Vec<Exact> = rows.get(column)?.iter().map(|cell| cell * &scale).collect();
        for (at, row) in rows.iter_mut().enumerate() {
            if at == column {
                row.clone_from(&lead);
                continue;
            }
            let factor = row.get(column)?.clone();
            for (cell, lead) in row.iter_mut().zip(&lead) {
                *cell = &*cell - &(lead * &factor);
            }
        }
    }
    rows.iter().map(|row| row.last().cloned()).collect()
}
