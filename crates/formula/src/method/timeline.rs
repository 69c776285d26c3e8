//! The timeline of a method: what is at which temperature when, from phases and steps together.

use super::Thermal;
use super::act::Act;
use super::bench::Bench;
use crate::exact::Exact;
use crate::formula::Formula;
use notation::Span;

/// A temperature that a line meets, and where it is said.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Exposure {
    /// °C
    pub celsius: Exact,
    /// Where it is said.
    pub span: Span,
    /// How the line comes to it.
    pub how: How,
}

/// How a line comes to meet a temperature.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum How {
    /// Its phase is heated, so its line says.
    Phase,
    /// A step heats it, or adds it to what is hot.
    Step,
}

/// A line that is kept cool by its phase, or that went in cool, and that a step brings to heat all the same.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Late {
    /// The line.
    pub item: usize,
    /// °C
    pub celsius: Exact,
    /// Where the temperature is said.
    pub said: Span,
    /// The act that brings it there.
    pub act: Span,
    /// The step of that act.
    pub step: usize,
    /// Whether the batch is heated again with the line in it; else the line is added while the batch is hot.
    pub again: bool,
}

/// The most heat that a line may meet, as far as anything says.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Reach {
    /// Nothing says how warm it gets.
    Unsaid,
    /// No more than this, °C, and where that is said.
    AtMost(Exact, Span),
    /// As much as it takes: it is melted, or heated by eye.
    Open,
}

impl Reach {
    /// The hotter of two.
    #[must_use]
    pub fn or(self, other: Reach) -> Reach {
        match (self, other) {
            (Reach::Open, _) | (_, Reach::Open) => Reach::Open,
            (Reach::Unsaid, known) | (known, Reach::Unsaid) => known,
            (Reach::AtMost(a, at), Reach::AtMost(b, _)) if a >= b => Reach::AtMost(a, at),
            (_, second) => second,
        }
    }
}

/// A step that heats a phase to a temperature.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Said {
    /// The phase.
    pub phase: usize,
    /// °C
    pub celsius: Exact,
    /// Where.
    pub span: Span,
}

/// Two phases that are brought together for the first time, each with its temperature.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Meeting {
    /// The phases, °C, and where that is said: the hotter first.
    pub hot: (usize, Exact, Span),
    /// The cooler.
    pub cold: (usize, Exact, Span),
    /// The act; none where no step says how they meet.
    pub act: Option<Span>,
}

/// What a method says of heat.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Timeline {
    /// The hottest that each line is known to meet by its phase, by a step that heats it, or by what it is added to.
    /// Lines that their phase keeps cool meet no more than that here; what steps do to them is `late`.
    pub hottest: Vec<Option<Exposure>>,
    /// The most that each line may meet.
    pub reach: Vec<Reach>,
    /// Lines that a step brings to heat although they are kept cool, or went in cool.
    pub late: Vec<Late>,
    /// To what steps heat a phase.
    pub said: Vec<Said>,
    /// Phases that meet.
    pub meetings: Vec<Meeting>,
}

/// Follows the method from its first act to its last. Where a step leaves open how warm something is, nothing is
/// known of it until a step says a temperature again.
///
/// A line of a phase that says `heat to T` counts as that hot as soon as its step comes, and a cool-down phase as added
/// below its own temperature, unless a step says otherwise in so many words.
pub(crate) fn timeline(formula: &Formula) -> Timeline {
    let mut bench = Bench::new(formula);
    for (number, step) in formula.steps.iter().enumerate() {
        for act in &step.acts {
            bench.does(number, act);
        }
    }
    bench.finished()
}

/// Whether anything is heated or melted by any step.
pub fn heats(formula: &Formula) -> bool {
    acts(formula).any(|act| act.thermal == Thermal::Heats || act.celsius.is_some())
}

/// All acts in order.
pub fn acts(formula: &Formula) -> impl Iterator<Item = &Act> {
    formula.steps.iter().flat_map(|step| &step.acts)
}
