use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use formula::preservation::is_watery;
use formula::{Exact, Formula, Written};

rule! {
    /// The preservative has no name or no amount.
    ///
    /// ## Why
    /// “A preservative” tells nobody which one, how much and for which pH; “some” of a named one is too little or too
    /// much. Each has its own dose, its own window of pH and its own limit of law.
    /// ## Fires
    /// ```formula
    /// formula Cucumber gel
    /// product gel, face
    ///   to  100     %     purified water
    ///         5     %     glycerin
    ///         1     %     preservative of choice
    /// ```
    /// ```formula
    /// formula Cucumber gel
    /// product gel, face
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///         5     %     glycerin
    ///   some phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Cucumber gel
    /// product gel, face
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///         5     %     glycerin
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Fix
    /// None: which one, and how much, has to be decided.
    name: "preservative-unnamed",
    group: Preservation,
    level: Error,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if !holds_water(formula) || formula.is_premix() {
        return;
    }
    let all = case.preservatives();
    let open = |at: usize| {
        formula.items.get(at).is_some_and(|item| {
            item.is_ambiguous() || matches!(item.written, Written::Missing | Written::Fuzzy)
        })
    };
    // A named one with its amount, or a premix that brings one: the open line is then no more than a vague line.
    if all.iter().any(|one| one.main && !open(one.item) && !one.inside) {
        return;
    }
    for one in all.iter().filter(|one| one.main && !one.in_premix && open(one.item)) {
        let Some(item) = formula.items.get(one.item) else { continue };
        let (message, help) = if item.is_ambiguous() {
            (
                format!("“{}” names no preservative", item.name),
                "Name it, with its dose and the pH that it needs. Different preservatives are not exchanged \
                 one for one.",
            )
        } else {
            (
                format!("{} is to preserve this, and its amount is not said", item.name),
                "Give it a percent within the dose that its supplier names; weigh it, do not drip it.",
            )
        };
        let _ = out.add(item.name_span, message).help(help).subject(item.key()).lines([item.span]);
    }
}

/// Watery as far as amounts are known, or a watery line whose amount is not.
fn holds_water(formula: &Formula) -> bool {
    is_watery(formula)
        || formula.items.iter().any(|item| item.share.is_none() && item.is_watery(&Exact::fraction(1, 2)))
}
