use crate::card::rule;
use crate::case::Case;
use crate::changes::{cool_phase, moved_to_new_phase, offer_move};
use crate::findings::Findings;
use crate::heat::{bears, level};

rule! {
    /// Something meets more heat than it bears.
    ///
    /// ## Why
    /// Scent evaporates, vitamins and enzymes break down, and some preservatives are lost, when they are heated with
    /// the waxes. What is sensitive goes in when the batch has cooled.
    /// ## Fires
    /// ```formula
    /// formula Lavender cream
    /// product cream, body
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        20     %     jojoba oil
    ///         6     %     cetearyl alcohol (and) ceteareth-20
    ///         0.3   %     lavender oil
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// Also where there is no phase yet that is cool enough:
    /// ```formula
    /// formula Lavender cream
    /// product cream, body
    /// pH 5.0 to 5.5
    /// phase A water; heat to 70 °C
    ///   to  100     %     purified water
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// phase B oil; heat to 70 °C
    ///        20     %     jojoba oil
    ///         6     %     cetearyl alcohol (and) ceteareth-20
    ///         0.3   %     lavender oil
    /// step heat A and B to 70 °C
    /// step add B to A; homogenise 3 min
    /// step fill
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Lavender cream
    /// product cream, body
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        20     %     jojoba oil
    ///         6     %     cetearyl alcohol (and) ceteareth-20
    ///         0.3   %     tocopherol
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    ///         0.3   %     lavender oil
    /// ```
    /// A balm is poured warm, and its scent goes in warm:
    /// ```formula
    /// formula Pine balm
    /// product balm, body
    /// phase A oil; heat to 65 °C
    ///        20     %     beeswax
    ///        79.5   %     jojoba oil
    ///         0.5   %     lavender oil
    /// ```
    /// The maker's own figure counts:
    /// ```formula
    /// formula Lavender cream
    /// product cream, body
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// phase B oil; heat to 75 °C
    ///        20     %     jojoba oil
    ///         6     %     cetearyl alcohol (and) ceteareth-20
    ///         0.3   %     lavender oil
    /// ingredient lavender oil
    /// not above 80 °C because our supplier distils it for hot filling
    /// ```
    /// ## Fix
    /// Moves the line to the end of the formula's cool-down phase, where there is one that is cool enough; else
    /// makes one at the end. A matter of judgement: what it carries there has to dissolve.
    /// ## Sources
    /// - the `not above` line of the ingredient; the finding names where it comes from and is no louder than that
    ///   allows
    name: "too-hot",
    group: Heat,
    level: Error,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    for (item, exposure) in formula.items.iter().zip(&formula.timeline.hottest) {
        let Some(exposure) = exposure else { continue };
        let Some((name, most, because, source)) = bears(item) else { continue };
        let phase = item.phase.and_then(|phase| formula.phases.get(phase));
        // A phase that is heated and then cooled says nothing of when the line goes in.
        let both = phase.is_some_and(|phase| phase.heat.is_some() && phase.cool.is_some());
        if exposure.celsius <= *most || both {
            continue;
        }
        let Some(level) = level(formula, item, &exposure.celsius, source) else { continue };
        let whole = if name == item.name { item.name.clone() } else { format!("{} ({name})", item.name) };
        let message = format!("{whole} meets {} °C; above {most} °C {because}", exposure.celsius);
        let mut adding = out
            .add(item.name_span, message)
            .level(level)
            .help(format!(
                "Add it when the batch is below {most} °C, or keep to the heat that its supplier names."
            ))
            .founded_on(source)
            .related(exposure.span, format!("{} °C is said here", exposure.celsius))
            .subject(item.key());
        if let Some((to, _)) = cool_phase(case, item, most) {
            adding = offer_move(case, item, to, adding);
        } else if let Some((label, edits)) = moved_to_new_phase(case, item, most) {
            let title = format!("Move {} to a new cool-down phase {label}", item.name);
            adding = adding.judgement_fix(title, edits);
        }
        let _ = adding.lines([item.span]);
    }
}
