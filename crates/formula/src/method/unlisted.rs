//! What a step adds although no line lists it.

use super::wording::Wording;
use crate::catalogue::Found;
use crate::exact::Exact;
use crate::formula::Item;
use crate::known::Known;
use notation::{Span, fold};

/// What stands directly after a verb of adding.
const BRINGING: &[&str] =
    &["add the", "add", "stir in the", "stir in", "sprinkle in the", "sprinkle in", "pour in the", "pour in"];

/// Longest name in words that is looked for after a verb.
const LONGEST_NAME: usize = 6;

pub(super) fn unlisted(
    text: &str,
    span: Span,
    items: &[Item],
    renamed: &[(String, Option<String>)],
    known: &dyn Known,
) -> Vec<(String, Span)> {
    let lower = text.to_ascii_lowercase();
    let mut found: Vec<(String, Span)> = Vec::new();
    let mut seen = std::collections::HashSet::new();
    let adjuster = items.iter().any(|item| item.to_ph.is_some() || item.does("pH adjuster"));
    for verb in BRINGING {
        for (at, _) in lower.match_indices(verb) {
            let before = lower.get(..at).and_then(|head| head.chars().next_back());
            let start = at + verb.len();
            if before.is_some_and(char::is_alphanumeric)
                || !lower.get(start..).is_some_and(|r| r.starts_with(' '))
            {
                continue;
            }
            let Some(rest) = text.get(start + 1..).map(clause) else { continue };
            // `add drops of citric acid to pH 5`: an adjuster is listed by its end point.
            let about_ph = rest.to_ascii_lowercase().contains("ph ");
            if adjuster && about_ph {
                continue;
            }
            let Some(name) = longest_known(rest, known) else { continue };
            // Once for each name in a step.
            if seen.insert(fold(name)) && !is_listed(name, items, renamed, known) {
                let from = span.start + (start + 1) as u32;
                let place = Span::new(from, from + name.len() as u32);
                if !found.iter().any(|(_, other)| other.touches(place.start)) {
                    found.push((name.to_owned(), place));
                }
            }
        }
    }
    found
}

/// As far as one would read on: to the next `;`, and not through a line without end.
fn clause(rest: &str) -> &str {
    const FAR: usize = 300;
    let end = rest.char_indices().nth(FAR).map_or(rest.len(), |(at, _)| at);
    rest.get(..end).and_then(|near| near.split(';').next()).unwrap_or(rest)
}

/// `lavender buds` for the look of it are not lavender oil.
const PLANT_PARTS: &[&str] =
    &["buds", "petals", "flowers", "leaves", "heads", "sprigs", "blossom", "blossoms"];

fn longest_known<'t>(rest: &'t str, known: &dyn Known) -> Option<&'t str> {
    let rest = rest.split([';', '.', ',', ':']).next()?;
    let ends: Vec<usize> = rest
        .char_indices()
        .filter(|(_, c)| *c == ' ')
        .map(|(at, _)| at)
        .chain([rest.len()])
        .take(LONGEST_NAME)
        .collect();
    ends.into_iter().rev().find_map(|end| {
        let name = rest.get(..end)?.trim();
        let next = rest.get(end..).and_then(|rest| rest.split_whitespace().next()).unwrap_or_default();
        if PLANT_PARTS.contains(&next) {
            return None;
        }
        let real = matches!(known.find(name), Found::Known(material) if material.ambiguous.is_empty());
        (real && !name.is_empty()).then_some(name)
    })
}

fn is_listed(name: &str, items: &[Item], renamed: &[(String, Option<String>)], known: &dyn Known) -> bool {
    let folded = fold(name);
    let Found::Known(material) = known.find(name) else { return true };
    if renamed.iter().any(|(old, _)| fold(old) == folded) {
        return true;
    }
    // One word that says what a line does (`scent`, `wax`) names that line.
    let said = Wording::of(&folded);
    if !folded.contains(' ') && items.iter().any(|item| said.names_by_function(item)) {
        return true;
    }
    if material.water_share() == Some(Exact::one()) {
        // Any watery line may be called water at the bench.
        return items.iter().any(|item| {
            item.material.as_ref().is_some_and(|m| m.water_share().is_some_and(|w| !w.is_zero()))
        });
    }
    items.iter().any(|item| {
        let own = fold(&item.name);
        own.contains(&folded)
            || folded.contains(&own)
            || item.key() == material.key()
            || item.blend.iter().any(|(part, _)| fold(part).contains(&folded))
            || item.premix.as_ref().is_some_and(|premix| {
                premix.items.iter().any(|inner| inner.key() == material.key())
                    || fold(&premix.name).contains(&folded)
            })
            || item.material.as_ref().is_some_and(|own| {
                (own.inci.is_some() && own.inci == material.inci)
                    || own.names().any(|name| name.contains(&folded))
                    || own.contains.iter().any(|part| fold(&part.value.name) == material.key())
            })
    })
}
