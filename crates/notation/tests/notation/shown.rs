//! What a text says, as plain words: the spelling, the blanks and the places are left out.

use std::fmt::Write as _;

use notation::{
    Base, Block, Change, ChangeKind, Clause, Fact, Form, Line, Measure, Name, Quantity, Range, RangeKind,
    Shape, Sheet, Slip, SlipKind, Span, Word, read_block, read_number,
};

/// Blanks folded to one; nothing else is changed.
pub(crate) fn words(text: &str) -> String {
    let blank = |c: char| matches!(c, ' ' | '\t' | '\u{a0}' | '\u{2009}' | '\u{202f}' | '\u{feff}');
    text.split(blank).filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ")
}

fn number(text: &str) -> String {
    let Ok(number) = read_number(text) else { return format!("?{text}") };
    let mut out = number.whole;
    if out.is_empty() && number.fraction.is_none() {
        out.push('0');
    }
    if !number.decimals.is_empty() {
        let _ = write!(out, ".{}", number.decimals);
    }
    if let Some((a, b)) = number.fraction {
        out = if out.is_empty() { format!("{a}/{b}") } else { format!("{out} {a}/{b}") };
    }
    out
}

fn range(text: &str, range: &Range) -> String {
    let first = number(range.first.of(text));
    match range.kind {
        RangeKind::Exact => first,
        RangeKind::Between => format!("{first}..{}", number(range.second.of(text))),
        RangeKind::PlusMinus => format!("{first}±{}", number(range.second.of(text))),
        RangeKind::AtLeast => format!("≥{first}"),
        RangeKind::AtMost => format!("≤{first}"),
        RangeKind::About => format!("~{first}"),
    }
}

pub(crate) fn measure(text: &str, measure: &Measure) -> String {
    let mut out = range(text, &measure.range);
    if let Some(unit) = measure.unit {
        let _ = write!(out, " {}", unit.unit.spelling());
    }
    match measure.of {
        Some(Base::Phase(label)) => {
            let _ = write!(out, " of {}", label.of(text).to_uppercase());
        }
        Some(Base::Oils(_)) => out.push_str(" of oils"),
        None => {}
    }
    out
}

fn quantity(text: &str, quantity: &Quantity) -> String {
    match quantity {
        Quantity::Missing => "-".to_owned(),
        Quantity::Fuzzy(span) => format!("({})", words(span.of(text))),
        Quantity::AsNeeded(_) => "q.s.".to_owned(),
        Quantity::Balance(None, _) => "rest".to_owned(),
        Quantity::Balance(Some(whole), _) => format!("rest to {}", measure(text, whole)),
        Quantity::Unread(span) => format!("?{}", words(span.of(text))),
        Quantity::Given(given) => measure(text, given),
        Quantity::Both(first, second) => format!("{} = {}", measure(text, first), measure(text, second)),
    }
}

fn name(text: &str, name: &Name) -> String {
    words(name.span.of(text))
}

fn clause(text: &str, clause: &Clause) -> String {
    let mut out = clause.word.map_or("«»".to_owned(), |word| format!("«{}»", word.spelling()));
    if let Some(found) = &clause.measure {
        let _ = write!(out, " {}", measure(text, found));
    }
    // Functions and grades compare without case.
    let rest = words(clause.rest.of(text));
    let rest = if clause.word.is_none() { rest.to_lowercase() } else { rest };
    if rest.is_empty() { out } else { format!("{out} | {rest}") }
}

fn clauses(text: &str, clauses: &[Clause]) -> String {
    clauses.iter().map(|c| format!("; {}", clause(text, c))).collect::<Vec<_>>().concat()
}

fn fact(text: &str, fact: &Fact) -> String {
    let mut out = fact.word.spelling().to_owned();
    if let Some(found) = &fact.measure {
        let _ = write!(out, " = {}", measure(text, found));
    }
    let rest = match fact.word {
        Word::Include | Word::Stock => fact.rest.of(text).to_owned(),
        Word::Market | Word::Product | Word::For | Word::WorksOn | Word::SolubleIn => {
            let list = notation::list_words(text, fact.rest);
            let list = list.iter().map(|word| words(word.of(text))).collect::<Vec<_>>().join(", ");
            // Markets compare without case.
            if fact.word == Word::Market { list.to_uppercase() } else { list }
        }
        _ => words(fact.rest.of(text)),
    };
    if !rest.is_empty() {
        let _ = write!(out, " | {rest}");
    }
    if let Some(because) = fact.because {
        let _ = write!(out, " because {}", words(because.of(text)));
    }
    assert!(fact.word.shape() != Shape::Text || fact.clauses.is_empty(), "text has no qualifiers");
    for piece in &fact.clauses {
        let _ = write!(out, "; {}", clause(text, piece));
    }
    out
}

fn change(text: &str, change: &Change) -> String {
    let placed =
        |phase: &Option<Span>| phase.map_or(String::new(), |p| format!(" @{}", p.of(text).to_uppercase()));
    let mut out = match &change.kind {
        ChangeKind::Replace { old, phase, quantity: amount, new } => {
            format!(
                "replace {}{} → {} | {}",
                name(text, old),
                placed(phase),
                quantity(text, amount),
                name(text, new)
            )
        }
        ChangeKind::Omit { old, phase } => format!("omit {}{}", name(text, old), placed(phase)),
        ChangeKind::Add { quantity: amount, new, phase } => {
            format!("add {} | {}{}", quantity(text, amount), name(text, new), placed(phase))
        }
        ChangeKind::Amount { old, phase, quantity: amount } => {
            format!("set {}{} → {}", name(text, old), placed(phase), quantity(text, amount))
        }
        ChangeKind::Header(header) => format!("set {}", fact(text, header)),
    };
    for piece in &change.clauses {
        let _ = write!(out, "; {}", clause(text, piece));
    }
    out
}

/// What one line says.
pub(crate) fn line(text: &str, line: &Line) -> String {
    let mut out = match &line.form {
        Form::Blank => String::new(),
        Form::Comment => "comment".to_owned(),
        Form::Broken => format!("broken {}", words(line.span.of(text))),
        Form::Open(opener) => format!("{} | {}", opener.kind.spelling(), words(opener.name.of(text))),
        Form::Phase(phase) => {
            let kind = phase.kind.map_or("-", |(kind, _)| kind.spelling());
            let heading = words(phase.heading.of(text));
            let clauses = clauses(text, &phase.clauses);
            format!("phase {} | {kind} | {heading}{clauses}", phase.label.of(text).to_uppercase())
        }
        Form::Item(item) => {
            let clauses = clauses(text, &item.clauses);
            format!("item {} | {}{clauses}", quantity(text, &item.quantity), name(text, &item.name))
        }
        Form::Step(span) => format!("step {}", words(span.of(text))),
        Form::Variant(variant) => {
            let parts: Vec<String> = variant.parts.iter().map(|part| words(part.of(text))).collect();
            format!("variant {} | {}", words(variant.name.of(text)), parts.join(", "))
        }
        Form::Change(found) => change(text, found),
        Form::Fact(found) => fact(text, found),
    };
    if let Some(comment) = line.comment {
        let _ = write!(out, " {}", comment.of(text));
    }
    out
}

/// What a slip says: its kind, and the text it stands on.
pub(crate) fn slip(text: &str, slip: &Slip) -> String {
    let kind = match &slip.kind {
        SlipKind::TwoItems(second) => format!("TwoItems({})", words(second.of(text))),
        SlipKind::Repeated(_) => "Repeated".to_owned(),
        SlipKind::PhaseRepeated(_) => "PhaseRepeated".to_owned(),
        kind => format!("{kind:?}"),
    };
    format!("!{kind}")
}

/// What a block says: its lines, then its slips.
pub(crate) fn block(block: &Block) -> Vec<String> {
    let text: &str = &block.text;
    let lines = block.lines.iter().filter(|l| l.form != Form::Blank).map(|l| line(text, l));
    lines.chain(block.slips.iter().map(|s| slip(text, s))).collect()
}

/// What a sheet says.
pub(crate) fn sheet(sheet: &Sheet) -> Vec<String> {
    let kept = sheet.blocks.iter().map(|b| block(b));
    kept.flatten().collect()
}

/// What the last line of a block says, and the slips of the block with the text under them.
pub(crate) fn last_line(source: &str) -> String {
    let block = read_block(source);
    let text: &str = &block.text;
    let mut out = block.lines.last().map_or(String::new(), |l| line(text, l));
    for found in &block.slips {
        let _ = write!(out, " {}@{}", slip(text, found), words(found.span.of(text)));
    }
    out
}

/// Compares a table of lines, each read as the last one under `head`, with what they say.
pub(crate) fn check(head: &str, table: &[(&str, &str)]) {
    let mut wrong = Vec::new();
    for (written, expected) in table {
        let found = last_line(&format!("{head}{written}\n"));
        if found != *expected {
            wrong.push(format!("{written:?}\n  expected {expected}\n  found    {found}"));
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}
