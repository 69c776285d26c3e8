//! Numbers, ranges and units in their canonical spelling.

use crate::line::{Base, Block, Form, Measure, Quantity, Range, RangeKind};
use crate::number::{Number, read_number};
use crate::text::Span;
use crate::unit::{Dimension, Unit};

use super::row::folded;

/// An amount cut into the columns of an ingredient line.
pub(super) struct Columns {
    /// `to` and words such as `about`.
    pub(super) lead: String,
    /// What stands before the point.
    pub(super) whole: String,
    /// Point and decimals, a fraction, the second number.
    pub(super) tail: String,
    /// The unit, and what a percent is of.
    pub(super) unit: String,
}

impl Columns {
    /// The same on one blank each.
    pub(super) fn inline(&self) -> String {
        let mut out = String::new();
        for (piece, apart) in
            [(&self.lead, true), (&self.whole, true), (&self.tail, false), (&self.unit, true)]
        {
            if apart && !out.is_empty() && !piece.is_empty() {
                out.push(' ');
            }
            out.push_str(piece);
        }
        out
    }
}

/// A number in its canonical spelling: before the point, and from the point on.
fn number(text: &str) -> Option<(String, String)> {
    let Number { whole, decimals, fraction } = read_number(text).ok()?;
    Some(match fraction {
        Some((a, b)) if whole.is_empty() => (format!("{a}/{b}"), String::new()),
        Some((a, b)) => (whole, format!(" {a}/{b}")),
        None => {
            let whole = if whole.is_empty() { "0".to_owned() } else { whole };
            (whole, if decimals.is_empty() { String::new() } else { format!(".{decimals}") })
        }
    })
}

/// Whether a text is a whole number, decimals of nothing but 0 left aside.
fn is_whole(text: &str, wanted: &str) -> bool {
    read_number(text).is_ok_and(|number| {
        number.whole.trim_start_matches('0') == wanted
            && number.fraction.is_none()
            && number.decimals.bytes().all(|b| b == b'0')
    })
}

/// The words before a number, signs spelled out.
fn lead(text: &str, range: &Range) -> String {
    let written = folded(Span::new(range.span.start, range.first.start).of(text)).to_lowercase();
    let spelled = match (range.kind, written.as_str()) {
        (RangeKind::About, _) => "about",
        (_, ">") => "above",
        (_, "≥") => "at least",
        (_, "<") => "below",
        (_, "≤") => "at most",
        _ => return written,
    };
    spelled.to_owned()
}

/// The columns of a number or range with its unit.
pub(super) fn columns(text: &str, measure: &Measure) -> Option<Columns> {
    let range = &measure.range;
    let (whole, mut tail) = number(range.first.of(text))?;
    let joint = match range.kind {
        RangeKind::Between => Some("to"),
        RangeKind::PlusMinus => Some("±"),
        RangeKind::Exact | RangeKind::AtLeast | RangeKind::AtMost | RangeKind::About => None,
    };
    if let Some(joint) = joint {
        let (second, rest) = number(range.second.of(text))?;
        tail = format!("{tail} {joint} {second}{rest}");
    }
    let one = joint.is_none() && is_whole(range.first.of(text), "1");
    let mut unit = measure.unit.map_or("", |unit| unit.unit.spelling_of(one)).to_owned();
    match measure.of {
        Some(Base::Phase(label)) => unit = format!("{unit} of {}", label.of(text).to_ascii_uppercase()),
        Some(Base::Oils(_)) => unit.push_str(" of oils"),
        None => {}
    }
    Some(Columns { lead: lead(text, range), whole, tail, unit })
}

/// `30 g = 6 %`: the second amount stands in the column of the unit.
pub(super) fn both(text: &str, first: &Measure, second: &Measure) -> Option<Columns> {
    let first = columns(text, first)?;
    let second = columns(text, second)?.inline();
    Some(Columns { unit: format!("{} = {second}", first.unit), ..first })
}

/// What `to` makes up to. `balance`, and a bare 100, are written as `100 %` in a formula in percent; in any other
/// they could be read as grams. None where neither can be said.
pub(super) fn whole(text: &str, measure: Option<&Measure>, in_percent: bool) -> Option<Columns> {
    let mut columns = match measure {
        Some(measure) => columns(text, measure)?,
        None if in_percent => Columns {
            lead: String::new(),
            whole: "100".to_owned(),
            tail: String::new(),
            unit: Unit::Percent.spelling().to_owned(),
        },
        None => return None,
    };
    let bare_hundred = measure.is_some_and(|measure| {
        measure.unit.is_none()
            && measure.range.kind == RangeKind::Exact
            && is_whole(measure.range.first.of(text), "100")
    });
    if bare_hundred && in_percent {
        Unit::Percent.spelling().clone_into(&mut columns.unit);
    }
    columns.lead = if columns.lead.is_empty() { "to".to_owned() } else { format!("to {}", columns.lead) };
    Some(columns)
}

/// Whether all amounts of a formula that can be weighed are shares of the whole.
pub(super) fn in_percent(block: &Block) -> bool {
    let mut shares = false;
    for line in &block.lines {
        let quantity = match &line.form {
            Form::Item(item) => Some(&item.quantity),
            Form::Change(change) => change.kind.quantity(),
            _ => None,
        };
        let Some(quantity) = quantity else { continue };
        let share = |measure: &Measure| measure.unit.is_some_and(|u| u.unit.dimension() == Dimension::Share);
        match quantity {
            Quantity::Given(measure) if share(measure) => shares = true,
            Quantity::Balance(Some(measure), _) if measure.unit.is_none() || share(measure) => {}
            Quantity::Missing | Quantity::Fuzzy(_) | Quantity::AsNeeded(_) | Quantity::Balance(None, _) => {}
            Quantity::Given(_) | Quantity::Balance(Some(_), _) | Quantity::Both(..) | Quantity::Unread(_) => {
                return false;
            }
        }
    }
    shares
}
