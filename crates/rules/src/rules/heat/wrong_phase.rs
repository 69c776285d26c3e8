use crate::Level;
use crate::card::rule;
use crate::case::Case;
use crate::changes::offer_move;
use crate::findings::Findings;
use formula::{Exact, Fit, Formula, Item, Material};
use notation::{PhaseKind, fold};

rule! {
    /// Something that dissolves in oil stands in the water phase, or the reverse.
    ///
    /// ## Why
    /// It floats on the water, or lies as grains in the oils, and does not come to where it should work.
    /// ## Fires
    /// ```formula
    /// formula Bisabolol lotion
    /// product lotion, body
    /// pH 5.0 to 5.5
    /// phase A water; heat to 40 °C
    ///   to  100     %     purified water
    ///         1     %     tocopheryl acetate
    /// phase B oil; heat to 40 °C
    ///        16     %     jojoba oil
    ///         5     %     polyglyceryl-4 oleate
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Quiet
    /// Humectants, proteins and gums may go in with the oils of a cream, and what is dispersed there on purpose:
    /// ```formula
    /// formula Gum lotion
    /// product lotion, body
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        16     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    ///         0.3   %     xanthan gum
    ///         3     %     glycerin
    ///         0.3   %     allantoin; dispersed in jojoba oil
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    ///         0.5   %     tocopherol
    /// ```
    /// What an emulsifier or a solubiliser takes up in the same phase:
    /// ```formula
    /// formula Bisabolol water
    /// product toner, face
    /// pH 5.0 to 5.5
    /// phase A water
    ///   to  100     %     purified water
    ///         0.1   %     bisabolol
    ///         1     %     polysorbate 20
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Fix
    /// Moves the line to the other phase, where there is one. A matter of judgement.
    /// ## Sources
    /// - the `soluble in` line of the ingredient
    name: "wrong-phase",
    group: Heat,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if formula.header.product.is("shake before use") == Fit::Yes {
        return;
    }
    for item in &formula.items {
        let Some((number, phase)) = item.phase.and_then(|at| Some((at, formula.phases.get(at)?))) else {
            continue;
        };
        let Some(material) = item.material.as_deref().filter(|material| material.ambiguous.is_empty()) else {
            continue;
        };
        let (own, here, wanted) = match phase.kind {
            Some(PhaseKind::Water) if is_oily(item, material) && !is_taken_up(formula, number) => {
                ("oil", "water", PhaseKind::Oil)
            }
            Some(PhaseKind::Oil) if is_watery_solid(item, material) && !has_water(formula, number) => {
                ("water", "oil", PhaseKind::Water)
            }
            _ => continue,
        };
        if !item.carried_in.is_empty() || is_suspended(formula, item, number) {
            continue;
        }
        let emulsion = !formula.is_water_free();
        let mut adding = out
            .add(
                item.name_span,
                format!("{} dissolves in {own}, and phase {} is {here}", item.name, phase.label),
            )
            // Once the phases are one cream it finds the water; until then it lies in the oils as grains.
            .at_most(if own == "water" && emulsion { Level::Note } else { Level::Warning })
            .source("the ingredient's `soluble in` line")
            .subject(item.key());
        let other = formula.phases.iter().enumerate().find(|(_, phase)| phase.kind == Some(wanted));
        adding = match other {
            Some((to, phase)) => {
                let adding = adding.help(format!(
                    "Put it into phase {}, or say what carries it: `dispersed in …`.",
                    phase.label
                ));
                offer_move(case, item, to, adding)
            }
            None if own == "oil" => adding.help("It needs a solubiliser or an emulsifier, or leave it out."),
            None => {
                adding.help("It stays as grains: say `dispersed in …` if that is meant, or leave it out.")
            }
        };
        let _ = adding;
    }
}

/// Oily through and through, and neither scent (which asks for a solubiliser) nor what itself emulsifies.
fn is_oily(item: &Item, material: &Material) -> bool {
    let other = [
        "emulsifier",
        "solubiliser",
        "surfactant",
        "preservative",
        "preservative booster",
        "fragrance",
        "essential oil",
        "powder",
        "pigment",
        "colour",
        "conditioner",
        "exfoliant",
    ];
    material.dissolves_in("oil")
        && !material.dissolves_in("water")
        && !material.dissolves_in("alcohol")
        && material.water_share().is_none_or(|water| water.is_zero())
        && item.premix.is_none()
        && !other.iter().any(|function| item.does(function))
}

/// A solid that only water dissolves. Humectants, proteins, gums, powders and scrubs have their reasons in oils.
fn is_watery_solid(item: &Item, material: &Material) -> bool {
    let meant = ["active", "chelator", "preservative", "buffer", "UV filter"];
    let other = [
        "humectant",
        "conditioner",
        "solvent",
        "exfoliant",
        "powder",
        "thickener",
        "stabiliser",
        "surfactant",
        "emulsifier",
        "solubiliser",
        "clay",
        "sweetener",
        "colour",
        "film former",
        "hydrosol",
    ];
    material.dissolves_in("water")
        && !material.dissolves_in("oil")
        && !material.dissolves_in("alcohol")
        && material.water_share().is_none_or(|water| water.is_zero())
        // Solutions, extracts in glycerin and the like mix in as drops.
        && item.strength.is_none()
        && !item.name.contains("extract")
        && meant.iter().any(|function| item.does(function))
        && !other.iter().any(|function| item.does(function))
}

/// Whether something in the phase takes oils up, or so much of it is oily that the heading means all in one pot.
fn is_taken_up(formula: &Formula, phase: usize) -> bool {
    let takes_up = ["emulsifier", "solubiliser", "surfactant"];
    let here = || formula.items_of(phase).map(|(_, item)| item);
    here().any(|item| takes_up.iter().any(|function| item.does(function)))
        // An unknown line may do so.
        || here().any(|item| !item.is_known())
        || !here().any(|item| item.is_watery(&Exact::zero()))
}

/// Whether water stands in the phase after all.
fn has_water(formula: &Formula, phase: usize) -> bool {
    formula
        .items_of(phase)
        .any(|(_, item)| !item.is_known() || item.premix.is_some() || item.is_watery(&Exact::zero()))
}

/// Whether a step says how it is held there.
fn is_suspended(formula: &Formula, item: &Item, phase: usize) -> bool {
    const HELD: &[&str] = &[
        "disperse",
        "suspend",
        "slurry",
        "wet",
        "mill",
        "grind",
        "levigate",
        "sift",
        "paste",
        "dissolve",
        "blend",
        "rub",
        "polysorbate",
        "solubiliser",
    ];
    let own = formula.items.iter().position(|other| std::ptr::eq(other, item));
    formula.steps.iter().any(|step| {
        let about = own.is_some_and(|own| step.items.contains(&own)) || step.phases.contains(&phase);
        about && fold(&step.text).split(|c: char| !c.is_alphabetic()).any(|word| HELD.contains(&word))
    })
}
