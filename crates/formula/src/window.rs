//! Windows of values, and amounts that may be a range.
#![deny(clippy::float_arithmetic)]

use crate::exact::Exact;
use notation::{Range, RangeKind};

/// A window; an end that is not said is open.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Window {
    /// Lower end, included.
    pub low: Option<Exact>,
    /// Upper end, included.
    pub high: Option<Exact>,
}

impl Window {
    /// One value.
    pub fn at(value: Exact) -> Window {
        Window { low: Some(value.clone()), high: Some(value) }
    }

    /// Reads a range. A lone number is a window of no width.
    pub fn read(text: &str, range: &Range) -> Option<Window> {
        let first = Exact::read(range.first.of(text))?;
        let second = (!range.second.is_empty()).then(|| Exact::read(range.second.of(text))).flatten();
        Some(match (range.kind, second) {
            (RangeKind::Between, Some(second)) if first <= second => {
                Window { low: Some(first), high: Some(second) }
            }
            (RangeKind::Between, Some(second)) => Window { low: Some(second), high: Some(first) },
            (RangeKind::PlusMinus, Some(spread)) => {
                Window { low: Some(&first - &spread), high: Some(first + spread) }
            }
            (RangeKind::AtLeast, _) => Window { low: Some(first), high: None },
            (RangeKind::AtMost, _) => Window { low: None, high: Some(first) },
            _ => Window::at(first),
        })
    }

    /// Whether a value lies inside.
    pub fn holds(&self, value: &Exact) -> bool {
        self.low.as_ref().is_none_or(|low| low <= value)
            && self.high.as_ref().is_none_or(|high| value <= high)
    }

    /// Each end times `factor`.
    #[must_use]
    pub fn scaled(&self, factor: &Exact) -> Window {
        let scale = |end: &Option<Exact>| end.as_ref().map(|value| value * factor);
        Window { low: scale(&self.low), high: scale(&self.high) }
    }

    /// The middle; the only end where there is one.
    pub fn middle(&self) -> Option<Exact> {
        match (&self.low, &self.high) {
            (Some(low), Some(high)) => Some((low + high) * Exact::fraction(1, 2)),
            (Some(only), None) | (None, Some(only)) => Some(only.clone()),
            (None, None) => None,
        }
    }

    /// `5 to 5.5`, `at least 5`, `at most 5.5`, `5`.
    pub fn text(&self) -> String {
        match (&self.low, &self.high) {
            (Some(low), Some(high)) if low == high => low.text(),
            (Some(low), Some(high)) => format!("{low} to {high}"),
            (Some(low), None) => format!("at least {low}"),
            (None, Some(high)) => format!("at most {high}"),
            (None, None) => "any".to_owned(),
        }
    }
}

/// An amount that may be a range: totals take the middle, limits the upper end, minima the lower.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Interval {
    /// The least it can be.
    pub low: Exact,
    /// What totals count.
    pub mid: Exact,
    /// The most it can be.
    pub high: Exact,
}

impl Interval {
    /// Exactly this much.
    pub fn exactly(value: Exact) -> Interval {
        Interval { low: value.clone(), mid: value.clone(), high: value }
    }

    /// Nothing.
    pub fn zero() -> Interval {
        Interval::exactly(Exact::zero())
    }

    /// Reads a range as an amount: `up to 2` may be nothing, and counts as 2.
    pub fn read(text: &str, range: &Range) -> Option<Interval> {
        let window = Window::read(text, range)?;
        Some(match (window.low, window.high) {
            (Some(low), Some(high)) => {
                let mid = (&low + &high) * Exact::fraction(1, 2);
                // `1 % ± 2 %`: there is no less than nothing.
                let low = low.max(Exact::zero());
                Interval { low, mid, high }
            }
            (Some(low), None) => Interval::exactly(low),
            (None, Some(high)) => Interval { low: Exact::zero(), mid: high.clone(), high },
            (None, None) => return None,
        })
    }

    /// Whether it is one value.
    pub fn is_exact(&self) -> bool {
        self.low == self.high
    }

    /// Each end times `factor`, which is not negative.
    #[must_use]
    pub fn scaled(&self, factor: &Exact) -> Interval {
        Interval { low: &self.low * factor, mid: &self.mid * factor, high: &self.high * factor }
    }

    /// The sum, end by end.
    #[must_use]
    pub fn plus(&self, other: &Interval) -> Interval {
        Interval { low: &self.low + &other.low, mid: &self.mid + &other.mid, high: &self.high + &other.high }
    }

    /// `5`, or `4 to 6`.
    pub fn text(&self) -> String {
        if self.is_exact() { self.mid.text() } else { format!("{} to {}", self.low, self.high) }
    }
}
