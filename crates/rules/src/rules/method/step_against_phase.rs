use super::step_too_hot::cooled_first;
use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use formula::Exact;
use notation::{PhaseKind, Span};

rule! {
    /// A step adds a cool-down phase while the batch is hot.
    ///
    /// ## Why
    /// The phase says how cool the batch has to be, and the method does not wait for it. What stands there is there
    /// because heat spoils or drives it off.
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
    /// step cool to 65 °C; add C
    /// ```
    /// ## Quiet
    /// A few degrees do no harm, and who says nothing of cooling leaves it to the phase:
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
    /// phase D cool-down; room temperature
    ///         0.2   %     lavender oil
    /// step heat A and B to 75 °C
    /// step add B to A; homogenise 3 min
    /// step stir until it thickens; at 43 °C add C
    /// step add D
    /// ```
    /// ## Fix
    /// Writes the phase's temperature where the batch is cooled. A matter of judgement.
    /// ## Sources
    /// - the phase's own line; a cool-down phase without a figure: above 50 °C, since scent goes in at 45 to 50 °C
    ///   (Journal of the Society of Cosmetic Chemists 1 (5), 1949, p. 364)
    name: "step-against-phase",
    group: Method,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    let mut told: Vec<(usize, Span)> = Vec::new();
    for late in &formula.timeline.late {
        let Some((number, phase)) = formula
            .items
            .get(late.item)
            .and_then(|item| item.phase)
            .and_then(|at| Some((at, formula.phases.get(at)?)))
        else {
            continue;
        };
        // A phase that the bench holds against its own line is told once for each act.
        if !phase.is_kept_cool() || told.contains(&(number, late.act)) {
            continue;
        }
        told.push((number, late.act));
        // What is stirred at room temperature first may be heated with the rest.
        let goes_in = matches!(
            phase.kind,
            None | Some(PhaseKind::CoolDown | PhaseKind::Fragrance | PhaseKind::Active | PhaseKind::Other)
        );
        if late.again && !goes_in {
            continue;
        }
        let usual = Exact::whole(50);
        let most = phase.cool.as_ref().map_or(&usual, |(celsius, _)| celsius);
        // Scent in what sets early is poured in hot.
        let only_scent = formula.items_of(number).all(|(_, item)| {
            item.does("essential oil") || item.does("fragrance") || item.does("antioxidant")
        });
        let bar = if formula.is_water_free() && only_scent { Exact::whole(65) } else { Exact::whole(45) };
        if late.celsius <= most + &Exact::whole(5) || late.celsius <= bar {
            continue;
        }
        let (what, kept) = match &phase.cool {
            Some((celsius, at)) => (format!("and its line says {celsius} °C"), Some(*at)),
            None if phase.cold => ("and it is made cold".to_owned(), None),
            None => ("and it is a cool-down phase".to_owned(), None),
        };
        let done = if late.again { "is heated to" } else { "goes in at" };
        let mut adding = out
            .add(late.act, format!("phase {} {done} {} °C here, {what}", phase.label, late.celsius))
            .help(format!("Let the batch cool to {most} °C before phase {} goes in.", phase.label))
            .subject(phase.label.clone())
            .related(kept.unwrap_or(phase.span), "the phase says it here");
        if let Some(edits) = cooled_first(case, late, most) {
            adding = adding.judgement_fix(format!("Cool to {most} °C first"), edits);
        }
        let _ = adding;
    }
}
