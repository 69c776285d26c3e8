use crate::card::rule;
use crate::case::Case;
use crate::changes::offer_move;
use crate::findings::Findings;
use crate::heat::{melting_bath, must_melt};
use formula::method::{Reach, Thermal, acts};
use formula::{Exact, Item};
use notation::{Edit, Edits, PhaseKind};

rule! {
    /// Something solid never meets the heat that melts it.
    ///
    /// ## Why
    /// A wax or a fatty alcohol that does not melt stays behind as grains, and what it should thicken or hold
    /// together stays thin.
    /// ## Fires
    /// ```formula
    /// formula Beeswax cream
    /// product cream, hands
    /// pH 5.0 to 5.5
    /// phase A water; heat to 55 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 55 °C
    ///        16     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    ///         3     %     beeswax
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Beeswax cream
    /// product cream, hands
    /// pH 5.0 to 5.5
    /// phase A water; heat to 70 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 70 °C
    ///        16     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    ///         3     %     beeswax
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    ///         2     %     kaolin
    /// ```
    /// What is melted before, or by eye, is melted:
    /// ```formula
    /// formula Winter balm
    /// product balm, body
    /// phase A oil
    ///        20     %     beeswax
    ///        30     %     shea butter
    /// phase B; room temperature
    ///        50     %     jojoba oil
    /// step melt A until clear
    /// step stir B into A; warm until all is clear again; pour
    /// ```
    /// ## Fix
    /// Heats the phases and steps as high as it takes: 5 °C above the melting range. Out of a cool-down phase the
    /// line moves to the hot oil phase. A matter of judgement.
    /// ## Sources
    /// - the `melts` line of the ingredient; the finding names where it comes from and is no louder than that allows
    /// - up to 3 °C below the range are left alone: the oils beside it dissolve it (common practice)
    name: "not-melted",
    group: Heat,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    for (item, reach) in formula.items.iter().zip(&formula.timeline.reach) {
        let (Reach::AtMost(most, said), Some(figure)) = (reach, must_melt(formula, item)) else { continue };
        let Some(low) = &figure.value.low else { continue };
        if most + &Exact::whole(3) >= *low {
            continue;
        }
        let mut adding = out
            .add(
                item.name_span,
                format!("{} melts at {} °C and meets no more than {most} °C", item.name, figure.value.text()),
            )
            .founded_on(&figure.source)
            .related(*said, format!("{most} °C is said here"))
            .subject(item.key());
        let high = figure.value.high.as_ref().unwrap_or(low);
        let hot_oils = formula.phases.iter().enumerate().find(|(at, phase)| {
            Some(*at) != item.phase
                && phase.kind == Some(PhaseKind::Oil)
                && phase.heat.as_ref().is_some_and(|(heat, _)| heat >= high)
        });
        adding = match (hot_oils, melting_bath(&[figure])) {
            (Some((to, phase)), _) => {
                let adding = adding.help(format!("Melt it with the oils, in phase {}.", phase.label));
                offer_move(case, item, to, adding)
            }
            (None, Some(bath)) => {
                let adding = adding.help(format!(
                    "Heat what it stands in to {bath} °C, or take something that melts lower."
                ));
                match hotter(case, item, &bath) {
                    Some(edits) => adding.judgement_fix(format!("Heat to {bath} °C"), edits),
                    None => adding,
                }
            }
            (None, None) => adding.help("Heat it until it has melted, or take something that melts lower."),
        };
        let _ = adding;
    }
}

/// Writes a higher temperature wherever phases and steps heat to less. None for a line that its phase keeps cool.
fn hotter(case: &Case<'_>, item: &Item, bath: &Exact) -> Option<Edits> {
    let formula = case.formula;
    let phase = item.phase.and_then(|at| formula.phases.get(at));
    if phase.is_some_and(|phase| phase.heat.is_none() && phase.is_kept_cool()) || *bath > Exact::whole(90) {
        return None;
    }
    let lower = |(celsius, _): &&(Exact, notation::Span)| celsius < bath;
    let by_phases = formula.phases.iter().filter_map(|phase| phase.heat.as_ref()).filter(lower);
    let by_steps = acts(formula).filter(|act| act.thermal == Thermal::Heats);
    let by_steps = by_steps.filter_map(|act| act.celsius.as_ref()).filter(lower);
    let edits: Vec<Edit> = by_phases
        .map(|(_, span)| Edit { span: *span, text: format!("heat to {bath} °C") })
        .chain(by_steps.map(|(_, span)| Edit { span: *span, text: format!("{bath} °C") }))
        .collect();
    (!edits.is_empty()).then(|| Edits::new(edits).ok())?
}
