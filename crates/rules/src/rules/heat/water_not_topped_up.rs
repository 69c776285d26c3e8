use crate::card::rule;
use crate::case::Case;
use crate::changes::{line_above, line_below};
use crate::findings::Findings;
use formula::method::{Act, Thermal, acts};
use formula::{Exact, Formula, reckon};
use notation::{Span, fold};

rule! {
    /// Water is kept hot for long, and no step makes up for what evaporates.
    ///
    /// ## Why
    /// What is lost in steam makes everything else stronger: the preservative, the acid, the salt. Weigh before and
    /// after, and add the difference as hot water; or keep a lid on.
    /// ## Fires
    /// ```formula
    /// formula Held lotion
    /// product lotion, body
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        16     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// step heat A and B to 75 °C; hold 20 min
    /// step add B to A; homogenise 3 min
    /// step cool below 40 °C; stir slowly
    /// step add C; stir 2 min
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Held lotion
    /// product lotion, body
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        16     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// step heat A and B to 75 °C; hold 20 min
    /// step add B to A; homogenise 3 min
    /// step cool below 40 °C; stir slowly; top up the water that was lost
    /// step add C; stir 2 min
    /// ```
    /// Under a lid nothing is lost, and oils lose nothing:
    /// ```formula
    /// formula Held lotion
    /// product lotion, body
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        16     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// step heat A to 75 °C with the lid on; hold 20 min
    /// step heat B to 75 °C; hold 20 min
    /// step add B to A; homogenise 3 min
    /// step cool below 40 °C; add C; stir 2 min
    /// ```
    /// ## Fix
    /// Adds the step `top up the water that was lost` before the batch is cooled. It makes the batch what the sheet
    /// says.
    /// ## Sources
    /// - evaporation from an open beaker: two published formulas, which the help names with what they give
    name: "water-not-topped-up",
    group: Heat,
    level: Hint,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

/// Shorter than this nobody tops up.
const LONG: i64 = 10;

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if formula.steps.is_empty() || formula.water.share.mid < Exact::fraction(1, 5) || is_made_up(formula) {
        return;
    }
    let Some((span, minutes, celsius)) = longest(formula) else { return };
    let (low, high) = reckon::evaporation(&celsius, &minutes);
    let adding = out
        .add(span, format!("water is kept at {celsius} °C for {minutes} min, and no step tops it up"))
        .help(format!(
            "Weigh before and after and add the difference: an open beaker 8 cm wide loses about {low} to \
             {high} g."
        ))
        .source(
            "two published formulas for evaporation, of open pools and of hot tanks (Kirman), a factor of \
             1.5 apart",
        );
    let step = "step top up the water that was lost";
    let text: &str = &case.block.text;
    let cools = formula.steps.iter().find(|step| {
        step.span.start > span.start && step.acts.iter().any(|act| act.thermal == Thermal::Cools)
    });
    let edits = match (cools, formula.steps.last()) {
        (Some(cools), _) => line_above(text, cools.span, step),
        (None, Some(last)) if !last.ends() => line_below(text, last.span, step),
        (None, Some(last)) => line_above(text, last.span, step),
        (None, None) => return,
    };
    let _ = adding.judgement_fix("Add a step that tops up the water", edits);
}

/// Whether a step makes up for what is lost, or keeps it in.
fn is_made_up(formula: &Formula) -> bool {
    const MADE_UP: &[&str] = &[
        "top up",
        "topped up",
        "top it up",
        "evaporat",
        "lost",
        "loss",
        "make up",
        "made up",
        "back to weight",
        "weigh again",
        "reweigh",
        "re-weigh",
        "more water",
        "lid",
        "cover",
        "foil",
        "film",
        "closed",
        "sealed",
        "steam",
    ];
    formula.steps.iter().any(|step| {
        let said = fold(&step.text);
        MADE_UP.iter().any(|words| said.contains(words))
    })
}

/// The longest time that a watery phase is kept hot: where, minutes, °C.
fn longest(formula: &Formula) -> Option<(Span, Exact, Exact)> {
    let by_phases = formula.phases.iter().enumerate().filter_map(|(number, phase)| {
        let ((minutes, span), (celsius, _)) = (phase.hold.clone()?, phase.heat.clone()?);
        is_watery(formula, formula.items_of(number).map(|(at, _)| at)).then_some((span, minutes, celsius))
    });
    let said =
        formula.phases.iter().filter_map(|phase| phase.heat.as_ref()).map(|(celsius, _)| celsius.clone());
    let mut celsius = said.max();
    let mut watery = true;
    let mut by_steps = Vec::new();
    for act in acts(formula) {
        if !act.named.is_empty() {
            watery = is_watery(formula, named(formula, act));
        }
        match (act.thermal, &act.celsius) {
            (Thermal::Cools, _) => celsius = None,
            (_, Some((said, _))) => celsius = Some(said.clone()),
            _ => {}
        }
        let hot = matches!(act.thermal, Thermal::Heats | Thermal::Holds);
        if let (true, true, Some(minutes), Some(celsius)) = (hot, watery, &act.minutes, &celsius) {
            by_steps.push((act.span, minutes.clone(), celsius.clone()));
        }
    }
    by_phases
        .chain(by_steps)
        .filter(|(_, minutes, celsius)| *minutes >= Exact::whole(LONG) && *celsius >= Exact::whole(60))
        .max_by(|a, b| a.1.cmp(&b.1))
}

fn named(formula: &Formula, act: &Act) -> Vec<usize> {
    let of_phases = act.named.phases.iter().flat_map(|phase| formula.items_of(*phase).map(|(at, _)| at));
    act.named.items.iter().copied().chain(of_phases).collect()
}

fn is_watery(formula: &Formula, lines: impl IntoIterator<Item = usize>) -> bool {
    lines
        .into_iter()
        .filter_map(|at| formula.items.get(at))
        .any(|item| item.is_watery(&Exact::fraction(1, 2)))
}
