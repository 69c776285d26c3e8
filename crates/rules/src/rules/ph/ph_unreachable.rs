use crate::Level;
use crate::card::rule;
use crate::case::Case;
use crate::changes::ph_target;
use crate::findings::Findings;
use crate::words;
use formula::acidity::{By, has_ph, holding_up, stated};
use formula::{Exact, Window};

rule! {
    /// An ingredient holds the pH far above the target.
    ///
    /// ## Why
    /// Zinc oxide dissolves in acid and brings the pH back to about 7; bicarbonate foams until all acid is used up;
    /// soap falls apart into fatty acids. The acid that is added to reach the target only destroys what was put in.
    /// ## Fires
    /// ```formula
    /// formula Barrier lotion
    /// product lotion, hands
    /// pH 4.8 to 5.2
    ///   to  100     %     purified water
    ///        12     %     zinc oxide
    ///        15     %     jojoba oil
    ///         5     %     glyceryl stearate (and) PEG-100 stearate
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ```formula
    /// formula Gentle soap wash
    /// product body wash
    /// pH 5.5
    ///   to  100     %     purified water
    ///        40     %     potassium soap
    ///         3     %     glycerin
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Barrier lotion
    /// product lotion, hands
    /// pH 6.5 to 7.5
    ///   to  100     %     purified water
    ///        12     %     zinc oxide
    ///        15     %     jojoba oil
    ///         5     %     glyceryl stearate (and) PEG-100 stearate
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// A buffer holds what it is set to, and an alkali that adjusts is used up:
    /// ```formula
    /// formula Lactate gel
    /// product gel, face
    /// pH 4.5 to 5.0
    ///   to  100     %     purified water
    ///         2     %     sodium lactate; strength 60 %
    ///         1     %     xanthan gum; wetted in glycerin
    ///         3     %     glycerin
    ///         0.9   %     phenoxyethanol (and) ethylhexylglycerin
    ///   q.s.              lactic acid; to pH 4.8; about 1 %
    /// ```
    /// ## Fix
    /// Moves the target to the pH that the ingredient brings, where skin bears it. A matter of judgement: the
    /// preservative has to work there.
    /// ## Sources
    /// - the `own pH` line of the ingredient; the finding names where it comes from. Within two units it is no louder
    ///   than that allows; beyond, no doubt about the figure would change it
    name: "ph-unreachable",
    group: Ph,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if !has_ph(formula) {
        return;
    }
    let Some(acidity) = stated(formula) else { return };
    let Some(high) = acidity.window.high.as_ref().or(acidity.window.low.as_ref()) else { return };
    let far = |low: &Exact| low - high > Exact::one();
    let Some((_, item, own, low)) =
        holding_up(formula).into_iter().filter(|(_, _, _, low)| far(low)).max_by(|a, b| a.3.cmp(&b.3))
    else {
        return;
    };
    let target = acidity.window.text();
    let message = format!(
        "{} {} holds the pH at about {low} or above; pH {target} is not reached, or not kept",
        item.name,
        item.mid().map(words::percent).unwrap_or_default()
    );
    let mut adding = out
        .add(item.name_span, message)
        .level(Level::Warning)
        .help("Plan with the pH that it brings and a preservative that works there, or leave it out.")
        .source(own.source.text.to_string())
        .related(acidity.span, format!("pH {target} is said here"))
        .subject(item.key());
    if &low - high < Exact::whole(2) {
        adding = adding.standing(own.source.standing);
    }
    let ends = formula.items.iter().any(|item| item.to_ph.is_some());
    let bearable = own.value.high.as_ref().filter(|high| **high <= Exact::whole(8));
    if let Some(own_high) = bearable.filter(|_| acidity.by == By::Target && !ends) {
        let window = Window::between(low.clone(), own_high.clone());
        if let Some(edits) = ph_target(case, &window) {
            adding = adding.judgement_fix(format!("Plan with pH {}", window.text()), edits);
        }
    }
    let _ = adding.lines([item.span]);
}
