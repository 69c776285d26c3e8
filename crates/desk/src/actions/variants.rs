//! A variant without the selected lines.

use super::ground::{Ground, Row};
use super::{Action, ActionKind};
use notation::{Form, fold};
use rules::line_below;
use std::fmt::Write;

/// Words at which the line of a variant would be cut.
const CUTS: [&str; 5] = [" in ", " to ", " with ", " for ", " as "];

/// A new variant that omits the selected lines. Only where another line makes up the rest.
pub(super) fn without(ground: &Ground<'_>) -> Option<Action> {
    let selected = ground.selected();
    let balances = &ground.formula.totals.balances;
    let takes_rest = |row: &&&Row<'_>| balances.contains(&row.at);
    if selected.is_empty() || balances.len() != 1 || selected.iter().any(|row| takes_rest(&row)) {
        return None;
    }
    let name = free_name(ground, &selected)?;
    let text: &str = &ground.block.text;
    let end = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let mut lines = format!("{end}variant {name}");
    let mut told: Vec<String> = Vec::new();
    for row in &selected {
        let omit = omitted(ground, &selected, row)?;
        if !told.contains(&omit) {
            let _ = write!(lines, "{end}{omit}");
            told.push(omit);
        }
    }
    let says = |form: &Form| !matches!(form, Form::Blank | Form::Comment);
    let last = ground.block.lines.iter().rfind(|line| says(&line.form))?;
    let edits = line_below(text, last.span, &lines);
    let title = format!("Make a variant {name}");
    Some(Action::new(ActionKind::Extract, title, edits))
}

/// `without lavender oil`, as no variant is called yet.
fn free_name(ground: &Ground<'_>, selected: &[&Row<'_>]) -> Option<String> {
    let mut names: Vec<&str> = Vec::new();
    for row in selected {
        if !names.contains(&row.item.name.as_str()) {
            names.push(&row.item.name);
        }
    }
    let name = match names.as_slice() {
        [one] => format!("without {one}"),
        [one, other] => format!("without {one} and {other}"),
        _ => "reduced".to_owned(),
    };
    let plain = if name.contains([',', ':', ';', '"', '#']) { "reduced".to_owned() } else { name };
    let taken = |name: &str| {
        let written = ground.block.lines.iter().filter_map(|line| match &line.form {
            Form::Variant(variant) => Some(fold(ground.block.at(variant.name))),
            _ => None,
        });
        written.into_iter().any(|other| other == fold(name))
    };
    std::iter::once(plain.clone())
        .chain((2..100).map(|number| format!("{plain} {number}")))
        .find(|name| !taken(name))
}

/// `omit lavender oil`, with its phase where lines of that name stay. None where it cannot be said.
fn omitted(ground: &Ground<'_>, selected: &[&Row<'_>], row: &Row<'_>) -> Option<String> {
    let written = ground.block.at(row.written.name.span);
    let same = |other: &&Row<'_>| {
        fold(ground.block.at(other.written.name.span)) == fold(written) || other.item.key() == row.item.key()
    };
    let stays = |other: &&Row<'_>| !selected.iter().any(|row| row.at == other.at);
    let staying: Vec<&Row<'_>> = ground.rows.iter().filter(same).filter(stays).collect();
    let cut = CUTS.iter().any(|cut| written.to_lowercase().contains(cut));
    let name = if row.written.name.quoted || cut { format!("\"{written}\"") } else { written.to_owned() };
    if staying.is_empty() {
        return Some(format!("omit {name}"));
    }
    if staying.iter().any(|other| other.item.phase == row.item.phase) {
        return None;
    }
    let phase = ground.formula.phases.get(row.item.phase?)?;
    Some(format!("omit {name} in {}", phase.label))
}
