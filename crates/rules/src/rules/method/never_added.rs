use crate::card::rule;
use crate::case::Case;
use crate::changes::step_that_adds;
use crate::findings::Findings;
use crate::method::left_out;

rule! {
    /// No step of the method adds a line.
    ///
    /// ## Why
    /// Whoever follows the steps leaves it out: the preservative, the scent, the acid that sets the pH.
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
    /// step fill
    /// ```
    /// Without phases too:
    /// ```formula
    /// formula Plain gel
    /// product gel, face
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///         1     %     hydroxyethylcellulose
    ///         3     %     glycerin
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// step stir the hydroxyethylcellulose into the water; rest 1 h
    /// step add the preservative
    /// step fill
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
    ///         0.1   %     lavender oil; optional
    /// phase D
    ///         q.s.        lactic acid; to pH 5.3
    /// step heat A and B to 75 °C
    /// step add B to A; homogenise 3 min
    /// step below 40 °C stir in the preservative
    /// step adjust the pH
    /// ```
    /// Without steps nothing is missing:
    /// ```formula
    /// formula Winter balm
    /// product balm, body
    ///    60     %     shea butter
    ///    25     %     jojoba oil
    ///    15     %     beeswax
    /// ```
    /// A method without its last step may still be in the writing; what lies after all that it names is a hint.
    /// ## Fix
    /// Writes a step that adds it: behind the last step about its phase, or for what goes in cool before the batch is
    /// filled. Where it goes in is a matter of judgement.
    name: "never-added",
    group: Method,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    for (at, level) in left_out(case.formula).lines {
        let Some(item) = case.formula.items.get(at) else { continue };
        let mut adding = out
            .add(item.name_span, format!("no step adds {}", item.name))
            .level(level)
            .help(format!("Say when it goes in: `step add {}; …`, or take the line out.", item.name))
            .subject(item.key())
            .lines([item.span]);
        // A phase of one line goes by its label.
        let alone = item.phase.filter(|at| case.formula.items_of(*at).count() == 1);
        let what = alone.and_then(|at| case.formula.phases.get(at)).map_or(&item.name, |phase| &phase.label);
        if let Some(edits) = step_that_adds(case, item.phase, what) {
            adding = adding.judgement_fix(format!("Add a step that adds {}", item.name), edits);
        }
        let _ = adding;
    }
}
