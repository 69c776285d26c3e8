use crate::Level;
use crate::amounts::{grams, written};
use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use formula::{Conversion, Exact, Item, Written};
use notation::{Dimension, Measures, PhaseKind, Unit};

rule! {
    /// An amount is measured by volume, not weighed.
    ///
    /// ## Why
    /// A spoon of powder weighs half as much sifted as packed, a cup is not the same cup everywhere, and limits are
    /// percents of weight. The weight shown rests on the density and the spoon that the finding names.
    /// ## Fires
    /// ```formula
    /// formula Larder oil
    /// product body oil
    ///    80     g     jojoba oil
    ///     1     tbsp  castor oil
    /// ```
    /// ```formula
    /// formula Larder oil
    /// product body oil
    /// market US
    ///    80     g     jojoba oil
    ///   1/4     cup   castor oil
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Larder oil
    /// product body oil
    ///    80     g     jojoba oil
    ///    14.4   g     castor oil
    /// ```
    /// A millilitre of water is a gram of water:
    /// ```formula
    /// formula Rinse water
    /// product premix
    ///   500     mL    purified water
    /// ```
    /// ## Fix
    /// Writes the grams. A matter of judgement: they are only as good as the density and the spoon.
    /// ## Sources
    /// - spoons and cups: NIST Handbook 44, Appendix C (US); 5, 15 and 250 mL (metric); UK Units of Measurement
    ///   Regulations 1995 (imperial)
    /// - a powder sifted or packed: common practice
    /// - the density: the source that the finding names
    name: "volume-not-weight",
    group: Amounts,
    level: Warning,
    since: "0.1.0",
    fixes: Always,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    for item in &case.formula.items {
        let Written::Amount(unit) = item.written else { continue };
        let Some(conversion) = item.conversion.as_ref().filter(|_| unit.dimension() == Dimension::Volume)
        else {
            continue;
        };
        if is_water(item) {
            continue;
        }
        let weight = grams(&conversion.grams.mid);
        let figure = conversion.figure.text();
        let message = format!(
            "{} is about {weight}, at {figure} g/mL{}",
            written(item),
            measure(case, unit, conversion)
        );
        let powder = is_powder(item);
        let help = if powder {
            "Weigh it and write grams: a powder's weight by volume depends on how it is filled."
        } else {
            "Weigh it and write grams."
        };
        let adding = out
            .add(item.amount_span.unwrap_or(item.span), message)
            .level(if powder { Level::Warning } else { Level::Note })
            .help(help)
            .founded_on(&conversion.source)
            .subject(item.key())
            .lines([item.span]);
        if let Some(span) = item.amount_span {
            let title = format!("Write {weight}, at {figure} g/mL");
            let _ = adding.replace(title, span, weight);
        }
    }
}

/// Water, and what is water but for a trace: a hydrosol, a tea.
fn is_water(item: &Item) -> bool {
    let water = item.material.as_ref().and_then(|material| material.water.as_ref());
    water.and_then(|figure| figure.value.low.as_ref()).is_some_and(|low| *low >= Exact::fraction(98, 100))
}

fn is_powder(item: &Item) -> bool {
    let powder = item.material.as_ref().is_some_and(|material| material.phase == Some(PhaseKind::Powder));
    powder || ["powder", "clay", "pigment"].into_iter().any(|function| item.does(function))
}

/// `; a metric tablespoon of 15 mL, as no market and no measures are said`
fn measure(case: &Case<'_>, unit: Unit, conversion: &Conversion) -> String {
    let (Unit::FluidOunce(said) | Unit::Teaspoon(said) | Unit::Tablespoon(said) | Unit::Cup(said)) = unit
    else {
        return String::new();
    };
    let header = &case.formula.header;
    let by = match (case.settings().measures, header.markets.first()) {
        _ if said.is_some() => String::new(),
        (Some(_), _) => ", by the workshop's measures".to_owned(),
        (None, Some(market)) if !header.market_assumed => format!(", by the market {market}"),
        _ => ", since neither `measures` nor a market is said".to_owned(),
    };
    let whose = said.or(conversion.kitchen.as_ref().map(|(_, whose)| *whose));
    let (millilitres, whose) = match whose {
        Some(whose) => (formula::factor::millilitres(unit, whose), whose),
        None => return String::new(),
    };
    let Some(millilitres) = millilitres else { return String::new() };
    let (article, whose) = match (whose, unit) {
        // Outside the UK a fluid ounce is the US one.
        (Measures::Metric, Unit::FluidOunce(_)) | (Measures::Us, _) => ("a", "US"),
        (Measures::Metric, _) => ("a", "metric"),
        (Measures::Imperial, _) => ("an", "imperial"),
    };
    let name = match unit {
        Unit::FluidOunce(_) => "fluid ounce",
        Unit::Teaspoon(_) => "teaspoon",
        Unit::Tablespoon(_) => "tablespoon",
        _ => "cup",
    };
    format!(" and {article} {whose} {name} of {} mL{by}", millilitres.shown(2))
}
