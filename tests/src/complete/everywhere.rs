//! What must hold of every offer, on all texts.

use crate::page_on;
use crate::shape::texts;
use desk::Candidate;

/// On one line, the cursor inside or at an end, and nothing to write that is empty.
fn holds(candidate: &Candidate, text: &str, at: usize) {
    let span = candidate.span;
    assert!(span.touches(at as u32), "{candidate:?} at {at}");
    assert!(
        text.is_char_boundary(span.start as usize) && text.is_char_boundary(span.end as usize),
        "{candidate:?}"
    );
    assert!(!span.of(text).contains(['\n', '\r']), "{candidate:?}");
    assert!(!candidate.text.trim().is_empty() && !candidate.label.is_empty(), "{candidate:?}");
    assert!(!candidate.text.contains(['\n', '\r']), "{candidate:?}");
}

#[test]
fn on_every_text_candidates_lie_where_the_cursor_is() {
    let mut offered = 0;
    for text in texts() {
        let page = page_on(&text, crate::LAW_DAY);
        for at in (0..=text.len() + 3).step_by(37).filter(|at| *at > text.len() || text.is_char_boundary(*at))
        {
            for asked in [false, true] {
                let offer = page.complete(at as u32, asked);
                offered += offer.candidates.len();
                for candidate in &offer.candidates {
                    holds(candidate, &text, at);
                }
            }
        }
    }
    assert!(offered > 10_000, "{offered} candidates are few");
}

/// The text with the rest of a line taken away, as it is while that line is being written.
fn half_written(text: &str, at: usize) -> String {
    let end = text[at..].find(['\r', '\n']).map_or(text.len(), |end| at + end);
    format!("{}{}", &text[..at], &text[end..])
}

#[test]
fn half_written_lines_are_completed_or_left_alone() {
    for (_, text) in crate::corpus::examples() {
        for at in (0..text.len()).step_by(59).filter(|at| text.is_char_boundary(*at)) {
            let text = half_written(&text, at);
            for candidate in page_on(&text, crate::LAW_DAY).complete(at as u32, false).candidates {
                holds(&candidate, &text, at);
            }
        }
    }
}

#[test]
fn every_known_ingredient_of_the_examples_is_found_by_its_first_letters() {
    let mut missing = Vec::new();
    let mut asked = 0;
    for (file, text) in crate::corpus::examples() {
        let mut from = 0;
        for line in text.split_inclusive('\n') {
            let start = from;
            from += line.len();
            let written = line.trim_start();
            let Some((amount, rest)) = written.split_once('%').filter(|(amount, _)| {
                amount.chars().all(|c| c.is_ascii_digit() || matches!(c, ' ' | '.' | 't' | 'o'))
            }) else {
                continue;
            };
            let name = rest.trim_start().split(';').next().unwrap_or_default().trim();
            let letters: String = name.chars().take(5).collect();
            let at = start + (line.len() - written.len()) + amount.len() + 1;
            let at = at + (rest.len() - rest.trim_start().len()) + letters.len();
            let text = half_written(&text, at);
            let page = page_on(&text, crate::LAW_DAY);
            let Some(card) = page_on(&format!("formula A\n5 % {name}\n"), crate::LAW_DAY)
                .formulas()
                .find_map(|found| found.formula.items.first()?.material.clone())
                .filter(|material| material.ambiguous.is_empty())
            else {
                continue;
            };
            asked += 1;
            let found = page.complete(at as u32, letters == name).candidates;
            if !found.iter().take(30).any(|candidate| candidate.label == card.name) {
                missing.push(format!("{file}: `{letters}` of {name}"));
            }
        }
    }
    assert!(missing.is_empty() && asked > 100, "{asked} asked\n{}", missing.join("\n"));
}
