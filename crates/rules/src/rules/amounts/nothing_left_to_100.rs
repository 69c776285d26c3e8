use crate::amounts::{grams, place};
use crate::card::rule;
use crate::case::Case;
use crate::changes::{plain_measure, take_out};
use crate::findings::{Adding, Findings};
use crate::words::whole_line;
use formula::{Basis, Exact, Item, Written};
use notation::{Edit, Edits, Unit};

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
    /// Takes out the line that gets nothing; where the others are too much, the largest of them then makes up the
    /// total. A matter of judgement: mostly an amount is wrong. Water is not taken out, and of parts nothing is.
    name: "nothing-left-to-100",
    group: Amounts,
    level: Error,
    since: "0.1.0",
    fixes: Sometimes,
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
    let adding = out.add(span, message).help("Lower an amount, or take a line out.").lines([item.span]);
    if let Some(item) = balance.filter(|_| parts.is_empty() && case.is_parent()) {
        let _ = without(case, item, left, adding);
    }
}

/// Offers to take the balance line out, and to let the largest line make up the total where there is too much.
fn without<'a>(case: &Case<'_>, balance: &Item, left: &Exact, adding: Adding<'a>) -> Adding<'a> {
    let watery =
        |item: &Item| item.material.as_ref().is_some_and(|m| m.water_share().is_some_and(|w| !w.is_zero()));
    if watery(balance) || case.formula.totals.balances.len() > 1 {
        return adding;
    }
    let text: &str = &case.block.text;
    let gone = Edit { span: whole_line(text, balance.span), text: String::new() };
    if left.is_zero() {
        let title = format!("Take {} out: it gets nothing", balance.name);
        return adding.judgement_fix(title, take_out(text, balance.span));
    }
    let percents =
        |item: &&Item| item.written == Written::Amount(Unit::Percent) && plain_measure(case, item).is_some();
    let largest = case.formula.items.iter().filter(percents).max_by_key(|item| item.mid().cloned());
    let Some((item, had)) = largest.and_then(|item| Some((item, item.mid()?))) else { return adding };
    let has = had + left;
    let (Some(span), false) = (item.amount_span, has.is_negative() || has.is_zero()) else { return adding };
    let whole = balance.amount_span.map_or("to 100 %", |span| case.at(span));
    let title = format!(
        "Take {} out and make {} the balance: {} % instead of {} %",
        balance.name,
        item.name,
        has.percent(),
        had.percent()
    );
    match Edits::new(vec![gone, Edit { span, text: whole.to_owned() }]) {
        Ok(edits) => adding.judgement_fix(title, edits),
        Err(_) => adding,
    }
}
