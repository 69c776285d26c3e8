use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use formula::method::Said;
use formula::{Exact, Formula, Phase};
use notation::Span;

rule! {
    /// A phase and a step state different temperatures for the same thing.
    ///
    /// ## Why
    /// Whoever makes the batch follows one of the two, and nobody knows which one the trial was made with.
    /// ## Fires
    /// ```formula
    /// formula Oat lotion
    /// product lotion, body
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        15     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// step heat A to 75 °C
    /// step heat B to 95 °C
    /// step add B to A; homogenise 3 min
    /// step cool below 40 °C; add C
    /// ```
    /// ## Quiet
    /// A few degrees are no contradiction, and a phase may be warmed before it is heated:
    /// ```formula
    /// formula Oat lotion
    /// product lotion, body
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    ///         0.3   %     allantoin
    /// phase B oil; heat to 75 °C
    ///        15     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// step warm A to 50 °C; stir until clear
    /// step heat A and B to 72 °C
    /// step add B to A; homogenise 3 min
    /// step cool below 40 °C; add C
    /// ```
    /// ## Fix
    /// Writes the phase's temperature in the step, or the step's in the phase. A matter of judgement: only one of them is
    /// what was made.
    /// ## Sources
    /// - differences of up to 5 °C are left alone: common practice asks for no closer control of a water bath
    name: "temperature-contradiction",
    group: Heat,
    level: Warning,
    since: "0.2.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    for (number, phase) in formula.phases.iter().enumerate() {
        if phase.heat.is_some() && phase.cool.is_some() {
            continue;
        }
        let of_phase = || formula.timeline.said.iter().filter(|said| said.phase == number);
        let near = |said: &Said, celsius: &Exact| (&said.celsius - celsius).abs() <= Exact::whole(5);
        // What it is heated to in the end counts; on the way it may be cooler.
        let Some(said) = of_phase().max_by(|a, b| a.celsius.cmp(&b.celsius)) else { continue };
        let (message, written) = match (&phase.heat, &phase.cool) {
            (Some((heat, at)), _) if !of_phase().any(|said| near(said, heat)) => {
                (format!("phase {} says {heat} °C", phase.label), Some(*at))
            }
            (None, Some((cool, at))) if said.celsius > cool + &Exact::whole(5) => {
                (format!("phase {} says {cool} °C", phase.label), Some(*at))
            }
            (None, None) if phase.cold && said.celsius > Exact::whole(45) => {
                (format!("phase {} is made cold", phase.label), None)
            }
            _ => continue,
        };
        let mut adding = out
            .add(said.span, format!("{message}, and this step heats it to {} °C", said.celsius))
            .help("Say the same temperature in both places: the one that the batch was made with.")
            .subject(phase.label.clone())
            .related(written.unwrap_or(phase.span), "the phase says it here")
            .lines(decided_by_it(formula, number, phase, &said.celsius));
        if let Some(written) = written {
            let own = figure(case.at(written));
            let steps = case.at(said.span);
            adding = adding
                .replace(format!("Write {own} in the step"), said.span, own)
                .replace(format!("Heat phase {} to {steps}", phase.label), written, format!("heat to {steps}"));
        }
        let _ = adding;
    }
}

/// `75 °C` of `heat to 75 °C`; a room has 25 °C at most.
fn figure(clause: &str) -> &str {
    clause.find(|c: char| c.is_ascii_digit()).and_then(|at| clause.get(at..)).map_or("25 °C", str::trim_end)
}

/// Lines that bear the one temperature and not the other: what is said of their heat hangs on this.
fn decided_by_it(formula: &Formula, number: usize, phase: &Phase, step: &Exact) -> Vec<Span> {
    let room = Exact::whole(25);
    let own = phase.heat.as_ref().or(phase.cool.as_ref()).map_or(&room, |(celsius, _)| celsius);
    let (low, high) = if own < step { (own, step) } else { (step, own) };
    formula
        .items_of(number)
        .filter(|(_, item)| crate::heat::bears(item).is_some_and(|bears| low <= bears.1 && bears.1 < high))
        .map(|(_, item)| item.span)
        .collect()
}
