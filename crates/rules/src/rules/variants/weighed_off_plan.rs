use crate::amounts::grams;
use crate::card::rule;
use crate::case::Made;
use crate::findings::Findings;
use crate::records::{bench, is_off, is_younger};
use crate::words::about;
use formula::Exact;
use formula::reckon::Planned;

rule! {
    /// A weight on a record is not what the formula asks for.
    ///
    /// ## Why
    /// A slip on the scales explains why one batch came out otherwise, but only as long as somebody notices it.
    /// ## Fires
    /// ```formula
    /// formula Gorse balm
    /// version 3
    /// product balm, body
    ///    80     %     jojoba oil
    ///    20     %     beeswax
    ///
    /// record 26-044
    /// of Gorse balm version 3
    /// batch 500 g
    /// weighed 400.2 g jojoba oil
    /// weighed 118.4 g beeswax
    /// ```
    /// Everything for another batch than the record says is told once:
    /// ```formula
    /// formula Gorse balm
    /// version 3
    /// product balm, body
    ///    80     %     jojoba oil
    ///    20     %     beeswax
    ///
    /// record 26-044
    /// of Gorse balm version 3
    /// batch 500 g
    /// weighed 800.4 g jojoba oil
    /// weighed 200.1 g beeswax
    /// ```
    /// ## Quiet
    /// Within what scales and hands do; two lots of one thing; what is only noted in part:
    /// ```formula
    /// formula Gorse balm
    /// version 3
    /// product balm, body
    ///    80     %     jojoba oil
    ///    20     %     beeswax
    ///
    /// record 26-044
    /// of Gorse balm version 3
    /// batch 500 g
    /// weighed 150 g jojoba oil
    /// weighed 251 g jojoba oil
    /// weighed 100.9 g beeswax
    ///
    /// record 26-045
    /// of Gorse balm version 3
    /// batch 500 g
    /// weighed 100 g beeswax
    /// ```
    /// The maker knows; another version; a batch that is not said:
    /// ```formula
    /// formula Gorse balm
    /// version 3
    /// product balm, body
    ///    80     %     jojoba oil
    ///    20     %     beeswax
    ///
    /// record 26-044
    /// of Gorse balm version 3
    /// batch 500 g
    /// weighed 118.4 g beeswax
    /// deviation beeswax 118 g, the last of the bag
    ///
    /// record 26-012
    /// of Gorse balm version 2
    /// batch 500 g
    /// weighed 118.4 g beeswax
    ///
    /// record 26-046
    /// of Gorse balm version 3
    /// weighed 118.4 g beeswax
    /// ```
    /// ## Fix
    /// None: what was weighed was weighed. Write in a `deviation` line what happened.
    /// ## Sources
    /// - a weight within 5 % of its plan is as planned: common practice
    name: "weighed-off-plan",
    group: Variants,
    level: Note,
    since: "0.1.0",
    fixes: None,
    check: Record(check)
}

fn check(made: &Made<'_>, out: &mut Findings<'_>) {
    let (record, known) = (made.record, made.known);
    let (Some(formula), Some((batch, batch_span))) = (made.plan(), &record.batch) else { return };
    // A sheet that is younger than the batch is no plan that it was weighed by; `version-unmoved` speaks of that.
    if is_younger(formula, record) {
        return;
    }
    let Some(plan) = bench(formula, record, known) else { return };
    let off: Vec<&Planned<'_>> = plan.iter().filter(|planned| is_off(planned, record, known)).collect();
    if let Some(factor) = one_factor(&plan).filter(|_| off.len() == plan.len()) {
        let message = format!(
            "everything was weighed for about {}, and the record says a batch of {}",
            grams(&Exact::read(&(batch * &factor).shown(0)).unwrap_or_default()),
            grams(batch)
        );
        let _ = out
            .add(*batch_span, message)
            .help("Write the batch that was made.")
            .lines(record.weighed.iter().map(|weighed| weighed.span));
        return;
    }
    for planned in off {
        let Some(first) = planned.lines.first() else { continue };
        let share = planned.off().abs().over(&planned.planned.mid).unwrap_or_default();
        let way = if planned.off().is_negative() { "less" } else { "more" };
        let mut adding = out
            .add(
                first.span,
                format!(
                    "{} of {} were weighed, and a batch of {} takes {}: {} {way}",
                    grams(&planned.weighed),
                    planned.item.name,
                    grams(batch),
                    grams(&planned.planned.mid),
                    about(&share)
                ),
            )
            .help(
                "Write in a `deviation` line what happened; if the sheet was changed since, give it a new \
                 version.",
            )
            .source("common practice: a weight within 5 % of its plan is as planned")
            .subject(planned.item.key());
        for line in planned.lines.iter().skip(1) {
            adding = adding.related(line.span, "counted with it");
        }
    }
}

/// By how many times the plan all was weighed, where that is the same for several lines.
fn one_factor(plan: &[Planned<'_>]) -> Option<Exact> {
    let ratios: Option<Vec<Exact>> =
        plan.iter().map(|planned| planned.weighed.over(&planned.planned.mid)).collect();
    let ratios = ratios.filter(|ratios| ratios.len() > 1)?;
    let (least, most) = (ratios.iter().min()?, ratios.iter().max()?);
    (most - least <= most * &Exact::fraction(5, 100)).then(|| (least + most) * Exact::fraction(1, 2))
}
