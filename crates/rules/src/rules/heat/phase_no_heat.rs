use crate::card::rule;
use crate::case::Case;
use crate::changes::phase_clause;
use crate::findings::Findings;
use crate::heat::{melting_bath, must_melt};
use crate::words;
use formula::method::{Thermal, acts, heats};
use formula::{Exact, Formula, Item, Phase};
use notation::{Edit, Edits, PhaseKind};

rule! {
    /// There are solids to melt, and no temperature is said anywhere.
    ///
    /// ## Why
    /// Too cool, and the wax stays in grains; too hot, and water and scent are lost. Without a figure no batch is
    /// made like the one before.
    /// ## Fires
    /// ```formula
    /// formula Cetyl cream
    /// product cream, hands
    /// pH 5.0 to 5.5
    /// phase A water
    ///   to  100     %     purified water
    /// phase B oil
    ///        16     %     jojoba oil
    ///         6     %     cetearyl alcohol (and) ceteareth-20
    ///         3     %     cetyl alcohol
    /// phase C cool-down
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// step heat A and B
    /// step add B to A; homogenise 3 min
    /// step cool; add C
    /// ```
    /// ## Quiet
    /// One figure anywhere is enough to follow:
    /// ```formula
    /// formula Cetyl cream
    /// product cream, hands
    /// pH 5.0 to 5.5
    /// phase A water
    ///   to  100     %     purified water
    /// phase B oil
    ///        16     %     jojoba oil
    ///         6     %     cetearyl alcohol (and) ceteareth-20
    ///         3     %     cetyl alcohol
    /// phase C cool-down
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// step heat A and B to 75 °C
    /// step add B to A; homogenise 3 min
    /// step cool; add C
    /// ```
    /// A balm is melted by eye:
    /// ```formula
    /// formula Winter balm
    /// product balm, body
    /// phase A
    ///        20     %     beeswax
    ///        80     %     jojoba oil
    /// step melt A and pour
    /// ```
    /// ## Fix
    /// Writes a temperature on the phases that hold the solids and on the water phase: 5 °C above the highest
    /// melting range, and at least 70 °C. A matter of judgement.
    /// ## Sources
    /// - the `melts` lines of the ingredients tell what has to melt
    /// - at least 70 °C for emulsions: common practice
    name: "phase-no-heat",
    group: Heat,
    level: Note,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    let figured = |phase: &Phase| phase.heat.is_some() || phase.cool.is_some() || phase.cold;
    if formula.phases.iter().any(figured) || acts(formula).any(|act| act.celsius.is_some()) {
        return;
    }
    // A bare list says nothing of how it is made; a balm or a bar is melted by eye.
    let little_water = formula.water.share.mid < Exact::fraction(1, 5);
    if formula.steps.is_empty() || (little_water && heats(formula)) {
        return;
    }
    let solids: Vec<&Item> = formula.items.iter().filter(|item| must_melt(formula, item).is_some()).collect();
    let Some(first) = solids.first() else { return };
    // Poured without a word of heat, a premix may bring it melted.
    if formula.items.iter().any(|item| item.premix.is_some() || item.premix_missing) {
        return;
    }
    let names: Vec<String> = solids.iter().map(|item| item.name.clone()).collect();
    let figures: Vec<_> = solids.iter().filter_map(|item| must_melt(formula, item)).collect();
    let verb = if names.len() == 1 { "has" } else { "have" };
    let place = first.phase.and_then(|at| formula.phases.get(at)).map_or(first.name_span, |phase| phase.span);
    let bath = melting_bath(&figures);
    let help = match &bath {
        Some(bath) => format!("Say how hot: `heat to {bath} °C` on the phase, or in the step."),
        None => "Say how hot, on the phase or in the step.".to_owned(),
    };
    let mut adding = out
        .add(place, format!("{} {verb} to melt, and no phase or step says how hot", words::list(&names)))
        .help(help)
        .lines(solids.iter().map(|item| item.span));
    if let Some(bath) = bath
        && let Some(edits) = heated(case, formula, &format!("heat to {bath} °C"))
    {
        adding = adding.judgement_fix(format!("Heat to {bath} °C"), edits);
    }
    let _ = adding;
}

/// Writes the temperature on each phase that holds solids, and on the water phases.
fn heated(case: &Case<'_>, formula: &Formula, clause: &str) -> Option<Edits> {
    // A method that does not heat at all has to be written first.
    if !acts(formula).any(|act| act.thermal == Thermal::Heats) {
        return None;
    }
    let mut edits: Vec<Edit> = Vec::new();
    for (number, phase) in formula.phases.iter().enumerate() {
        let solid = formula.items_of(number).any(|(_, item)| must_melt(formula, item).is_some());
        if solid || phase.kind == Some(PhaseKind::Water) {
            edits.extend(phase_clause(case, phase, clause)?.iter().cloned());
        }
    }
    (!edits.is_empty()).then(|| Edits::new(edits).ok())?
}
