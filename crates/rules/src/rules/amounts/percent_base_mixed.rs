use crate::amounts::{by_weight, place, written};
use crate::card::rule;
use crate::case::Case;
use crate::changes::is_own;
use crate::findings::Findings;
use crate::words::{self, measure_of};
use formula::{Exact, Formula, GapKind, Item, Written};
use notation::{Base, Span, Unit};

rule! {
    /// Percents in one formula are of different wholes.
    ///
    /// ## Why
    /// Percent of the weight, percent of the volume and percent of a phase are three numbers. Added up as one they
    /// give a formula that nobody has made.
    /// ## Fires
    /// ```formula
    /// formula Lamp rinse
    /// product premix
    ///   to  100     %     purified water
    ///         5     % w/v glycerin
    ///         2     %     propanediol
    /// ```
    /// Each phase adds up by itself:
    /// ```formula
    /// formula Lamp balm
    /// product balm, body
    /// phase A oil
    ///    70     %     jojoba oil
    ///    30     %     shea butter
    /// phase B oil
    ///    80     %     beeswax
    ///    20     %     candelilla wax
    /// ```
    /// Nothing fixes the weight of a phase:
    /// ```formula
    /// formula Lamp balm
    /// product balm, body
    /// phase A oil
    ///   to  100     %     jojoba oil
    ///        30     %     shea butter
    /// phase B oil
    ///        80     % of B beeswax
    ///        20     % of B candelilla wax
    /// ```
    /// ## Quiet
    /// The product's density joins volume and weight:
    /// ```formula
    /// formula Lamp rinse
    /// product premix
    /// density 1.02 g/mL
    ///   to  100     %     purified water
    ///         5     % w/v glycerin
    ///         2     %     propanediol
    /// ```
    /// ```formula
    /// formula Lamp balm
    /// product balm, body
    /// phase A oil
    ///   to  100     %     jojoba oil
    ///        30     %     shea butter
    /// phase B oil
    ///        20     %     beeswax
    ///        20     % of B candelilla wax
    /// ```
    /// ## Fix
    /// Percents by volume are written as percents by weight; a percent of a phase that is not there becomes one of
    /// the whole. Both are a matter of judgement. Where a phase adds up by itself none: what was meant has to be
    /// said.
    name: "percent-base-mixed",
    group: Amounts,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    volume_and_weight(case, formula, out);
    relative_to_nothing(case, formula, out);
    phases_by_themselves(case, formula, out);
}

/// Percents of a phase that is not there, or that nothing gives a weight.
fn relative_to_nothing(case: &Case<'_>, formula: &Formula, out: &mut Findings<'_>) {
    for gap in &formula.gaps {
        match &gap.kind {
            // A line that does not read may be what fixes it.
            GapKind::AllRelative(label) if !formula.broken => {
                let message = format!(
                    "phase {label} has no weight: its lines are percents of {label} itself, and nothing \
                     else fixes it"
                );
                let help = "Give at least one of its lines a percent of the whole, or a weight.";
                let _ = out.add(gap.span, message).help(help).subject(label.clone());
            }
            GapKind::NoSuchPhase(label) => {
                let item = formula.items.iter().find(|item| item.amount_span == Some(gap.span));
                let what = item.map(written).unwrap_or_default();
                let message = format!("{what}: the formula has no phase {label}");
                let labels: Vec<String> = formula.phases.iter().map(|phase| phase.label.clone()).collect();
                let help = match labels.as_slice() {
                    [] => "Write it in percent of the whole: the formula has no phases.".to_owned(),
                    labels => format!("Its phases: {}.", words::list(labels)),
                };
                let adding =
                    out.add(gap.span, message).help(help).subject(item.map(Item::key).unwrap_or_default());
                let measure =
                    item.filter(|item| is_own(case, item)).and_then(|item| measure_of(case.block, item));
                if let Some((unit, base)) = measure.and_then(|m| Some((m.unit?.span, m.of?))) {
                    let end = match base {
                        Base::Phase(span) | Base::Oils(span) => span.end,
                    };
                    let _ = adding.replace("Read it as percent of the whole", Span::new(unit.end, end), "");
                }
            }
            _ => {}
        }
    }
}

fn volume_and_weight(case: &Case<'_>, formula: &Formula, out: &mut Findings<'_>) {
    let totals = &formula.totals;
    if totals.by_volume.is_empty() || totals.by_share.is_empty() || formula.header.density.is_some() {
        return;
    }
    let items =
        |lines: &[usize]| -> Vec<&Item> { lines.iter().filter_map(|at| formula.items.get(*at)).collect() };
    let names =
        |items: &[&Item]| words::list(&items.iter().map(|item| item.name.clone()).collect::<Vec<_>>());
    let (volume, weight) = (items(&totals.by_volume), items(&totals.by_share));
    let message = format!(
        "{} in percent of the volume, and {} in percent of the weight, are not of the same whole",
        names(&volume),
        names(&weight)
    );
    let span = match volume.first() {
        Some(first) if case.is_parent() => first.amount_span.unwrap_or(first.span),
        _ => place(case),
    };
    let adding = out
        .add(span, message)
        .help("Say the product's density (`density 1.02 g/mL`), or write all percents by weight.")
        .lines(volume.iter().map(|item| item.span));
    if let Some(edits) = by_weight(case, &volume) {
        let _ = adding.judgement_fix(format!("Read {} as percent of weight", names(&volume)), edits);
    }
}

/// A phase that adds up to 100 by itself, in a formula that comes to far more: its percents may be of the phase.
fn phases_by_themselves(case: &Case<'_>, formula: &Formula, out: &mut Findings<'_>) {
    let totals = &formula.totals;
    // A phase of 100 with a little more on top is a slip of the total, not another whole.
    let much = Exact::fraction(105, 100);
    let over = totals.wanted == Some(Exact::one()) && totals.is_off() && totals.named > much;
    let left = totals.left.as_ref().is_some_and(|left| Exact::one() - left > much);
    if formula.broken || !(over || left) {
        return;
    }
    let mut full: Vec<String> = Vec::new();
    let mut place_at = None;
    for (number, phase) in formula.phases.iter().enumerate() {
        let lines: Vec<&Item> = formula.items_of(number).map(|(_, item)| item).collect();
        let percents = lines.iter().all(|item| item.written == Written::Amount(Unit::Percent));
        let sum: Exact = lines.iter().filter_map(|item| item.mid().cloned()).sum();
        let allowance: Exact = lines.iter().map(|_| Exact::fraction(5, 10_000)).sum();
        if percents && lines.len() > 1 && (sum - Exact::one()).abs() <= allowance {
            full.push(phase.label.clone());
            place_at = place_at.or(Some(phase.span));
        }
    }
    let Some(span) = place_at.map(|span| if case.is_parent() { span } else { place(case) }) else { return };
    let named = if over {
        totals.named.clone()
    } else {
        totals.left.as_ref().map(|left| Exact::one() - left).unwrap_or_default()
    };
    let named = named.percent();
    let message = match full.as_slice() {
        [one] => format!(
            "phase {one} adds up to 100 % by itself, the formula to {named} %: was it meant in percent of \
             the phase?"
        ),
        several => format!(
            "phases {} each add up to 100 % by themselves, the formula to {named} %: were they meant in \
             percent of the phase?",
            words::list(several)
        ),
    };
    let _ = out.add(span, message).help("Write each line in percent of the whole formula.");
}
