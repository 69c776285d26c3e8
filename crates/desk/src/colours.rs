//! What each piece of a text is, for colouring.

use crate::Page;
use crate::mentions::{Thing, mentions};
use crate::page::Leaf;
use notation::{Block, Clause, Fact, Form, Line, Measure, Quantity, Shape, Span, TokenKind, lex};

/// What a piece of text is.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Colour {
    /// A word that says what a line is, or what a variant does.
    Word,
    /// A number.
    Number,
    /// A unit.
    Unit,
    /// The name of an ingredient.
    Ingredient,
    /// The label of a phase.
    Phase,
    /// The name of a variant.
    Variant,
    /// The name of a formula, an ingredient block, a workshop or a record.
    Block,
    /// The name of a rule.
    Rule,
    /// The word of a qualifier.
    Qualifier,
    /// A word of a fixed list.
    Listed,
    /// Free words.
    Text,
    /// A comment.
    Comment,
}

/// A piece of text, within one line.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Coloured {
    /// Bytes from the file's start.
    pub span: Span,
    /// What it is.
    pub colour: Colour,
    /// Whether the line says what the name is.
    pub declares: bool,
}

impl Page {
    /// The pieces of a text between two bytes, in order, none overlapping another.
    pub fn colours(&self, within: Span) -> Vec<Coloured> {
        let mut all = Vec::new();
        for leaf in self.leaves_in(within) {
            let own = pieces(self, leaf).into_iter();
            all.extend(own.map(|piece| Coloured { span: piece.span.shifted(leaf.start), ..piece }));
        }
        all.retain(|piece| piece.span.start < within.end && within.start < piece.span.end);
        all
    }
}

fn pieces(page: &Page, leaf: Leaf<'_>) -> Vec<Coloured> {
    let block = leaf.block();
    let mut painter = Painter { block, pieces: Vec::new() };
    for mention in mentions(leaf.reviewed(), &page.around) {
        let colour = match mention.thing {
            Thing::Ingredient(_) => Colour::Ingredient,
            Thing::Phase(_) => Colour::Phase,
            Thing::Variant(_) => Colour::Variant,
            Thing::Formula(_) => Colour::Block,
            Thing::Rule(_) => Colour::Rule,
        };
        painter.pieces.push(Coloured { span: mention.span, colour, declares: mention.declares });
    }
    painter.pieces.sort_by_key(|piece| piece.span);
    let named = std::mem::take(&mut painter.pieces);
    let mut out: Vec<Coloured> = Vec::new();
    for line in &block.lines {
        painter.line(line);
        let own = named
            .iter()
            .filter(|piece| line.span.start <= piece.span.start && piece.span.end <= line.span.end)
            .copied();
        out.extend(laid_over(own.collect(), std::mem::take(&mut painter.pieces)));
    }
    out
}

/// The upper pieces, and what they leave of the lower ones, in order.
fn laid_over(upper: Vec<Coloured>, lower: Vec<Coloured>) -> Vec<Coloured> {
    let mut out = upper;
    for piece in lower {
        let mut rest = vec![piece.span];
        for over in &out {
            rest = rest.into_iter().flat_map(|span| without(span, over.span)).collect();
        }
        out.extend(rest.into_iter().map(|span| Coloured { span, ..piece }));
    }
    out.retain(|piece| !piece.span.is_empty());
    out.sort_by_key(|piece| piece.span);
    out
}

/// What is left of a span when another is cut out of it.
fn without(span: Span, cut: Span) -> Vec<Span> {
    if cut.end <= span.start || span.end <= cut.start {
        return vec![span];
    }
    [Span::new(span.start, cut.start.max(span.start)), Span::new(cut.end.min(span.end), span.end)]
        .into_iter()
        .filter(|left| !left.is_empty())
        .collect()
}

struct Painter<'b> {
    block: &'b Block,
    pieces: Vec<Coloured>,
}

impl Painter<'_> {
    fn paint(&mut self, span: Span, colour: Colour) {
        let span = span.trimmed(&self.block.text);
        if !span.is_empty() {
            self.pieces.push(Coloured { span, colour, declares: false });
        }
    }

    /// Paints the words of a span one by one, numbers and units as such.
    fn words(&mut self, span: Span, colour: Colour) {
        for token in lex(self.block.at(span)) {
            let at = token.span.shifted(span.start);
            match token.kind {
                TokenKind::Word => self.paint(at, colour),
                TokenKind::Number => self.paint(at, Colour::Number),
                TokenKind::Percent => self.paint(at, Colour::Unit),
                _ => {}
            }
        }
    }

    fn measure(&mut self, measure: &Measure) {
        self.words(measure.range.span, Colour::Word);
        if let Some(unit) = measure.unit {
            self.paint(unit.span, Colour::Unit);
        }
    }

    fn quantity(&mut self, quantity: &Quantity) {
        match quantity {
            Quantity::Missing => {}
            Quantity::Fuzzy(span) | Quantity::Unread(span) => self.paint(*span, Colour::Text),
            Quantity::AsNeeded(span) => self.paint(*span, Colour::Word),
            Quantity::Balance(_, span) => self.words(*span, Colour::Word),
            Quantity::Given(measure) => self.measure(measure),
            Quantity::Both(first, second) => {
                self.measure(first);
                self.measure(second);
            }
        }
    }

    fn clauses(&mut self, clauses: &[Clause]) {
        for clause in clauses {
            if let Some(measure) = &clause.measure {
                self.measure(measure);
            }
            let head =
                clause.measure.map_or(clause.rest.start, |measure| measure.span.start.min(clause.rest.start));
            match clause.word {
                Some(_) => {
                    self.paint(Span::new(clause.span.start, head.max(clause.span.start)), Colour::Qualifier);
                    self.paint(clause.rest, Colour::Text);
                }
                None => self.paint(clause.rest, Colour::Listed),
            }
        }
    }

    fn fact(&mut self, fact: &Fact) {
        self.paint(fact.word_span, Colour::Word);
        if let Some(measure) = &fact.measure {
            self.measure(measure);
        }
        match fact.word.shape() {
            Shape::Text => self.paint(fact.rest, Colour::Text),
            _ => self.words(fact.rest, Colour::Listed),
        }
        if let Some(because) = fact.because {
            self.paint(because, Colour::Text);
        }
        self.clauses(&fact.clauses);
    }

    fn line(&mut self, line: &Line) {
        let upto = |end: u32| Span::new(line.span.start, end.max(line.span.start));
        match &line.form {
            Form::Blank | Form::Comment | Form::Broken => {}
            Form::Open(opener) => {
                self.paint(opener.name, Colour::Block);
                let end = if opener.name.is_empty() { line.span.end } else { opener.name.start };
                self.paint(upto(end), Colour::Word);
            }
            Form::Phase(phase) => {
                self.paint(upto(phase.label.start), Colour::Word);
                if let Some((_, span)) = phase.kind {
                    self.paint(span, Colour::Listed);
                }
                self.paint(phase.heading, Colour::Text);
                self.clauses(&phase.clauses);
            }
            Form::Item(item) => {
                self.quantity(&item.quantity);
                self.clauses(&item.clauses);
            }
            Form::Step(words) => {
                self.paint(upto(words.start), Colour::Word);
                for token in lex(self.block.at(*words)) {
                    if token.kind == TokenKind::Number {
                        self.paint(token.span.shifted(words.start), Colour::Number);
                    }
                }
            }
            Form::Variant(variant) => self.paint(upto(variant.name.start), Colour::Word),
            Form::Change(change) => {
                let end = change.clauses.first().map_or(line.span.end, |clause| clause.span.start);
                let end = line.comment.map_or(end, |comment| end.min(comment.start));
                self.words(upto(end), Colour::Word);
                self.clauses(&change.clauses);
            }
            Form::Fact(fact) => self.fact(fact),
        }
        if let Some(comment) = line.comment {
            self.paint(comment, Colour::Comment);
        }
    }
}
