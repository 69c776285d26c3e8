//! Allowing a finding: what stands ready for every one of them, whatever else would settle it.

use crate::Page;
use notation::{
    Block, BlockKind, Change, ChangeKind, Clause, ClauseWord, Edits, Form, Line, Quantity, Span, Word, fold,
    is_reason, list_words, split_because,
};
use rules::{Check, Finding, Fix, Safety, line_below, rule};

/// Stands for the reason until the maker writes it; as long as it does, nothing is silenced.
pub const REASON: &str = "…";

/// The change that allows a finding: behind the ingredient's line on which it stands, else as a line of the formula.
/// [`REASON`] stands for the reason. None where there is nothing to be allowed: outside formulas, for what is said of
/// `allow` lines themselves, and where an `allow` for it waits for its reason already.
pub fn allowing(page: &Page, finding: &Finding) -> Option<Fix> {
    let leaf = page.leaf_at(finding.span.start)?;
    let (block, start) = (leaf.block(), leaf.start);
    let engine = rule(finding.rule).is_some_and(|rule| matches!(rule.check, Check::Engine));
    if block.kind != BlockKind::Formula || engine || finding.allowed.is_some() {
        return None;
    }
    let place = Span::new(finding.span.start - start, finding.span.end - start);
    let words = format!("allow {} because {REASON}", finding.rule);
    let (whose, edits) = match qualified_line(block, place) {
        Some((line, clauses)) => {
            if clauses.iter().any(|clause| waits_in_clause(block, clause, finding.rule)) {
                return None;
            }
            ("on this line", behind(block, line, &words))
        }
        None => {
            if waits_in_line(block, finding.rule) {
                return None;
            }
            ("in this formula", line_below(&block.text, above_new_line(block), &words))
        }
    };
    let law = if finding.law { "; the law stays as it is" } else { "" };
    let title = format!("Allow `{}` {whose}, with a reason{law}", finding.rule);
    Some(Fix { title, edits: edits.shifted(start), safety: Safety::Judgement })
}

/// The line of an ingredient that holds a place, and its qualifiers; none for other lines.
fn qualified_line(block: &Block, place: Span) -> Option<(&Line, &[Clause])> {
    let line =
        block.lines.iter().find(|line| line.span.start <= place.start && place.end <= line.span.end)?;
    // Behind a quote that is not closed all is name.
    if block.at(line.span).matches('"').count() % 2 == 1 {
        return None;
    }
    match &line.form {
        // What could not be read to its end has no qualifiers.
        Form::Item(item) if matches!(item.quantity, Quantity::Unread(_)) => None,
        Form::Item(item) => Some((line, &item.clauses)),
        Form::Change(Change { kind: ChangeKind::Add { .. } | ChangeKind::Replace { .. }, clauses }) => {
            Some((line, clauses))
        }
        _ => None,
    }
}

/// Writes a qualifier at the end of a line, before its comment.
fn behind(block: &Block, line: &Line, words: &str) -> Edits {
    let end = line.comment.map_or(line.span.end, |comment| comment.start);
    let said = Span::new(line.span.start, end).trimmed(&block.text);
    let joint = if block.at(said).ends_with(';') { " " } else { "; " };
    Edits::one(Span::at(said.end), format!("{joint}{words}"))
}

/// The line below which a suppression of the whole formula stands: the last of its kind, else the product line, else
/// the opener.
fn above_new_line(block: &Block) -> Span {
    let last = block.facts(Word::Allow).last().or_else(|| block.facts(Word::Product).next());
    let opener = || block.lines.iter().find(|line| matches!(line.form, Form::Open(_))).map(|line| line.span);
    last.map(|(line, _)| line.span).or_else(opener).unwrap_or_default()
}

fn waits_in_line(block: &Block, rule: &str) -> bool {
    block.facts(Word::Allow).any(|(_, fact)| {
        let reasoned = fact.because.is_some_and(|because| is_reason(block.at(because)));
        !reasoned && names(block, fact.rest, rule)
    })
}

fn waits_in_clause(block: &Block, clause: &Clause, rule: &str) -> bool {
    let (said, because) = split_because(&block.text, clause.rest);
    let reasoned = because.is_some_and(|because| is_reason(block.at(because)));
    clause.word == Some(ClauseWord::Allow) && !reasoned && names(block, said, rule)
}

fn names(block: &Block, list: Span, rule: &str) -> bool {
    list_words(&block.text, list).into_iter().any(|word| fold(block.at(word)) == rule)
}
