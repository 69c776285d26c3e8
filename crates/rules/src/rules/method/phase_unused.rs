use crate::card::rule;
use crate::case::Case;
use crate::changes::step_that_adds;
use crate::findings::Findings;
use crate::method::left_out;
use crate::words;
use notation::Span;

rule! {
    /// No step uses a phase.
    ///
    /// ## Why
    /// Whoever follows the steps leaves all of it out.
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
    ///         0.2   %     lavender oil
    /// step heat A and B to 75 °C
    /// step add B to A; homogenise 3 min
    /// step fill
    /// ```
    /// ## Quiet
    /// A phase may be used by its kind, by its heading, or by what stands in it:
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
    /// step heat the water and the oil phase to 75 °C
    /// step add the oils to the water; homogenise 3 min
    /// step below 40 °C stir in the preservative and the scent
    /// step fill
    /// ```
    /// ## Fix
    /// Writes a step that adds the phase: behind the last step about it, or for a cool-down phase before the batch is
    /// filled. Where it goes in is a matter of judgement.
    name: "phase-unused",
    group: Method,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    for (number, lines, level) in left_out(formula).phases {
        let Some(phase) = formula.phases.get(number) else { continue };
        let items = || lines.iter().filter_map(|at| formula.items.get(*at));
        let names: Vec<String> = items().map(|item| item.name.clone()).collect();
        let spans: Vec<Span> = items().map(|item| item.span).collect();
        let mut adding = out
            .add(phase.span, format!("no step adds phase {}, with {}", phase.label, words::list(&names)))
            .level(level)
            .help(format!("Say when it goes in: `step add {}; …`.", phase.label))
            .subject(phase.label.clone())
            .lines(spans);
        if let Some(edits) = step_that_adds(case, Some(number), &phase.label) {
            adding = adding.judgement_fix(format!("Add a step that adds phase {}", phase.label), edits);
        }
        let _ = adding;
    }
}
