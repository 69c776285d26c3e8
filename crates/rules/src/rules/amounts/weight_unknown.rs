use crate::amounts::{by_weight, place, written};
use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::words;
use formula::{Item, Unknown, Written};
use notation::Unit;

rule! {
    /// The weight of a line cannot be known.
    ///
    /// ## Why
    /// A volume is a weight only with a density, international units only with a strength, and percents by volume
    /// only with the product's density. Until then the line counts nowhere: not in the total, not in any limit.
    /// ## Fires
    /// ```formula
    /// formula Loft oil
    /// product body oil
    ///    90     g     jojoba oil
    ///    10     mL    house rose infusion
    /// ```
    /// ```formula
    /// formula Loft oil
    /// product body oil
    ///    90     g     jojoba oil
    /// 20000     IU    retinyl palmitate
    /// ```
    /// ```formula
    /// formula Loft rinse
    /// product premix
    ///     5     % w/v glycerin
    ///     2     % w/v propanediol
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Loft oil
    /// product body oil
    ///    90     g     jojoba oil
    ///    10     g     sunflower oil
    /// ```
    /// ## Fix
    /// Percents by volume are read as percents by weight; a matter of judgement, as good as the product is near to
    /// water. For the others none: the figure comes from the supplier, or from the scales.
    name: "weight-unknown",
    group: Amounts,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    let unknown = |why: Unknown| -> Vec<&Item> {
        let lines = formula.totals.unknown.iter().filter(|(_, own)| *own == why);
        lines.filter_map(|(at, _)| formula.items.get(*at)).collect()
    };
    for item in unknown(Unknown::Density) {
        let message = format!("{}: its weight is not known, since nobody says its density", written(item));
        let help = format!(
            "Weigh it and write grams; or give its `density` in a block of your own: `ingredient {}`.",
            item.name
        );
        let span = item.amount_span.unwrap_or(item.span);
        let _ = out.add(span, message).help(help).subject(item.key()).lines([item.span]);
    }
    for item in unknown(Unknown::Strength) {
        let message = format!("{}: its weight is not known, since no strength is said", written(item));
        let help = "Write the strength from the supplier's sheet, for example `; strength 1700000 IU/g`; or \
            write grams.";
        let span = item.amount_span.unwrap_or(item.span);
        let _ = out.add(span, message).help(help).subject(item.key()).lines([item.span]);
    }
    let by_volume = unknown(Unknown::ProductDensity);
    let Some(first) = by_volume.first() else { return };
    let units: Vec<&str> = [Unit::PercentWv, Unit::PercentVv]
        .into_iter()
        .filter(|unit| by_volume.iter().any(|item| item.written == Written::Amount(*unit)))
        .map(Unit::spelling)
        .collect();
    let lines = match by_volume.as_slice() {
        [one] => format!("{} stands", one.name),
        several => format!("{} lines stand", several.len()),
    };
    let message = format!("{lines} in {}, and the product's density is not said", units.join(" and "));
    let span = if case.is_parent() { first.amount_span.unwrap_or(first.span) } else { place(case) };
    let fix = by_weight(case, &by_volume);
    let names: Vec<String> = by_volume.iter().map(|item| item.name.clone()).collect();
    let adding = out
        .add(span, message)
        .help(format!(
            "Say the product's density (`density 1.02 g/mL`), or write {} in % of weight.",
            words::list(&names)
        ))
        .lines(by_volume.iter().map(|item| item.span));
    if let Some(edits) = fix {
        let _ = adding.judgement_fix("Read them as percent of weight", edits);
    }
}
