use crate::Level;
use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::words;
use formula::acidity::{Acidity, needs, stated};
use formula::preservation::is_watery;
use formula::{Exact, Fit, Formula, Item};

rule! {
    /// A product that stays on the skin is planned far from the pH that skin bears.
    ///
    /// ## Why
    /// The surface of skin has a pH of about 5.5. Below 3.5 acids sting and burn, above 8 alkalis take its barrier
    /// away; a strong alkali without a planned pH can do both. Peels of lower pH belong into trained hands.
    /// ## Fires
    /// ```formula
    /// formula Bright night gel
    /// product gel, face, night
    /// pH 2.6 to 3.0
    ///   to  100     %     purified water
    ///         8     %     glycolic acid
    ///         1     %     xanthan gum
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// A strong alkali, and no pH that it is to bring:
    /// ```formula
    /// formula Clear hand gel
    /// product gel, hands
    ///   to  100     %     purified water
    ///         0.5   %     carbomer
    ///         0.3   %     sodium hydroxide
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Bright night gel
    /// product gel, face, night
    /// pH 3.6 to 4.0
    /// caution Use sun protection while you use it and for a week afterwards.
    ///   to  100     %     purified water
    ///         8     %     glycolic acid
    ///         1     %     xanthan gum
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// Vitamin C works only below pH 3.5; from 3 on that is ordinary practice:
    /// ```formula
    /// formula Morning serum
    /// product serum, face
    /// pH 3.0 to 3.3
    ///   to  100     %     purified water
    ///        12     %     ascorbic acid
    ///         5     %     propanediol
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// The alkali of a vanishing cream is spent on the fatty acid:
    /// ```formula
    /// formula Vanishing cream
    /// product cream, face
    /// phase A oil; heat to 80 °C
    ///        16     %     stearic acid
    /// phase B water; heat to 80 °C
    ///   to  100     %     purified water
    ///         8     %     glycerin
    ///         0.7   %     potassium hydroxide
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// What is rinsed off may be more alkaline:
    /// ```formula
    /// formula Simple soap wash
    /// product body wash
    /// pH 9 to 10
    ///   to  100     %     purified water
    ///        40     %     potassium soap; strength 35 %
    ///         3     %     glycerin
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Fix
    /// None: at which pH the product does its work has to be decided.
    /// ## Sources
    /// - below 3.5: Cosmetic Ingredient Review on glycolic and lactic acid (at most 10 %, at pH 3.5 or above)
    /// - above 8: common practice
    /// - skin: pH 5.4 to 5.9, J. Tarun et al., Indian J. Dermatol. 59(5) (2014) 442-444
    /// - a strong alkali without a pH: common practice; a note
    name: "ph-harsh",
    group: Ph,
    level: Warning,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if formula.broken || !is_watery(formula) || formula.header.product.is("leave-on") != Fit::Yes {
        return;
    }
    if formula.header.product.says("W/O") || formula.is_premix() {
        return;
    }
    match stated(formula) {
        Some(acidity) => planned(formula, out, &acidity),
        None => unplanned(formula, out),
    }
}

fn planned(formula: &Formula, out: &mut Findings<'_>, acidity: &Acidity) {
    let window = &acidity.window;
    let (Some(low), Some(high)) =
        (window.low.as_ref().or(window.high.as_ref()), window.high.as_ref().or(window.low.as_ref()))
    else {
        return;
    };
    let (acid, alkaline) = (Exact::fraction(7, 2), Exact::whole(8));
    let half = Exact::fraction(1, 2);
    let sour = *high < acid || &acid - low > half;
    let caustic = *low > alkaline || high - &alkaline > half;
    let wanted = needs(formula).iter().any(|need| {
        need.works && need.window.value.holds(low) && need.window.value.holds(high) && *low >= Exact::whole(3)
    });
    if (!sour || wanted) && !caustic {
        return;
    }
    let (message, help, source) = if sour {
        (
            format!(
                "pH {} is more acid than skin bears for long: a leave-on product stays at 3.5 or above",
                window.text()
            ),
            "Raise the target, or make it something that is rinsed off after minutes and say so. Acids of \
             this strength burn: gloves and goggles at the bench, a patch test before use; stronger peels \
             are for trained hands.",
            "Cosmetic Ingredient Review on glycolic and lactic acid (at pH 3.5 or above)",
        )
    } else {
        (
            format!(
                "pH {} is more alkaline than skin bears for long: a leave-on product stays at 8 or below",
                window.text()
            ),
            "Lower the target. Alkalis of this strength take the barrier away and burn eyes: gloves and \
             goggles at the bench.",
            "common practice",
        )
    };
    let _ = out.add(acidity.span, message).level(Level::Warning).help(help).source(source).subject("pH");
}

/// A strong acid or alkali in a fixed amount, and no pH that it is to bring.
fn unplanned(formula: &Formula, out: &mut Findings<'_>) {
    let strong = |item: &&Item| {
        let own = item.material.as_ref().and_then(|material| material.own_ph.as_ref());
        own.is_some_and(|own| {
            own.value.low.as_ref().is_some_and(|low| *low >= Exact::whole(12))
                || own.value.high.as_ref().is_some_and(|high| *high <= Exact::whole(2))
        })
    };
    let Some(item) = formula.items.iter().find(strong) else { return };
    let Some(share) = item.mid().filter(|share| !share.is_zero()) else { return };
    if is_spent_on_fatty_acid(formula, item, share) {
        return;
    }
    let _ = out
        .add(
            item.name_span,
            format!("{} {} stands here with no pH that it is to bring", item.name, words::percent(share)),
        )
        .level(Level::Note)
        .help(
            "Write it as `q.s.` with its end point, as in `q.s. NAME; to pH 5.8; about 0.2 %`, and add it \
             drop by drop while you measure. It burns: gloves and goggles; lye and acid go into cold \
             water, never the other way round.",
        )
        .source("common practice")
        .subject(item.key())
        .lines([item.span]);
}

/// Whether an alkali is there to turn a part of the fatty acids into soap, as in a vanishing cream: no more of it, by moles,
/// than they take up.
fn is_spent_on_fatty_acid(formula: &Formula, alkali: &Item, share: &Exact) -> bool {
    let molar = |item: &Item| {
        item.material.as_ref().and_then(|own| own.molar_mass.as_ref()).map(|own| own.value.clone())
    };
    let takes = |item: &&Item| {
        let charge = item.material.as_ref().and_then(|material| material.charge.as_ref());
        item.dissolves_in("oil") && charge.is_some_and(|charge| charge.value == "anionic when neutralised")
    };
    let acids: Exact =
        formula.items.iter().filter(takes).filter_map(|item| item.mid()?.over(&molar(item)?)).sum();
    molar(alkali).and_then(|molar| share.over(&molar)).is_some_and(|own| own <= acids)
}
