use crate::Level;
use crate::card::rule;
use crate::case::Case;
use crate::changes::with_share;
use crate::emulsions::plain;
use crate::findings::Findings;
use crate::words;
use formula::reckon::{Emulsion, Reach, reach};
use formula::{Exact, Figure, Item, Window};

rule! {
    /// There is less emulsifier than the oils need, or more oil than the emulsifier holds.
    ///
    /// ## Why
    /// An emulsifier has to cover every drop. With too little of it the drops run together again, often only after
    /// weeks. All oils count: butters, waxes, fatty alcohols, oily actives and scent, also those of the cool-down
    /// phase.
    /// ## Fires
    /// ```formula
    /// formula Rich cream
    /// product cream, hands
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        18     %     sweet almond oil
    ///         4     %     shea butter
    ///         2     %     cetyl alcohol
    ///         3     %     emulsifying wax NF
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// More oils than this emulsifier holds:
    /// ```formula
    /// formula Very rich cream
    /// product cream, hands
    /// pH 5.5 to 6.0
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        30     %     sweet almond oil
    ///         5     %     shea butter
    ///         8     %     glyceryl stearate (and) cetearyl alcohol (and) sodium stearoyl lactylate
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Rich cream
    /// product cream, hands
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        18     %     sweet almond oil
    ///         4     %     shea butter
    ///         2     %     cetyl alcohol
    ///         5     %     emulsifying wax NF
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// Of an emulsifier that nobody gives a share for, nothing is said:
    /// ```formula
    /// formula Quiet lotion
    /// product lotion, body
    /// pH 5.5 to 6.0
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        18     %     sweet almond oil
    ///         2     %     glyceryl stearate citrate
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// Nor where two emulsifiers share the work and one of them has no figure:
    /// ```formula
    /// formula Shared lotion
    /// product lotion, body
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        20     %     sweet almond oil
    ///         2     %     emulsifying wax NF
    ///         2     %     glyceryl stearate
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Fix
    /// Raises a lone emulsifier to the least that the oils need, where the water makes up to 100 %. A matter of
    /// judgement: more of a wax makes the product firmer; less oil would do as well.
    /// ## Sources
    /// - the `needs … % of oils` and `oils at most …` lines of the emulsifier; for W/O and polymeric ones its
    ///   `usage` line; the finding names where they come from and is no louder than that allows
    name: "emulsifier-short",
    group: Emulsion,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    let Some(emulsion) = plain(case) else { return };
    // A premix was made to its own sheet.
    if emulsion.emulsifiers.iter().any(|own| own.in_premix) {
        return;
    }
    if let Some(reach) = reach(emulsion)
        && reach.filled < Exact::one()
    {
        short(case, emulsion, &reach, out);
        return;
    }
    let [only] = emulsion.emulsifiers.as_slice() else { return };
    let limit = only.material.as_ref().and_then(|material| material.oils_at_most.first());
    let Some((figure, most)) = limit.and_then(|figure| Some((figure, figure.value.high.as_ref()?))) else {
        return;
    };
    let Some(item) = formula.items.get(only.item) else { return };
    if emulsion.oil_share <= *most {
        return;
    }
    let message = format!(
        "{} holds at most {} of oils, and there are {}",
        only.name,
        words::percent(most),
        words::about(&emulsion.oil_share)
    );
    let _ = out
        .add(item.name_span, message)
        .help("Take less oil, or an emulsifier that is made for more.")
        .founded_on(&figure.source)
        .subject(item.key());
}

fn short(case: &Case<'_>, emulsion: &Emulsion, reach: &Reach, out: &mut Findings<'_>) {
    let items = &case.formula.items;
    let lines: Vec<(&Item, &Figure<Window>)> =
        reach.by.iter().filter_map(|(at, figure)| Some((items.get(*at)?, figure))).collect();
    let Some((item, figure)) = lines.iter().max_by(|a, b| a.0.mid().cmp(&b.0.mid())) else { return };
    let Some(weakest) = lines.iter().map(|(_, figure)| &figure.source).min_by_key(|source| source.standing)
    else {
        return;
    };
    let sum: Exact = lines.iter().filter_map(|(item, _)| item.mid().cloned()).sum();
    let names: Vec<String> = lines.iter().map(|(item, _)| item.name.clone()).collect();
    // What would be enough, in the same proportions.
    let Some(enough) = sum.over(&reach.filled) else { return };
    let message = if reach.of_oils {
        let part = sum.over(&emulsion.oil_share).unwrap_or_default();
        format!(
            "{} {} {} {} of the oils ({}); {} or more of them is needed, here {}",
            words::list(&names),
            words::percent(&sum),
            if names.len() == 1 { "is" } else { "together are" },
            words::about(&part),
            words::about(&emulsion.oil_share),
            least(figure),
            words::about(&enough)
        )
    } else {
        format!(
            "{} {} {} less than the {} from which {} holds an emulsion",
            words::list(&names),
            words::percent(&sum),
            if names.len() == 1 { "is" } else { "together are" },
            words::about(&enough),
            if names.len() == 1 { "it" } else { "such a pair" },
        )
    };
    let mut adding = out
        .add(item.name_span, message)
        .help(
            "Raise it to the share that its supplier names, or take less oil. Every oily line counts, also \
             butters, waxes and scent.",
        )
        .founded_on(weakest)
        .subject(item.key())
        .lines(lines.iter().map(|(item, _)| item.span));
    // A fifth under the figure still holds in many hands.
    if reach.filled >= Exact::fraction(4, 5) {
        adding = adding.at_most(Level::Note);
    }
    if let [(only, _)] = lines.as_slice()
        && let Some((edits, written)) = with_share(case, only, &rounded_up(&enough))
    {
        adding = adding.judgement_fix(format!("Raise {} to {written}", only.name), edits);
    }
    let _ = adding;
}

fn least(figure: &Figure<Window>) -> String {
    figure.value.low.as_ref().or(figure.value.high.as_ref()).map_or_else(String::new, words::percent)
}

/// Up to the next tenth of a percent.
fn rounded_up(share: &Exact) -> Exact {
    let tenth = Exact::fraction(1, 1000);
    let half = Exact::fraction(1, 2);
    let steps = share.over(&tenth).unwrap_or_default();
    let near = Exact::read(&steps.shown(0)).unwrap_or_default();
    let up = if near < steps { near + &half + &half } else { near };
    up * tenth
}
