use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;

rule! {
    /// Two lines make up the total.
    ///
    /// ## Why
    /// One `to 100 %` line takes what the others leave. Two of them leave open how much goes to each.
    /// ## Fires
    /// ```formula
    /// formula Orchard oil
    /// product body oil
    ///   to  100     %     jojoba oil
    ///   to  100     %     apricot kernel oil
    ///        30     %     sunflower oil
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Orchard oil
    /// product body oil
    ///   to  100     %     jojoba oil
    ///        30     %     apricot kernel oil
    ///        30     %     sunflower oil
    /// ```
    /// ## Fix
    /// None: which of them gets how much has to be decided.
    name: "to-100-twice",
    group: Amounts,
    level: Error,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    let balances: Vec<&formula::Item> =
        formula.totals.balances.iter().filter_map(|at| formula.items.get(*at)).collect();
    let [first, second, ..] = balances.as_slice() else { return };
    let count = if balances.len() == 2 { "two".to_owned() } else { balances.len().to_string() };
    let message = format!("{count} lines make up the total: {} and {}", first.name, second.name);
    let mut adding = out
        .add(second.amount_span.unwrap_or(second.span), message)
        .help("Give all but one of them an amount; or write them as `parts`, which share what the percents leave.")
        .subject(second.key());
    for item in balances.iter().filter(|item| item.span != second.span) {
        adding = adding.related(item.span, format!("{} makes it up too", item.name));
    }
}
