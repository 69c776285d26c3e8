use crate::Level;
use crate::card::rule;
use crate::case::Case;
use crate::changes::line_below;
use crate::findings::Findings;
use crate::words;
use formula::keeping::{drying_oils, has_antioxidant};
use formula::{Exact, Formula, Found, Written};
use notation::fold;

rule! {
    /// There is much of an oil that air turns rancid, and nothing protects it.
    ///
    /// ## Why
    /// Oils rich in linoleic and linolenic acid, such as rosehip, hemp or linseed, take up oxygen and smell of putty
    /// within months. Tocopherol or rosemary extract slows that down. Tocopheryl acetate does not: it becomes an
    /// antioxidant only in the skin.
    /// ## Fires
    /// ```formula
    /// formula Winter face oil
    /// product face oil, face
    ///        60     %     jojoba oil
    ///        40     %     hemp seed oil
    /// ```
    /// ```formula
    /// formula Winter face oil
    /// product face oil, face
    ///        79     %     jojoba oil
    ///        20     %     rosehip oil
    ///         1     %     tocopheryl acetate; antioxidant
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Winter face oil
    /// product face oil, face
    ///        59.7   %     jojoba oil
    ///        40     %     hemp seed oil
    ///         0.3   %     tocopherol
    /// ```
    /// A little of it, and oils that keep:
    /// ```formula
    /// formula Summer face oil
    /// product face oil, face
    ///        60     %     high-oleic sunflower oil
    ///        35     %     squalane
    ///         5     %     rosehip oil
    /// ```
    /// ## Fix
    /// Adds 0.2 % tocopherol below the oil, where another line makes up the total. A matter of judgement.
    /// ## Sources
    /// - which oils: the `air-sensitive` lines of the catalogue, common practice
    /// - 0.1 to 0.5 % of mixed tocopherols: common practice. More is not better: above 0.07 % alpha-tocopherol
    ///   promoted the oxidation of corn oil (D. Dolde and T. Wang, J. Am. Oil Chem. Soc. 88 (2011) 1759-1765)
    name: "no-antioxidant",
    group: Preservation,
    level: Note,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

/// What the fix adds where the catalogue knows it as an antioxidant.
const ANTIOXIDANT: &str = "tocopherol";

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if formula.broken || formula.is_premix() || has_antioxidant(formula) {
        return;
    }
    let short = formula.header.shelf_life_days.as_ref().is_some_and(|(days, _)| *days <= Exact::whole(31));
    let (mut oils, sum) = drying_oils(formula);
    if short || sum < Exact::fraction(1, 10) {
        return;
    }
    oils.sort_by(|a, b| b.share.cmp(&a.share));
    let Some(item) = oils.first().and_then(|oil| formula.items.get(*oil.items.first()?)) else { return };
    let names: Vec<String> = oils.iter().map(|oil| oil.material.name.clone()).collect();
    let mut message =
        format!("{} {} and no antioxidant: air turns it rancid", words::percent(&sum), words::list(&names));
    let called = called_so(formula);
    if let Some(called) = called {
        message = format!(
            "{} is called the antioxidant, but it protects no oil in the jar; {} {} stands open to the air",
            formula.items.get(called).map_or("", |item| item.name.as_str()),
            words::percent(&sum),
            words::list(&names)
        );
    }
    let mut adding = out
        .add(item.name_span, message)
        .level(Level::Note)
        .help(
            "Add 0.1 to 0.5 % of mixed tocopherols or a rosemary extract to the oils; keep the product \
             cool and dark.",
        )
        .source("common practice")
        .subject(item.key());
    if let Some(called) = called.and_then(|at| formula.items.get(at)) {
        adding =
            adding.related(called.name_span, format!("{} stands here", called.name)).lines([called.span]);
    }
    let balanced = formula.items.iter().any(|item| item.written == Written::Balance);
    let known = matches!(case.known.find(ANTIOXIDANT), Found::Known(one) if one.does("antioxidant"));
    if balanced && known && !item.changed && case.is_parent() {
        let edits = line_below(&case.block.text, item.span, &format!("        0.2   %     {ANTIOXIDANT}"));
        adding = adding.judgement_fix(format!("Add 0.2 % {ANTIOXIDANT}"), edits);
    }
    let _ = adding.lines([item.span]);
}

/// A line that is called an antioxidant and is known to be none.
fn called_so(formula: &Formula) -> Option<usize> {
    formula.items.iter().position(|item| {
        item.declared.iter().any(|said| fold(said) == "antioxidant")
            && item.material.as_ref().is_some_and(|material| !material.does("antioxidant"))
    })
}
