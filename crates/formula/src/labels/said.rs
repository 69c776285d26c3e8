//! Whether words that a label needs are written down.

use crate::limit::Rank;
use notation::{fold, in_one_line};

/// The words of a text that say something, without their endings.
fn words(text: &str) -> Vec<String> {
    const SHORTEST: usize = 4;
    fold(text)
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| word.len() >= SHORTEST || word.chars().any(|c| c.is_ascii_digit()))
        .map(|word| word.trim_end_matches('s').to_owned())
        .collect()
}

/// Whether texts hold the words that a label needs, compared loosely: order and little words do not matter. What is no
/// law may be said in other words; half of them will do.
pub fn says(texts: &[String], wanted: &str, rank: Rank) -> bool {
    let there: Vec<String> = texts.iter().flat_map(|text| words(text)).collect();
    let wanted = words(wanted);
    let found = wanted.iter().filter(|word| there.contains(word)).count();
    let needed = if rank == Rank::Law { wanted.len() } else { wanted.len().div_ceil(2) };
    !there.is_empty() && found >= needed
}

/// Whether texts name something word for word, case and blanks aside.
pub fn names(texts: &[String], wanted: &str) -> bool {
    let whole = |text: &str| -> String {
        let plain: String = fold(text).chars().map(|c| if c.is_alphanumeric() { c } else { ' ' }).collect();
        format!(" {} ", in_one_line(&plain))
    };
    let wanted = whole(wanted);
    texts.iter().any(|text| whole(text).contains(&wanted))
}
