use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;

rule! {
    /// A step adds something that no line lists.
    ///
    /// ## Why
    /// It has no amount, stands in no total, and is missing on the label and in every check.
    /// ## Fires
    /// ```formula
    /// formula Plain lotion
    /// product lotion, body
    /// pH 5.0 to 5.5
    /// phase A water
    ///   to  100     %     purified water
    /// phase B oil
    ///        15     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// step heat A and B to 75 °C
    /// step add B to A; homogenise 3 min
    /// step add C; stir in lavender oil
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Plain lotion
    /// product lotion, body
    /// pH 5.0 to 5.5
    /// phase A water
    ///   to  100     %     purified water
    /// phase B oil
    ///        15     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    ///         0.2   %     lavender oil
    /// step heat A and B to 75 °C in a water bath
    /// step add B to A; homogenise 3 min; add water for what was lost
    /// step add C; stir in lavender oil
    /// ```
    /// ## Fix
    /// None: list it, with its amount, or take it out of the step.
    name: "added-not-listed",
    group: Method,
    level: Warning,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    // A premix that is not there may hold it.
    if case.formula.items.iter().any(|item| item.premix_missing) {
        return;
    }
    for (name, span) in case.formula.steps.iter().flat_map(|step| &step.unlisted) {
        let _ = out
            .add(*span, format!("{name} is added here, and no line lists it"))
            .help("List it with its amount, so that it counts in the total, or take it out of the step.")
            .subject(notation::fold(name));
    }
}
