//! What the rules of labels share: when a label is spoken of at all, and whether its words are written down.

use crate::case::Case;
use formula::labels::Due;
use formula::{Exact, Formula, Item, Occasion, Rank};
use notation::fold;

/// Whether duties of the label count: for what is sold, and for babies.
pub(crate) fn is_labelled(case: &Case<'_>) -> bool {
    let header = &case.formula.header;
    let sold = header.occasion == Occasion::Sale || header.product.is_for_babies();
    sold && !case.formula.is_premix()
}

/// The lines that bring what a duty is about, the one that brings most first.
pub(crate) fn first_lines<'f>(formula: &'f Formula, due: &Due) -> Vec<&'f Item> {
    let mut lines: Vec<&Item> = due.items.iter().filter_map(|at| formula.items.get(*at)).collect();
    let share = |item: &&Item| item.mid().cloned().unwrap_or_else(Exact::zero);
    lines.sort_by_key(|item| std::cmp::Reverse(share(item)));
    lines
}

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
pub(crate) fn says(texts: &[String], wanted: &str, rank: Rank) -> bool {
    let there: Vec<String> = texts.iter().flat_map(|text| words(text)).collect();
    let wanted = words(wanted);
    let found = wanted.iter().filter(|word| there.contains(word)).count();
    let needed = if rank == Rank::Law { wanted.len() } else { wanted.len().div_ceil(2) };
    !there.is_empty() && found >= needed
}

/// Whether texts name something word for word, case and blanks aside.
pub(crate) fn names(texts: &[String], wanted: &str) -> bool {
    let whole = |text: &str| -> String {
        let plain: String = fold(text).chars().map(|c| if c.is_alphanumeric() { c } else { ' ' }).collect();
        format!(" {} ", plain.split_whitespace().collect::<Vec<_>>().join(" "))
    };
    let wanted = whole(wanted);
    texts.iter().any(|text| whole(text).contains(&wanted))
}
