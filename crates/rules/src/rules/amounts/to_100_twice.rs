use crate::card::rule;
use crate::case::Case;
use crate::changes::take_out;
use crate::findings::{Adding, Findings};
use formula::{Basis, Item};
use notation::{Edit, Edits};

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
    /// Where there are two: takes one of them out, or lets both share the rest in equal parts. A matter of judgement.
    name: "to-100-twice",
    group: Amounts,
    level: Error,
    since: "0.1.0",
    fixes: Sometimes,
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
        .help(
            "Give all but one of them an amount; or write them as `parts`, which share what the percents \
             leave.",
        )
        .subject(second.key());
    for item in balances.iter().filter(|item| item.span != second.span) {
        adding = adding.related(item.span, format!("{} makes it up too", item.name));
    }
    if balances.len() == 2 && case.is_parent() {
        let _ = one_or_both(case, first, second, adding);
    }
}

fn one_or_both<'a>(case: &Case<'_>, first: &Item, second: &Item, adding: Adding<'a>) -> Adding<'a> {
    let text: &str = &case.block.text;
    let leave = |kept: &Item, gone: &Item| {
        (format!("Leave the rest to {}, take {} out", kept.name, gone.name), take_out(text, gone.span))
    };
    let (one, edits) = leave(first, second);
    let (other, other_edits) = leave(second, first);
    let adding = adding.judgement_fix(one, edits).judgement_fix(other, other_edits);
    let (Some(a), Some(b), Basis::Share) = (first.amount_span, second.amount_span, case.formula.totals.basis)
    else {
        return adding;
    };
    let part = |span| Edit { span, text: "1 part".to_owned() };
    match Edits::new(vec![part(a), part(b)]) {
        Ok(edits) => adding.judgement_fix("Let both share the rest in equal parts", edits),
        Err(_) => adding,
    }
}
