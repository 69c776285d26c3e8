//! The same formula for another batch.

use super::ground::{Ground, about, amount, inline, lead, number, scaled, unit_of};
use super::{Action, ActionKind};
use crate::Page;
use formula::{Basis, Exact, factor};
use notation::{BlockKind, Dimension, Edit, Edits, Measure, Quantity, Span, UnitWord, Word, find_unit, fold};
use rules::line_below;

/// A formula for another batch.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Scaled {
    /// The changes. Bytes from the file's start.
    pub edits: Edits,
    /// How many amounts had to be rounded.
    pub rounded: usize,
}

impl Page {
    /// The formula of a name (the first one, where none is said) for another batch, such as `2 kg`.
    ///
    /// # Errors
    /// Why that cannot be done, as a sentence.
    pub fn scaled(&self, formula: Option<&str>, batch: &str) -> Result<Scaled, String> {
        let grams = weight(batch).ok_or("A batch is an amount by weight, such as 500 g or 2 kg.")?;
        let leaf = self.leaves().find(|leaf| {
            let named = formula.is_none_or(|name| fold(leaf.block().name()) == fold(name));
            leaf.block().kind == BlockKind::Formula && named
        });
        let leaf = leaf.ok_or("There is no formula of that name here.")?;
        let ground = Ground::of(self, Span::at(leaf.start)).ok_or("This formula cannot be read.")?;
        let scaled = to(&ground, &grams, batch.trim())?;
        Ok(Scaled { edits: scaled.edits.shifted(leaf.start), ..scaled })
    }
}

/// `2 kg` in grams.
fn weight(text: &str) -> Option<Exact> {
    let text = text.trim();
    let (value, unit) = text.split_at(text.find(char::is_alphabetic)?);
    let UnitWord::Known(unit) = find_unit(unit.trim()) else { return None };
    let grams = Exact::read(value.trim())? * factor::grams(unit)?;
    (!grams.is_zero() && !grams.is_negative()).then_some(grams)
}

/// Half and twice the batch.
pub(super) fn offers(ground: &Ground<'_>) -> Vec<Action> {
    let Some(batch) = ground.formula.batch_grams() else { return Vec::new() };
    let mut actions = Vec::new();
    for (word, factor) in [("half", Exact::fraction(1, 2)), ("twice", Exact::whole(2))] {
        let grams = batch * &factor;
        let said = format!("{} g", number(&grams).0);
        let Ok(scaled) = to(ground, &grams, &said) else { continue };
        let rounded = match scaled.rounded {
            0 => String::new(),
            1 => ", one amount rounded".to_owned(),
            more => format!(", {more} amounts rounded"),
        };
        let title = format!("Scale to {word} the batch, {said}{rounded}");
        actions.push(Action::new(ActionKind::Rewrite, title, scaled.edits));
    }
    actions
}

fn to(ground: &Ground<'_>, grams: &Exact, said: &str) -> Result<Scaled, String> {
    let totals = &ground.formula.totals;
    let mut made = Making { ground, factor: Exact::one(), edits: Vec::new(), rounded: 0 };
    if ground.formula.header.batch.as_ref().is_some_and(|batch| batch.grams.is_none()) {
        return Err("Nobody knows how much the batch weighs that the formula says.".to_owned());
    }
    match totals.basis {
        Basis::Mixed | Basis::Nothing => {
            return Err("The amounts do not say how much the whole batch weighs.".to_owned());
        }
        Basis::Share => {}
        Basis::Weight | Basis::Joined => {
            let whole = totals.written_for.as_ref().or(totals.batch_grams.as_ref());
            let said = ground.formula.header.batch.as_ref().and_then(|batch| batch.grams.as_ref());
            // Written for 100 g and made as 500 g: the lines stay, the batch changes.
            let lines = said.is_none_or(|said| Some(said) == whole);
            if ground.formula.broken || (lines && ground.batch_varies()) {
                return Err("Not every amount of this formula can be scaled.".to_owned());
            }
            if lines {
                let factor = whole.and_then(|whole| grams.over(whole));
                made.factor = factor.ok_or("The amounts do not say how much the whole batch weighs.")?;
                made.lines().ok_or("Not every amount of this formula can be scaled.")?;
            }
        }
    }
    made.batch(said)?;
    let edits = Edits::new(made.edits).map_err(|_| "The changes overlap.")?;
    Ok(Scaled { edits, rounded: made.rounded })
}

struct Making<'g, 'p> {
    ground: &'g Ground<'p>,
    factor: Exact,
    edits: Vec<Edit>,
    rounded: usize,
}

impl Making<'_, '_> {
    fn text(&self) -> &str {
        &self.ground.block.text
    }

    /// Every amount that grows with the batch; none where one of them cannot be read.
    fn lines(&mut self) -> Option<()> {
        let text: &str = &self.ground.block.text;
        for row in &self.ground.rows {
            let (measure, before) = match &row.written.quantity {
                Quantity::Given(measure) => (measure, lead(text, measure)),
                Quantity::Balance(Some(measure), _) => (measure, "to"),
                Quantity::Both(first, second) => {
                    self.inline(first)?;
                    self.inline(second)?;
                    continue;
                }
                _ => continue,
            };
            if grows(measure) {
                let (number, unit) = self.grown(measure)?;
                self.edits.push(amount(self.ground.block, row, before, &number, &unit)?);
            }
        }
        let about: Vec<Measure> =
            self.ground.rows.iter().flat_map(|row| row.written.clauses.iter().filter_map(about)).collect();
        for measure in about {
            self.inline(&measure)?;
        }
        for (quantity, _) in self.ground.changed_amounts() {
            match quantity {
                Quantity::Given(measure) => self.inline(measure)?,
                Quantity::Balance(..) | Quantity::Both(..) => return None,
                _ => {}
            }
        }
        Some(())
    }

    fn inline(&mut self, measure: &Measure) -> Option<()> {
        if grows(measure) {
            let (number, unit) = self.grown(measure)?;
            let edit = inline(self.text(), measure, &number, &unit);
            self.edits.push(edit);
        }
        Some(())
    }

    /// A measure for the other batch, as number and unit; none where it cannot be read.
    fn grown(&mut self, measure: &Measure) -> Option<(String, String)> {
        let (number, rounded) = scaled(self.text(), measure, &self.factor)?;
        self.rounded += usize::from(rounded);
        let unit = measure.unit.map(|unit| unit.span.of(self.text()).to_owned())?;
        Some((number, unit))
    }

    fn batch(&mut self, said: &str) -> Result<(), String> {
        let block = self.ground.block;
        let mut lines = block.facts(Word::Batch);
        match (lines.next(), lines.next()) {
            (None, _) => {
                let header = &self.ground.formula.header;
                // Weights say their batch themselves.
                if self.ground.formula.totals.basis == Basis::Weight {
                    return Ok(());
                }
                let after = header.product.span.unwrap_or(self.ground.formula.name_span);
                let line = line_below(&block.text, after, &format!("batch {said}"));
                self.edits.extend(line.iter().cloned());
            }
            (Some((_, fact)), None) => {
                let measure = fact.measure.filter(|measure| measure.unit.is_some());
                let measure = measure.ok_or("The line that says the batch cannot be read.")?;
                self.edits.push(Edit { span: measure.span, text: said.to_owned() });
            }
            (Some(_), Some(_)) => return Err("Two lines say the batch.".to_owned()),
        }
        Ok(())
    }
}

/// Whether an amount is larger in a larger batch.
fn grows(measure: &Measure) -> bool {
    let own = unit_of(measure).map(notation::Unit::dimension);
    let sizes = [Dimension::Mass, Dimension::Volume, Dimension::Drops, Dimension::Activity];
    measure.of.is_none() && own.is_some_and(|own| sizes.contains(&own))
}
