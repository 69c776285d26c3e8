//! Each form of line in its canonical spelling.

use super::amount::{self, Columns};
use super::names::{begins_plainly, plain};
use super::row::{Row, folded};
use crate::fold::fold;
use crate::line::{
    Block, Change, ChangeKind, Clause, Fact, Form, ItemLine, Line, Measure, Name, PhaseLine, Quantity,
    VariantLine,
};
use crate::slip::SlipKind;
use crate::text::{Span, is_blank};
use crate::vocabulary::{FUNCTIONS, GRADES, MARKETS};
use crate::word::{ClauseWord, Shape, Word};

/// First column of the whole part where it has four digits.
const WHOLE: usize = 5;
/// Column of the point.
const POINT: usize = 9;
/// Column of the unit.
const UNIT: usize = 14;
/// Column of the name.
const NAME: usize = 20;
/// Blanks before an amount.
const INDENT: usize = 2;

/// Writes the lines of one block.
pub(super) struct Writer<'b> {
    text: &'b str,
    in_percent: bool,
    /// Where slips stand that forbid to touch a line, in order.
    doubts: Vec<u32>,
}

impl<'b> Writer<'b> {
    pub(super) fn new(block: &'b Block) -> Writer<'b> {
        let doubts =
            block.slips.iter().filter(|slip| doubtful(&slip.kind)).map(|slip| slip.span.start).collect();
        Writer { text: &block.text, in_percent: amount::in_percent(block), doubts }
    }

    fn at(&self, span: Span) -> &'b str {
        span.of(self.text)
    }

    fn folded(&self, span: Span) -> String {
        folded(self.at(span))
    }

    /// The canonical form of a line; none where it must stay as it stands.
    pub(super) fn line(&self, line: &Line) -> Option<String> {
        let from = self.doubts.partition_point(|&at| at < line.span.start);
        if self.doubts.get(from).is_some_and(|&at| at <= line.span.end) {
            return None;
        }
        let mut row = Row::default();
        match &line.form {
            Form::Blank | Form::Comment => {}
            Form::Broken => return None,
            Form::Open(opener) => {
                row.word(opener.kind.spelling());
                row.word(&self.folded(opener.name));
            }
            Form::Phase(phase) => self.phase(&mut row, phase),
            Form::Item(item) => self.item(&mut row, item)?,
            Form::Step(words) => {
                row.word("step");
                row.word(&self.folded(*words));
            }
            Form::Variant(variant) => self.variant(&mut row, variant, line.span),
            Form::Change(change) => self.change(&mut row, change, line.span)?,
            Form::Fact(fact) => {
                row.word(fact.word.spelling());
                self.fact(&mut row, fact, line.span)?;
            }
        }
        let mut written = row.finish()?;
        if let Some(comment) = line.comment {
            if !written.is_empty() {
                written.push_str("  ");
            }
            written.push_str(self.at(comment));
        }
        Some(written)
    }

    /// Words after what stands there. A comma that stood directly behind stays there.
    fn rest(&self, row: &mut Row, rest: Span) {
        let before = self.text.get(..rest.start as usize).and_then(|text| text.chars().next_back());
        let glued = self.at(rest).starts_with(',') && before.is_some_and(|c| !is_blank(c));
        if glued { row.push(&self.folded(rest)) } else { row.word(&self.folded(rest)) }
    }

    /// The same for text in which a `#` is no comment.
    fn free(&self, row: &mut Row, rest: Span) {
        if self.at(rest).starts_with('#') { row.free(&self.folded(rest)) } else { self.rest(row, rest) }
    }

    /// An amount, and the words after it.
    fn measured(&self, row: &mut Row, measure: &Measure, rest: Span) -> Option<()> {
        row.word(&amount::columns(self.text, measure)?.inline());
        // A comma directly behind a number would become a part of it.
        if measure.unit.is_some() {
            self.rest(row, rest);
        } else {
            row.word(&self.folded(rest));
        }
        Some(())
    }

    /// What follows the word of a fact line.
    fn fact(&self, row: &mut Row, fact: &Fact, line: Span) -> Option<()> {
        if fact.word.shape() == Shape::Text {
            self.free(row, fact.rest);
            return Some(());
        }
        if let Some(measure) = &fact.measure {
            self.measured(row, measure, fact.rest)?;
        } else {
            self.words(row, fact);
        }
        if let Some(because) = fact.because {
            row.word("because");
            self.free(row, because);
        } else if self.open_reason(fact, line) {
            row.word("because");
        }
        for clause in &fact.clauses {
            self.clause(row, clause, false)?;
        }
        Some(())
    }

    /// Whether a line ends in a `because` that no reason follows: half written, and kept.
    fn open_reason(&self, fact: &Fact, line: Span) -> bool {
        let after = Span::new(fact.rest.end, line.end).trimmed(self.text);
        self.at(after).get(..7).is_some_and(|word| word.eq_ignore_ascii_case("because"))
    }

    fn words(&self, row: &mut Row, fact: &Fact) {
        let rest = fact.rest;
        let list = |map: fn(&str) -> String| {
            let words: Vec<String> =
                crate::read::list_words(self.text, rest).into_iter().map(|word| map(self.at(word))).collect();
            words.join(", ")
        };
        match fact.word {
            // Blanks in a path are part of it.
            Word::Include | Word::Stock => row.word(self.at(rest)),
            _ if self.at(rest).starts_with(',') => self.rest(row, rest),
            Word::Product | Word::For | Word::WorksOn | Word::SolubleIn => row.word(&list(folded)),
            Word::Market => row.word(&list(|word| {
                let known = MARKETS.iter().find(|market| fold(market) == fold(word));
                known.map_or_else(|| folded(word), |market| (*market).to_owned())
            })),
            _ => self.rest(row, rest),
        }
    }

    fn clause(&self, row: &mut Row, clause: &Clause, of_item: bool) -> Option<()> {
        row.push(";");
        let Some(word) = clause.word else {
            // A sign before the number stays: spelled out, `> 5 %` would begin with a word of qualifiers.
            if let Some(measure) = &clause.measure
                && measure.range.span.start == measure.range.first.start
            {
                return self.measured(row, measure, clause.rest);
            }
            let written = self.folded(clause.span);
            let known = FUNCTIONS.iter().chain(GRADES).find(|known| fold(known) == fold(&written));
            row.word(known.filter(|_| of_item).map_or(written.as_str(), |known| known));
            return Some(());
        };
        row.word(word.spelling());
        let for_time = self.at(clause.rest).get(..3).is_some_and(|head| head.eq_ignore_ascii_case("for"));
        // `hold: for …` would become `hold for`; an empty source would swallow what follows it.
        if word == ClauseWord::Hold && for_time || word == ClauseWord::Source && clause.rest.is_empty() {
            row.spoil();
        }
        match &clause.measure {
            Some(measure) => self.measured(row, measure, clause.rest)?,
            None if word == ClauseWord::Source => self.free(row, clause.rest),
            None => self.rest(row, clause.rest),
        }
        Some(())
    }

    fn phase(&self, row: &mut Row, phase: &PhaseLine) {
        row.word("phase");
        row.word(&self.at(phase.label).to_ascii_uppercase());
        row.word(phase.kind.map_or("", |(kind, _)| kind.spelling()));
        self.rest(row, phase.heading);
        for clause in &phase.clauses {
            if self.clause(row, clause, false).is_none() {
                row.spoil();
            }
        }
    }

    fn variant(&self, row: &mut Row, variant: &VariantLine, line: Span) {
        row.word("variant");
        row.word(&self.folded(variant.name));
        let after = Span::new(variant.name.end, line.end).trimmed(self.text);
        if self.at(after).starts_with(':') {
            row.push(":");
        }
        let parts: Vec<String> = variant.parts.iter().map(|part| self.folded(*part)).collect();
        row.word(&parts.join(", "));
    }

    fn item(&self, row: &mut Row, item: &ItemLine) -> Option<()> {
        let text = self.text;
        let columns = match &item.quantity {
            Quantity::Missing => None,
            Quantity::Fuzzy(span) => {
                row.at(WHOLE, &self.folded(*span));
                row.word(&self.item_name(&item.quantity, &item.name));
                return self.clauses(row, &item.clauses);
            }
            Quantity::AsNeeded(_) => {
                row.at(WHOLE, "q.s.");
                None
            }
            Quantity::Balance(measure, _) => {
                let name = Some(&item.name);
                let whole = amount::whole(text, measure.as_ref(), self.in_percent && self.apart(name));
                if whole.is_none() {
                    row.at(INDENT, "balance");
                }
                whole
            }
            Quantity::Unread(_) => return None,
            Quantity::Given(measure) => Some(amount::columns(text, measure)?),
            Quantity::Both(first, second) => Some(amount::both(text, first, second)?),
        };
        if let Some(columns) = columns {
            put(row, &columns);
        }
        row.at(NAME, &self.item_name(&item.quantity, &item.name));
        self.clauses(row, &item.clauses)
    }

    fn clauses(&self, row: &mut Row, clauses: &[Clause]) -> Option<()> {
        clauses.iter().try_for_each(|clause| self.clause(row, clause, true))
    }

    fn change(&self, row: &mut Row, change: &Change, line: Span) -> Option<()> {
        let written = Span::new(line.start, line.end).trimmed(self.text);
        let first = self.at(written).split(is_blank).next().unwrap_or("");
        row.word(&first.to_lowercase());
        let label =
            |label: &Option<Span>| label.map_or(String::new(), |label| self.at(label).to_ascii_uppercase());
        let place = |row: &mut Row, word: &str, phase: &Option<Span>| {
            if phase.is_some() {
                row.word(word);
                row.word(&label(phase));
            }
        };
        match &change.kind {
            ChangeKind::Replace { old, phase, quantity, new } => {
                row.word(&self.name(old, true));
                place(row, "in", phase);
                row.word(if first.eq_ignore_ascii_case("swap") { "for" } else { "with" });
                row.word(&self.quantity(quantity, Some(new))?);
                row.word(&self.item_name(quantity, new));
            }
            ChangeKind::Omit { old, phase } => {
                row.word(&self.name(old, true));
                place(row, "in", phase);
            }
            ChangeKind::Add { quantity, new, phase } => {
                row.word(&self.quantity(quantity, Some(new))?);
                row.word(&self.item_name(quantity, new));
                place(row, "to", phase);
            }
            ChangeKind::Amount { old, phase, quantity } => {
                // Quotes tell an ingredient from a line word here.
                row.word(&self.name(old, false));
                place(row, "in", phase);
                row.word("to");
                row.word(&self.quantity(quantity, None)?);
            }
            ChangeKind::Header(fact) => {
                row.word(fact.word.spelling());
                row.word("to");
                self.fact(row, fact, line)?;
            }
        }
        self.clauses(row, &change.clauses)
    }

    /// Whether a name could not be taken for a part of a `%` written before it.
    fn apart(&self, name: Option<&Name>) -> bool {
        name.is_none_or(|name| name.quoted || begins_plainly(&self.folded(name.span)))
    }

    /// A quantity on one blank each; none where it cannot be read.
    fn quantity(&self, quantity: &Quantity, name: Option<&Name>) -> Option<String> {
        let text = self.text;
        Some(match quantity {
            Quantity::Missing => String::new(),
            Quantity::Fuzzy(span) => self.folded(*span),
            Quantity::AsNeeded(_) => "q.s.".to_owned(),
            Quantity::Balance(measure, _) => {
                amount::whole(text, measure.as_ref(), self.in_percent && self.apart(name))
                    .map_or_else(|| "balance".to_owned(), |whole| whole.inline())
            }
            Quantity::Unread(_) => return None,
            Quantity::Given(measure) => amount::columns(text, measure)?.inline(),
            Quantity::Both(first, second) => amount::both(text, first, second)?.inline(),
        })
    }

    /// A name; its quotes stay where they are needed, or where the line would begin with it.
    fn name(&self, name: &Name, droppable: bool) -> String {
        let written = self.folded(name.span);
        if !name.quoted || (droppable && plain(&written)) { written } else { format!("\"{written}\"") }
    }

    /// The name after an amount. One `of` between them is no part of the name and is dropped, unless the name could
    /// then be taken for a part of the amount.
    fn item_name(&self, quantity: &Quantity, name: &Name) -> String {
        let written = self.name(name, *quantity != Quantity::Missing);
        let amount = !matches!(quantity, Quantity::Missing | Quantity::Fuzzy(_));
        let keeps_of = amount && !name.quoted && !begins_plainly(&written) && self.of_before(name.span);
        if keeps_of { format!("of {written}") } else { written }
    }

    fn of_before(&self, name: Span) -> bool {
        let before = self.text.get(..name.start as usize).unwrap_or("").trim_end_matches(is_blank);
        before.rsplit(|c: char| !c.is_alphabetic()).next().is_some_and(|word| word.eq_ignore_ascii_case("of"))
    }
}

/// Writes an amount into its columns.
fn put(row: &mut Row, columns: &Columns) {
    row.at(INDENT, &columns.lead);
    row.at(WHOLE.max(POINT.saturating_sub(columns.whole.chars().count())), &columns.whole);
    row.push(&columns.tail);
    row.at(UNIT, &columns.unit);
}

/// What stands before the name on an ingredient's line in its canonical form: `to` or the like, a number or a range,
/// the unit, and the blanks up to the column of the name.
pub fn amount_columns(lead: &str, number: &str, unit: &str) -> String {
    let end = number.find(|c: char| !c.is_ascii_digit() && c != '/').unwrap_or(number.len());
    let (whole, tail) = number.split_at(end);
    let piece = str::to_owned;
    let mut row = Row::default();
    put(&mut row, &Columns { lead: piece(lead), whole: piece(whole), tail: piece(tail), unit: piece(unit) });
    let mut written = row.finish().unwrap_or_default();
    let gap = NAME.saturating_sub(written.chars().count()).max(1);
    written.extend(std::iter::repeat_n(' ', gap));
    written
}

/// Whether a slip forbids to touch its line: nobody knows yet what stands there.
fn doubtful(slip: &SlipKind) -> bool {
    matches!(
        slip,
        SlipKind::Unreadable
            | SlipKind::NumberDoubtful(_)
            | SlipKind::NumberUnreadable(_)
            | SlipKind::UnitRefused(_)
            | SlipKind::UnitMissing
            | SlipKind::UnitMisspelt(_)
            | SlipKind::QuoteOpen
    )
}
