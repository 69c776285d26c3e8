use crate::Level;
use crate::card::rule;
use crate::case::Case;
use crate::changes::wetted_first;
use crate::findings::Findings;
use crate::words;
use formula::mixing::{is_of_powder, is_wetted};
use formula::{Exact, Fit, Item};

rule! {
    /// A fine mineral powder is stirred in dry.
    ///
    /// ## Why
    /// Zinc oxide, titanium dioxide and mineral colours hold together in lumps. Stirred into a liquid they stay
    /// lumps: specks in a tint, and in sun care bare patches between them. Wetted in a little oil or ester and
    /// milled or sheared first, they spread.
    /// ## Fires
    /// ```formula
    /// formula Harbour tint
    /// product cream, face
    /// pH 6.5 to 7.0
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        15     %     caprylic/capric triglyceride
    ///         5     %     glyceryl stearate (and) PEG-100 stearate
    ///         5     %     zinc oxide
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// step heat A and B to 75 °C; stir the zinc oxide into the oils with a spoon
    /// step pour B into A; stir until cold
    /// step add C
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Harbour tint
    /// product cream, face
    /// pH 6.5 to 7.0
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        15     %     caprylic/capric triglyceride
    ///         5     %     glyceryl stearate (and) PEG-100 stearate
    ///         5     %     zinc oxide
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// step mill the zinc oxide with some of the triglyceride
    /// step heat A and B to 75 °C
    /// step pour B into A; homogenise 3 min
    /// step add C
    /// ```
    /// Powders that are meant to stay powders:
    /// ```formula
    /// formula Evening mask
    /// product mask, face
    ///        60     %     kaolin
    ///        39     %     rhassoul clay
    ///         1     %     red iron oxide
    /// step stir together
    /// ```
    /// ## Fix
    /// Writes on the line that it is wetted in the largest liquid oil of its phase. A matter of judgement.
    /// ## Sources
    /// - wet in one to two parts of oil or ester, then mill or shear: practitioners at chemistscorner.com, on
    ///   adding zinc oxide; common practice
    name: "powder-not-wetted",
    group: Dissolving,
    level: Error,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

/// What a step says when it wets, mills or shears.
const WETTING: &[&str] = &[
    "wet",
    "wets",
    "wetted",
    "wetting",
    "pre-wet",
    "paste",
    "mill",
    "milled",
    "milling",
    "grind",
    "ground",
    "grinding",
    "levigate",
    "triturate",
    "disperse",
    "dispersed",
    "dispersing",
    "slurry",
    "mortar",
    "muller",
    "mull",
    "roll",
    "homogenise",
    "homogenize",
    "homogenised",
    "homogeniser",
    "homogenizer",
    "shear",
    "high-shear",
    "blend",
    "blended",
    "blending",
    "blender",
    "stick-blend",
    "stick-blender",
    "smooth",
    "lump",
    "lumps",
    "rub",
    "crush",
];

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    // Powders and scrubs are made of them; what is kneaded or pressed has its own shear.
    if is_of_powder(formula) || formula.header.product.is_premix() {
        return;
    }
    for (at, item) in formula.items.iter().enumerate() {
        let Some(share) = item.mid().filter(|_| is_fine_mineral(item)) else { continue };
        let filter = item.does("UV filter");
        let least = if filter { Exact::fraction(1, 100) } else { Exact::fraction(2, 1000) };
        if *share < least || is_wetted(formula, at, WETTING) {
            continue;
        }
        let sun = filter && formula.header.product.is("sun care") == Fit::Yes;
        let harm = if sun { "and where they lie the skin is bare" } else { "and stay as specks" };
        let mut adding = out
            .add(
                item.name_span,
                format!(
                    "{} {} is stirred in dry: no step wets, mills or shears it; its lumps do not come apart \
                     by stirring, {harm}",
                    item.name,
                    words::percent(share)
                ),
            )
            .level(if sun { Level::Error } else { Level::Warning })
            .help(
                "Wet it in one to two parts of oil or ester, mill or shear it smooth, then go on; or say \
                 so on the line: `wetted in` and the liquid.",
            )
            .source("practitioners at chemistscorner.com, on adding zinc oxide; common practice")
            .subject(item.key());
        let steps = formula.steps.iter().filter(|step| step.items.contains(&at));
        for step in steps.take(1) {
            adding = adding.related(step.span, format!("{} goes in here", item.name));
        }
        if let Some((title, edits)) = wetted_first(case, at, is_liquid_oil) {
            adding = adding.judgement_fix(title, edits);
        }
        let _ = adding;
    }
}

/// Insoluble filters and colours; mica and starches take no milling.
fn is_fine_mineral(item: &Item) -> bool {
    let Some(material) = &item.material else { return false };
    let colour = item.does("pigment") && !item.does("powder");
    material.soluble_in.iter().any(|own| own == "nothing") && (item.does("UV filter") || colour)
}

/// Oils and esters that flow.
fn is_liquid_oil(item: &Item) -> bool {
    let stiff = ["wax", "butter", "thickener", "essential oil", "fragrance", "UV filter", "antioxidant"];
    let melts = item.material.as_ref().is_some_and(|material| {
        material
            .melts
            .iter()
            .any(|figure| figure.value.high.as_ref().is_some_and(|most| *most > Exact::whole(20)))
    });
    item.is_oily() && !melts && !stiff.iter().any(|function| item.does(function))
}
