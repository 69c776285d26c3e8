//! Lines that go to another phase.

use super::ground::{Ground, Row};
use super::{Action, ActionKind};
use notation::{Base, ChangeKind, Edit, Edits, Form, Line, Span, fold};
use rules::line_below;

/// The most phases that are offered: of more, the nearest.
const MOST: usize = 8;

/// The selected lines in each of the other phases.
pub(super) fn to_phases(ground: &Ground<'_>) -> Vec<Action> {
    let selected = ground.selected();
    let Some(from) = selected.first().and_then(|row| row.item.phase) else { return Vec::new() };
    let mut phases: Vec<usize> = (0..ground.formula.phases.len()).filter(|to| *to != from).collect();
    phases.sort_by_key(|to| to.abs_diff(from));
    phases.truncate(MOST);
    phases.sort_unstable();
    phases.into_iter().filter_map(|to| moved(ground, &selected, to)).collect()
}

fn moved(ground: &Ground<'_>, selected: &[&Row<'_>], to: usize) -> Option<Action> {
    let phase = ground.formula.phases.get(to)?;
    let from: Vec<usize> = selected.iter().filter_map(|row| row.item.phase).collect();
    // Lines that stand before every phase, or there already, do not go with the others.
    if selected.is_empty() || from.len() != selected.len() || from.contains(&to) {
        return None;
    }
    let empties = |of: usize| {
        let goes = |at: usize| selected.iter().any(|row| row.at == at);
        ground.formula.items_of(of).all(|(at, _)| goes(at))
    };
    let labels: Vec<&str> = from
        .iter()
        .chain([&to])
        .filter_map(|at| ground.formula.phases.get(*at))
        .map(|phase| phase.label.as_str())
        .collect();
    if from.iter().any(|of| empties(*of)) || is_measured_by(ground, &labels) {
        return None;
    }
    let text: &str = &ground.block.text;
    let last = last_line(ground, to)?;
    let lines: Vec<&str> = selected.iter().map(|row| row.line.span.of(text)).collect();
    let end = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let mut edits: Vec<Edit> = line_below(text, last.span, &lines.join(end)).iter().cloned().collect();
    edits
        .extend(selected.iter().map(|row| Edit { span: with_end(text, row.line.span), text: String::new() }));
    edits.extend(in_variants(ground, selected, &phase.label)?);
    let what = match selected {
        [one] => one.item.name.clone(),
        several => format!("{} lines", several.len()),
    };
    let kind = phase.kind.map(|kind| format!(" ({})", kind.spelling())).unwrap_or_default();
    let title = format!("Move {what} to phase {}{kind}", phase.label);
    Some(Action::new(ActionKind::Move, title, Edits::new(edits).ok()?))
}

/// Whether an amount is a percent of one of these phases: it would change with their weight.
fn is_measured_by(ground: &Ground<'_>, labels: &[&str]) -> bool {
    let of = |base: Option<Base>| match base {
        Some(Base::Phase(label)) => labels.iter().any(|own| own.eq_ignore_ascii_case(ground.block.at(label))),
        _ => false,
    };
    ground.measures().iter().any(|measure| of(measure.of))
}

/// The last ingredient line of a phase, else its own line.
fn last_line<'p>(ground: &Ground<'p>, phase: usize) -> Option<&'p Line> {
    let last = ground.rows.iter().rfind(|row| row.item.phase == Some(phase)).map(|row| row.line);
    let opener = || ground.block.lines.iter().filter(|line| matches!(line.form, Form::Phase(_))).nth(phase);
    last.or_else(opener)
}

/// A line with its end.
fn with_end(text: &str, line: Span) -> Span {
    let after = text.get(line.end as usize..).unwrap_or("");
    let end = if after.starts_with("\r\n") { 2 } else { u32::from(!after.is_empty()) };
    Span::new(line.start, line.end + end)
}

/// The other label in the lines of variants that name a moved line by its phase. None where some lines of that name
/// stay.
fn in_variants(ground: &Ground<'_>, selected: &[&Row<'_>], label: &str) -> Option<Vec<Edit>> {
    let mut edits = Vec::new();
    for (_, change) in ground.changes() {
        let (old, phase) = match &change.kind {
            ChangeKind::Replace { old, phase: Some(phase), .. }
            | ChangeKind::Omit { old, phase: Some(phase) }
            | ChangeKind::Amount { old, phase: Some(phase), .. } => (old, *phase),
            _ => continue,
        };
        let name = ground.block.at(old.span);
        let named = |row: &&Row<'_>| {
            let there = row.item.phase.and_then(|at| ground.formula.phases.get(at));
            there.is_some_and(|there| there.label.eq_ignore_ascii_case(ground.block.at(phase)))
                && ground.page.around.key(name) == row.item.key()
        };
        let meant: Vec<usize> = ground.rows.iter().filter(|row| named(row)).map(|row| row.at).collect();
        let goes = meant.iter().filter(|at| selected.iter().any(|row| row.at == **at)).count();
        if goes == 0 {
            continue;
        }
        // Another line of that name in the new phase would be meant, too.
        let there = ground.rows.iter().any(|row| {
            let phase = row.item.phase.and_then(|at| ground.formula.phases.get(at));
            phase.is_some_and(|phase| phase.label == label) && fold(&row.item.name) == fold(name)
        });
        if goes < meant.len() || there {
            return None;
        }
        edits.push(Edit { span: phase, text: label.to_owned() });
    }
    Some(edits)
}
