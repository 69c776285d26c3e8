//! Changes of the method, and of where in it something goes in.

use super::{is_alone, line_below, take_out};
use crate::case::Case;
use crate::words::whole_line;
use formula::method::{Step, Thermal};
use formula::{Exact, Item, Phase};
use notation::{Edit, Edits, Span};

/// Puts a line above the one that holds a place.
pub(crate) fn line_above(text: &str, at: Span, line: &str) -> Edits {
    let end = notation::line_end(text);
    Edits::one(Span::at(whole_line(text, at).start), format!("{line}{end}"))
}

/// Moves an ingredient's line to a cool-down phase that is made for it behind the last phase; where there is a method,
/// a step that adds it comes too. Its label, with the edits. None where there are no phases, or where the line is a
/// variant's doing.
pub(crate) fn moved_to_new_phase(case: &Case<'_>, item: &Item, most: &Exact) -> Option<(char, Edits)> {
    let formula = case.formula;
    if item.changed || !case.is_parent() || item.phase.is_none() || is_alone(case, item) {
        return None;
    }
    let label = ('A'..='Z').find(|label| {
        let taken = |phase: &Phase| phase.label.starts_with(*label);
        !formula.phases.iter().any(taken)
    })?;
    let cool = Exact::whole(40);
    let below = if *most < cool { most } else { &cool };
    let text: &str = &case.block.text;
    let whole = whole_line(text, item.span);
    let line = whole.of(text).trim_end_matches(['\n', '\r']);
    let last =
        formula.items.iter().filter(|other| !other.changed).map(|other| other.span).max_by_key(|s| s.end)?;
    let end = notation::line_end(text);
    let phase = format!("{end}phase {label} cool-down; below {below} °C{end}{line}");
    let mut edits: Vec<Edit> = line_below(text, last, &phase).iter().cloned().collect();
    // The moved line may be the last one: then the new phase takes its place.
    if last == item.span {
        edits = vec![Edit { span: whole, text: format!("{phase}{end}") }];
    } else {
        edits.push(Edit { span: whole, text: String::new() });
    }
    if !formula.steps.is_empty() {
        let step = format!("step cool below {below} °C; add {label}");
        edits.extend(step_before_the_end(case, &step)?.iter().cloned());
    }
    Some((label, Edits::new(edits).ok()?))
}

/// Writes a step before the one that fills or sets the pH, and behind the last that heats.
pub(crate) fn step_before_the_end(case: &Case<'_>, step: &str) -> Option<Edits> {
    let steps = &case.formula.steps;
    let text: &str = &case.block.text;
    let heats = |step: &Step| step.acts.iter().any(|act| act.thermal == Thermal::Heats);
    let from = steps.iter().rposition(heats).map_or(0, |at| at + 1);
    let sets_ph = |step: &Step| notation::fold(&step.text).split(' ').any(|word| word == "ph");
    let last = steps.iter().skip(from).find(|step| step.ends() || sets_ph(step));
    match last {
        Some(last) => Some(line_above(text, last.span, step)),
        None => Some(line_below(text, steps.last()?.span, step)),
    }
}

/// Writes the step that adds what no step adds: behind the last step about its phase; for what goes in cool, before
/// the end.
pub(crate) fn step_that_adds(case: &Case<'_>, phase: Option<usize>, what: &str) -> Option<Edits> {
    let formula = case.formula;
    let line = format!("step add {what}");
    let kept_cool = phase.and_then(|at| formula.phases.get(at)).is_some_and(formula::Phase::is_kept_cool);
    let mates: Vec<usize> =
        phase.map_or_else(Vec::new, |at| formula.items_of(at).map(|(at, _)| at).collect());
    let about = |step: &&Step| step.items.iter().any(|at| mates.contains(at));
    match formula.steps.iter().rfind(about).filter(|_| !kept_cool) {
        Some(step) => Some(line_below(&case.block.text, step.span, &line)),
        None => step_before_the_end(case, &line),
    }
}

/// Writes a clause at the end of a phase's line: `; heat to 75 °C`.
pub(crate) fn phase_clause(case: &Case<'_>, phase: &Phase, clause: &str) -> Option<Edits> {
    let holds = |span: Span| span.start <= phase.span.start && phase.span.end <= span.end;
    let line = case.block.lines.iter().find(|line| holds(line.span))?;
    let end = line.comment.map_or(line.span.end, |comment| comment.start);
    let content = Span::new(line.span.start, end).trimmed(&case.block.text);
    Some(Edits::one(Span::at(content.end), format!("; {clause}")))
}

/// Whether a step does one thing only.
pub(crate) fn only_act(step: &Step, act: Span) -> bool {
    matches!(step.acts.as_slice(), [only] if only.span == act)
}

/// Takes one thing that is done out of a step; the whole line where it is the only one.
pub(crate) fn act_taken_out(text: &str, step: &Step, act: Span) -> Edits {
    let at = step.acts.iter().position(|other| other.span == act).unwrap_or(0);
    let before = at.checked_sub(1).and_then(|before| step.acts.get(before));
    match (before, step.acts.get(at + 1)) {
        (Some(before), _) => Edits::one(Span::new(before.span.end, act.end), ""),
        (None, Some(next)) => {
            let blank =
                text.get(next.span.start as usize..).map_or(0, |rest| rest.len() - rest.trim_start().len());
            Edits::one(Span::new(act.start, next.span.start + blank as u32), "")
        }
        (None, None) => take_out(text, act),
    }
}
