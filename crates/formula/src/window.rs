//! Windows of values, and amounts that may be a range.
#![deny(clippy::float_arithmetic)]

use crate::exact::Exact;
use notation::{Range, RangeKind, read_number};

/// A window; an end that is not said is open. Two windows are the same whatever decimals they are written with.
#[derive(Clone, Debug, Default)]
pub struct Window {
    /// Lower end, included.
    pub low: Option<Exact>,
    /// Upper end, included.
    pub high: Option<Exact>,
    /// With how many decimals each end is written at least, so that it is told as it was written: `5.0 to 5.5`.
    decimals: [usize; 2],
}

impl PartialEq for Window {
    fn eq(&self, other: &Window) -> bool {
        self.low == other.low && self.high == other.high
    }
}

impl Eq for Window {}

impl Window {
    /// From one end to the other; an end that is not said is open.
    pub fn of(low: Option<Exact>, high: Option<Exact>) -> Window {
        Window { low, high, decimals: [0, 0] }
    }

    /// From one value to another.
    pub fn between(low: Exact, high: Exact) -> Window {
        Window::of(Some(low), Some(high))
    }

    /// One value.
    pub fn at(value: Exact) -> Window {
        Window::between(value.clone(), value)
    }

    /// Reads a range. A lone number is a window of no width.
    pub fn read(text: &str, range: &Range) -> Option<Window> {
        let (first, decimals) = read_end(range.first.of(text))?;
        let second = (!range.second.is_empty()).then(|| read_end(range.second.of(text))).flatten();
        let lone = [decimals, decimals];
        Some(match (range.kind, second) {
            (RangeKind::Between, Some((second, others))) if first <= second => {
                Window { low: Some(first), high: Some(second), decimals: [decimals, others] }
            }
            (RangeKind::Between, Some((second, others))) => {
                Window { low: Some(second), high: Some(first), decimals: [others, decimals] }
            }
            (RangeKind::PlusMinus, Some((spread, _))) => Window::between(&first - &spread, first + spread),
            (RangeKind::AtLeast, _) => Window { low: Some(first), high: None, decimals: lone },
            (RangeKind::AtMost, _) => Window { low: None, high: Some(first), decimals: lone },
            _ => Window { decimals: lone, ..Window::at(first) },
        })
    }

    /// Reads one number, or the two ends of a window.
    pub fn read_words(low: &str, high: Option<&str>) -> Option<Window> {
        let (low, first) = read_end(low)?;
        let (high, second) = match high {
            Some(high) => read_end(high)?,
            None => (low.clone(), first),
        };
        (low <= high).then_some(Window { low: Some(low), high: Some(high), decimals: [first, second] })
    }

    /// Without its lower end.
    #[must_use]
    pub fn open_below(self) -> Window {
        Window { low: None, ..self }
    }

    /// Without its upper end.
    #[must_use]
    pub fn open_above(self) -> Window {
        Window { high: None, ..self }
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
        Window::of(scale(&self.low), scale(&self.high))
    }

    /// The middle; the only end where there is one.
    pub fn middle(&self) -> Option<Exact> {
        match (&self.low, &self.high) {
            (Some(low), Some(high)) => Some((low + high) * Exact::fraction(1, 2)),
            (Some(only), None) | (None, Some(only)) => Some(only.clone()),
            (None, None) => None,
        }
    }

    /// `5.0 to 5.5`, `at least 5`, `at most 5.5`, `5`.
    pub fn text(&self) -> String {
        let [first, second] = self.decimals;
        match (&self.low, &self.high) {
            (Some(low), Some(high)) if low == high => with_decimals(low, first),
            (Some(low), Some(high)) => {
                format!("{} to {}", with_decimals(low, first), with_decimals(high, second))
            }
            (Some(low), None) => format!("at least {}", with_decimals(low, first)),
            (None, Some(high)) => format!("at most {}", with_decimals(high, second)),
            (None, None) => "any".to_owned(),
        }
    }
}

/// A number, and how many decimals it is written with.
fn read_end(text: &str) -> Option<(Exact, usize)> {
    let number = read_number(text).ok()?;
    Some((Exact::of_number(&number), number.decimals.len()))
}

/// A number with at least so many decimals: `5.0`. No more than messages tell of any number.
fn with_decimals(value: &Exact, least: usize) -> String {
    const MOST: usize = 3;
    let mut text = value.text();
    let written = text.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    let missing = least.min(MOST).saturating_sub(written);
    if missing > 0 && written == 0 {
        text.push('.');
    }
    text.push_str(&"0".repeat(missing));
    text
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ends_are_told_as_they_were_written() {
        let told = |low: &str, high: &str| Window::read_words(low, Some(high)).map(|window| window.text());
        assert_eq!(told("5.0", "5.5").as_deref(), Some("5.0 to 5.5"));
        assert_eq!(told("5", "5.50").as_deref(), Some("5 to 5.50"));
        assert_eq!(told("5,0", "5,0").as_deref(), Some("5.0"));
        assert_eq!(told("4 ½", "5.0").as_deref(), Some("4.5 to 5.0"));
        assert_eq!(told("0.00010", "2.00000").as_deref(), Some("0.0001 to 2.000"));
        assert_eq!(told("5.5", "5.0"), None);
        let [some, same] = ["5.0", "5.00"].map(|low| Window::read_words(low, None));
        assert_eq!(some, same);
        // What is worked out is told as any other number.
        let half = some.map(|window| window.scaled(&Exact::fraction(1, 2)).text());
        assert_eq!(half.as_deref(), Some("2.5"));
    }
}
