use crate::card::rule;
use crate::case::Case;
use crate::changes::line_below;
use crate::findings::Findings;
use crate::labels::{first_lines, is_labelled};
use formula::Fit;
use formula::labels::{Due, label_duties, says};

rule! {
    /// The label of a product for sale has to carry words that the formula does not write down.
    ///
    /// ## Why
    /// Some substances may be sold only with a warning on the jar: what is in it, whom to keep it from. The words are
    /// set by the law; they are forgotten because they stand in an annex and not in the recipe.
    /// ## Fires
    /// ```formula
    /// formula Night drops
    /// product oil serum, face, night
    /// for sale
    /// market EU
    ///   to  100     %     squalane
    ///         0.2   %     retinol
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Night drops
    /// product oil serum, face, night
    /// for sale
    /// market EU
    /// warning Contains vitamin A. Consider your daily intake before use.
    ///   to  100     %     squalane
    ///         0.2   %     retinol
    /// ```
    /// Nothing is sold, so nothing has to be printed:
    /// ```formula
    /// formula Night drops
    /// product oil serum, face, night
    /// for own use
    /// market EU
    ///   to  100     %     squalane
    ///         0.2   %     retinol
    /// ```
    /// ## Fix
    /// Writes the words as a `warning` line.
    /// ## Sources
    /// - each finding names the entry that it stands on, and the day whose law was used
    name: "label-warning",
    group: Limits,
    level: Note,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if !is_labelled(case) {
        return;
    }
    let mut told: Vec<String> = Vec::new();
    for market in &formula.header.markets {
        for due in label_duties(formula, market, case.law_day, false) {
            let there = says(&formula.header.label_words(), &due.text, due.rank);
            if due.fit == Fit::Yes && !there && !told.contains(&due.text) {
                tell(case, market, &due, out);
                told.push(due.text);
            }
        }
    }
}

fn tell(case: &Case<'_>, market: &str, due: &Due, out: &mut Findings<'_>) {
    let lines = first_lines(case.formula, due);
    let Some(main) = lines.first() else { return };
    let whose = match due.rank {
        formula::Rank::Law => format!("{market} law (as of {}) asks for", case.law_day),
        _ => format!("the advice ({market}) asks for"),
    };
    let above = due.above.as_ref().map(|above| format!(" above {} %", above.percent())).unwrap_or_default();
    let message = format!("{}: {whose} these words on the label{above}: “{}”", main.name, due.text);
    let after = case.formula.header.product.span.unwrap_or(case.formula.name_span);
    let line = format!("warning {}", due.text);
    let mut adding = out
        .add(main.name_span, message)
        .help("Print them on the label, and write them down as a `warning` line.")
        .subject(due.text.clone())
        .lines(lines.iter().map(|item| item.span))
        .founded_on(&due.source)
        .judgement_fix(format!("Write `{line}`"), line_below(&case.block.text, after, &line));
    if due.rank == formula::Rank::Law {
        adding = adding.duty();
    }
    for item in lines.iter().skip(1) {
        adding = adding.related(item.name_span, format!("{} asks for them too", item.name));
    }
}
