use crate::Level;
use crate::amounts::{grams, written};
use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use formula::{Item, Written};
use notation::Unit;

rule! {
    /// An amount is counted in drops.
    ///
    /// ## Why
    /// A drop weighs anything between half and one and a half times its usual weight, by dropper, warmth and hand,
    /// and twenty drops do not become a hundred when the batch is five times as large. Essential oils and
    /// preservatives are dosed to a tenth of a percent; drops cannot do that.
    /// ## Fires
    /// ```formula
    /// formula Attic oil
    /// product body oil
    ///   100     g     jojoba oil
    ///    10     drops lavender oil
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Attic oil
    /// product body oil
    ///   100     g     jojoba oil
    ///     0.3   g     lavender oil
    /// ```
    /// ## Fix
    /// Writes the estimated grams where there is a batch to count them in. A matter of judgement: weigh it instead.
    /// ## Settings
    /// The maker's own `drop 31 mg` in an `ingredient` block, or `drops 34 per g` in the workshop, makes this a hint.
    /// ## Sources
    /// - the weight of a drop: the source that the finding names; ± 50 % (common practice)
    name: "drops-not-weight",
    group: Amounts,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let totals = &case.formula.totals;
    for (at, item) in case.formula.items.iter().enumerate() {
        if item.written != Written::Amount(Unit::Drop) {
            continue;
        }
        let Some(conversion) = &item.conversion else { continue };
        let own = conversion.source.own;
        let joined = !totals.unknown.iter().any(|(line, _)| *line == at) && item.share.is_some();
        let weight = grams(&conversion.grams.mid);
        let (what, mg) = (written(item), conversion.figure.text());
        let message = match (joined, own) {
            (false, _) => format!("{what}: drops are no weight"),
            (true, true) => {
                format!("{what}: {weight}, by your own figure of {mg} mg a drop; drops do not scale")
            }
            (true, false) => format!(
                "{what}: drops are no weight; about {weight} ({} to {}), at {mg} mg a drop ± 50 %, and they \
                 do not scale",
                grams(&conversion.grams.low),
                grams(&conversion.grams.high),
            ),
        };
        let mut adding = out
            .add(item.amount_span.unwrap_or(item.span), message)
            .level(level(item, own))
            .help("Weigh them once, and write grams or percent.")
            .subject(item.key())
            .lines([item.span]);
        if joined {
            adding = adding.source(conversion.source.text.to_string());
        }
        if let Some(span) = item.amount_span.filter(|_| joined) {
            let title = format!("Write {weight}, at {mg} mg a drop");
            let _ = adding.replace(title, span, weight);
        }
    }
}

fn level(item: &Item, own: bool) -> Level {
    let dosed = item.does("essential oil") || item.does("preservative");
    match (own, dosed) {
        (true, _) => Level::Hint,
        (false, true) => Level::Warning,
        (false, false) => Level::Note,
    }
}
