//! What a rewriting sees of the formula at a place: its lines beside what they mean, and how amounts are written anew.

use crate::Page;
use formula::{Exact, Formula, Item, factor};
use notation::{
    Block, BlockKind, Change, ChangeKind, Clause, ClauseWord, Edit, Form, ItemLine, Line, Measure, Quantity,
    RangeKind, Span, Unit, Word, amount_columns, read_number,
};

/// Decimals to which a number is rounded that does not end.
pub(super) const PLACES: u32 = 3;

/// An ingredient line of the parent formula.
pub(super) struct Row<'p> {
    pub(super) line: &'p Line,
    pub(super) written: &'p ItemLine,
    pub(super) item: &'p Item,
    /// Its place among the formula's items.
    pub(super) at: usize,
}

/// A formula, and what of it is selected. Spans count from the block's start.
pub(super) struct Ground<'p> {
    pub(super) page: &'p Page,
    pub(super) block: &'p Block,
    pub(super) formula: &'p Formula,
    /// The byte of the file at which the block begins.
    pub(super) start: u32,
    pub(super) rows: Vec<Row<'p>>,
    pub(super) within: Span,
}

impl<'p> Ground<'p> {
    /// The formula at the start of a span; none elsewhere.
    pub(super) fn of(page: &'p Page, within: Span) -> Option<Ground<'p>> {
        let leaf = page.leaf_at(within.start)?;
        let (block, start) = (leaf.block(), leaf.start);
        let formula = &leaf.resolved().filter(|_| block.kind == BlockKind::Formula)?.formula;
        let end = (within.end.saturating_sub(start)).min(block.text.len() as u32);
        let within = Span::new(within.start - start, end);
        let items = block.lines.iter().filter_map(|line| match &line.form {
            Form::Item(written) => Some((line, written)),
            _ => None,
        });
        let rows = items.zip(&formula.items).enumerate();
        let rows = rows.map(|(at, ((line, written), item))| Row { line, written, item, at }).collect();
        Some(Ground { page, block, formula, start, rows, within })
    }

    /// The selected lines: those that the span touches; a span over several lines does not mean the line at whose start
    /// it ends.
    pub(super) fn selected(&self) -> Vec<&Row<'p>> {
        let within = self.within;
        let touches = |line: &Line| {
            let begins = line.span.start < within.end || line.span.touches(within.start);
            begins && within.start <= line.span.end
        };
        self.rows.iter().filter(|row| touches(row.line)).collect()
    }

    /// The one selected line.
    pub(super) fn one(&self) -> Option<&Row<'p>> {
        match self.selected().as_slice() {
            [row] => Some(*row),
            _ => None,
        }
    }

    /// The changes of all variants, with their lines.
    pub(super) fn changes(&self) -> impl Iterator<Item = (&'p Line, &'p Change)> {
        self.block.lines.iter().filter_map(|line| match &line.form {
            Form::Change(change) => Some((line, change)),
            _ => None,
        })
    }

    /// The amounts that variants ask for, with the qualifiers of their lines.
    pub(super) fn changed_amounts(&self) -> impl Iterator<Item = (&'p Quantity, &'p Vec<Clause>)> {
        self.changes().filter_map(|(_, change)| Some((change.kind.quantity()?, &change.clauses)))
    }

    /// Whether a variant is made in another batch than its parent.
    pub(super) fn batch_varies(&self) -> bool {
        let is_batch =
            |change: &Change| matches!(&change.kind, ChangeKind::Header(fact) if fact.word == Word::Batch);
        self.changes().any(|(_, change)| is_batch(change))
    }

    /// Every amount of the formula and its variants: as it is written on a line or in a qualifier.
    pub(super) fn measures(&self) -> Vec<Measure> {
        let own = self.rows.iter().map(|row| (&row.written.quantity, &row.written.clauses));
        let changed = self.changed_amounts();
        let mut found = Vec::new();
        for (quantity, clauses) in own.chain(changed) {
            match quantity {
                Quantity::Given(measure) => found.push(*measure),
                Quantity::Both(first, second) => found.extend([*first, *second]),
                Quantity::Balance(measure, _) => found.extend(*measure),
                Quantity::Missing | Quantity::Fuzzy(_) | Quantity::AsNeeded(_) | Quantity::Unread(_) => {}
            }
            found.extend(clauses.iter().filter_map(about));
        }
        found
    }
}

/// `about 0.3 %`
pub(super) fn about(clause: &Clause) -> Option<Measure> {
    clause.measure.filter(|_| clause.word == Some(ClauseWord::About))
}

/// The unit of a measure; none where none is written.
pub(super) fn unit_of(measure: &Measure) -> Option<Unit> {
    measure.unit.map(|unit| unit.unit)
}

/// Whether a measure is a share of the whole by weight, however precisely it is said.
pub(super) fn is_share(measure: &Measure) -> bool {
    measure.of.is_none() && unit_of(measure).is_some_and(|unit| factor::share(unit).is_some())
}

/// Whether a measure is a weight.
pub(super) fn is_weight(measure: &Measure) -> bool {
    measure.of.is_none() && unit_of(measure).is_some_and(|unit| factor::grams(unit).is_some())
}

/// A number, and whether it had to be rounded.
pub(super) fn number(value: &Exact) -> (String, bool) {
    let whole = value.data();
    if Exact::read(&whole).as_ref() == Some(value) {
        return (whole, false);
    }
    let shown = value.shown(PLACES);
    let nothing = Exact::read(&shown).is_none_or(|shown| shown.is_zero());
    (if nothing { value.text() } else { shown }, true)
}

/// The number or numbers of a measure times a factor, and whether they had to be rounded.
pub(super) fn scaled(text: &str, measure: &Measure, factor: &Exact) -> Option<(String, bool)> {
    let range = &measure.range;
    let one = |span: Span| Some(number(&(Exact::read(span.of(text))? * factor)));
    let (first, rounded) = one(range.first)?;
    let joint = match range.kind {
        RangeKind::Between => "to",
        RangeKind::PlusMinus => "±",
        RangeKind::Exact | RangeKind::AtLeast | RangeKind::AtMost | RangeKind::About => {
            return Some((first, rounded));
        }
    };
    let (second, too) = one(range.second)?;
    Some((format!("{first} {joint} {second}"), rounded || too))
}

/// The words before a number: `about`, `at most`.
pub(super) fn lead<'t>(text: &'t str, measure: &Measure) -> &'t str {
    Span::new(measure.span.start, measure.range.first.start).of(text).trim()
}

/// Another measure in the place of one in running text.
pub(super) fn inline(text: &str, measure: &Measure, number: &str, unit: &str) -> Edit {
    let lead = lead(text, measure);
    let joint = if lead.is_empty() { "" } else { " " };
    Edit { span: measure.span, text: format!("{lead}{joint}{number} {unit}") }
}

/// Another amount on an ingredient's line. A line in the canonical columns stays in them; on any other the name keeps
/// its column where there is room.
pub(super) fn amount(block: &Block, row: &Row<'_>, lead: &str, number: &str, unit: &str) -> Option<Edit> {
    let text: &str = &block.text;
    let old = row.written.quantity.span()?;
    let name = row.written.name.span.start - u32::from(row.written.name.quoted);
    let before = Span::new(row.line.span.start, name);
    if canonical(text, &row.written.quantity).as_deref() == Some(before.of(text)) {
        return Some(Edit { span: before, text: amount_columns(lead, number, unit) });
    }
    let words = [lead, number].into_iter().filter(|word| !word.is_empty());
    let mut new = words.collect::<Vec<_>>().join(" ");
    let gap = unit_column(text, &row.written.quantity)
        .map_or(1, |column| column.saturating_sub(new.chars().count()).max(1));
    new.extend(std::iter::repeat_n(' ', gap));
    new.push_str(unit);
    let (had, has) = (old.of(text).chars().count(), new.chars().count());
    let after = text.get(old.end as usize..)?;
    let blanks = after.len() - after.trim_start_matches(' ').len();
    let mut end = old.end;
    if has <= had {
        new.extend(std::iter::repeat_n(' ', if blanks > 0 { had - has } else { 0 }));
    } else {
        end += (has - had).min(blanks.saturating_sub(1)) as u32;
    }
    Some(Edit { span: Span::new(old.start, end), text: new })
}

/// The characters from the start of an amount to its unit.
fn unit_column(text: &str, quantity: &Quantity) -> Option<usize> {
    let (Quantity::Given(measure) | Quantity::Balance(Some(measure), _)) = quantity else { return None };
    Some(Span::new(quantity.span()?.start, measure.unit?.span.start).of(text).chars().count())
}

/// The columns of an amount as it is written, were its line in the canonical form.
fn canonical(text: &str, quantity: &Quantity) -> Option<String> {
    let (measure, start) = match quantity {
        Quantity::Given(measure) => (measure, measure.span.start),
        Quantity::Balance(Some(measure), span) => (measure, span.start),
        _ => return None,
    };
    let lead = Span::new(start, measure.range.first.start).of(text).trim();
    let number = Span::new(measure.range.first.start, measure.range.span.end).of(text).trim();
    let unit = Span::new(measure.range.span.end, measure.span.end).of(text).trim();
    read_number(measure.range.first.of(text)).ok()?;
    Some(amount_columns(lead, number, unit))
}

/// `, rounded to 0.001 %`, where something was rounded.
pub(super) fn rounding(rounded: bool, unit: &str) -> String {
    if rounded { format!(", rounded to 0.001 {unit}") } else { String::new() }
}

/// How an amount is shown in a title: `5 %`.
pub(super) fn written(row: &Row<'_>) -> String {
    row.item.amount_text.clone()
}
