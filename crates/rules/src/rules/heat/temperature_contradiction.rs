use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::words;
use formula::method::Said;
use formula::{Exact, Formula, Phase};
use notation::{Edit, Edits, Span};

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
    /// Writes the phase's temperature in the step, or the step's in the phase. A matter of judgement: only one of
    /// them is what was made.
    /// ## Sources
    /// - differences of up to 5 °C are left alone: common practice asks for no closer control of a water bath
    name: "temperature-contradiction",
    group: Heat,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let mut told: Vec<Span> = Vec::new();
    let all: Vec<Contradiction<'_>> = contradictions(case.formula);
    for first in &all {
        // One step that heats two phases is told once.
        if told.contains(&first.said.span) {
            continue;
        }
        told.push(first.said.span);
        let alike: Vec<&Contradiction<'_>> = all
            .iter()
            .filter(|other| other.said.span == first.said.span && other.says == first.says)
            .collect();
        let labels: Vec<String> = alike.iter().map(|one| one.phase.label.clone()).collect();
        let (noun, says) = match labels.len() {
            1 => ("phase", first.says.clone()),
            _ => ("phases", first.says.replacen("says", "say", 1).replacen("is made", "are made", 1)),
        };
        let it = if labels.len() == 1 { "it" } else { "them" };
        let labels = words::list(&labels);
        let celsius = &first.said.celsius;
        let mut adding = out
            .add(first.said.span, format!("{noun} {labels} {says}, and this step heats {it} to {celsius} °C"))
            .help("Say the same temperature in both places: the one that the batch was made with.")
            .subject(labels.clone());
        for one in &alike {
            let place = one.written.unwrap_or(one.phase.span);
            adding = adding.related(place, "the phase says it here").lines(decided_by_it(
                case.formula,
                one.said.phase,
                one.phase,
                celsius,
            ));
        }
        if let Some(written) = first.written {
            let own = figure(case.at(written));
            let steps = case.at(first.said.span);
            adding = adding.replace(format!("Write {own} in the step"), first.said.span, own);
            let edits = alike.iter().filter_map(|one| one.written);
            let edits = edits.map(|span| Edit { span, text: format!("heat to {steps}") }).collect();
            if let Ok(edits) = Edits::new(edits) {
                adding = adding.judgement_fix(format!("Heat {noun} {labels} to {steps}"), edits);
            }
        }
        let _ = adding;
    }
}

struct Contradiction<'a> {
    phase: &'a Phase,
    /// What the phase says, in words.
    says: String,
    /// Where; none where it is only said to be made cold.
    written: Option<Span>,
    said: &'a Said,
}

fn contradictions(formula: &Formula) -> Vec<Contradiction<'_>> {
    let near = |said: &Said, celsius: &Exact| (&said.celsius - celsius).abs() <= Exact::whole(5);
    let mut found = Vec::new();
    for (number, phase) in formula.phases.iter().enumerate() {
        let of_phase = || formula.timeline.said.iter().filter(|said| said.phase == number);
        // What it is heated to in the end counts; on the way it may be cooler.
        let Some(said) = of_phase().max_by(|a, b| a.celsius.cmp(&b.celsius)) else { continue };
        let (says, written) = match (&phase.heat, &phase.cool) {
            // One that is heated and then cooled says two things.
            (Some(_), Some(_)) => continue,
            (Some((heat, at)), None) if !of_phase().any(|said| near(said, heat)) => {
                (format!("says {heat} °C"), Some(*at))
            }
            (None, Some((cool, at))) if said.celsius > cool + &Exact::whole(5) => {
                (format!("says {cool} °C"), Some(*at))
            }
            (None, None) if phase.cold && said.celsius > Exact::whole(45) => {
                ("is made cold".to_owned(), None)
            }
            _ => continue,
        };
        found.push(Contradiction { phase, says, written, said });
    }
    found
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
