//! Changes of the text that fixes of several rules are made of. Spans count from the block's start.

use crate::case::Case;
use crate::words::whole_line;
use formula::{Exact, Item, Phase};
use notation::{Edit, Edits, PhaseKind, Span, line_end};

/// Puts a line below another one; `after` is that line's span without its end.
pub(crate) fn line_below(text: &str, after: Span, line: &str) -> Edits {
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

/// Moves an ingredient's line below the last line of another phase. None where the line is a variant's doing.
pub(crate) fn moved(case: &Case<'_>, item: &Item, to: usize) -> Option<Edits> {
    if item.changed || !case.is_parent() {
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
