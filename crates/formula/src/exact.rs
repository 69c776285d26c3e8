//! Exact numbers: fractions of whole numbers of any size. No floating point enters amounts, totals or percentages.
#![deny(clippy::float_arithmetic)]

mod text;

use notation::Number;
use num_bigint::BigInt;
use num_integer::Integer;
use num_rational::Ratio;
use num_traits::{CheckedAdd, CheckedDiv, CheckedMul, CheckedSub, Signed, ToPrimitive, Zero};
use std::cmp::Ordering;
use std::ops::{Add, Mul, Neg, Sub};

/// An exact fraction. Small ones are kept without allocation; a result that no longer fits grows.
#[derive(Clone, Debug)]
pub struct Exact(Kept);

/// A fraction in its lowest terms, in the smallest kind that holds it: a formula has hundreds of them.
#[derive(Clone, Debug)]
enum Kept {
    Small(Ratio<i64>),
    Wide(Box<Ratio<i128>>),
    Big(Box<Ratio<BigInt>>),
}

impl Exact {
    /// Zero.
    pub fn zero() -> Exact {
        Exact::whole(0)
    }

    /// One.
    pub fn one() -> Exact {
        Exact::whole(1)
    }

    /// A whole number.
    pub fn whole(value: i64) -> Exact {
        Exact(Kept::Small(Ratio::from_integer(value)))
    }

    /// `numerator / denominator`; zero for a denominator of zero.
    pub fn fraction(numerator: i128, denominator: i128) -> Exact {
        if denominator == 0 {
            return Exact::zero();
        }
        Exact::of_wide(Ratio::new(numerator, denominator))
    }

    /// A number as it is written in a formula.
    pub fn of_number(number: &Number) -> Exact {
        let digits = format!("{}{}", number.whole, number.decimals);
        let whole = Exact::of_digits(&digits, number.decimals.len());
        match &number.fraction {
            None => whole,
            Some((numerator, denominator)) => {
                let part = Exact::of_digits(numerator, 0).over(&Exact::of_digits(denominator, 0));
                whole + part.unwrap_or_else(Exact::zero)
            }
        }
    }

    /// A number of the notation, read from text; none where the text is none.
    pub fn read(text: &str) -> Option<Exact> {
        notation::read_number(text).ok().map(|number| Exact::of_number(&number))
    }

    fn of_digits(digits: &str, places: usize) -> Exact {
        const SAFE: usize = 30;
        if digits.len() <= SAFE && places <= SAFE {
            let mantissa: i128 = digits.parse().unwrap_or(0);
            return Exact::of_wide(Ratio::new(mantissa, 10i128.pow(places as u32)));
        }
        let mantissa: BigInt = digits.parse().unwrap_or_default();
        let scale = num_traits::pow(BigInt::from(10), places);
        Exact::of_big(Ratio::new(mantissa, scale))
    }

    /// Of a fraction in its lowest terms.
    fn of_wide(value: Ratio<i128>) -> Exact {
        match (i64::try_from(*value.numer()), i64::try_from(*value.denom())) {
            // The one that has no opposite would trip the long division.
            (Ok(numer), Ok(denom)) if numer != i64::MIN => Exact(Kept::Small(Ratio::new_raw(numer, denom))),
            _ => Exact(Kept::Wide(Box::new(value))),
        }
    }

    /// Of a fraction in its lowest terms.
    fn of_big(value: Ratio<BigInt>) -> Exact {
        match (value.numer().to_i128(), value.denom().to_i128()) {
            (Some(numer), Some(denom)) if denom != 0 => Exact::of_wide(Ratio::new_raw(numer, denom)),
            _ => Exact(Kept::Big(Box::new(value))),
        }
    }

    fn wide(&self) -> Option<Ratio<i128>> {
        match &self.0 {
            Kept::Small(value) => {
                Some(Ratio::new_raw(i128::from(*value.numer()), i128::from(*value.denom())))
            }
            Kept::Wide(value) => Some(**value),
            Kept::Big(_) => None,
        }
    }

    fn big(&self) -> Ratio<BigInt> {
        match &self.0 {
            Kept::Small(value) => Ratio::new_raw(BigInt::from(*value.numer()), BigInt::from(*value.denom())),
            Kept::Wide(value) => Ratio::new_raw(BigInt::from(*value.numer()), BigInt::from(*value.denom())),
            Kept::Big(value) => (**value).clone(),
        }
    }

    /// What comes of two fractions, worked out in the smallest kind in which nothing overflows.
    fn with(
        &self,
        other: &Exact,
        small: impl Fn(&Ratio<i64>, &Ratio<i64>) -> Option<Ratio<i64>>,
        wide: impl Fn(&Ratio<i128>, &Ratio<i128>) -> Option<Ratio<i128>>,
        big: impl Fn(Ratio<BigInt>, Ratio<BigInt>) -> Ratio<BigInt>,
    ) -> Exact {
        if let (Kept::Small(a), Kept::Small(b)) = (&self.0, &other.0)
            && let Some(value) = small(a, b)
        {
            return Exact(Kept::Small(value));
        }
        if let (Some(a), Some(b)) = (self.wide(), other.wide())
            && let Some(value) = wide(&a, &b)
        {
            return Exact::of_wide(value);
        }
        Exact::of_big(big(self.big(), other.big()))
    }

    /// The quotient; none when `other` is zero.
    pub fn over(&self, other: &Exact) -> Option<Exact> {
        (!other.is_zero())
            .then(|| self.with(other, CheckedDiv::checked_div, CheckedDiv::checked_div, |a, b| a / b))
    }

    /// Whether it is zero.
    pub fn is_zero(&self) -> bool {
        match &self.0 {
            Kept::Small(value) => value.is_zero(),
            Kept::Wide(value) => value.is_zero(),
            Kept::Big(value) => value.is_zero(),
        }
    }

    /// Whether it is below zero.
    pub fn is_negative(&self) -> bool {
        match &self.0 {
            Kept::Small(value) => value.is_negative(),
            Kept::Wide(value) => value.is_negative(),
            Kept::Big(value) => value.is_negative(),
        }
    }

    /// The value without its sign.
    pub fn abs(&self) -> Exact {
        if self.is_negative() { -self } else { self.clone() }
    }

    /// A hundred times as much: a share as percent.
    pub fn percent(&self) -> Exact {
        self * &Exact::whole(100)
    }

    /// The hundredth part: percent as a share.
    pub fn hundredth(&self) -> Exact {
        self * &Exact::fraction(1, 100)
    }

    /// The nearest binary fraction, for physical estimates only.
    #[expect(
        clippy::float_arithmetic,
        clippy::cast_precision_loss,
        reason = "physical estimates are not exact"
    )]
    pub fn estimate(&self) -> f64 {
        match &self.0 {
            Kept::Small(value) => *value.numer() as f64 / *value.denom() as f64,
            Kept::Wide(value) => *value.numer() as f64 / *value.denom() as f64,
            Kept::Big(value) => value.to_f64().unwrap_or(f64::NAN),
        }
    }
}

/// Sums and products of small fractions, without the long division that wide ones need. None where they do not fit.
mod short {
    use super::{Integer, Ratio};

    fn parts(value: &Ratio<i64>) -> (i128, i128) {
        (i128::from(*value.numer()), i128::from(*value.denom()))
    }

    /// In lowest terms.
    fn reduced(numer: i128, denom: i128) -> Option<Ratio<i64>> {
        let (small, of) =
            (i64::try_from(numer).ok().filter(|numer| *numer != i64::MIN)?, i64::try_from(denom).ok()?);
        let common = small.unsigned_abs().gcd(&of.unsigned_abs());
        let common = i64::try_from(common).ok().filter(|common| *common != 0)?;
        Some(Ratio::new_raw(small / common, of / common))
    }

    pub(super) fn mul(a: &Ratio<i64>, b: &Ratio<i64>) -> Option<Ratio<i64>> {
        let ((a, of_a), (b, of_b)) = (parts(a), parts(b));
        reduced(a * b, of_a * of_b)
    }

    pub(super) fn add(a: &Ratio<i64>, b: &Ratio<i64>) -> Option<Ratio<i64>> {
        let ((a, of_a), (b, of_b)) = (parts(a), parts(b));
        reduced((a * of_b).checked_add(b * of_a)?, of_a * of_b)
    }

    pub(super) fn sub(a: &Ratio<i64>, b: &Ratio<i64>) -> Option<Ratio<i64>> {
        let ((a, of_a), (b, of_b)) = (parts(a), parts(b));
        reduced((a * of_b).checked_sub(b * of_a)?, of_a * of_b)
    }
}

macro_rules! operator {
    ($Trait:ident $method:ident $checked:ident $CheckedTrait:ident) => {
        impl $Trait<&Exact> for &Exact {
            type Output = Exact;
            fn $method(self, other: &Exact) -> Exact {
                self.with(other, short::$method, $CheckedTrait::$checked, |a, b| a.$method(b))
            }
        }
        impl $Trait for Exact {
            type Output = Exact;
            fn $method(self, other: Exact) -> Exact {
                (&self).$method(&other)
            }
        }
        impl $Trait<&Exact> for Exact {
            type Output = Exact;
            fn $method(self, other: &Exact) -> Exact {
                (&self).$method(other)
            }
        }
    };
}

operator!(Add add checked_add CheckedAdd);
operator!(Sub sub checked_sub CheckedSub);
operator!(Mul mul checked_mul CheckedMul);

impl Neg for &Exact {
    type Output = Exact;
    fn neg(self) -> Exact {
        Exact::zero() - self
    }
}

impl PartialEq for Exact {
    fn eq(&self, other: &Exact) -> bool {
        match (&self.0, &other.0) {
            // Fractions are kept in their lowest terms, and in the smallest kind.
            (Kept::Small(a), Kept::Small(b)) => a.numer() == b.numer() && a.denom() == b.denom(),
            (Kept::Wide(a), Kept::Wide(b)) => a.numer() == b.numer() && a.denom() == b.denom(),
            (Kept::Big(a), Kept::Big(b)) => a == b,
            _ => false,
        }
    }
}

impl Eq for Exact {}

impl PartialOrd for Exact {
    fn partial_cmp(&self, other: &Exact) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Exact {
    fn cmp(&self, other: &Exact) -> Ordering {
        match (&self.0, &other.0) {
            (Kept::Small(a), Kept::Small(b)) => {
                let crossed =
                    |a: &Ratio<i64>, b: &Ratio<i64>| i128::from(*a.numer()) * i128::from(*b.denom());
                crossed(a, b).cmp(&crossed(b, a))
            }
            _ => self.big().cmp(&other.big()),
        }
    }
}

impl std::iter::Sum for Exact {
    fn sum<I: Iterator<Item = Exact>>(iter: I) -> Exact {
        iter.fold(Exact::zero(), |sum, value| sum + value)
    }
}

impl Default for Exact {
    fn default() -> Exact {
        Exact::zero()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn exact(text: &str) -> Exact {
        Exact::read(text).unwrap()
    }

    #[test]
    fn numbers_are_read_exactly() {
        for (text, expected) in
            [("0,5", "0.5"), ("1½", "1.5"), ("1 1/2", "1.5"), (".25", "0.25"), ("12", "12")]
        {
            assert_eq!(exact(text).data(), expected);
        }
        let long = "123456789012345678901234567890123456789.5";
        assert_eq!((exact(long) - exact("123456789012345678901234567890123456789")).data(), "0.5");
    }

    #[test]
    fn a_third_is_a_third() {
        let third = exact("1/3");
        assert_eq!((&third + &third) + third.clone(), Exact::one());
        assert_eq!(third.data(), "0.333333333333");
        assert_eq!((third * Exact::whole(1000)).data(), "333.333333333");
        assert_eq!(exact("1/300").data(), "0.00333333333333");
    }

    #[test]
    fn shown_half_even() {
        assert_eq!(exact("0.125").shown(2), "0.12");
        assert_eq!(exact("0.375").shown(2), "0.38");
        assert_eq!((-&exact("1.5")).shown(0), "-2");
        assert_eq!(exact("0.00031").text(), "0.00031");
        assert_eq!(exact("98").text(), "98");
        assert_eq!(exact("28.349523125").text(), "28.35");
    }

    #[test]
    fn the_short_way_counts_as_the_long_one_does() {
        const WIDE: i128 = 1 << 90;
        let parts = [0, 1, -1, 7, 100, -375, 1_000_003, i64::MAX.into(), i64::MIN.into(), WIDE, -WIDE - 1];
        let values: Vec<Exact> = parts
            .iter()
            .flat_map(|numer| {
                [1, 3, 8, 1000, i64::MAX.into(), WIDE + 5].map(|denom| Exact::fraction(*numer, denom))
            })
            .collect();
        for a in &values {
            for b in &values {
                let (long_a, long_b) = (a.big(), b.big());
                assert_eq!((a + b).big(), &long_a + &long_b, "{a} + {b}");
                assert_eq!((a - b).big(), &long_a - &long_b, "{a} - {b}");
                assert_eq!((a * b).big(), &long_a * &long_b, "{a} * {b}");
                if let Some(quotient) = a.over(b) {
                    assert_eq!(quotient.big(), &long_a / &long_b, "{a} / {b}");
                }
                assert_eq!(a.cmp(b), long_a.cmp(&long_b), "{a} and {b}");
                assert_eq!(a == b, long_a == long_b, "{a} and {b}");
            }
        }
    }

    #[test]
    fn small_grows_to_big_and_back() {
        let mut value = Exact::one();
        for _ in 0..60 {
            value = value * Exact::fraction(1, 1000);
        }
        for _ in 0..60 {
            value = value * Exact::whole(1000);
        }
        assert_eq!(value, Exact::one());
    }
}
