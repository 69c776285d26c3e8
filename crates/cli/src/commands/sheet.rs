//! `levigate sheet`

use super::{Done, Fault, called, chosen, desk_of, one};
use crate::args::{Color, Form, SheetArgs};
use crate::disk;
use crate::look::Look;
use crate::report::{sheet_json, sheet_text, worked};
use desk::{Exact, Page, Settings};

/// Columns of a sheet in an editor.
pub(super) const IN_AN_EDITOR: usize = 100;

pub(crate) fn run(args: &SheetArgs, color: Color) -> Result<Done, Fault> {
    let (target, text) = one(&args.file, args.path.as_deref())?;
    let mut desk = desk_of(disk::today());
    desk.open(&target.path, text);
    let none = || Fault(format!("{}: there is no formula in it", target.shown));
    let page = desk.page(&target.path).ok_or_else(none)?;
    let formulas = chosen(&page, None, args.variant.as_deref())?;
    if formulas.is_empty() {
        return Err(none());
    }
    let settings = desk.settings(&target.path).unwrap_or_default();
    let worked = |formula| {
        worked::worked(formula, &page.listing(formula), args.batch.as_ref(), settings.loss.as_ref())
    };
    let formulas: Vec<_> = formulas.into_iter().map(worked).collect();
    let step = step(&settings);
    disk::say(&match args.form {
        Form::Text => sheet_text::text(&formulas, &step, Look::of_stdout(color)),
        Form::Json => sheet_json::text(&formulas),
    })?;
    Ok(Done::Well)
}

/// The smallest weight that the scales show; the usual one where the workshop does not say it.
fn step(settings: &Settings) -> Exact {
    settings.scales.clone().filter(|step| !step.is_zero()).unwrap_or_else(|| Exact::fraction(1, 100))
}

/// The sheet of a formula and its variants as an editor shows it, or of all formulas of a page. None where there is
/// no such formula.
pub(crate) fn written(page: &Page, settings: &Settings, name: Option<&str>) -> Option<String> {
    let formulas: Vec<_> = called(page, name)
        .into_iter()
        .map(|formula| worked::worked(formula, &page.listing(formula), None, settings.loss.as_ref()))
        .collect();
    let look = Look { color: false, width: Some(IN_AN_EDITOR) };
    (!formulas.is_empty()).then(|| sheet_text::text(&formulas, &step(settings), look))
}
