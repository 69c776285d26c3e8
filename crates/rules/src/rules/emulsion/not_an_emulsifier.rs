use crate::Level;
use crate::card::rule;
use crate::case::Case;
use crate::emulsions::{Stands, stand_ins, standing};
use crate::findings::Findings;
use crate::words;
use formula::Exact;

rule! {
    /// A wax, a fatty alcohol or a gum stands where an emulsifier should be.
    ///
    /// ## Why
    /// Waxes and fatty alcohols thicken, gums thicken the water: they slow the parting of oil and water and do not
    /// stop it. Beeswax and stearic acid emulsify only with a base that turns a part of them into soap.
    /// ## Fires
    /// ```formula
    /// formula Bee cream
    /// product cream, hands
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        20     %     olive oil
    ///         8     %     beeswax
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// The sheet calls it an emulsifier:
    /// ```formula
    /// formula Night lotion
    /// product lotion, face
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        12     %     sunflower oil
    ///         4     %     cetyl alcohol; emulsifier
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Quiet
    /// Beside an emulsifier it does its own work:
    /// ```formula
    /// formula Bee cream
    /// product cream, hands
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        20     %     olive oil
    ///         3     %     beeswax
    ///         6     %     emulsifying wax NF
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// A fatty alcohol that is called a co-emulsifier beside a real one:
    /// ```formula
    /// formula Night lotion
    /// product lotion, face
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        12     %     sunflower oil
    ///         2     %     cetyl alcohol; emulsifier
    ///         4     %     emulsifying wax NF
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// A gel of 0.8 % gum or more that carries no more than a tenth of oils is a hint: makers differ about it.
    /// ## Fix
    /// None: which emulsifier suits depends on the oils, the pH and the charge of the other ingredients.
    /// ## Sources
    /// - beeswax and cetyl alcohol are no emulsifiers: swiftcraftymonkey.blogspot.com, February 2013 and June 2015
    /// - acid value of beeswax 17 to 24, which a base turns into soap: Handbook of Pharmaceutical Excipients, white
    ///   wax
    name: "not-an-emulsifier",
    group: Emulsion,
    level: Warning,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    let Some(emulsion) = case.emulsion() else { return };
    if standing(formula, emulsion) != Stands::Alone {
        return;
    }
    let all = stand_ins(formula, emulsion);
    let Some(item) = all.iter().max_by(|a, b| a.mid().cmp(&b.mid())) else { return };
    let names: Vec<String> = all.iter().map(|item| item.name.clone()).collect();
    let (thickens, emulsifies) =
        if names.len() == 1 { ("thickens", "does not emulsify") } else { ("thicken", "do not emulsify") };
    let message = format!(
        "{} {thickens} and {emulsifies}: nothing holds {} of oils and {} of water together",
        words::list(&names),
        words::about(&emulsion.oil_share),
        words::about(&emulsion.water)
    );
    // A stiff gel holds a little oil in place for a while; the trade does not agree for how long.
    let gums = !all.iter().any(|item| item.dissolves_in("oil"));
    let thick: Exact = all.iter().filter_map(|item| item.mid().cloned()).sum();
    let stiff = gums && thick >= Exact::fraction(8, 1000) && emulsion.oil_share <= Exact::fraction(10, 100);
    let acid = all.iter().any(|item| {
        let charge = item.material.as_ref().and_then(|material| material.charge.as_ref());
        item.dissolves_in("oil") && charge.is_some_and(|charge| charge.value.ends_with("when neutralised"))
    });
    let mut help =
        "Add an emulsifier that suits these oils, in the share that its supplier names.".to_owned();
    if acid {
        help.push_str(" Waxes and fatty acids emulsify only when a base turns a part of them into soap.");
    }
    let oils = emulsion.oils.iter().filter_map(|oil| formula.items.get(oil.item)).map(|item| item.span);
    let _ = out
        .add(item.name_span, message)
        .level(if stiff { Level::Hint } else { Level::Warning })
        .help(help)
        .source(
            "swiftcraftymonkey.blogspot.com, February 2013 and June 2015 (fatty alcohols and waxes are no \
             emulsifiers)",
        )
        .lines(oils)
        .lines(all.iter().map(|item| item.span));
}
