use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::{Level, law};
use formula::law::{Breach, breaches, coming_days};
use formula::{Ceiling, Rank};

rule! {
    /// The formula keeps to today's law, and will not keep to a change that is already decided.
    ///
    /// ## Why
    /// Limits come with a date. A product that is made, labelled and assessed now may have to be changed before the
    /// jars are sold.
    /// ## Fires
    /// ```formula
    /// formula Citrus lip balm
    /// product lip balm
    /// market EU
    ///    20     %     beeswax
    ///    79.8   %     jojoba oil
    ///     0.2   %     lemongrass oil
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Citrus lip balm
    /// product lip balm
    /// market EU
    ///    20     %     beeswax
    ///    79.9   %     jojoba oil
    ///     0.1   %     lemongrass oil
    /// ```
    /// ## Fix
    /// None: there is time to decide.
    /// ## Sources
    /// - each finding names the act and the day from which it counts
    name: "law-changing",
    group: Limits,
    level: Note,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

/// How far ahead is looked.
const TWO_YEARS: i64 = 731;

fn is_broken_law(breach: &Breach) -> bool {
    breach.limit.force.rank == Rank::Law && breach.certain
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if formula.is_premix() || law::breaches(case).iter().any(is_broken_law) {
        return;
    }
    let mut told: Vec<String> = Vec::new();
    for market in &formula.header.markets {
        for day in coming_days(formula, market, case.law_day, TWO_YEARS) {
            for breach in breaches(formula, market, day).iter().filter(|breach| is_broken_law(breach)) {
                if !told.contains(&breach.substance) {
                    told.push(breach.substance.clone());
                    tell(case, breach, day, out);
                }
            }
        }
    }
}

fn tell(case: &Case<'_>, breach: &Breach, day: notation::Date, out: &mut Findings<'_>) {
    let Some(main) = breach.items.first().and_then(|at| case.formula.items.get(*at)) else { return };
    let basis = breach.counted_as.as_ref().map(|basis| format!(" as {basis}")).unwrap_or_default();
    let allowed = match &breach.limit.ceiling {
        Ceiling::AtMost(ceiling) => {
            format!("is more than the {} % that {} law allows", ceiling.percent(), breach.market)
        }
        _ => format!("is not allowed by {} law", breach.market),
    };
    let what = law::what(case, breach);
    let message =
        format!("{what}{basis} keeps to today's law; from {day} it {allowed}{}", law::under(breach));
    let _ = out
        .add(main.name_span, message)
        .level(Level::Note)
        .help(format!(
            "Change it before {day}, or plan to sell out what is made until then, as the act allows."
        ))
        .standing(breach.standing)
        .source(breach.limit.source.text.to_string())
        .subject(breach.substance.clone())
        .duty();
}
