use crate::amounts::{grams, place};
use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use formula::{Basis, Exact, Written};
use notation::Unit;

rule! {
    /// Nothing is left for the line that makes up the total.
    ///
    /// ## Why
    /// `to 100 %` takes what the other lines leave. Where they already reach the whole, the formula cannot be made as
    /// written: mostly an amount was raised, or a zero too many typed.
    /// ## Fires
    /// ```formula
    /// formula Stove balm
    /// product balm, body
    ///   to  100     %     jojoba oil
    ///        80     %     shea butter
    ///        25     %     beeswax
    /// ```
    /// ```formula
    /// formula Stove balm
    /// product balm, body
    ///   to  200     g     jojoba oil
    ///       150     g     shea butter
    ///        50     g     beeswax
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Stove balm
    /// product balm, body
    ///   to  100     %     jojoba oil
    ///        40     %     shea butter
    ///        25     %     beeswax
    /// ```
    /// Parts share what the percents leave:
    /// ```formula
    /// formula Stove balm
    /// product balm, body
    ///        25     %     beeswax
    ///         2     parts jojoba oil
    ///         1     part  shea butter
    /// ```
    /// ## Fix
    /// None: which amount is too large has to be decided.
    name: "nothing-left-to-100",
    group: Amounts,
    level: Error,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    let totals = &formula.totals;
    let Some(left) = totals.left.as_ref().filter(|left| left.is_negative() || left.is_zero()) else { return };
    let balance = totals.balances.first().and_then(|at| formula.items.get(*at));
    let parts: Vec<&formula::Item> =
        formula.items.iter().filter(|item| item.written == Written::Amount(Unit::Parts)).collect();
    let Some(item) = balance.or(parts.first().copied()) else { return };
    let written_for = totals.written_for.as_ref().filter(|_| totals.basis == Basis::Weight);
    let amount = |share: &Exact| match written_for {
        Some(whole) => grams(&(share * whole)),
        None => format!("{} %", share.percent()),
    };
    let (named, whole) = (amount(&(Exact::one() - left)), amount(&Exact::one()));
    let what = match balance {
        Some(item) => format!("nothing is left for {}", item.name),
        None => "nothing is left for the parts".to_owned(),
    };
    let message = match (balance.is_some() && !parts.is_empty(), left.is_zero()) {
        (true, _) => format!("{what}: parts share all that the other lines leave"),
        (_, true) => format!("{what}: the other lines already add up to {whole}"),
        (_, false) => {
            format!("{what}: the other lines add up to {named}, {} more than {whole}", amount(&left.abs()))
        }
    };
    let span = if case.is_parent() { item.amount_span.unwrap_or(item.span) } else { place(case) };
    let _ = out.add(span, message).help("Lower an amount, or take a line out.").lines([item.span]);
}
