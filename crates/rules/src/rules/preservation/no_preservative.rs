use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::{Level, words};
use formula::{Exact, Found, Item, reckon};
use std::fmt::Write as _;

rule! {
    /// A formula has free water, and nothing in it preserves.
    ///
    /// ## Why
    /// Where there is water, bacteria, yeasts and moulds grow, often unseen and without a smell. Hydrosols, aloe
    /// juice, floral waters, plant extracts in water and solutions bring water too.
    /// ## Fires
    /// ```formula
    /// formula Rose lotion
    /// product lotion, body
    ///   to  100     %     purified water
    ///        15     %     rose hydrosol
    ///        20     %     high-oleic sunflower oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    ///         0.5   %     tocopherol
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Rose lotion
    /// product lotion, body
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///        15     %     rose hydrosol
    ///        20     %     high-oleic sunflower oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    ///         0.5   %     tocopherol
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// No water:
    /// ```formula
    /// formula Winter balm
    /// product balm, body
    ///    60     %     shea butter
    ///    25     %     jojoba oil
    ///    15     %     beeswax
    /// ```
    /// Made fresh and used up:
    /// ```formula
    /// formula Oat compress
    /// product mask, face
    /// shelf life 1 day
    ///   to  100     %     purified water
    ///        10     %     glycerin
    /// ```
    /// Strong alcohol:
    /// ```formula
    /// formula Evening splash
    /// product perfume, body
    ///   to  100     %     purified water
    ///        70     %     ethanol
    /// ```
    /// A fifth of the water phase is propylene glycol, as in an official base cream:
    /// ```formula
    /// formula Base cream
    /// product cream, body
    /// phase A oil; heat to 70 °C
    ///        25.5   %     white petrolatum
    ///         7.5   %     caprylic/capric triglyceride
    ///         6     %     cetyl alcohol
    ///         4     %     glyceryl stearate
    ///         7     %     PEG-20 glyceryl stearate
    /// phase B water; heat to 70 °C
    ///        10     %     propylene glycol
    ///   to  100     %     purified water
    /// ```
    /// So much glycerin that nothing grows (estimated water activity below 0.75):
    /// ```formula
    /// formula Thick glycerin gel
    /// product gel, hands
    ///   to  100     %     purified water
    ///        75     %     glycerin
    /// ```
    /// ## Fix
    /// None: the preservative has to suit the planned pH, the other ingredients and the people it is for.
    /// ## Sources
    /// - ISO 29621, products of low microbiological risk: pH below 3 or above 10, ethanol above 20 %, water activity
    ///   below 0.75
    /// - glycols: the `needs … of water` line of the ingredient
    /// - water activity: Raoult's law over what is dissolved, an estimate
    name: "no-preservative",
    group: Preservation,
    level: Error,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if formula.broken || !case.needs_preserving() || !case.preservatives().is_empty() {
        return;
    }
    // A premix that is not there may bring anything.
    if formula.items.iter().any(|item| item.premix_missing) {
        return;
    }
    let limit = Exact::fraction(75, 100);
    if formula.header.water_activity.as_ref().is_some_and(|(said, _)| *said < limit) {
        return;
    }
    let activity = reckon::water_activity(formula).map(|activity| activity.value);
    if activity.is_some_and(|value| value < 0.75) {
        return;
    }
    let boosters: Vec<String> = formula
        .items
        .iter()
        .filter(|item| item.does("preservative booster"))
        .map(|item| item.name.clone())
        .collect();
    if !boosters.is_empty() && formula.tested(&["challenge"]) {
        return;
    }
    let mut lines = formula.water.lines.clone();
    lines.retain(|(_, water)| water.mid >= Exact::fraction(1, 1000));
    lines.sort_by(|a, b| b.1.mid.cmp(&a.1.mid));
    let Some((first, _)) = lines.first() else { return };
    let Some(main) = formula.items.get(*first) else { return };
    let named: Vec<String> = lines
        .iter()
        .take(3)
        .filter_map(|(at, water)| {
            Some(format!("{} {}", formula.items.get(*at)?.name, words::about(&water.mid)))
        })
        .collect();
    let more = if lines.len() > 3 { " and others" } else { "" };
    let message = format!(
        "{} of this is water ({}{more}), and nothing in it preserves",
        words::about(&formula.water.share.mid),
        named.join(", ")
    );
    let mut help = "Choose a preservative that works at the planned pH and against bacteria, yeast and \
        mould, and say how much of it. Made fresh, say `shelf life 1 day`."
        .to_owned();
    if !boosters.is_empty() {
        let verb = if boosters.len() == 1 { "strengthens" } else { "strengthen" };
        let _ = write!(
            help,
            " {} {verb} a preservative; without one, only a challenge test of this version can show that it \
             keeps.",
            words::list(&boosters)
        );
    }
    if let Some(value) = activity.filter(|value| *value < 0.9) {
        let _ = write!(
            help,
            " Its water activity is about {value:.2}, as estimated; below 0.75 little can grow (ISO 29621)."
        );
    }
    let unsure: Vec<&Item> = formula.items.iter().filter(|item| could_preserve(case, item)).collect();
    let level = if unsure.is_empty() && boosters.is_empty() { Level::Error } else { Level::Warning };
    let mut adding = out
        .add(main.name_span, message)
        .level(level)
        .help(help)
        .source("ISO 29621 (what needs no preservative)");
    for item in unsure {
        adding = adding.related(
            item.name_span,
            format!(
                "nothing is known of {}: if it preserves, describe it in an `ingredient` block",
                item.name
            ),
        );
    }
    for (at, water) in lines.iter().skip(1) {
        if let Some(item) = formula.items.get(*at) {
            adding = adding
                .related(item.name_span, format!("{} brings {} water", item.name, words::about(&water.mid)));
        }
    }
}

/// Whether a line that nobody knows could be the preservative: by its amount, or by what its name may mean.
fn could_preserve(case: &Case<'_>, item: &Item) -> bool {
    let amount = item
        .share
        .as_ref()
        .is_none_or(|share| share.high >= Exact::fraction(1, 1000) && share.low <= Exact::fraction(5, 100));
    let unknown = !item.is_known() || item.blend.iter().any(|(_, part)| part.is_none());
    let may_mean = item.material.as_ref().is_some_and(|material| {
        material
            .ambiguous
            .iter()
            .any(|name| matches!(case.known.find(name), Found::Known(one) if one.does("preservative")))
    });
    amount && (unknown || may_mean)
}
