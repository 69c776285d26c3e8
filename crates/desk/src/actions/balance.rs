//! A line that makes up the rest.

use super::ground::{Ground, Row, amount, number, unit_of, written};
use super::{Action, ActionKind};
use formula::{Basis, Exact};
use notation::{ChangeKind, Dimension, Edits, Quantity, RangeKind};

/// Lets the selected line make up the rest. One that did so before gets what it came to.
pub(super) fn taking_the_rest(ground: &Ground<'_>) -> Option<Action> {
    let row = ground.one()?;
    let totals = &ground.formula.totals;
    let plain = match &row.written.quantity {
        Quantity::Given(measure) => {
            let weighs = unit_of(measure)
                .is_some_and(|unit| matches!(unit.dimension(), Dimension::Share | Dimension::Mass));
            weighs && measure.of.is_none() && measure.range.kind == RangeKind::Exact
        }
        _ => false,
    };
    if !plain || ground.formula.broken || ground.batch_varies() || !totals.unresolved.is_empty() {
        return None;
    }
    match totals.balances.as_slice() {
        [] => fresh(ground, row),
        [other] => instead(ground, row, ground.rows.get(*other)?),
        _ => None,
    }
}

/// What the rest is made up to, as number and unit.
fn whole(ground: &Ground<'_>) -> Option<(Exact, &'static str)> {
    let totals = &ground.formula.totals;
    match totals.basis {
        Basis::Weight => Some((totals.written_for.clone().or_else(|| totals.batch_grams.clone())?, "g")),
        Basis::Share | Basis::Joined => Some((Exact::whole(100), "%")),
        Basis::Nothing | Basis::Mixed => None,
    }
}

fn fresh(ground: &Ground<'_>, row: &Row<'_>) -> Option<Action> {
    let totals = &ground.formula.totals;
    let (all, unit) = whole(ground)?;
    let (shown, rounded) = number(&all);
    let own = row.item.mid()?;
    // Named and wanted are grams or shares, as the whole is.
    let wanted = totals.wanted.clone().or_else(|| totals.batch_grams.clone())?;
    let off = (&wanted - &totals.named).over(&if unit == "g" { all.clone() } else { Exact::one() })?;
    let rest = own + &off;
    if rounded
        || rest.is_negative()
        || rest.is_zero()
        || !totals.open.is_empty()
        || !totals.unknown.is_empty()
    {
        return None;
    }
    let edit = amount(ground.block, row, "to", &shown, unit)?;
    let becomes = if off.is_zero() {
        String::new()
    } else {
        let scale = if unit == "g" { all } else { Exact::whole(100) };
        format!(": {} {unit} instead of {}", (rest * &scale).text(), written(row))
    };
    let title =
        format!("Let {} make up the rest, `to {shown} {unit}`{becomes}{}", row.item.name, varied(ground));
    Some(Action::new(ActionKind::Rewrite, title, Edits::new(vec![edit]).ok()?))
}

fn instead(ground: &Ground<'_>, row: &Row<'_>, other: &Row<'_>) -> Option<Action> {
    let Quantity::Balance(measure, _) = &other.written.quantity else { return None };
    let share = other.item.mid().filter(|share| !share.is_negative() && !share.is_zero())?;
    let (all, unit) = match measure.as_ref().and_then(unit_of) {
        Some(unit) if unit.dimension() == Dimension::Mass => {
            (ground.formula.totals.written_for.clone()?, "g")
        }
        None | Some(notation::Unit::Percent) => (Exact::whole(100), "%"),
        Some(_) => return None,
    };
    let (rest, rounded) = number(&(share * &all));
    // Rounded, the line that makes up the rest would come to something else than it was.
    if rounded || row.item.mid().is_none() {
        return None;
    }
    let was = amount(ground.block, other, "", &rest, unit)?;
    let is = amount(ground.block, row, "to", &number(&all).0, unit)?;
    let title = format!(
        "Let {} make up the rest; {} stays at {rest} {unit}{}",
        row.item.name,
        other.item.name,
        varied(ground)
    );
    Some(Action::new(ActionKind::Rewrite, title, Edits::new(vec![was, is]).ok()?))
}

/// What a variant changes is made up for by the new line.
fn varied(ground: &Ground<'_>) -> &'static str {
    let changes = |kind: &ChangeKind| !matches!(kind, ChangeKind::Header(_));
    if ground.changes().any(|(_, change)| changes(&change.kind)) { "; in variants, too" } else { "" }
}
