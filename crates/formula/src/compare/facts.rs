//! Lines that say a fact, and lines that cannot be read.

use super::FactChange;
use super::canon::{Said, fact, shown, turns};
use notation::{Block, Change, ChangeKind, Form, Line, Span, Word, in_one_line};

/// The facts of two blocks that are not the same. The version is told apart.
pub(super) fn facts(before: &Block, after: &Block) -> Vec<FactChange> {
    changes(said(before), said(after))
}

/// The header lines that two variants set, as far as they are not the same.
pub(super) fn settings(before: (&Block, &[&Line]), after: (&Block, &[&Line])) -> Vec<FactChange> {
    changes(set(before.0, before.1), set(after.0, after.1))
}

type Told = (Option<Word>, Said);

/// What stands on a line, without its comment.
pub(super) fn content(line: &Line) -> Span {
    Span::new(line.span.start, line.comment.map_or(line.span.end, |comment| comment.start))
}

fn said(block: &Block) -> Vec<Told> {
    let mut said = Vec::new();
    for line in &block.lines {
        match &line.form {
            Form::Fact(one) if one.word != Word::Version => {
                said.extend(fact(block, one, content(line)).into_iter().map(|told| (Some(one.word), told)));
            }
            Form::Broken => {
                let shown = in_one_line(block.at(content(line)));
                // No unreadable line stands in place of another.
                said.push((None, Said { key: shown.clone(), about: shown.clone(), shown }));
            }
            _ => {}
        }
    }
    said
}

fn set(block: &Block, lines: &[&Line]) -> Vec<Told> {
    let mut said = Vec::new();
    for line in lines {
        if let Form::Change(Change { kind: ChangeKind::Header(one), .. }) = &line.form {
            said.extend(fact(block, one, content(line)).into_iter().map(|told| (Some(one.word), told)));
        }
    }
    said
}

fn changes(before: Vec<Told>, after: Vec<Told>) -> Vec<FactChange> {
    let plain = |told: &[Told]| -> Vec<Said> { told.iter().map(|(_, said)| said.clone()).collect() };
    let word =
        |said: &Said| before.iter().chain(&after).find(|(_, told)| told == said).and_then(|(word, _)| *word);
    turns(&plain(&before), &plain(&after))
        .into_iter()
        .map(|turn| FactChange { word: turn.last().and_then(word), said: shown(turn) })
        .collect()
}
