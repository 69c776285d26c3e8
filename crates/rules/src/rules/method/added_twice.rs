use crate::card::rule;
use crate::case::Case;
use crate::changes::act_taken_out;
use crate::findings::Findings;
use crate::method::{brought, labels_in};
use formula::Formula;
use formula::method::Act;
use notation::{Span, fold};

rule! {
    /// Two steps add the same thing.
    ///
    /// ## Why
    /// Whoever follows the steps weighs it twice, or wonders which of the two is meant.
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
    /// step heat A and B to 75 °C
    /// step add B to A; homogenise 3 min
    /// step cool below 40 °C
    /// step add C; stir 2 min
    /// step add C
    /// step fill
    /// ```
    /// ## Quiet
    /// Halves and portions, and what is weighed out first, are added once:
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
    ///         0.2   %     lavender oil
    /// step add B to a beaker; heat A and B to 75 °C
    /// step add half of B to A; homogenise 3 min
    /// step add the rest of B to A; homogenise 3 min
    /// step cool below 40 °C
    /// step add C; stir in lavender oil last
    /// step fill
    /// ```
    /// ## Fix
    /// Takes the second one out. A matter of judgement: if half was meant each time, say so.
    name: "added-twice",
    group: Method,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

/// What an act adds: a phase, or a line.
#[derive(Clone, PartialEq, Eq)]
enum Added {
    Phase(usize),
    Line(usize),
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    let mut before: Vec<(Added, Span)> = Vec::new();
    for (number, act) in
        formula.steps.iter().enumerate().flat_map(|(at, step)| step.acts.iter().map(move |act| (at, act)))
    {
        for added in added(case, act) {
            let Some((_, first)) = before.iter().find(|(other, _)| *other == added) else {
                before.push((added, act.span));
                continue;
            };
            let name = match &added {
                Added::Phase(at) => formula.phases.get(*at).map(|phase| format!("phase {}", phase.label)),
                Added::Line(at) => formula.items.get(*at).map(|item| item.name.clone()),
            };
            let Some(name) = name else { continue };
            let mut adding = out
                .add(act.span, format!("{name} is added again here"))
                .help("Take one of the two out; if each takes a part, say how much: `step add half of …`.")
                .related(*first, "it is added here already")
                .subject(fold(&name));
            if let Some(step) = formula.steps.get(number)
                && labels_in(formula, act, case.at(act.span)).len() < 2
            {
                let edits = act_taken_out(&case.block.text, step, act.span);
                adding = adding.judgement_fix("Take the second one out", edits);
            }
            let _ = adding;
        }
    }
}

fn added(case: &Case<'_>, act: &Act) -> Vec<Added> {
    let Some(what) = brought(case.at(act.span), act) else { return Vec::new() };
    let phases = labels_in(case.formula, act, what);
    if phases.is_empty() {
        return line(case.formula, act, what).map(Added::Line).into_iter().collect();
    }
    phases.into_iter().map(Added::Phase).collect()
}

/// The one line whose whole name is added, with no word of where it goes: there it is not mixed with anything first.
fn line(formula: &Formula, act: &Act, what: &str) -> Option<usize> {
    let name = fold(what.strip_prefix("the ").unwrap_or(what));
    let item = formula.items.iter().position(|item| fold(&item.name) == name)?;
    let watery = formula.items.get(item)?.material.as_ref().and_then(|m| m.water_share());
    let alike = formula.items.iter().filter(|other| fold(&other.name) == name).count();
    (act.into.is_empty() && alike == 1 && watery.is_none_or(|water| water.is_zero())).then_some(item)
}
