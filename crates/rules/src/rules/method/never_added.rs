use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::{Level, words};
use formula::Item;
use formula::method::Step;
use notation::Span;

rule! {
    /// A line that no step of the method adds.
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
    /// None: where it goes in has to be decided.
    name: "never-added",
    group: Method,
    level: Warning,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    // Steps that name nothing describe no method.
    let speaks =
        formula.steps.iter().any(|step| step.everything || !step.items.is_empty() || !step.phases.is_empty());
    if !speaks || formula.steps.iter().any(|step| step.everything) {
        return;
    }
    let added = |at: usize, item: &Item| {
        item.optional
            || formula.steps.iter().any(|step| {
                step.items.contains(&at) || item.phase.is_some_and(|phase| step.phases.contains(&phase))
            })
    };
    // A method without its last step may still be in the writing: what lies after all that it names is yet to come.
    let reached = (0..formula.items.len()).rev().find(|at| {
        formula.items.get(*at).is_some_and(|item| !item.optional && added(*at, item))
    });
    let ended = formula.steps.iter().any(Step::ends);
    let level = |at: usize| {
        if ended || reached.is_some_and(|reached| at < reached) { Level::Warning } else { Level::Hint }
    };
    let missing: Vec<(usize, &Item)> =
        formula.items.iter().enumerate().filter(|(at, item)| !added(*at, item)).collect();
    for (number, phase) in formula.phases.iter().enumerate() {
        let here: Vec<(usize, &Item)> =
            missing.iter().filter(|(_, item)| item.phase == Some(number)).copied().collect();
        let all = formula.items_of(number).filter(|(_, item)| !item.optional).count();
        if here.len() > 1 && here.len() == all {
            let names: Vec<String> = here.iter().map(|(_, item)| item.name.clone()).collect();
            let spans: Vec<Span> = here.iter().map(|(_, item)| item.span).collect();
            let first = here.first().map_or(0, |(at, _)| *at);
            let _ = out
                .add(phase.span, format!("no step adds phase {}, with {}", phase.label, words::list(&names)))
                .level(level(first))
                .help(format!("Say when it goes in: `step add {}; …`.", phase.label))
                .subject(phase.label.clone())
                .lines(spans);
        } else {
            for (at, item) in here {
                tell(item, level(at), out);
            }
        }
    }
    for (at, item) in missing.iter().filter(|(_, item)| item.phase.is_none()) {
        tell(item, level(*at), out);
    }
}

fn tell(item: &Item, level: Level, out: &mut Findings<'_>) {
    let _ = out
        .add(item.name_span, format!("no step adds {}", item.name))
        .level(level)
        .help(format!("Say when it goes in: `step add {}; …`, or take the line out.", item.name))
        .subject(item.key())
        .lines([item.span]);
}
