//! Changes of the text that fixes of several rules are made of. Spans count from the block's start.

mod amounts;
mod steps;

pub(crate) use amounts::{
    in_percent, is_own, other_batch, plain_measure, said_batch, share_written, takes_up, weighed, with_share,
};
pub(crate) use steps::{
    act_taken_out, line_above, moved_to_new_phase, only_act, phase_clause, step_that_adds,
};

use crate::case::Case;
use crate::findings::Adding;
use crate::words::{measure_of, whole_line};
use formula::mixing::wetting_liquid;
use formula::{Exact, Item, Phase, Window, Written};
use notation::{BlockKind, Edit, Edits, Form, PhaseKind, Span, Word, line_end};

/// Puts a line below another one; `after` is that line's span without its end.
pub fn line_below(text: &str, after: Span, line: &str) -> Edits {
    let end = line_end(text);
    let rest = text.get(after.end as usize..).unwrap_or("");
    let stop = rest.find(['\n', '\r']).map_or(text.len() as u32, |at| after.end + at as u32);
    Edits::one(Span::at(stop), format!("{end}{line}"))
}

/// Takes the whole line out that holds a place.
pub(crate) fn take_out(text: &str, at: Span) -> Edits {
    Edits::one(whole_line(text, at), "")
}

/// Writes a qualifier behind an ingredient's name: `; strength 80 %`.
pub(crate) fn qualified(text: &str, item: &Item, qualifier: &str) -> Edits {
    let end = item.name_span.end;
    let quote = text.get(end as usize..).is_some_and(|rest| rest.starts_with('"'));
    Edits::one(Span::at(end + u32::from(quote)), format!("; {qualifier}"))
}

/// Writes on the line of a powder or gum that it is wetted in the largest line that fits, and what that change is called.
/// None where nothing fits, or where the line is a variant's doing.
pub(crate) fn wetted_first(
    case: &Case<'_>,
    at: usize,
    fits: impl Fn(&Item) -> bool,
) -> Option<(String, Edits)> {
    let item = case.formula.items.get(at).filter(|item| !item.changed)?;
    let liquid = wetting_liquid(case.formula, at, fits)?;
    let edits = qualified(&case.block.text, item, &format!("wetted in {}", liquid.name));
    Some((format!("Wet it in {} first", liquid.name), edits))
}

/// Another number in an ingredient's amount. None where the line is a variant's doing, or the number cannot be found.
pub(crate) fn with_number(case: &Case<'_>, item: &Item, number: &str) -> Option<Edits> {
    let measure = measure_of(case.block, item).filter(|_| !item.changed)?;
    Some(Edits::one(measure.range.span, number))
}

/// Whether a line takes what the others leave, so that an amount can change and the total stays.
pub(crate) fn has_balance(case: &Case<'_>) -> bool {
    case.formula.items.iter().any(|item| item.written == Written::Balance)
}

/// A new line set in like that of an ingredient.
pub(crate) fn indented(case: &Case<'_>, like: &Item, line: &str) -> String {
    let text: &str = &case.block.text;
    let whole = whole_line(text, like.span).of(text);
    let blanks = whole.len() - whole.trim_start_matches([' ', '\t']).len();
    format!("{}{line}", whole.get(..blanks).unwrap_or(""))
}

/// Moves an ingredient's line below the last line of another phase. None where the line is a variant's doing, and where
/// it would leave an empty phase.
fn moved(case: &Case<'_>, item: &Item, to: usize) -> Option<Edits> {
    if item.changed || !case.is_parent() || is_alone(case, item) {
        return None;
    }
    let formula = case.formula;
    let phase = formula.phases.get(to)?;
    let last =
        formula.items_of(to).map(|(_, item)| item.span).max_by_key(|span| span.end).unwrap_or(phase.span);
    let text: &str = &case.block.text;
    let whole = whole_line(text, item.span);
    let line = whole.of(text).trim_end_matches(['\n', '\r']);
    let mut edits: Vec<Edit> = line_below(text, last, line).iter().cloned().collect();
    edits.push(Edit { span: whole, text: String::new() });
    Edits::new(edits).ok()
}

/// Offers to move an ingredient's line to another phase, where that can be done.
pub(crate) fn offer_move<'a>(case: &Case<'_>, item: &Item, to: usize, adding: Adding<'a>) -> Adding<'a> {
    match (moved(case, item, to), case.formula.phases.get(to)) {
        (Some(edits), Some(phase)) => {
            adding.judgement_fix(format!("Move {} to phase {}", item.name, phase.label), edits)
        }
        _ => adding,
    }
}

/// Whether a phase would be empty without this line.
fn is_alone(case: &Case<'_>, item: &Item) -> bool {
    item.phase
        .is_some_and(|phase| case.formula.items_of(phase).filter(|(_, other)| !other.changed).count() == 1)
}

/// The first phase that is cool enough for something which bears no more than `most` °C, other than the one that it
/// stands in: made without heat, and cooled below that.
pub(crate) fn cool_phase<'a>(case: &Case<'a>, item: &Item, most: &Exact) -> Option<(usize, &'a Phase)> {
    let cool_enough = |phase: &Phase| {
        phase.heat.is_none()
            && (phase.cool.as_ref().is_some_and(|(cool, _)| cool <= most)
                || (phase.kind == Some(PhaseKind::CoolDown) && phase.cool.is_none()))
    };
    let formula = case.formula;
    formula.phases.iter().enumerate().find(|(at, phase)| Some(*at) != item.phase && cool_enough(phase))
}

/// Puts a header line below the last one before the ingredients, or below the formula's name. None in a variant, whose
/// header is its parent's.
pub(crate) fn header_line(case: &Case<'_>, line: &str) -> Option<Edits> {
    if !case.is_parent() || case.block.kind != BlockKind::Formula {
        return None;
    }
    let head = case
        .block
        .lines
        .iter()
        .take_while(|line| !matches!(line.form, Form::Phase(_) | Form::Item(_) | Form::Broken))
        .filter(|line| match &line.form {
            Form::Open(_) => true,
            // Notes belong to what stands below them.
            Form::Fact(fact) => !matches!(fact.word, Word::Note | Word::PrivateNote),
            _ => false,
        })
        .last()?;
    Some(line_below(&case.block.text, head.span, line))
}

/// Puts an ingredient line below the last line of the parent formula.
pub(crate) fn item_line(case: &Case<'_>, line: &str) -> Option<Edits> {
    if !case.is_parent() {
        return None;
    }
    let last = case.formula.items.iter().filter(|item| !item.changed).max_by_key(|item| item.span.end)?;
    Some(line_below(&case.block.text, last.span, line))
}

/// Writes a pH target: into the `pH` line where there is one, else as a new header line.
pub(crate) fn ph_target(case: &Case<'_>, ph: &Window) -> Option<Edits> {
    header_measure(case, Word::Ph, case.formula.header.ph.is_some(), &ph.text())
}

/// Writes a shelf life: into the line where there is one, else as a new header line.
pub(crate) fn shelf_life(case: &Case<'_>, life: &str) -> Option<Edits> {
    header_measure(case, Word::ShelfLife, case.formula.header.shelf_life_days.is_some(), life)
}

fn header_measure(case: &Case<'_>, word: Word, said: bool, measure: &str) -> Option<Edits> {
    let written = case.block.facts(word).last().and_then(|(_, fact)| fact.measure);
    match written {
        Some(written) if said && case.is_parent() => Some(Edits::one(written.span, measure)),
        None if !said => header_line(case, &format!("{} {measure}", word.spelling())),
        _ => None,
    }
}

/// Takes the lines of some ingredients out, where a `to 100 %` line takes up what they leave. None where a variant put
/// them there.
pub(crate) fn left_out(case: &Case<'_>, items: &[&Item]) -> Option<Edits> {
    let formula = case.formula;
    let balances: Vec<Span> = formula
        .totals
        .balances
        .iter()
        .filter_map(|at| formula.items.get(*at))
        .map(|item| item.span)
        .collect();
    let fixed = |item: &&&Item| item.changed || balances.contains(&item.span);
    if balances.is_empty() || !case.is_parent() || items.is_empty() || items.iter().any(|item| fixed(&item)) {
        return None;
    }
    let out = |item: &&Item| Edit { span: whole_line(&case.block.text, item.span), text: String::new() };
    Edits::new(items.iter().map(out).collect()).ok()
}
