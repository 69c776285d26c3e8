//! What the rules of labels share: when a label is spoken of at all, and the lines that bring what it is about.

use crate::case::Case;
use crate::words;
use formula::labels::Due;
use formula::{Exact, Formula, Item, Occasion, Source};

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

/// Sources, entries of one document put together: `…, entries 70, 84 and 88, …`.
pub fn entries<'a>(sources: impl IntoIterator<Item = &'a Source>) -> Vec<String> {
    let mut found: Vec<(String, Vec<u32>, String)> = Vec::new();
    let mut others: Vec<String> = Vec::new();
    for source in sources {
        let text = source.text.to_string();
        let cut = text.split_once("entry ").and_then(|(head, rest)| {
            let end = rest.find(|c: char| !c.is_ascii_digit())?;
            let (number, tail) = rest.split_at_checked(end)?;
            Some((head.to_owned(), number.parse::<u32>().ok()?, tail.to_owned()))
        });
        let Some((head, number, tail)) = cut else {
            if !others.contains(&text) {
                others.push(text);
            }
            continue;
        };
        match found.iter_mut().find(|(own, _, end)| *own == head && *end == tail) {
            Some((_, numbers, _)) if numbers.contains(&number) => {}
            Some((_, numbers, _)) => numbers.push(number),
            None => found.push((head, vec![number], tail)),
        }
    }
    let joined = found.into_iter().map(|(head, mut numbers, tail)| {
        numbers.sort_unstable();
        let word = if numbers.len() == 1 { "entry" } else { "entries" };
        let numbers: Vec<String> = numbers.iter().map(u32::to_string).collect();
        format!("{head}{word} {}{tail}", words::list(&numbers))
    });
    joined.chain(others).collect()
}
