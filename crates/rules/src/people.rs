//! What the rules of people share: telling of everything that should be kept from someone in one finding.

use crate::case::Case;
use crate::changes::left_out;
use crate::finding::Level;
use crate::findings::{Adding, Findings};
use crate::words;
use formula::people::{Avoided, avoided};
use formula::{Item, Occasion, Source, Standing};

/// The level that an `avoid` line asks for.
fn asked(one: &Avoided) -> Level {
    one.avoid.value.level.as_deref().and_then(Level::of_word).unwrap_or(Level::Warning)
}

/// No louder than what the level stands on: second-hand at most a warning, unless two documents agree.
fn capped(level: Level, source: &Source) -> Level {
    match source.standing {
        Standing::Read => level,
        Standing::SecondHand if source.text.contains(" and ") => level,
        Standing::SecondHand | Standing::CommonPractice => level.min(Level::Warning),
        Standing::FromMemory | Standing::Default => level.min(Level::Note),
    }
}

/// For own use, gifts and teaching one level lower, unless it is for babies.
pub(crate) fn by_occasion(case: &Case<'_>, level: Level) -> Level {
    let header = &case.formula.header;
    let private = header.occasion == Occasion::Private && !header.product.is_for_babies();
    if private { level.lower() } else { level }
}

/// Whether the product is rinsed off, or goes into a bath.
pub(crate) fn is_rinsed(case: &Case<'_>) -> bool {
    matches!(case.formula.header.product.usage(), Some("rinse-off" | "bath"))
}

/// Whether it is said to be for someone, in one of these words.
pub(crate) fn is_for(case: &Case<'_>, words: &[&str]) -> bool {
    let people = &case.formula.header.product.people;
    people
        .iter()
        .map(|person| notation::fold(person))
        .any(|person| words.iter().any(|word| person.contains(word)))
}

/// Tells of everything in a formula that should be kept from someone or somewhere, in the word of the `avoid` lines; see
/// [`tell`]. A premix is for nobody yet.
pub(crate) fn tell_kept_from<'a>(
    case: &Case<'_>,
    out: &'a mut Findings<'_>,
    whom: &str,
    place: &str,
    is_softer: impl Fn(&Avoided) -> bool,
) -> Option<Adding<'a>> {
    if case.formula.is_premix() {
        return None;
    }
    tell(case, out, &avoided(case.formula, |what| what == whom), place, is_softer)
}

/// Tells of all of them in one finding: `lavender oil 0.3 % and menthol 0.2 % in a product for babies: why`. The level
/// of each is what its line asks for, capped by its source, one lower where `is_softer`, and lowered by the occasion;
/// the loudest counts.
pub(crate) fn tell<'a>(
    case: &Case<'_>,
    out: &'a mut Findings<'_>,
    found: &[Avoided],
    place: &str,
    is_softer: impl Fn(&Avoided) -> bool,
) -> Option<Adding<'a>> {
    let formula = case.formula;
    let level = |one: &Avoided| {
        let level = capped(asked(one), &one.source);
        if is_softer(one) { level.lower() } else { level }
    };
    let loudest = found.iter().map(level).max()?;
    let lines: Vec<&Item> = found.iter().filter_map(|one| formula.items.get(one.item)).collect();
    let first = found.iter().find(|one| level(one) == loudest)?;
    let main = formula.items.get(first.item)?;
    let named: Vec<String> = found
        .iter()
        .filter_map(|one| {
            let item = formula.items.get(one.item)?;
            let inside = if item.key() == one.material.key() || item.material.is_none() {
                String::new()
            } else {
                format!(" (with {})", one.material.name)
            };
            let amount = item.mid().map(|share| format!(" {}", words::about_percent(item, share)));
            Some(format!("{}{}{inside}", item.name, amount.unwrap_or_default()))
        })
        .collect();
    let mut reasons: Vec<String> = Vec::new();
    let mut sources: Vec<String> = Vec::new();
    for one in found {
        let because = one.avoid.value.because.clone();
        if !because.is_empty() && !reasons.contains(&because) {
            reasons.push(because);
        }
        let source = one.source.text.to_string();
        if !sources.contains(&source) {
            sources.push(source);
        }
    }
    let why = if reasons.is_empty() { String::new() } else { format!(": {}", reasons.join("; ")) };
    let message = format!("{} {place}{why}", words::list(&named));
    let keys: Vec<String> = found.iter().map(|one| one.material.key()).collect();
    let mut adding = out
        .add(main.name_span, message)
        .level(by_occasion(case, loudest))
        .subject(keys.join(", "))
        .lines(lines.iter().map(|item| item.span));
    for source in sources {
        adding = adding.source(source);
    }
    for item in lines.iter().filter(|item| item.span != main.span) {
        adding = adding.related(item.name_span, format!("{} too", item.name));
    }
    if let Some(edits) = left_out(case, &lines) {
        let names: Vec<String> = lines.iter().map(|item| item.name.clone()).collect();
        adding = adding.judgement_fix(format!("Leave out {}", words::list(&names)), edits);
    }
    Some(adding)
}
