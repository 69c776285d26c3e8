//! What a line says, counted from another place: the same words further up or down in their block.

use crate::line::{
    Base, Change, ChangeKind, Clause, Fact, Form, ItemLine, Line, Measure, Name, Opener, PhaseLine, Quantity,
    Range, VariantLine,
};
use crate::text::Span;
use crate::unit::UnitAt;

/// How far something moves: from one byte to another.
#[derive(Clone, Copy)]
struct By {
    from: u32,
    to: u32,
}

trait Moves {
    fn by(&self, by: By) -> Self;
}

impl Line {
    /// The same line where it begins at another byte.
    pub(crate) fn moved(&self, to: u32) -> Line {
        let by = By { from: self.span.start, to };
        if by.from == by.to {
            return self.clone();
        }
        Line {
            span: self.span.by(by),
            form: self.form.by(by),
            comment: self.comment.by(by),
            within: self.within,
        }
    }
}

impl Moves for Span {
    fn by(&self, by: By) -> Span {
        // A part that is not there stands at no place of the line.
        let at = |byte: u32| byte.checked_sub(by.from).map_or(byte, |within| within + by.to);
        Span { start: at(self.start), end: at(self.end) }
    }
}

impl<T: Moves> Moves for Option<T> {
    fn by(&self, by: By) -> Option<T> {
        self.as_ref().map(|inside| inside.by(by))
    }
}

impl<T: Moves> Moves for Vec<T> {
    fn by(&self, by: By) -> Vec<T> {
        self.iter().map(|inside| inside.by(by)).collect()
    }
}

impl Moves for Form {
    fn by(&self, by: By) -> Form {
        match self {
            Form::Blank => Form::Blank,
            Form::Comment => Form::Comment,
            Form::Broken => Form::Broken,
            Form::Open(opener) => Form::Open(Opener { kind: opener.kind, name: opener.name.by(by) }),
            Form::Phase(phase) => Form::Phase(phase.by(by)),
            Form::Item(item) => Form::Item(item.by(by)),
            Form::Step(words) => Form::Step(words.by(by)),
            Form::Variant(variant) => Form::Variant(variant.by(by)),
            Form::Change(change) => Form::Change(change.by(by)),
            Form::Fact(fact) => Form::Fact(fact.by(by)),
        }
    }
}

impl Moves for PhaseLine {
    fn by(&self, by: By) -> PhaseLine {
        PhaseLine {
            label: self.label.by(by),
            kind: self.kind.map(|(kind, span)| (kind, span.by(by))),
            heading: self.heading.by(by),
            clauses: self.clauses.by(by),
        }
    }
}

impl Moves for ItemLine {
    fn by(&self, by: By) -> ItemLine {
        ItemLine { quantity: self.quantity.by(by), name: self.name.by(by), clauses: self.clauses.by(by) }
    }
}

impl Moves for Name {
    fn by(&self, by: By) -> Name {
        Name { span: self.span.by(by), quoted: self.quoted }
    }
}

impl Moves for Quantity {
    fn by(&self, by: By) -> Quantity {
        match self {
            Quantity::Missing => Quantity::Missing,
            Quantity::Fuzzy(span) => Quantity::Fuzzy(span.by(by)),
            Quantity::AsNeeded(span) => Quantity::AsNeeded(span.by(by)),
            Quantity::Balance(whole, span) => Quantity::Balance(whole.by(by), span.by(by)),
            Quantity::Unread(span) => Quantity::Unread(span.by(by)),
            Quantity::Given(measure) => Quantity::Given(measure.by(by)),
            Quantity::Both(first, second) => Quantity::Both(first.by(by), second.by(by)),
        }
    }
}

impl Moves for Measure {
    fn by(&self, by: By) -> Measure {
        Measure {
            range: self.range.by(by),
            unit: self.unit.by(by),
            of: self.of.by(by),
            span: self.span.by(by),
        }
    }
}

impl Moves for Range {
    fn by(&self, by: By) -> Range {
        Range {
            kind: self.kind,
            first: self.first.by(by),
            second: self.second.by(by),
            span: self.span.by(by),
        }
    }
}

impl Moves for UnitAt {
    fn by(&self, by: By) -> UnitAt {
        UnitAt { unit: self.unit, span: self.span.by(by) }
    }
}

impl Moves for Base {
    fn by(&self, by: By) -> Base {
        match self {
            Base::Phase(span) => Base::Phase(span.by(by)),
            Base::Oils(span) => Base::Oils(span.by(by)),
        }
    }
}

impl Moves for Clause {
    fn by(&self, by: By) -> Clause {
        Clause {
            word: self.word,
            measure: self.measure.by(by),
            rest: self.rest.by(by),
            span: self.span.by(by),
        }
    }
}

impl Moves for VariantLine {
    fn by(&self, by: By) -> VariantLine {
        VariantLine { name: self.name.by(by), parts: self.parts.by(by) }
    }
}

impl Moves for Change {
    fn by(&self, by: By) -> Change {
        Change { kind: self.kind.by(by), clauses: self.clauses.by(by) }
    }
}

impl Moves for ChangeKind {
    fn by(&self, by: By) -> ChangeKind {
        match self {
            ChangeKind::Replace { old, phase, quantity, new } => ChangeKind::Replace {
                old: old.by(by),
                phase: phase.by(by),
                quantity: quantity.by(by),
                new: new.by(by),
            },
            ChangeKind::Omit { old, phase } => ChangeKind::Omit { old: old.by(by), phase: phase.by(by) },
            ChangeKind::Add { quantity, new, phase } => {
                ChangeKind::Add { quantity: quantity.by(by), new: new.by(by), phase: phase.by(by) }
            }
            ChangeKind::Amount { old, phase, quantity } => {
                ChangeKind::Amount { old: old.by(by), phase: phase.by(by), quantity: quantity.by(by) }
            }
            ChangeKind::Header(fact) => ChangeKind::Header(fact.by(by)),
        }
    }
}

impl Moves for Fact {
    fn by(&self, by: By) -> Fact {
        Fact {
            word: self.word,
            word_span: self.word_span.by(by),
            measure: self.measure.by(by),
            rest: self.rest.by(by),
            because: self.because.by(by),
            clauses: self.clauses.by(by),
        }
    }
}
