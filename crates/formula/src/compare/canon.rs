//! What is said, apart from how it is spelt: `0.6 kg` says what `600 g` says.

use super::Turn;
use crate::catalogue::canonical_function;
use crate::exact::Exact;
use crate::factor;
use crate::window::Window;
use notation::{
    Base, Block, Clause, ClauseWord, FUNCTIONS, Fact, Measure, Quantity, Shape, Span, Word, fold,
    in_one_line, known_product_word, list_words,
};

/// Something said: how it is compared, what it stands in place of when it is changed, and how it is written.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Said {
    pub(super) key: String,
    pub(super) about: String,
    pub(super) shown: String,
}

/// A number or range with its unit: weights in grams, times in days, temperatures in °C, shares as such.
pub(super) fn measure(block: &Block, measure: &Measure) -> String {
    let unit = measure.unit.map(|unit| unit.unit);
    let Some(window) = Window::read(&block.text, &measure.range) else {
        return fold(block.at(measure.span));
    };
    let (window, unit) = match unit {
        None => (window, String::new()),
        Some(unit) => match (factor::grams(unit), factor::days(unit), factor::share(unit)) {
            (Some(grams), ..) => (window.scaled(&grams), "g".to_owned()),
            (_, Some(days), _) => (window.scaled(&days), "d".to_owned()),
            (.., Some(share)) => (window.scaled(&share), "share".to_owned()),
            _ if factor::celsius(&Exact::zero(), unit).is_some() => {
                let turned = |end: Option<Exact>| end.and_then(|value| factor::celsius(&value, unit));
                (Window::of(turned(window.low), turned(window.high)), "°C".to_owned())
            }
            _ => (window, unit.spelling().to_owned()),
        },
    };
    let end = |end: &Option<Exact>| end.as_ref().map(Exact::data).unwrap_or_default();
    let of = match measure.of {
        None => String::new(),
        Some(Base::Oils(_)) => " of oils".to_owned(),
        Some(Base::Phase(label)) => format!(" of {}", fold(block.at(label))),
    };
    format!("{:?} {}..{} {unit}{of}", measure.range.kind, end(&window.low), end(&window.high))
}

/// How much of an ingredient.
pub(super) fn quantity(block: &Block, quantity: &Quantity) -> String {
    match quantity {
        Quantity::Given(given) => measure(block, given),
        Quantity::Both(first, second) => format!("{} = {}", measure(block, first), measure(block, second)),
        Quantity::Balance(Some(whole), _) => format!("to {}", measure(block, whole)),
        Quantity::Balance(None, _) => "to".to_owned(),
        Quantity::AsNeeded(_) => "as needed".to_owned(),
        Quantity::Missing => String::new(),
        Quantity::Fuzzy(span) | Quantity::Unread(span) => fold(block.at(*span)),
    }
}

/// A qualifier.
pub(super) fn clause(block: &Block, clause: &Clause) -> Said {
    let word = clause.word.map(ClauseWord::spelling);
    let bare = fold(block.at(clause.span));
    let function = word.is_none() && FUNCTIONS.iter().any(|known| fold(known) == bare);
    let key = match (word, clause.measure) {
        (None, None) if function => fold(&canonical_function(&bare)),
        (None, None) => bare,
        (word, measured) => {
            let measured = measured.map(|measured| measure(block, &measured)).unwrap_or_default();
            format!("{} {measured} {}", word.unwrap_or(""), fold(block.at(clause.rest)))
        }
    };
    let about = word.map_or_else(|| key.clone(), str::to_owned);
    Said { key, about, shown: in_one_line(block.at(clause.span)) }
}

/// What a fact line says: one thing, or each word of a list of which there may be several.
pub(super) fn fact(block: &Block, fact: &Fact, content: Span) -> Vec<Said> {
    let about = fact.word.spelling().to_owned();
    if matches!(fact.word, Word::For | Word::Claim) {
        let words = list_words(&block.text, fact.rest).into_iter();
        let said = |span: Span| Said {
            key: fold(block.at(span)),
            about: about.clone(),
            shown: in_one_line(block.at(span)),
        };
        return words.map(said).collect();
    }
    let shown = in_one_line(block.at(Span::new(fact.word_span.end, content.end.max(fact.word_span.end))));
    let free = fact.word.shape() == Shape::Text;
    let key = if free { shown.clone() } else { fact_key(block, fact) };
    vec![Said { key, about, shown }]
}

fn fact_key(block: &Block, fact: &Fact) -> String {
    let mut key = fact.measure.map(|measured| measure(block, &measured)).unwrap_or_default();
    key.push(' ');
    if matches!(fact.word, Word::Product | Word::Market) {
        // The order of these words means nothing.
        let mut words: Vec<String> = list_words(&block.text, fact.rest)
            .into_iter()
            .flat_map(|span| {
                let known = known_product_word(block.at(span));
                let word = || vec![fold(block.at(span))];
                if known.is_empty() { word() } else { known.iter().map(|word| (*word).to_owned()).collect() }
            })
            .collect();
        words.sort();
        words.dedup();
        key.push_str(&words.join(", "));
    } else {
        key.push_str(&fold(block.at(fact.rest)));
    }
    if let Some(because) = fact.because {
        key.push_str(" because ");
        key.push_str(&in_one_line(block.at(because)));
    }
    for one in &fact.clauses {
        key.push_str("; ");
        key.push_str(&clause(block, one).key);
    }
    key
}

/// What is said on one side only; what is said of the same thing on both is one change. In the new order, what is gone
/// at its old place.
pub(super) fn turns(before: &[Said], after: &[Said]) -> Vec<Turn<Said>> {
    let mut matched: Vec<Option<usize>> = vec![None; before.len()];
    let mut taken = vec![false; after.len()];
    let by_key = |old: &Said, new: &Said| old.about == new.about && old.key == new.key;
    let by_about = |old: &Said, new: &Said| old.about == new.about;
    for (round, alike) in [by_key, by_about as fn(&Said, &Said) -> bool].into_iter().enumerate() {
        for (at, old) in before.iter().enumerate() {
            if matched.get(at).is_none_or(Option::is_some) {
                continue;
            }
            let free = |new: &usize| {
                taken.get(*new) == Some(&false) && after.get(*new).is_some_and(|new| alike(old, new))
            };
            let found = (0..after.len()).find(free);
            // Of several things of one kind nobody can tell which became which.
            let left = |said: &[Said], used: &dyn Fn(usize) -> bool| {
                said.iter().enumerate().filter(|(at, one)| one.about == old.about && !used(*at)).count()
            };
            let alone = left(before, &|at| matched.get(at).is_none_or(Option::is_some)) == 1
                && left(after, &|at| taken.get(at) != Some(&false)) == 1;
            if let Some(new) = found.filter(|_| round == 0 || alone) {
                if let Some(slot) = matched.get_mut(at) {
                    *slot = Some(new);
                }
                if let Some(slot) = taken.get_mut(new) {
                    *slot = true;
                }
            }
        }
    }
    let slots = super::interleaved(&matched, after.len());
    let told = slots.into_iter().filter_map(|slot| match slot {
        super::Slot::Gone(old) => before.get(old).cloned().map(Turn::gone),
        super::Slot::Come(new) => after.get(new).cloned().map(Turn::come),
        super::Slot::Kept(old, new) => {
            let (old, new) = (before.get(old)?, after.get(new)?);
            (old.key != new.key).then(|| Turn::both(old.clone(), new.clone()))
        }
    });
    told.collect()
}

/// The words of a change.
pub(super) fn shown(turn: Turn<Said>) -> Turn<String> {
    Turn { from: turn.from.map(|said| said.shown), to: turn.to.map(|said| said.shown) }
}
