use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::law;
use formula::law::{Breach, FUROCOUMARINS};
use formula::{Ceiling, Rank};

rule! {
    /// There is more of something than a law, an industry code, an opinion or the workshop itself allows.
    ///
    /// ## Why
    /// Limits are set where harm was seen or has to be feared: irritation, allergy, uptake through the skin. Above a
    /// limit of law the product must not be sold in that market. A limit is counted on its own basis (as acid, as
    /// retinol), over everything in the formula that brings the substance: salts, blends, essential oils, premixes.
    /// ## Fires
    /// ```formula
    /// formula Morning toner
    /// product toner, face
    /// market EU
    /// pH 4.5 to 5.0
    ///   to  100     %     purified water
    ///         3     %     glycerin
    ///         0.6   %     sodium benzoate
    /// ```
    /// ## Quiet
    /// Counted as benzoic acid, 0.58 % sodium benzoate stays below 0.5 %:
    /// ```formula
    /// formula Morning toner
    /// product toner, face
    /// market EU
    /// pH 4.0 to 4.2
    ///   to  100     %     purified water
    ///         3     %     glycerin
    ///         0.58  %     sodium benzoate
    ///         0.2   %     potassium sorbate
    ///   q.s.              lactic acid; to pH 4.1; about 0.3 %
    /// ```
    /// ## Fix
    /// Lowers the amount to the most that the limit allows, where one line in percent brings it and another line
    /// makes up the total. A matter of judgement: another ingredient may be the better answer.
    /// ## Sources
    /// - each finding names the entry that it stands on, and the day whose law was used
    name: "over-limit",
    group: Limits,
    level: Error,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    if case.formula.is_premix() {
        return;
    }
    let breaches = law::breaches(case);
    for breach in breaches {
        // What oils bring into products for the sun is told as such.
        let in_sun = notation::fold(&breach.substance) == FUROCOUMARINS;
        // Where law speaks, a code that says the same adds nothing.
        let by_law = breaches.iter().any(|other| {
            other.limit.force.rank == Rank::Law
                && other.certain
                && other.substance == breach.substance
                && breach.limit.force.rank != Rank::Law
        });
        if matches!(breach.limit.ceiling, Ceiling::AtMost(_)) && !in_sun && !by_law {
            tell(case, breach, out);
        }
    }
    law::house_and_own(case, out);
}

fn tell(case: &Case<'_>, breach: &Breach, out: &mut Findings<'_>) {
    let Ceiling::AtMost(ceiling) = &breach.limit.ceiling else { return };
    let Some(main) = breach.items.first().and_then(|at| case.formula.items.get(*at)) else { return };
    let basis = match &breach.counted_as {
        Some(basis) if notation::fold(basis) != notation::fold(&breach.substance) => format!(" as {basis}"),
        _ => String::new(),
    };
    let what = format!("{}{basis}", law::what(case, breach));
    let message = format!(
        "{what} is more than the {} % that {} allows{}",
        ceiling.percent(),
        law::says(case, breach),
        law::under(breach),
    );
    let help = law::way_out(case, breach);
    let mut adding = out.add(main.name_span, message).help(help).subject(breach.substance.clone());
    adding = law::levelled(case, breach, adding);
    adding = adding.rank(if breach.limit.force.rank == Rank::Law { 0 } else { law::AFTER_LAW });
    for item in breach.items.iter().skip(1).filter_map(|at| case.formula.items.get(*at)) {
        adding = adding.related(item.name_span, format!("{} brings {} too", item.name, breach.substance));
    }
    let lines: Vec<_> =
        breach.items.iter().filter_map(|at| case.formula.items.get(*at)).map(|item| item.span).collect();
    let _ = law::lowered(case, breach, ceiling, adding.lines(lines));
}
