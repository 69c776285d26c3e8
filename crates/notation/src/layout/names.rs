//! Names that need quotes, and names that could be taken for a part of the amount before them.

use crate::unit::{UnitWord, find_unit};

/// Words at which a line could be split, or that could be taken for an amount.
const TELLING: &[&str] = &[
    "to",
    "with",
    "in",
    "as",
    "for",
    "of",
    "because",
    "any",
    "some",
    "a",
    "an",
    "one",
    "two",
    "three",
    "few",
    "couple",
    "several",
    "q",
    "qs",
    "qsp",
    "ad",
    "balance",
    "remainder",
    "about",
    "approx",
    "approximately",
    "circa",
    "ca",
    "at",
    "more",
    "less",
    "up",
    "above",
    "over",
    "below",
    "under",
    "minimum",
    "maximum",
    "us",
    "uk",
    "metric",
    "imperial",
    "fl",
    "fluid",
    "and",
    "or",
    "source",
];

fn telling(word: &str) -> bool {
    TELLING.contains(&word.to_lowercase().as_str())
}

/// Whether the first word of a name can be no part of an amount before it: no `w/v`, no label, no unit.
pub(super) fn begins_plainly(name: &str) -> bool {
    let word = name.split(' ').next().unwrap_or("");
    if word.starts_with(char::is_alphabetic) && word.contains('-') && !word.contains('/') {
        // `C12-15`: a hyphen ends no label and no unit.
        return true;
    }
    let first = word.split(|c: char| !c.is_alphabetic()).next().unwrap_or("");
    first.chars().count() > 1 && find_unit(first) == UnitWord::No && !telling(first)
}

/// Whether a quoted name surely reads the same without its quotes.
pub(super) fn plain(name: &str) -> bool {
    let letters = name.chars().all(|c| c.is_alphanumeric() || matches!(c, ' ' | '-' | '/' | '.'));
    letters && begins_plainly(name) && !name.split(|c: char| !c.is_alphanumeric()).any(telling)
}

#[cfg(test)]
mod tests {
    use super::plain;

    #[test]
    fn quotes_that_are_not_needed() {
        for name in ["shea butter", "C12-15 alkyl benzoate", "crème base"] {
            assert!(plain(name), "{name}");
        }
        for name in [
            "",
            "g force",
            "w/v base",
            "half; half",
            "wash in one",
            "2 in 1",
            "oil, sweet",
            "of B",
            "water 5 %",
            "B base",
        ] {
            assert!(!plain(name), "{name}");
        }
    }
}
