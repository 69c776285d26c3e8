//! Lines and blocks: what a formula says, field by field, each field with the bytes it stands on.

use crate::slip::Slip;
use crate::text::{LineIndex, Span};
use crate::unit::UnitAt;
use crate::vocabulary::PhaseKind;
use crate::word::{ClauseWord, Word};
use std::sync::Arc;

/// The kind of a block.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum BlockKind {
    /// What stands before the first opener of a file.
    Loose,
    /// `formula NAME`
    Formula,
    /// `ingredient NAME`
    Ingredient,
    /// `workshop NAME`
    Workshop,
    /// `record BATCH-NUMBER`
    Record,
}

impl BlockKind {
    /// The word that opens such a block; empty for what stands before the first opener.
    pub fn spelling(self) -> &'static str {
        match self {
            BlockKind::Loose => "",
            BlockKind::Formula => "formula",
            BlockKind::Ingredient => "ingredient",
            BlockKind::Workshop => "workshop",
            BlockKind::Record => "record",
        }
    }
}

/// A whole file: its blocks in order. Their texts, joined, are the file.
#[derive(Clone, Debug, Default)]
pub struct Sheet {
    /// The blocks.
    pub blocks: Vec<Arc<Block>>,
}

/// A block with its own text. All spans inside count from the block's first byte, so that a block that moves
/// stays the same.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Block {
    /// What it is.
    pub kind: BlockKind,
    /// Its bytes, the last line end included.
    pub text: Arc<str>,
    /// Where its lines begin.
    pub index: LineIndex,
    /// Its lines, the opener first.
    pub lines: Vec<Line>,
    /// What is wrong in the writing.
    pub slips: Vec<Slip>,
}

impl Block {
    /// The name after the opener; empty where there is none.
    pub fn name(&self) -> &str {
        self.opener().map_or("", |opener| opener.name.of(&self.text))
    }

    /// The opener line's fields.
    pub fn opener(&self) -> Option<Opener> {
        self.lines.iter().find_map(|line| match line.form {
            Form::Open(opener) => Some(opener),
            _ => None,
        })
    }

    /// The text under a span.
    pub fn at(&self, span: Span) -> &str {
        span.of(&self.text)
    }

    /// The facts with a word, in order.
    pub fn facts(&self, word: Word) -> impl Iterator<Item = (&Line, &Fact)> {
        self.lines.iter().filter_map(move |line| match &line.form {
            Form::Fact(fact) if fact.word == word => Some((line, fact)),
            _ => None,
        })
    }
}

/// One line of a block.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Line {
    /// The line without its end.
    pub span: Span,
    /// What it says.
    pub form: Form,
    /// The comment at its end, from the `#`.
    pub comment: Option<Span>,
    /// Where in its block it was read.
    pub(crate) within: Within,
}

impl Line {
    /// A line at a byte on which nothing stands yet.
    pub fn blank(at: u32) -> Line {
        Line { span: Span::at(at), form: Form::Blank, comment: None, within: Within::default() }
    }
}

/// What the lines before a line decide of its reading.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub(crate) struct Within {
    /// Whether the block opens phases at all: then an ingredient stands in one.
    pub(crate) has_phases: bool,
    /// Whether a phase is open.
    pub(crate) phase: bool,
    /// Whether a variant is open.
    pub(crate) variant: bool,
}

/// What a line says.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Form {
    /// Nothing.
    Blank,
    /// Only a comment.
    Comment,
    /// Cannot be read; a slip says why.
    Broken,
    /// Opens a block.
    Open(Opener),
    /// Opens a phase.
    Phase(PhaseLine),
    /// An ingredient of a formula, with its amount.
    Item(ItemLine),
    /// A step of the method; the words after `step`.
    Step(Span),
    /// Opens a variant.
    Variant(VariantLine),
    /// A change that a variant makes.
    Change(Change),
    /// Any other line: a word and what it says.
    Fact(Fact),
}

/// `formula NAME`
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Opener {
    /// Kind of block.
    pub kind: BlockKind,
    /// The name, without blanks around it.
    pub name: Span,
}

/// `phase A2 oil base; heat to 75 °C`
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PhaseLine {
    /// One letter and up to two digits.
    pub label: Span,
    /// Its kind, where one is said.
    pub kind: Option<(PhaseKind, Span)>,
    /// Free words.
    pub heading: Span,
    /// What follows `;`.
    pub clauses: Vec<Clause>,
}

/// `5 % glycerin; wetted in water`
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ItemLine {
    /// How much.
    pub quantity: Quantity,
    /// Of what.
    pub name: Name,
    /// What follows `;`.
    pub clauses: Vec<Clause>,
}

/// A name, and whether it stands in quotes.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Name {
    /// The name without its quotes.
    pub span: Span,
    /// Whether quotes stand around it.
    pub quoted: bool,
}

/// How much of an ingredient.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Quantity {
    /// Nothing is said.
    Missing,
    /// "some", "a few drops": nothing that could be weighed.
    Fuzzy(Span),
    /// `q.s.`: as much as its end point needs.
    AsNeeded(Span),
    /// `to 100 %`: what is left; the whole that it makes up to, where one is said.
    Balance(Option<Measure>, Span),
    /// A number that cannot be read; a slip says why.
    Unread(Span),
    /// An amount.
    Given(Measure),
    /// `30 g = 6 %`
    Both(Measure, Measure),
}

impl Quantity {
    /// Where the quantity is written; empty at `at` where nothing is said.
    pub fn span(&self) -> Option<Span> {
        match self {
            Quantity::Missing => None,
            Quantity::Fuzzy(span)
            | Quantity::AsNeeded(span)
            | Quantity::Balance(_, span)
            | Quantity::Unread(span) => Some(*span),
            Quantity::Given(measure) => Some(measure.span),
            Quantity::Both(first, second) => Some(first.span.join(second.span)),
        }
    }
}

/// What a percent is of, where it is not the whole.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Base {
    /// `% of B`: of that phase's final weight.
    Phase(Span),
    /// `% of oils`: of all lines soluble in oil.
    Oils(Span),
}

/// A number or range with its unit.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Measure {
    /// The number or numbers.
    pub range: Range,
    /// The unit; none is said, or it is not one.
    pub unit: Option<UnitAt>,
    /// What a percent is of.
    pub of: Option<Base>,
    /// All of it.
    pub span: Span,
}

/// One number, or a window of numbers. Every number in it can be read by [`crate::read_number`].
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Range {
    /// How the numbers are meant.
    pub kind: RangeKind,
    /// The number, the lower end, or the middle.
    pub first: Span,
    /// The upper end, or the tolerance; empty where there is none.
    pub second: Span,
    /// All of it.
    pub span: Span,
}

/// How the numbers of a [`Range`] are meant.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum RangeKind {
    /// `5`
    Exact,
    /// `5 to 6`
    Between,
    /// `5.2 ± 0.2`
    PlusMinus,
    /// `at least 5`, `above 5`
    AtLeast,
    /// `at most 5`, `below 5`, `up to 5`
    AtMost,
    /// `about 5`
    About,
}

/// A qualifier: what stands between two `;`.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Clause {
    /// Its opening word; none for bare words such as a function or a grade, and for unknown ones.
    pub word: Option<ClauseWord>,
    /// A number with its unit, where the clause is one or its word is followed by one.
    pub measure: Option<Measure>,
    /// The words after the opening word and the measure.
    pub rest: Span,
    /// All of it, without blanks around it.
    pub span: Span,
}

/// `variant NAME`, `variant both: nut-free, light`
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct VariantLine {
    /// Its name.
    pub name: Span,
    /// The variants it puts together.
    pub parts: Vec<Span>,
}

/// One change of a variant.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Change {
    /// What is done.
    pub kind: ChangeKind,
    /// Qualifiers of an added ingredient.
    pub clauses: Vec<Clause>,
}

/// What a change does.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum ChangeKind {
    /// `replace X [in L] with [AMOUNT] Y`
    Replace {
        /// What goes.
        old: Name,
        /// In which phase.
        phase: Option<Span>,
        /// How much of the new; as much as of the old where nothing is said.
        quantity: Quantity,
        /// What comes.
        new: Name,
    },
    /// `omit X [in L]`
    Omit {
        /// What goes.
        old: Name,
        /// In which phase.
        phase: Option<Span>,
    },
    /// `add AMOUNT Y to L`
    Add {
        /// How much.
        quantity: Quantity,
        /// Of what.
        new: Name,
        /// To which phase.
        phase: Option<Span>,
    },
    /// `set X [in L] to AMOUNT`
    Amount {
        /// Of what.
        old: Name,
        /// In which phase.
        phase: Option<Span>,
        /// How much.
        quantity: Quantity,
    },
    /// `set pH to 5.0 to 5.5` and other header lines.
    Header(Fact),
}

impl ChangeKind {
    /// How much of something it asks for; none where it takes something out or changes the header.
    pub fn quantity(&self) -> Option<&Quantity> {
        match self {
            ChangeKind::Replace { quantity, .. }
            | ChangeKind::Add { quantity, .. }
            | ChangeKind::Amount { quantity, .. } => Some(quantity),
            ChangeKind::Omit { .. } | ChangeKind::Header(_) => None,
        }
    }
}

/// A line that begins with a word of its block: the word, a number where one follows, and the rest.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Fact {
    /// The first word or words.
    pub word: Word,
    /// Where they stand.
    pub word_span: Span,
    /// A number or range with its unit, where one follows directly.
    pub measure: Option<Measure>,
    /// The words after it, up to ` because `, the first `;` or the comment.
    pub rest: Span,
    /// The reason after ` because `.
    pub because: Option<Span>,
    /// What follows `;`.
    pub clauses: Vec<Clause>,
}

impl Fact {
    /// The clause with a word.
    pub fn clause(&self, word: ClauseWord) -> Option<&Clause> {
        self.clauses.iter().find(|clause| clause.word == Some(word))
    }
}
