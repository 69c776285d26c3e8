//! Exact numbers as text: for messages, for the eye, for data.

use super::Exact;
use num_bigint::BigInt;
use num_integer::Integer;
use num_rational::Ratio;
use num_traits::{One, Signed};
use std::cmp::Ordering;
use std::fmt;

impl Exact {
    /// Rounded half-even to so many decimals, as an integer count of the last one.
    fn rounded(&self, places: u32) -> BigInt {
        let value = self.big() * Ratio::from_integer(num_traits::pow(BigInt::from(10), places as usize));
        let (floor, rest) = value.numer().div_mod_floor(value.denom());
        match (rest * BigInt::from(2)).cmp(value.denom()) {
            Ordering::Less => floor,
            Ordering::Greater => floor + BigInt::one(),
            Ordering::Equal if floor.is_even() => floor,
            Ordering::Equal => floor + BigInt::one(),
        }
    }

    /// Rounded half-even to so many decimals, without trailing zeros: for the eye.
    pub fn shown(&self, places: u32) -> String {
        let digits = decimal_text(&self.rounded(places), places);
        trim_zeros(&digits)
    }

    /// For messages: three decimals, or three significant digits where the number is smaller than that.
    pub fn text(&self) -> String {
        let mut places = 3;
        let mut bound = Exact::fraction(1, 10);
        let size = self.abs();
        while size < bound && places < 12 && !size.is_zero() {
            places += 1;
            bound = bound * Exact::fraction(1, 10);
        }
        self.shown(places)
    }

    /// For data: exact where it ends within 12 decimals, else rounded half-even to 12 significant digits.
    pub fn data(&self) -> String {
        const DIGITS: u32 = 12;
        let exact = self.rounded(DIGITS);
        let back = Ratio::new(exact.clone(), num_traits::pow(BigInt::from(10), DIGITS as usize));
        if back == self.big() {
            return trim_zeros(&decimal_text(&exact, DIGITS));
        }
        let whole = self.abs().rounded(0).to_string();
        let before = if whole == "0" { 0 } else { whole.len() as u32 };
        let mut places = DIGITS.saturating_sub(before);
        if before == 0 {
            let mut bound = Exact::fraction(1, 10);
            while self.abs() < bound && places < 40 {
                places += 1;
                bound = bound * Exact::fraction(1, 10);
            }
        }
        trim_zeros(&decimal_text(&self.rounded(places), places))
    }
}

fn decimal_text(units: &BigInt, places: u32) -> String {
    let digits = units.abs().to_string();
    let width = places as usize + 1;
    let padded = format!("{digits:0>width$}");
    let (whole, decimals) = padded.split_at(padded.len() - places as usize);
    let sign = if units.is_negative() { "-" } else { "" };
    if places == 0 { format!("{sign}{whole}") } else { format!("{sign}{whole}.{decimals}") }
}

fn trim_zeros(text: &str) -> String {
    if text.contains('.') {
        let trimmed = text.trim_end_matches('0').trim_end_matches('.');
        if trimmed == "-0" { "0".to_owned() } else { trimmed.to_owned() }
    } else {
        text.to_owned()
    }
}

impl fmt::Display for Exact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text())
    }
}
