//! What can be wrong in the writing, as data: `rules` puts it into words.

use crate::text::Span;
use crate::word::Word;

/// A slip and where it stands, counted from the start of its block.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Slip {
    /// What is wrong.
    pub kind: SlipKind,
    /// The place that should be looked at.
    pub span: Span,
}

/// What is wrong.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum SlipKind {
    /// The line fits no form; the kinds of line that could stand there.
    Unreadable,
    /// Blanks that the notation does not know, or characters without width, keep the line from being read as it
    /// looks: where they stand.
    ForeignBlanks(Vec<Span>),
    /// The first word is one letter away from a line word: the right one.
    MisspeltLine(&'static str),
    /// A line stands before the first opener.
    OutsideBlock,
    /// The opener, or a line, names nothing.
    NameMissing,
    /// What has to follow this word does not.
    ValueMissing(Word),
    /// Two ingredients on one line; where the second begins.
    TwoItems(Span),
    /// `substitute X for Y` has two readings.
    Substitute,
    /// A phase label is one letter and up to two digits.
    PhaseLabel,
    /// Thousands or decimals; the readings, ready to be written.
    NumberDoubtful(Vec<String>),
    /// A number that cannot be read; what to write, where that is known.
    NumberUnreadable(Option<String>),
    /// A misspelt unit; the right spelling.
    UnitMisspelt(&'static str),
    /// A unit with several readings; what to write instead.
    UnitRefused(&'static [&'static str]),
    /// A number without a unit.
    UnitMissing,
    /// A temperature that does not say °C or °F.
    DegreesMissing,
    /// A word that its fixed list does not hold; the name of the list and the nearest word.
    WordUnknown(&'static str, Option<&'static str>),
    /// A product of another craft.
    NotThisTool,
    /// A line that does not belong where it stands.
    Misplaced,
    /// A second line of a kind of which there is one; where the first stands.
    Repeated(Span),
    /// A second phase with this label; where the first stands.
    PhaseRepeated(Span),
    /// A phase without an ingredient.
    PhaseEmpty,
    /// `allow` without `because`.
    AllowUnreasoned,
    /// A date that is none.
    DateUnreadable,
    /// Quotes that do not close.
    QuoteOpen,
}
