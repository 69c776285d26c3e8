use crate::Level;
use crate::card::rule;
use crate::case::Case;
use crate::changes::item_line;
use crate::findings::Findings;
use formula::acidity::{has_ph, lowers_ph, raises_ph, stated};
use formula::{Exact, Found, Item, Material};

rule! {
    /// The target pH needs an acid or an alkali, and the formula has none.
    ///
    /// ## Why
    /// Water, oils and emulsifiers come out at pH 5 to 7 by themselves. A target well below or above that is
    /// reached only with something that brings it there, and what is not on the sheet is neither weighed nor on the
    /// label.
    /// ## Fires
    /// ```formula
    /// formula Hazel toner
    /// product toner, face
    /// pH 3.9 to 4.3
    ///   to  100     %     purified water
    ///         3     %     glycerin
    ///         0.3   %     sodium benzoate
    ///         0.1   %     potassium sorbate
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Hazel toner
    /// product toner, face
    /// pH 3.9 to 4.3
    ///   to  100     %     purified water
    ///         3     %     glycerin
    ///         0.3   %     sodium benzoate
    ///         0.1   %     potassium sorbate
    ///   q.s.              lactic acid; to pH 4.2; about 0.3 %
    /// ```
    /// A target that may come out by itself:
    /// ```formula
    /// formula Hazel toner
    /// product toner, face
    /// pH 4.8 to 5.2
    ///   to  100     %     purified water
    ///         3     %     glycerin
    ///         0.3   %     sodium benzoate
    ///         0.1   %     potassium sorbate
    /// ```
    /// ## Fix
    /// Adds an adjuster with its end point as the last line. A matter of judgement: which acid or alkali, and how
    /// much of it, is found at the bench.
    /// ## Sources
    /// - pH 5 to 7 without an adjuster: common practice
    name: "ph-no-adjuster",
    group: Ph,
    level: Hint,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

/// What the fix writes where the catalogue knows it as an adjuster.
const ACID: &str = "citric acid";
const ALKALI: &str = "arginine";

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if !has_ph(formula) {
        return;
    }
    let (Some(acidity), Some((window, span))) = (stated(formula), &formula.header.ph) else { return };
    if formula.items.iter().any(|item| item.to_ph.is_some() || !item.is_known() || item.does("pH adjuster")) {
        return;
    }
    let brings = |which: fn(&Material) -> bool| {
        let does = |item: &Item| item.material.as_ref().is_some_and(|material| which(material));
        formula.items.iter().any(does)
            || formula.substances.iter().any(|substance| {
                substance.material.as_ref().is_some_and(|material| which(material))
                    && substance.via.iter().any(|via| via.itself)
            })
    };
    let low = acidity.window.low.clone().or_else(|| acidity.window.high.clone());
    let high = acidity.window.high.clone().or_else(|| acidity.window.low.clone());
    let sour = high.is_some_and(|high| high <= Exact::fraction(9, 2)) && !brings(lowers_ph);
    let alkaline = low.is_some_and(|low| low > Exact::whole(7)) && !brings(raises_ph);
    if !sour && !alkaline {
        return;
    }
    let (what, name) = if sour { ("an acid", ACID) } else { ("an alkali", ALKALI) };
    let mut adding = out
        .add(*span, format!("pH {} needs {what}, and no line brings one", window.text()))
        .level(Level::Hint)
        .help(format!("Add a line such as `q.s. {name}; to pH {}`.", end(window)))
        .source("common practice")
        .subject("pH");
    let known = matches!(case.known.find(name), Found::Known(material) if material.does("pH adjuster"));
    if let Some(edits) =
        item_line(case, &format!("  q.s.              {name}; to pH {}", end(window))).filter(|_| known)
    {
        adding = adding.judgement_fix(format!("Add {name} as needed to pH {}", end(window)), edits);
    }
    let _ = adding;
}

/// The middle of the target, to a tenth.
fn end(window: &formula::Window) -> String {
    window.middle().map(|middle| middle.shown(1)).unwrap_or_default()
}
