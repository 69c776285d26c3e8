use crate::Level;
use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::words;
use formula::acidity::{acids, stated};
use formula::{Exact, Fit, Formula, Item};
use notation::fold;

rule! {
    /// Something alkaline that dissolves stays on the skin.
    ///
    /// ## Why
    /// The surface of skin has a pH of about 5.5. Bicarbonate, borax or soap that stays on it brings that above 8
    /// wherever sweat or rain dissolves it; many people get a red, itching rash, above all under the arms.
    /// ## Fires
    /// ```formula
    /// formula Kitchen deodorant
    /// product deodorant, underarm
    ///        45     %     coconut oil
    ///        30     %     sodium bicarbonate
    ///        25     %     arrowroot powder
    /// ```
    /// ## Quiet
    /// Little of what does not dissolve reaches the skin:
    /// ```formula
    /// formula Milder deodorant
    /// product deodorant, underarm
    ///        45     %     coconut oil
    ///        10     %     magnesium hydroxide
    ///        45     %     arrowroot powder
    /// ```
    /// Bath and rinse-off products:
    /// ```formula
    /// formula Evening soak
    /// product bath salts, bath
    ///        40     %     sodium bicarbonate
    ///        60     %     Epsom salt
    /// ```
    /// ## Fix
    /// None: less of it, or something else, has to be chosen and tried.
    /// ## Sources
    /// - the `own pH` line of the ingredient; the finding names where it comes from
    /// - skin: pH 5.4 to 5.9, J. Tarun et al., Indian J. Dermatol. 59(5) (2014) 442-444
    name: "alkaline-on-skin",
    group: Ph,
    level: Warning,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if formula.is_premix() || formula.header.product.is("leave-on") != Fit::Yes {
        return;
    }
    // A planned pH means that it is neutralised, or not reached, which is told elsewhere.
    let planned = stated(formula).and_then(|acidity| acidity.window.high);
    if planned.is_some_and(|high| high <= Exact::whole(8)) {
        return;
    }
    let acids = acids(formula);
    for item in &formula.items {
        let Some((share, low)) = alkaline(item) else { continue };
        // With half its weight of acid beside it, it is there to be used up.
        if acids.clone() * Exact::whole(2) >= *share {
            return;
        }
        let Some(own) = item.material.as_ref().and_then(|material| material.own_ph.as_ref()) else {
            continue;
        };
        let touchy = for_sensitive(formula);
        let whom = if touchy { ", and this is for skin that bears little" } else { "" };
        let _ = out
            .add(
                item.name_span,
                format!(
                    "{} {} brings pH {low} or more to skin, whose own pH is about 5.5{whom}",
                    item.name,
                    words::percent(share)
                ),
            )
            .level(if touchy { Level::Warning } else { Level::Note })
            .help(
                "Take less of it or something that hardly dissolves, and have it tried on a small place \
                 for some days first.",
            )
            .founded_on(&own.source)
            .subject(item.key())
            .lines([item.span]);
        return;
    }
}

/// At least 2 % of something that dissolves in water with a pH of 8 or more. The strong alkalis are never left over.
fn alkaline(item: &Item) -> Option<(&Exact, Exact)> {
    let material = item.material.as_ref()?;
    let low = material.own_ph.as_ref()?.value.low.clone()?;
    let share = item.mid().filter(|share| **share >= Exact::fraction(2, 100))?;
    let fits = low >= Exact::whole(8) && low < Exact::whole(12) && material.dissolves_in("water");
    (fits && item.to_ph.is_none()).then_some((share, low))
}

fn for_sensitive(formula: &Formula) -> bool {
    let product = &formula.header.product;
    product.is_for_babies() || product.people.iter().any(|person| fold(person).contains("sensitive"))
}
