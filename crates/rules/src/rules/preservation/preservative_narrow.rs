use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::{Level, words};
use formula::Material;
use std::sync::Arc;

rule! {
    /// A single preservative that works on few microbes has nothing beside it.
    ///
    /// ## Why
    /// Most preservatives work well on some microbes and poorly on others: sorbate on yeasts and moulds,
    /// phenoxyethanol on bacteria. Makers pair them, or add a booster or a chelator, so that nothing is left to
    /// grow.
    /// ## Fires
    /// ```formula
    /// formula Plain toner
    /// product toner, face
    /// pH 4.5 to 5.0
    ///   to  100     %     purified water
    ///         3     %     glycerin
    ///         0.4   %     potassium sorbate
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Plain toner
    /// product toner, face
    /// pH 4.5 to 5.0
    ///   to  100     %     purified water
    ///         3     %     glycerin
    ///         0.4   %     potassium sorbate
    ///         0.4   %     sodium benzoate
    /// ```
    /// A booster beside it:
    /// ```formula
    /// formula Plain toner
    /// product toner, face
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///         3     %     glycerin
    ///         0.8   %     phenoxyethanol
    ///         0.5   %     caprylyl glycol
    /// ```
    /// ## Fix
    /// None: what to put beside it has to be decided.
    /// ## Sources
    /// - the `works on` lines of the preservatives (the finding names where each comes from)
    name: "preservative-narrow",
    group: Preservation,
    level: Note,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

const MICROBES: [&str; 3] = ["bacteria", "yeast", "mould"];

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if formula.broken || !case.needs_preserving() {
        return;
    }
    // What nobody knows might be what is missing.
    if formula.items.iter().any(|item| !item.is_known() || item.blend.iter().any(|(_, part)| part.is_none()))
    {
        return;
    }
    let all = case.preservatives();
    let mut materials: Vec<&Arc<Material>> = Vec::new();
    for one in all {
        match &one.material {
            Some(material) if material.ambiguous.is_empty() => materials.push(material),
            _ => return,
        }
    }
    let beside = |function: &str| formula.items.iter().any(|item| item.does(function));
    if materials.iter().any(|material| material.works_on.is_empty()) || beside("preservative booster") {
        return;
    }
    let missing: Vec<String> = MICROBES
        .iter()
        .filter(|microbe| {
            !materials.iter().any(|material| material.works_on.iter().any(|own| own == *microbe))
        })
        .map(|microbe| (*microbe).to_owned())
        .collect();
    let Some(item) = all.iter().find(|one| one.main).and_then(|one| formula.items.get(one.item)) else {
        return;
    };
    let single = materials.len() == 1 && materials.iter().all(|material| material.contains.is_empty());
    let message = if !missing.is_empty() {
        let names: Vec<String> = materials.iter().map(|material| material.name.clone()).collect();
        let verb = if names.len() == 1 { "works" } else { "work" };
        format!(
            "{} {verb} little on {}, and nothing beside it does",
            words::list(&names),
            words::list(&missing)
        )
    } else if single && !beside("chelator") {
        format!("{} is the only preservative here, with nothing beside it", item.name)
    } else {
        return;
    };
    let _ = out
        .add(item.name_span, message)
        .level(Level::Note)
        .help(
            "Pair it with one that works on the rest, or add a booster and a chelator; a challenge test \
             shows whether it is enough.",
        )
        .source("from memory")
        .subject(item.key());
}
