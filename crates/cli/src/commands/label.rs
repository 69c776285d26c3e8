//! `levigate label`

use super::{Done, Fault, called, chosen, desk_of, one};
use crate::args::{LabelArgs, LabelForm};
use crate::disk;
use crate::report::{label_html, label_json, label_markdown, label_text};
use desk::{Formula, Label, Market, Page, label_markets};

pub(crate) fn run(args: &LabelArgs) -> Result<Done, Fault> {
    let (target, text) = one(&args.file, args.path.as_deref())?;
    let mut desk = desk_of(args.on.unwrap_or_else(disk::today));
    desk.open(&target.path, text);
    let none = |why: &str| Fault(format!("{}: {why}", target.shown));
    let page = desk.page(&target.path).ok_or_else(|| none("there is no formula in it"))?;
    let mut formulas = chosen(&page, args.formula.as_deref(), args.variant.as_deref())?;
    if formulas.is_empty() {
        return Err(none("there is no formula in it"));
    }
    formulas.retain(|formula| !formula.is_premix());
    if formulas.is_empty() {
        return Err(none("a premix has no label of its own; ask for that of a product that holds it"));
    }
    let (labels, others) = labels(&page, &formulas, args.market);
    if labels.is_empty() {
        return Err(none(&format!("{}; choose one with --market", label_text::unknown(&others))));
    }
    disk::say(&match args.form {
        LabelForm::Text => label_text::text(&labels, &others),
        LabelForm::Json => label_json::text(&labels, &others),
        LabelForm::Markdown => label_markdown::text(&labels, &others),
        LabelForm::Html => label_html::text(&labels, &others),
    })?;
    let good = labels.iter().all(|label| label.is_whole() && label.is_sound());
    Ok(if good { Done::Well } else { Done::Found })
}

/// The labels of a formula and its variants as an editor shows them, or of all formulas of a page. None where there is
/// no such formula.
pub(crate) fn written(page: &Page, name: Option<&str>) -> Option<String> {
    let mut formulas = called(page, name);
    formulas.retain(|formula| !formula.is_premix());
    let (labels, others) = labels(page, &formulas, None);
    (!formulas.is_empty()).then(|| label_text::text(&labels, &others))
}

/// The labels for a market, else for those that each formula names; and the markets of which no label is known.
fn labels<'f>(
    page: &Page,
    formulas: &[&'f Formula],
    market: Option<Market>,
) -> (Vec<Label<'f>>, Vec<&'f str>) {
    let mut labels = Vec::new();
    let mut others: Vec<&str> = Vec::new();
    for formula in formulas {
        let (markets, unknown) = match market {
            Some(market) => (vec![market], Vec::new()),
            None => label_markets(formula),
        };
        labels.extend(markets.into_iter().map(|market| page.label(formula, market)));
        for word in unknown {
            if !others.contains(&word) {
                others.push(word);
            }
        }
    }
    (labels, others)
}
