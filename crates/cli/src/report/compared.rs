//! What changed between two texts, in a maker's words: the same for the terminal and for Markdown.

use super::compared_lines::{Entry, line, sum};
use crate::look::counted;
use desk::{BlockChange, BlockKind, Comparison, FactChange, PhaseChange, Turn, VariantChange};

/// Entries under a heading.
pub(crate) struct Section {
    /// Empty for what belongs to the block itself.
    pub(crate) heading: String,
    pub(crate) entries: Vec<Entry>,
}

/// A block that is not the same.
pub(crate) struct Told {
    pub(crate) title: String,
    pub(crate) sections: Vec<Section>,
}

/// The blocks that are not the same, in order.
pub(crate) fn told(comparison: &Comparison) -> Vec<Told> {
    comparison.blocks.iter().filter(|block| !block.is_empty()).map(block).collect()
}

/// What is said where nothing in the texts is to be told apart.
pub(crate) fn sameness(comparison: &Comparison) -> &'static str {
    if comparison.is_same_text { "the same text" } else { "nothing has changed but how it is written" }
}

fn block(change: &BlockChange) -> Told {
    let mut sections = Vec::new();
    let mut add = |heading: String, entries: Vec<Entry>| {
        if !heading.is_empty() || !entries.is_empty() {
            sections.push(Section { heading, entries });
        }
    };
    add(String::new(), change.facts.iter().map(fact).collect());
    for one in &change.phases {
        add(phase_title(&one.label), phase(one));
    }
    if !change.steps.is_empty() {
        add("method".to_owned(), change.steps.iter().map(Entry::step).collect());
    }
    if !change.sums.is_empty() {
        add("it comes to".to_owned(), change.sums.iter().map(sum).collect());
    }
    for one in &change.variants {
        let (heading, entries) = variant(one);
        add(heading, entries);
    }
    Told { title: title(change), sections }
}

fn title(change: &BlockChange) -> String {
    let name = change.name.last().map(String::as_str).unwrap_or_default();
    let kind = match change.kind {
        BlockKind::Loose => return "before the first block".to_owned(),
        BlockKind::Formula => "",
        other => other.spelling(),
    };
    let whole = |word: &str| {
        let kind = if kind.is_empty() { "formula" } else { kind };
        let version = change.version.last().map(|version| format!(", version {version}")).unwrap_or_default();
        let size = change.size.last().map(|(items, phases)| {
            let phases =
                if *phases == 0 { String::new() } else { format!(" in {}", counted(*phases, "phase")) };
            format!(" ({}{phases})", counted(*items, "ingredient"))
        });
        format!("{kind} {name}{version}: {word}{}", size.unwrap_or_default())
    };
    if change.name.is_new() {
        return whole("added");
    }
    if change.name.is_gone() {
        return whole("taken out");
    }
    let renamed = match &change.name.from {
        Some(from) if change.name.differs() => format!("{from} → "),
        _ => String::new(),
    };
    let version = match (&change.version.from, &change.version.to) {
        (Some(from), Some(to)) if from != to => format!(", version {from} → {to}"),
        (Some(from), None) => format!(", version {from} → none"),
        (None, Some(to)) => format!(", now version {to}"),
        (_, Some(same)) => format!(", version {same}"),
        (None, None) => String::new(),
    };
    let kind = if kind.is_empty() { String::new() } else { format!("{kind} ") };
    format!("{kind}{renamed}{name}{version}")
}

fn fact(change: &FactChange) -> Entry {
    let word = change.word.map_or("a line that does not read", desk::Word::spelling);
    Entry::of_turn(&change.said, word)
}

fn phase_title(label: &Turn<String>) -> String {
    let named = |label: &String| {
        if label.is_empty() { "lines in no phase".to_owned() } else { format!("phase {label}") }
    };
    match (&label.from, &label.to) {
        (Some(from), Some(to)) if from != to => format!("{} (was: {})", named(to), named(from)),
        (_, Some(to)) if label.is_new() => format!("{}, new", named(to)),
        (Some(from), None) => format!("{}, taken out", named(from)),
        (_, label) => label.as_ref().map(named).unwrap_or_default(),
    }
}

fn phase(change: &PhaseChange) -> Vec<Entry> {
    let words = change.words.iter().map(|turn| Entry::of_turn(turn, ""));
    words.chain(change.lines.iter().map(line)).collect()
}

fn variant(change: &VariantChange) -> (String, Vec<Entry>) {
    let name = change.name.last().map(String::as_str).unwrap_or_default();
    let heading = match (change.name.is_new(), change.name.is_gone()) {
        (true, _) => format!("variant {name}, new"),
        (_, true) => format!("variant {name}, taken out"),
        _ => format!("variant {name}"),
    };
    let written = change.written.iter().map(|line| {
        let turn = if change.name.is_gone() { Turn::gone(line.clone()) } else { Turn::come(line.clone()) };
        Entry::of_turn(&turn, "")
    });
    let facts = change.facts.iter().map(fact);
    let phases = change.phases.iter().flat_map(|one| {
        let label = one.label.last().map(String::as_str).unwrap_or_default();
        let place = if label.is_empty() { String::new() } else { format!(" of {label}") };
        phase(one).into_iter().map(move |entry| Entry { what: format!("{}{place}", entry.what), ..entry })
    });
    let sums = change.sums.iter().map(sum);
    (heading, written.chain(facts).chain(phases).chain(sums).collect())
}
