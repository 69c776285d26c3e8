use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::words;
use formula::{Ceiling, Fit, Limit, Rank, Substance, Use};
use notation::Word;

rule! {
    /// For a declared market the tables hold no figure of law where the EU has one.
    ///
    /// ## Why
    /// UK law has been its own since 2021, and other countries have their own lists. Only entries that were read in a
    /// country's own law are in the tables; where there is none, silence means neither that a limit is kept nor that
    /// there is none.
    /// ## Fires
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    /// market UK
    ///    99.9   %     jojoba oil
    ///     0.1   %     BHT
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    /// market EU
    ///    99.9   %     jojoba oil
    ///     0.1   %     BHT
    /// ```
    /// Nothing in it has a limit:
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    /// market UK
    ///    60     %     jojoba oil
    ///    40     %     squalane
    /// ```
    /// ## Fix
    /// None: look the substances up in the annexes of that market.
    /// ## Sources
    /// - the UK's own law: the Product Safety and Metrology etc. (Amendment etc.) (EU Exit) Regulations 2019,
    ///   Schedule 34 (from memory)
    name: "law-not-known",
    group: Limits,
    level: Hint,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

/// Markets with an annex-like law of their own, of which few figures or none were read. (The US has no law for most of
/// what the EU limits; nothing is missing there.)
const ALIKE: &[&str] = &["UK", "CA", "AU", "NZ", "CH", "JP"];

/// Names that a message lists.
const MOST: usize = 5;

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if formula.is_premix() || !case.is_parent() {
        return;
    }
    let declared = formula.header.markets.iter().filter(|market| ALIKE.contains(&market.as_str()));
    let mut markets: Vec<String> = Vec::new();
    let mut names: Vec<String> = Vec::new();
    for market in declared {
        for substance in formula.substances.iter().filter(|substance| lacks(case, substance, market)) {
            if !names.contains(&substance.name) {
                names.push(substance.name.clone());
            }
            if !markets.contains(market) {
                markets.push(market.clone());
            }
        }
    }
    if names.is_empty() {
        return;
    }
    let more = names.len().saturating_sub(MOST);
    names.truncate(MOST);
    let listed = if more > 0 { format!("{} and {more} more", names.join(", ")) } else { words::list(&names) };
    let whose = words::list(&markets);
    let place = case.block.facts(Word::Market).next().map_or(formula.name_span, |(_, fact)| fact.rest);
    let _ = out
        .add(place, format!("the tables hold no {whose} figure for {listed}, and the EU has a limit"))
        .help(format!("Look it up in {whose} law; the EU's figure is only a first idea of it."))
        .subject("law");
}

/// Whether the EU's law limits a substance, as it is used here, and nothing of this market is known.
fn lacks(case: &Case<'_>, substance: &Substance, market: &str) -> bool {
    let Some(material) = &substance.material else { return false };
    let header = &case.formula.header;
    let functions = substance.functions();
    let share = substance.share().high;
    let ph = header.ph.as_ref().and_then(|(window, _)| window.high.as_ref().or(window.low.as_ref()));
    let used = Use { functions: &functions, said: &[], share: &share, ph, grade: Fit::Open };
    let holds = |limit: &Limit, market: &str| {
        limit.force.rank == Rank::Law
            && limit.in_force(market, case.law_day)
            && limit.fits(&header.product, used) != Fit::No
    };
    let eu = material
        .limits
        .iter()
        .any(|limit| holds(limit, "EU") && limit.ceiling != Ceiling::Free && !limit.force.markets.is_empty());
    eu && !material.limits.iter().any(|limit| holds(limit, market))
}
