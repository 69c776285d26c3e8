use crate::Level;
use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use formula::Item;
use notation::fold;

rule! {
    /// What is called the preservative preserves nothing.
    ///
    /// ## Why
    /// Antioxidants (vitamin E, rosemary extract) keep oils from turning rancid. Grapefruit seed extract and
    /// essential oils do not preserve at doses that skin bears. None of them keeps microbes out of water.
    /// ## Fires
    /// ```formula
    /// formula Honest lotion
    /// product lotion, body
    ///   to  100     %     purified water
    ///        20     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    ///         0.5   %     tocopherol; preservative
    /// ```
    /// ```formula
    /// formula Honest lotion
    /// product lotion, body
    /// phase A water
    ///   to  100     %     purified water
    /// phase B oil
    ///        20     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    /// phase C cool-down natural preservative
    ///         0.5   %     grapefruit seed extract
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Honest lotion
    /// product lotion, body
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///        20     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    ///         0.5   %     tocopherol
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin; preservative
    /// ```
    /// In oils alone an antioxidant does what is asked of it:
    /// ```formula
    /// formula Face oil
    /// product face oil, night
    ///    99.5   %     jojoba oil
    ///     0.5   %     tocopherol; preservative
    /// ```
    /// ## Fix
    /// None: a preservative has to be chosen.
    /// ## Sources
    /// - Reg. (EC) 1223/2009 Annex V, the list of preservatives allowed in the EU, holds none of these
    name: "not-a-preservative",
    group: Preservation,
    level: Error,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if !case.needs_preserving() || !case.preservatives().is_empty() {
        return;
    }
    let called =
        formula.items.iter().find(|item| item.declared.iter().any(|said| fold(said) == "preservative"));
    let Some(item) = called.or_else(|| formula.items.iter().find(|item| stands_under_the_word(case, item)))
    else {
        return;
    };
    let booster = item.does("preservative booster");
    if booster && formula.tested(&["challenge"]) {
        return;
    }
    let why = if booster {
        "it strengthens a preservative and is none by itself"
    } else if item.does("antioxidant") {
        "it is an antioxidant: it keeps oils from turning rancid, and microbes do not mind it"
    } else if item.does("essential oil") {
        "at the dose that skin bears, an essential oil does not keep microbes out of water"
    } else {
        "nothing known of it keeps microbes out of water"
    };
    let _ = out
        .add(item.name_span, format!("{} is called the preservative here, but {why}", item.name))
        // Boosters are sold as systems of their own, and some of those pass a challenge test.
        .level(if booster { Level::Warning } else { Level::Error })
        .help("Add a preservative that works at the planned pH; this may stay for what it does do.")
        .source("Reg. (EC) 1223/2009 Annex V (it is not on the list of preservatives)")
        .subject(item.key());
}

/// A line under a heading that speaks of preserving, of the kinds that are often taken for preservatives.
fn stands_under_the_word(case: &Case<'_>, item: &Item) -> bool {
    let heading =
        item.phase.and_then(|phase| case.formula.phases.get(phase)).map(|phase| fold(&phase.heading));
    let mistaken = ["antioxidant", "essential oil", "preservative booster", "active"]
        .iter()
        .any(|function| item.does(function));
    item.material.is_some() && mistaken && heading.is_some_and(|heading| heading.contains("preserv"))
}
