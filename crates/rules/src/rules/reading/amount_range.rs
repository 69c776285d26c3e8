use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::words;
use formula::{Interval, Item};
use notation::RangeKind;

rule! {
    /// An amount is a range, or "about", where the batch needs one number.
    ///
    /// ## Why
    /// The scales take one number. The sums count the middle, limits the upper end and minima the lower end, so a
    /// range can break a limit at one end and spoil the product at the other.
    /// ## Fires
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///   to 100     %     jojoba oil
    ///     10 to 20 %     squalane
    /// ```
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///   to 100     %     jojoba oil
    ///     about 15 %     squalane
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///   to 100     %     jojoba oil
    ///       15     %     squalane
    /// ```
    /// An open slot is still being decided:
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///   to 100     %     jojoba oil
    ///     10 to 20 %     any light oil
    /// ```
    /// ## Fix
    /// Writes the number that the sums count. It needs a look: only a trial shows which end is right.
    name: "amount-range",
    group: Reading,
    level: Note,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    for item in case.formula.items.iter().filter(|item| item.is_range && !item.open_slot) {
        if item.to_ph.is_some() || item.does("pH adjuster") {
            continue;
        }
        tell(case, item, out);
    }
}

fn tell(case: &Case<'_>, item: &Item, out: &mut Findings<'_>) {
    let Some(measure) = words::measure_of(case.block, item) else { return };
    let Some(interval) = Interval::read(&case.block.text, &measure.range) else { return };
    let number = interval.mid.data();
    let unit = measure.unit.map_or("", |unit| unit.unit.spelling());
    let counted = match measure.range.kind {
        RangeKind::About | RangeKind::AtLeast => format!("all sums and limits take it as {number} {unit}"),
        RangeKind::AtMost => format!("the sums and limits take it as {number} {unit}, minima as nothing"),
        RangeKind::Between | RangeKind::PlusMinus | RangeKind::Exact => format!(
            "the sums take {number} {unit}, limits {}, minima {}",
            interval.high.data(),
            interval.low.data()
        ),
    };
    let _ = out
        .add(measure.span, format!("{} `{}` is not one number: {counted}", item.name, item.amount_text))
        .help("Write the amount that is weighed; what was tried can stand in a `note` line.")
        .subject(item.key())
        .lines([item.span])
        .replace(format!("Write `{number} {unit}`"), measure.range.span, number.clone());
}
