//! What numbers can be: a pH from 0 to 14, a strength of no more than the whole, a batch of more than nothing. What
//! cannot be is read as if it were not said.
#![deny(clippy::float_arithmetic)]

use crate::exact::Exact;
use crate::factor;
use crate::window::Window;
use notation::{Clause, ClauseWord, Fact, Measure, Range, RangeKind, Word};

/// The kind of a number, as far as it bounds it.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Possible {
    /// A pH: 0 to 14.
    Ph,
    /// A share: none of it to all of it.
    Share,
    /// A share of something that is there: more than none of it.
    SomeShare,
    /// A water activity: 0 to 1.
    WaterActivity,
    /// More than nothing.
    Some,
}

impl Possible {
    /// The kind of the number behind a line word; none where any number can be.
    pub fn of_line(word: Word) -> Option<Possible> {
        Some(match word {
            Word::Ph | Word::WorksAtPh | Word::StableAtPh | Word::OwnPh => Possible::Ph,
            Word::Water | Word::Contains | Word::Loss | Word::Limit => Possible::Share,
            Word::UsualStrength | Word::Usage => Possible::SomeShare,
            Word::WaterActivity => Possible::WaterActivity,
            Word::Batch
            | Word::Pack
            | Word::Density
            | Word::Drop
            | Word::Drops
            | Word::MolarMass
            | Word::CountsAs
            | Word::Scales
            | Word::Mixer => Possible::Some,
            _ => return None,
        })
    }

    /// The kind of the number in a qualifier.
    pub fn of_clause(word: ClauseWord) -> Option<Possible> {
        Some(match word {
            ClauseWord::ToPh | ClauseWord::AtPh => Possible::Ph,
            ClauseWord::Strength => Possible::SomeShare,
            ClauseWord::About | ClauseWord::Limit => Possible::Share,
            ClauseWord::Net => Possible::Some,
            _ => return None,
        })
    }

    /// Whether a measure can be. Shares are judged in units of share only: a strength in IU per gram has no upper end.
    pub fn holds(self, text: &str, measure: &Measure) -> bool {
        let Some(window) = Window::read(text, &measure.range) else { return true };
        let share = measure.unit.and_then(|unit| factor::share(unit.unit));
        let (window, least, most) = match (self, share) {
            (Possible::Ph, _) => (window, Exact::zero(), Some(Exact::whole(14))),
            (Possible::WaterActivity, _) => (window, Exact::zero(), Some(Exact::one())),
            (Possible::Share | Possible::SomeShare, Some(share)) => {
                (window.scaled(&share), Exact::zero(), Some(Exact::one()))
            }
            (Possible::Share | Possible::SomeShare | Possible::Some, _) => (window, Exact::zero(), None),
        };
        // A window may begin at nothing; a lone number, and its upper end, may not be nothing where there is some.
        let nothing = window.high.as_ref().is_some_and(Exact::is_zero);
        let ends = [&window.low, &window.high];
        let inside = ends
            .into_iter()
            .flatten()
            .all(|end| least <= *end && most.as_ref().is_none_or(|most| end <= most));
        inside && !(nothing && matches!(self, Possible::SomeShare | Possible::Some))
    }
}

/// Whether a range runs from high to low: `5.5 to 5`.
pub fn is_reversed(text: &str, range: &Range) -> bool {
    range.kind == RangeKind::Between
        && Exact::read(range.first.of(text))
            .zip(Exact::read(range.second.of(text)))
            .is_some_and(|(first, second)| first > second)
}

/// Whether the number of a line can be.
pub(crate) fn line(text: &str, fact: &Fact) -> bool {
    Possible::of_line(fact.word).zip(fact.measure.as_ref()).is_none_or(|(kind, at)| kind.holds(text, at))
}

/// Whether the number of a qualifier can be.
pub(crate) fn clause(text: &str, clause: &Clause) -> bool {
    let kind = clause.word.and_then(Possible::of_clause);
    kind.zip(clause.measure.as_ref()).is_none_or(|(kind, at)| kind.holds(text, at))
}
