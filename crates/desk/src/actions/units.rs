//! One line in another unit.

use super::ground::{Ground, amount, is_share, is_weight, lead, rounding, scaled, unit_of, written};
use super::{Action, ActionKind};
use formula::{Basis, Exact, factor};
use notation::{Edits, Measure, Quantity, Unit};

/// The units that a weight is offered in.
const WEIGHTS: [Unit; 4] = [Unit::Gram, Unit::Milligram, Unit::Kilogram, Unit::Ounce];

/// The selected line in the other units that say the same.
pub(super) fn conversions(ground: &Ground<'_>) -> Vec<Action> {
    let Some(row) = ground.one() else { return Vec::new() };
    let Quantity::Given(measure) = &row.written.quantity else { return Vec::new() };
    let text: &str = &ground.block.text;
    let mut actions = Vec::new();
    for unit in offered(ground, measure) {
        let made = unit_of(measure).and_then(|from| {
            let (number, rounded) = scaled(text, measure, &between(ground, from, unit)?)?;
            let edit = amount(ground.block, row, lead(text, measure), &number, unit.spelling())?;
            let rounding = rounding(rounded, unit.spelling());
            let lead = lead(text, measure);
            let joint = if lead.is_empty() { "" } else { " " };
            let title =
                format!("Write {} as {lead}{joint}{number} {}{rounding}", written(row), unit.spelling());
            Some(Action::new(ActionKind::Rewrite, title, Edits::new(vec![edit]).ok()?))
        });
        actions.extend(made);
    }
    actions
}

/// The units that make sense for a measure: not a gram as a millionth of a tonne.
fn offered(ground: &Ground<'_>, measure: &Measure) -> Vec<Unit> {
    let Some(from) = unit_of(measure) else { return Vec::new() };
    let value = Exact::read(measure.range.first.of(&ground.block.text)).unwrap_or_default();
    let joins = joins(ground);
    let mut units: Vec<Unit> = Vec::new();
    if is_weight(measure) {
        let grams = factor::grams(from).map(|each| &value * &each).unwrap_or_default();
        units.extend(WEIGHTS.into_iter().filter(|unit| match unit {
            Unit::Milligram => grams < Exact::one(),
            Unit::Kilogram => grams >= Exact::whole(1000),
            Unit::Ounce => grams >= Exact::whole(10),
            _ => true,
        }));
        if joins {
            units.push(Unit::Percent);
        }
    } else if is_share(measure) {
        if joins {
            units.push(Unit::Gram);
        }
        let share = factor::share(from).map(|each| &value * &each).unwrap_or_default();
        units.extend((share < Exact::fraction(1, 1000)).then_some(Unit::Ppm));
        units.push(Unit::Percent);
    }
    units.retain(|unit| *unit != from);
    units
}

/// Whether percents and grams stand beside each other in this formula without a change of what they mean.
fn joins(ground: &Ground<'_>) -> bool {
    let totals = &ground.formula.totals;
    let whole = if totals.basis == Basis::Weight { totals.written_for.clone() } else { Some(Exact::one()) };
    let fits = !totals.balances.is_empty() || whole.is_some_and(|whole| totals.named <= whole);
    totals.written_for.is_some() && totals.basis != Basis::Mixed && fits && !ground.batch_varies()
}

/// How many of a unit one of another is.
fn between(ground: &Ground<'_>, from: Unit, to: Unit) -> Option<Exact> {
    let whole = ground.formula.totals.written_for.as_ref();
    let grams = |unit: Unit| match factor::share(unit) {
        Some(share) => whole.map(|whole| share * whole),
        None => factor::grams(unit),
    };
    match (factor::share(from), factor::share(to)) {
        (Some(from), Some(to)) => from.over(&to),
        _ => grams(from)?.over(&grams(to)?),
    }
}
