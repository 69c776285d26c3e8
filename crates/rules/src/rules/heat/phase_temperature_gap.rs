use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::heat::must_melt;
use formula::method::Meeting;
use formula::{Exact, Formula};
use notation::{Edits, PhaseKind};

rule! {
    /// Hot oils with waxes in them meet water that is much cooler.
    ///
    /// ## Why
    /// The waxes set before the emulsifier has spread over the drops: the cream turns grainy, or parts. Both phases
    /// are brought together within a few degrees, above the melting range of the solids.
    /// ## Fires
    /// ```formula
    /// formula Cetyl lotion
    /// product lotion, body
    /// pH 5.0 to 5.5
    /// phase A water; room temperature
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        16     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    ///         2     %     cetyl alcohol
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// step heat B to 75 °C
    /// step add B to A; homogenise 3 min
    /// step cool below 40 °C; add C
    /// ```
    /// ## Quiet
    /// Phases that are combined first and then heated, and water that comes in when the emulsion stands:
    /// ```formula
    /// formula Cetyl lotion
    /// product lotion, body
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///        40     %     purified water
    /// phase A2 water; room temperature
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        16     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    ///         2     %     cetyl alcohol
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// step combine A and B; heat to 75 °C; homogenise 3 min
    /// step stir in A2
    /// step cool below 40 °C; add C
    /// ```
    /// Oils without waxes may be poured into cool water:
    /// ```formula
    /// formula Squalane gel cream
    /// product gel cream, face
    /// pH 5.5 to 6.5
    /// phase A water; room temperature
    ///   to  100     %     purified water
    /// phase B oil; heat to 45 °C
    ///         8     %     squalane
    ///         1.2   %     polyacrylate crosspolymer-6
    /// phase C cool-down; room temperature
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Fix
    /// Heats the cooler phase to the temperature of the oils. A matter of judgement: all in it has to bear that.
    /// ## Sources
    /// - within 10 °C, and above what the solids melt at: common practice; "The oil at 70, the water at 72 °C",
    ///   Journal of the Society of Cosmetic Chemists 1 (5), 1949, p. 364
    name: "phase-temperature-gap",
    group: Heat,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    for meeting in &formula.timeline.meetings {
        let Meeting { hot: (hot, hot_at, hot_span), cold: (cold, cold_at, cold_span), act } = meeting;
        let gap = hot_at - cold_at;
        let (Some(hot_phase), Some(cold_phase)) = (formula.phases.get(*hot), formula.phases.get(*cold))
        else {
            continue;
        };
        let watery = formula.items_of(*cold).any(|(_, item)| item.is_watery(&Exact::fraction(1, 2)));
        if gap <= Exact::whole(10)
            || !watery
            || cold_phase.cold
            || hot_phase.kind == Some(PhaseKind::Water)
            || !is_enough(formula, *hot, *cold)
        {
            continue;
        }
        // Only what is not yet melted at the cooler temperature sets.
        let sets = formula.items_of(*hot).map(|(_, item)| item).find(|item| {
            must_melt(formula, item)
                .and_then(|figure| figure.value.high.as_ref().or(figure.value.low.as_ref()))
                .is_some_and(|high| high > cold_at)
        });
        let Some(sets) = sets else { continue };
        let mut adding = out
            .add(
                act.unwrap_or(*cold_span),
                format!(
                    "phase {} at {hot_at} °C meets phase {} at {cold_at} °C: {} sets before it has spread",
                    hot_phase.label, cold_phase.label, sets.name
                ),
            )
            .help(format!(
                "Bring phase {} to {hot_at} °C too, within 10 °C, before they meet.",
                cold_phase.label
            ))
            .source("common practice")
            .related(*hot_span, format!("{hot_at} °C is said here"))
            .subject(cold_phase.label.clone());
        if act.is_some() {
            adding = adding.related(*cold_span, format!("{cold_at} °C is said here"));
        }
        let whole = cold_phase.heat.as_ref().or(cold_phase.cool.as_ref());
        let in_heading = whole.is_some_and(|(_, span)| span == cold_span);
        let heat = if in_heading { format!("heat to {hot_at} °C") } else { format!("{hot_at} °C") };
        let title = format!("Heat phase {} to {hot_at} °C", cold_phase.label);
        let _ = adding.judgement_fix(title, Edits::one(*cold_span, heat));
    }
}

/// Whether there is enough of the cooler phase to cool the oils much: at least half as much. Unknown amounts are not.
fn is_enough(formula: &Formula, hot: usize, cold: usize) -> bool {
    let of = |phase: usize| -> Option<Exact> {
        formula.items_of(phase).map(|(_, item)| item.mid().cloned()).sum()
    };
    match (of(hot), of(cold)) {
        (Some(hot), Some(cold)) => cold * Exact::whole(2) >= hot,
        _ => false,
    }
}
