use crate::card::rule;
use crate::case::Case;
use crate::emulsions::{Stands, largest, stand_ins, standing};
use crate::findings::Findings;
use crate::words;
use formula::reckon::Emulsion;
use notation::Edits;

rule! {
    /// Nothing holds the oil and the water together.
    ///
    /// ## Why
    /// Stirred or blended, oil and water look like a cream for minutes or hours; then they part, and what dissolves
    /// in one of them, the preservative too, is no longer where it is needed.
    /// ## Fires
    /// ```formula
    /// formula Morning milk
    /// product milk, face
    /// pH 5.0 to 5.5
    /// phase A water; heat to 70 °C
    ///   to  100     %     purified water
    ///         3     %     glycerin
    /// phase B oil; heat to 70 °C
    ///        15     %     jojoba oil
    ///         5     %     shea butter
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// A mist can say that it is shaken:
    /// ```formula
    /// formula Summer mist
    /// product mist, body
    /// pH 5.0 to 5.5
    ///   to  100     %     rose hydrosol
    ///        10     %     squalane
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Morning milk
    /// product milk, face
    /// pH 5.0 to 5.5
    /// phase A water; heat to 70 °C
    ///   to  100     %     purified water
    ///         3     %     glycerin
    /// phase B oil; heat to 70 °C
    ///        15     %     jojoba oil
    ///         5     %     shea butter
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// Two phases that are shaken:
    /// ```formula
    /// formula Summer mist
    /// product mist, body, shake before use
    /// pH 5.0 to 5.5
    ///   to  100     %     rose hydrosol
    ///        10     %     squalane
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// A gel cream, held by a polymer:
    /// ```formula
    /// formula Cold gel cream
    /// product gel cream, face
    /// pH 5.5 to 6.0
    ///   to  100     %     purified water
    ///        10     %     squalane
    ///         1     %     polyacrylate crosspolymer-6
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// No water, and a scrub:
    /// ```formula
    /// formula Winter balm
    /// product balm, body
    ///        60     %     shea butter
    ///        25     %     jojoba oil
    ///        15     %     beeswax
    /// ```
    /// Stearic acid turns into an emulsifying soap when a base neutralises it:
    /// ```formula
    /// formula Vanishing cream
    /// product cream, hands
    /// pH 7.5 to 8.0
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    ///         8     %     glycerin
    ///         1     %     triethanolamine
    /// phase B oil; heat to 75 °C
    ///        15     %     stearic acid
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Fix
    /// For a mist, toner or essence: says that it is shaken before use. For everything else the emulsifier has to be
    /// chosen: by the oils, the pH and the charge of the other ingredients.
    /// ## Sources
    /// - 5 % of oils and 5 % of water as the least that make an emulsion: common practice; less oil is dissolved
    name: "no-emulsifier",
    group: Emulsion,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

/// Watery products that makers do shake.
const SHAKEN: &[&str] = &["mist", "toner", "essence", "micellar water", "perfume"];

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    let Some(emulsion) = case.emulsion() else { return };
    if standing(formula, emulsion) != Stands::Alone || !stand_ins(formula, emulsion).is_empty() {
        return;
    }
    let Some(item) = largest(emulsion).and_then(|at| formula.items.get(at)) else { return };
    let message = format!(
        "{} of oils ({}) and {} of water, and nothing in it emulsifies",
        words::about(&emulsion.oil_share),
        oils(emulsion),
        words::about(&emulsion.water)
    );
    let lines: Vec<_> =
        emulsion.oils.iter().filter_map(|oil| formula.items.get(oil.item)).map(|item| item.span).collect();
    let mut adding = out
        .add(item.name_span, message)
        .help(
            "Add an emulsifier that suits these oils, in the share that its supplier names; for two phases \
             on purpose, say `shake before use` in the product line.",
        )
        .source("common practice: oil and water part unless something emulsifies")
        .lines(lines);
    let product = &formula.header.product;
    if case.is_parent()
        && let Some(span) = product.span
        && product.form().is_some_and(|form| SHAKEN.contains(&form))
    {
        adding = adding.judgement_fix(
            "Say that it is shaken before use",
            Edits::one(notation::Span::at(span.end), ", shake before use"),
        );
    }
    let _ = adding;
}

/// `jojoba oil 15 %, shea butter 5 % and others`
fn oils(emulsion: &Emulsion) -> String {
    let mut largest: Vec<_> = emulsion.oils.iter().collect();
    largest.sort_by(|a, b| b.share.cmp(&a.share));
    let named: Vec<String> =
        largest.iter().take(3).map(|oil| format!("{} {}", oil.name, words::about(&oil.share))).collect();
    let more = if largest.len() > 3 { " and others" } else { "" };
    format!("{}{more}", named.join(", "))
}
