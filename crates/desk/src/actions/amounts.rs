//! A whole formula from percents into grams, and back.

use super::ground::{
    Ground, Row, about, amount, inline, is_share, is_weight, lead, rounding, scaled, unit_of,
};
use super::{Action, ActionKind};
use formula::{Basis, Exact, factor};
use notation::{Dimension, Edit, Edits, Measure, Quantity, Unit, Word};
use rules::line_below;

/// The batch of a formula that says none: its percents become as many grams.
const UNSAID: i64 = 100;

/// How measures of one kind are written in another unit.
struct Turn {
    takes: fn(&Measure) -> bool,
    /// The value of one unit of the measure in the new unit.
    factor: Box<dyn Fn(Unit) -> Option<Exact>>,
    unit: &'static str,
    /// What a line that takes the rest makes up to, in the new unit.
    whole: String,
}

impl Turn {
    /// The edits, and whether something had to be rounded.
    fn of(&self, ground: &Ground<'_>) -> Option<(Vec<Edit>, bool)> {
        let text: &str = &ground.block.text;
        let (mut edits, mut rounded) = (Vec::new(), false);
        let mut turn = |measure: &Measure| {
            let (number, rough) = scaled(text, measure, &(self.factor)(unit_of(measure)?)?)?;
            rounded |= rough;
            Some(number)
        };
        for row in &ground.rows {
            match &row.written.quantity {
                Quantity::Given(measure) if (self.takes)(measure) => {
                    let number = turn(measure)?;
                    edits.push(amount(ground.block, row, lead(text, measure), &number, self.unit)?);
                }
                Quantity::Balance(..) => edits.push(self.rest(ground, row)?),
                _ => {}
            }
            for measure in
                row.written.clauses.iter().filter_map(about).filter(|measure| (self.takes)(measure))
            {
                edits.push(inline(text, &measure, &turn(&measure)?, self.unit));
            }
        }
        for (quantity, clauses) in ground.changed_amounts() {
            match quantity {
                Quantity::Given(measure) if (self.takes)(measure) => {
                    edits.push(inline(text, measure, &turn(measure)?, self.unit));
                }
                // What a variant makes up to would have to be told apart from its parent's.
                Quantity::Balance(..) => return None,
                _ => {}
            }
            for measure in clauses.iter().filter_map(about).filter(|measure| (self.takes)(measure)) {
                edits.push(inline(text, &measure, &turn(&measure)?, self.unit));
            }
        }
        Some((edits, rounded))
    }

    fn rest(&self, ground: &Ground<'_>, row: &Row<'_>) -> Option<Edit> {
        amount(ground.block, row, "to", &self.whole, self.unit)
    }
}

/// Whether every amount can be read, and none is of a kind that would mean something else among other units.
fn is_plain(ground: &Ground<'_>) -> bool {
    let strange = |measure: &Measure| match unit_of(measure) {
        None => true,
        Some(Unit::PercentWv | Unit::PercentVv | Unit::Parts | Unit::Iu) => true,
        Some(_) => measure.of.is_some(),
    };
    let bare = |row: &Row<'_>| match &row.written.quantity {
        // `balance`, and `to 100`.
        Quantity::Balance(None, _) => false,
        Quantity::Balance(Some(measure), _) => unit_of(measure)
            .is_some_and(|unit| !matches!(unit.dimension(), Dimension::Share | Dimension::Mass)),
        Quantity::Unread(_) | Quantity::Both(..) => true,
        _ => false,
    };
    let balances = ground.rows.iter().filter_map(|row| match &row.written.quantity {
        Quantity::Balance(Some(measure), _) if unit_of(measure).is_none() => Some(measure.span),
        _ => None,
    });
    let balances: Vec<_> = balances.collect();
    !ground.formula.broken
        && !ground.batch_varies()
        && ground.formula.totals.balances.len() < 2
        && !ground.rows.iter().any(bare)
        && !ground.measures().iter().any(|measure| strange(measure) && !balances.contains(&measure.span))
}

/// The edit that says a batch which nothing says yet.
fn batch_line(ground: &Ground<'_>, grams: &str) -> Vec<Edit> {
    let header = &ground.formula.header;
    let after = header.product.span.unwrap_or(ground.formula.name_span);
    line_below(&ground.block.text, after, &format!("batch {grams} g")).iter().cloned().collect()
}

/// Every percent as grams of the batch; as grams of 100 g where no batch is said.
pub(super) fn into_grams(ground: &Ground<'_>) -> Option<Action> {
    let totals = &ground.formula.totals;
    let joined = matches!(totals.basis, Basis::Share | Basis::Joined);
    if !joined || !ground.measures().iter().any(is_share) || !is_plain(ground) {
        return None;
    }
    let (whole, says) = match (&totals.written_for, &ground.formula.header.batch) {
        (Some(whole), _) => (whole.clone(), Vec::new()),
        (None, None) if ground.block.facts(Word::Batch).next().is_none() => {
            (Exact::whole(UNSAID), batch_line(ground, &UNSAID.to_string()))
        }
        // A batch that is said and cannot be (`batch 0 g`) is the maker's to put right first.
        (None, _) => return None,
    };
    // Weights are held against all of themselves where they are more than the batch.
    if totals.balances.is_empty() && totals.named > Exact::one() {
        return None;
    }
    let shown = whole.data();
    let of = whole.clone();
    let turn = Turn {
        takes: is_share,
        factor: Box::new(move |unit| Some(factor::share(unit)? * &of)),
        unit: "g",
        whole: shown.clone(),
    };
    let (mut edits, rounded) = turn.of(ground)?;
    edits.extend(says);
    let title = format!("Turn percents into grams, for a batch of {shown} g{}", rounding(rounded, "g"));
    Some(Action::new(ActionKind::Rewrite, title, Edits::new(edits).ok()?))
}

/// Every weight as a percent of the whole; the batch is said where only the weights said it.
pub(super) fn into_percents(ground: &Ground<'_>) -> Option<Action> {
    let totals = &ground.formula.totals;
    let weighed = matches!(totals.basis, Basis::Weight | Basis::Joined);
    let given = ground
        .rows
        .iter()
        .any(|row| matches!(&row.written.quantity, Quantity::Given(measure) if is_weight(measure)));
    if !weighed || !given || !is_plain(ground) {
        return None;
    }
    let whole =
        totals.written_for.as_ref().or(totals.batch_grams.as_ref()).filter(|whole| !whole.is_zero())?;
    let too_much = totals.balances.is_empty() && totals.basis == Basis::Weight && totals.named > *whole;
    let said = ground.formula.header.batch.as_ref();
    let said_grams = said.and_then(|batch| batch.grams.as_ref());
    // What is measured in spoons is a part of what the formula is written for, not of another batch.
    let others = ground.measures().iter().any(|measure| !is_weight(measure) && !is_share(measure));
    let elsewhere = said_grams.is_some_and(|said| said != whole) || (others && totals.batch_is_sum);
    if too_much || (others && elsewhere) || (said.is_some() && said_grams.is_none()) {
        return None;
    }
    let shown = whole.data();
    let says = match said {
        Some(_) => Vec::new(),
        None if Exact::read(&shown).as_ref() == Some(whole) => batch_line(ground, &shown),
        None => return None,
    };
    let of = whole.clone();
    let turn = Turn {
        takes: is_weight,
        factor: Box::new(move |unit| factor::grams(unit)?.percent().over(&of)),
        unit: "%",
        whole: "100".to_owned(),
    };
    let (mut edits, rounded) = turn.of(ground)?;
    edits.extend(says);
    let title = format!("Turn grams into percents{}", rounding(rounded, "%"));
    Some(Action::new(ActionKind::Rewrite, title, Edits::new(edits).ok()?))
}
