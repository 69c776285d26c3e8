use crate::card::rule;
use crate::case::Case;
use crate::changes::only_act;
use crate::findings::Findings;
use crate::method::{brought, labels_in};
use notation::{Edit, Edits, Span};

rule! {
    /// The steps add the phases in another order than they are written in.
    ///
    /// ## Why
    /// A cool-down phase that goes in before the phases above it has either the wrong letter or the wrong place in
    /// the method; who reads the sheet from top to bottom weighs in another order.
    /// ## Fires
    /// ```formula
    /// formula Plain lotion
    /// product lotion, body
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        15     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// phase D cool-down; below 40 °C
    ///         0.2   %     lavender oil
    /// step heat A and B to 75 °C
    /// step add B to A; homogenise 3 min
    /// step cool below 40 °C
    /// step add D
    /// step add C
    /// step fill
    /// ```
    /// ## Quiet
    /// Which of the hot phases goes into the other is the maker's choice:
    /// ```formula
    /// formula Plain lotion
    /// product lotion, body
    /// pH 5.0 to 5.5
    /// phase A oil; heat to 75 °C
    ///        15     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    /// phase B water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// phase D cool-down; below 40 °C
    ///         0.2   %     lavender oil
    /// step heat A and B to 75 °C
    /// step add A to B; homogenise 3 min
    /// step cool below 40 °C
    /// step add D and C
    /// step fill
    /// ```
    /// ## Fix
    /// Changes the two steps over, where each does nothing but add. A matter of judgement.
    name: "step-order",
    group: Method,
    level: Hint,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    let mut before: Vec<(usize, Span, usize)> = Vec::new();
    for (number, step) in formula.steps.iter().enumerate() {
        for act in &step.acts {
            let Some(what) = brought(case.at(act.span), act) else { continue };
            let phases = labels_in(formula, act, what);
            for at in &phases {
                let Some(phase) = formula.phases.get(*at) else { continue };
                let later = before.iter().find(|(other, span, _)| {
                    other > at
                        && *span != act.span
                        && formula.phases.get(*other).is_some_and(formula::Phase::is_kept_cool)
                });
                let Some((other, span, first)) = later else { continue };
                let Some(early) = formula.phases.get(*other) else { continue };
                let mut adding = out
                    .add(act.span, format!("phase {} goes in after phase {}", phase.label, early.label))
                    .help("Write the phases in the order in which they go in, or change the steps over.")
                    .related(*span, format!("phase {} goes in here", early.label))
                    .subject(phase.label.clone());
                let one = formula.steps.get(*first).filter(|step| only_act(step, *span));
                if let Some(one) = one.filter(|_| only_act(step, act.span) && *first != number)
                    && let Ok(edits) = Edits::new(vec![
                        Edit { span: one.span, text: step.text.clone() },
                        Edit { span: step.span, text: one.text.clone() },
                    ])
                {
                    adding = adding.judgement_fix("Change the two steps over", edits);
                }
                let _ = adding;
            }
            before.extend(phases.into_iter().map(|at| (at, act.span, number)));
        }
    }
}
