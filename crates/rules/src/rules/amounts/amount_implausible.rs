use crate::amounts::written;
use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use formula::{Exact, Figure, Formula, Item, Window, Written};

rule! {
    /// An amount lies ten times outside every known use.
    ///
    /// ## Why
    /// A point in the wrong place makes 5 % of 0.5 %, or 0.03 % of 0.3 %: a gel that cannot be stirred, or an active
    /// that does nothing.
    /// ## Fires
    /// ```formula
    /// formula Harbour lotion
    /// product lotion, body
    ///   to  100     %     purified water
    ///         3     %     disodium EDTA
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Harbour base
    /// product premix
    ///   to  100     %     purified water
    ///         3     %     disodium EDTA
    /// ```
    /// Usual amounts are those of creams, lotions and gels; a bath is another matter:
    /// ```formula
    /// formula Harbour salts
    /// product bath salts
    ///   to  100     %     sea salt
    ///        40     %     magnesium sulfate
    /// ```
    /// ## Fix
    /// None: what was meant has to be said.
    /// ## Sources
    /// - the usual amounts: the source that the finding names
    name: "amount-implausible",
    group: Amounts,
    level: Warning,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

/// Products of which the usual amounts are known: they stay on skin or are rinsed off, and are mixed with water.
const WATERY: &[&str] = &[
    "cream",
    "lotion",
    "milk",
    "gel",
    "gel cream",
    "gel serum",
    "serum",
    "essence",
    "toner",
    "mist",
    "micellar water",
    "foam",
    "cleanser",
    "cleansing milk",
    "face wash",
    "body wash",
    "shower gel",
    "hand wash",
    "shampoo",
    "conditioner",
];
/// Products without water: the same, but not for the oils that they are made of.
const OILY: &[&str] = &[
    "balm",
    "salve",
    "body butter",
    "lotion bar",
    "face oil",
    "body oil",
    "massage oil",
    "oil",
    "oil serum",
    "lip balm",
    "ointment",
];
/// What a product without water may be made of.
const BODY: &[&str] = &[
    "emollient",
    "oil",
    "butter",
    "wax",
    "thickener",
    "stabiliser",
    "solvent",
    "emulsifier",
    "powder",
    "clay",
];
/// A little less of these is no slip.
const EVER_SO_LITTLE: &[&str] = &[
    "fragrance",
    "essential oil",
    "colour",
    "pigment",
    "pH adjuster",
    "buffer",
    "electrolyte",
    "humectant",
    "solvent",
];

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    for item in &formula.items {
        let Some(share) = item.share.as_ref().filter(|_| is_judged(formula, item)) else { continue };
        let Some(material) = &item.material else { continue };
        let Some((low, high, figure)) = known_use(&material.usage) else { continue };
        let ten = Exact::whole(10);
        let above = high.as_ref().is_some_and(|high| share.low > high * &ten);
        let little = EVER_SO_LITTLE.iter().any(|function| item.does(function));
        let below =
            !little && low.as_ref().is_some_and(|low| &share.high * &ten < *low) && !share.high.is_zero();
        if !above && !below {
            continue;
        }
        let usual = Window { low, high }.scaled(&Exact::whole(100));
        let percent = share.mid.percent();
        let what = written(item);
        let amount = if what.contains('%') { what } else { format!("{what} ({percent} %)") };
        let (more, slip) = if above { ("more", "too many") } else { ("less", "too few") };
        let message =
            format!("{amount} is over ten times {more} than it is ever used at: {} %", usual.text());
        let _ = out
            .add(item.amount_span.unwrap_or(item.span), message)
            .help(format!("Look for a point in the wrong place, or a zero {slip}."))
            .founded_on(&figure.source)
            .subject(item.key())
            .lines([item.span]);
    }
}

/// The least and the most of all known uses, with the weakest of their figures.
fn known_use(usage: &[Figure<Window>]) -> Option<(Option<Exact>, Option<Exact>, &Figure<Window>)> {
    let weakest = usage.iter().min_by_key(|figure| figure.source.standing)?;
    let open_below = usage.iter().any(|figure| figure.value.low.is_none());
    let open_above = usage.iter().any(|figure| figure.value.high.is_none());
    let low = usage.iter().filter_map(|figure| figure.value.low.clone()).min().filter(|_| !open_below);
    let high = usage.iter().filter_map(|figure| figure.value.high.clone()).max().filter(|_| !open_above);
    Some((low, high, weakest))
}

fn is_judged(formula: &Formula, item: &Item) -> bool {
    let plain = matches!(item.written, Written::Amount(_) | Written::Both);
    // Drops and spoons are estimates, and told as such.
    if !plain || item.conversion.is_some() || item.is_ambiguous() {
        return false;
    }
    let product = &formula.header.product;
    match product.form() {
        Some(form) if WATERY.contains(&form) && !formula.is_water_free() => true,
        Some(form) if WATERY.contains(&form) || OILY.contains(&form) => {
            !BODY.iter().any(|function| item.does(function))
        }
        // Nothing is said: what is mostly water is no bath salt and no powder.
        None if !formula.is_premix() => formula.water.share.low > Exact::fraction(2, 5),
        _ => false,
    }
}
