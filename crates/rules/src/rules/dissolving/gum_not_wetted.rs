use crate::Level;
use crate::card::rule;
use crate::case::Case;
use crate::changes::wetted_first;
use crate::findings::Findings;
use formula::Item;
use formula::mixing::is_wetted;
use notation::PhaseKind;

rule! {
    /// A gum goes into the water with nothing that keeps its grains apart.
    ///
    /// ## Why
    /// A dry gum swells on the outside first and closes round its own powder. Wetted in glycerin, or sprinkled into
    /// fast stirring, each grain swells by itself.
    /// ## Fires
    /// ```formula
    /// formula Cold gel
    /// product gel, body
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///         3     %     glycerin
    ///         0.8   %     xanthan gum
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// step add the xanthan gum to the water and stir
    /// step add the glycerin and the preservative
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Cold gel
    /// product gel, body
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///         3     %     glycerin
    ///         0.8   %     xanthan gum
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// step mix the xanthan gum with the glycerin
    /// step add the water and the preservative
    /// ```
    /// A sheet that says nothing of how it is made:
    /// ```formula
    /// formula Cold gel
    /// product gel, body
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///         0.8   %     xanthan gum
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Fix
    /// Writes on the line that it is wetted in the glycerin or glycol of the formula. A matter of judgement.
    /// ## Sources
    /// - sifted slowly into the vortex of a blender: USP 28, xanthan gum solution; wetted in glycerin: common
    ///   practice
    name: "gum-not-wetted",
    group: Dissolving,
    level: Hint,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

const WETTING: &[&str] = &[
    "wet",
    "wets",
    "wetted",
    "wetting",
    "pre-wet",
    "slurry",
    "paste",
    "disperse",
    "dispersed",
    "sift",
    "sieve",
    "sprinkle",
    "sprinkled",
    "scatter",
    "shake",
    "dust",
    "rain",
    "whisk",
    "whisking",
    "blend",
    "blended",
    "blending",
    "blender",
    "stick-blend",
    "vortex",
    "fast",
    "homogenise",
    "homogenize",
    "shear",
    "soak",
    "swell",
    "hydrate",
    "hydrated",
    "overnight",
    "lumps",
    "everything",
];

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    for (at, item) in formula.items.iter().enumerate().filter(|(_, item)| is_gum(item)) {
        let mut added = formula
            .steps
            .iter()
            .filter(|step| step.items.contains(&at) && step.acts.iter().any(|act| act.adds))
            .peekable();
        let Some(first) = added.peek().copied() else { continue };
        // Mixed with what does not make it swell.
        let beside = |other: &usize| {
            formula
                .items
                .get(*other)
                .is_some_and(|other| is_wetting_liquid(other) || other.is_oily() || is_dry(other))
        };
        let apart = added.any(|step| step.items.iter().any(beside));
        if apart || is_wetted(formula, at, WETTING) {
            continue;
        }
        let mut adding = out
            .add(
                item.name_span,
                format!("{} goes into the water with nothing to keep it from clumping", item.name),
            )
            .level(Level::Hint)
            .help(
                "Wet it in three to ten parts of glycerin or glycol first, or sprinkle it into fast \
                 stirring.",
            )
            .source("USP 28, xanthan gum solution; common practice")
            .related(first.span, format!("{} is added here", item.name))
            .subject(item.key());
        if let Some((title, edits)) = wetted_first(case, at, is_wetting_liquid) {
            adding = adding.judgement_fix(title, edits);
        }
        let _ = adding;
    }
}

/// Thickeners that swell in cold water as they touch it; gels that are neutralised wet out by themselves.
fn is_gum(item: &Item) -> bool {
    item.material.as_ref().is_some_and(|material| {
        material.does("thickener")
            && !material.does("humectant")
            && !material.does("film former")
            && material.phase == Some(PhaseKind::Water)
            && material.dissolves_in("water")
            && !material.dissolves_in("oil")
    })
}

/// Glycerin and glycols.
fn is_wetting_liquid(item: &Item) -> bool {
    item.does("humectant")
        && item.does("solvent")
        && item.material.as_ref().is_some_and(|material| material.water.is_none())
}

fn is_dry(item: &Item) -> bool {
    item.does("powder") || item.does("clay") || item.does("exfoliant")
}
