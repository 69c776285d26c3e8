use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::words;
use formula::Item;
use formula::reckon::EmulsionKind;

rule! {
    /// Water is held in oil without a salt, a wax or a stabiliser.
    ///
    /// ## Why
    /// The drops of such an emulsion hold each other off only weakly. A little salt in the water, usually 0.5 to 1
    /// % of magnesium sulfate or sodium chloride, keeps them from growing; a wax keeps them from sinking.
    /// ## Fires
    /// ```formula
    /// formula Quarry cream
    /// product cream, hands, W/O
    /// phase A oil; heat to 75 °C
    ///        35     %     sweet almond oil
    ///         4     %     polyglyceryl-3 polyricinoleate
    /// phase B water; heat to 75 °C
    ///   to  100     %     purified water
    ///         3     %     glycerin
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Quarry cream
    /// product cream, hands, W/O
    /// phase A oil; heat to 75 °C
    ///        35     %     sweet almond oil
    ///         4     %     polyglyceryl-3 polyricinoleate
    /// phase B water; heat to 75 °C
    ///   to  100     %     purified water
    ///         3     %     glycerin
    ///         0.7   %     magnesium sulfate
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ```formula
    /// formula Quarry balm cream
    /// product cream, hands, W/O
    /// phase A oil; heat to 75 °C
    ///        35     %     sweet almond oil
    ///         5     %     beeswax
    ///         4     %     polyglyceryl-3 polyricinoleate
    /// phase B water; heat to 75 °C
    ///   to  100     %     purified water
    ///         3     %     glycerin
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Fix
    /// None: a salt in the water, a wax in the oil or a stabiliser, each with its own feel.
    /// ## Sources
    /// - 0.5 to 1 % of magnesium sulfate or sodium chloride: common practice
    name: "water-in-oil-unstable",
    group: Emulsion,
    level: Hint,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    let Some(emulsion) = case.emulsion() else { return };
    if formula.broken
        || formula.unfinished
        || emulsion.kind() != Some(EmulsionKind::WaterInOil)
        || emulsion.is_mixed_system()
        || !emulsion.open.is_empty()
    {
        return;
    }
    // Salts that come with another work count, too.
    let firm = |item: &Item| {
        ["electrolyte", "wax", "stabiliser", "thickener", "powder"].iter().any(|work| item.does(work))
            || item.premix.is_some()
            || !item.blend.is_empty()
    };
    if formula.items.iter().any(firm) {
        return;
    }
    let Some(main) = emulsion.emulsifiers.iter().max_by(|a, b| a.share.cmp(&b.share)) else { return };
    let Some(item) = formula.items.get(main.item) else { return };
    let message = format!(
        "{} of water in oil, and neither a salt, a wax nor a stabiliser beside {}",
        words::about(&emulsion.water),
        item.name
    );
    let _ = out
        .add(item.name_span, message)
        .help(
            "0.5 to 1 % of magnesium sulfate or sodium chloride in the water, or a few percent of wax in \
             the oil, usually does it.",
        )
        .source("common practice")
        .subject(item.key());
}
