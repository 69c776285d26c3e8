//! What a batch costs by the maker's own prices.

use super::worked::grams;
use desk::reckon::{pack_grams, price_of};
use desk::{Exact, Formula};

/// What a batch costs, ingredients only.
pub(crate) struct Cost<'a> {
    pub(crate) currency: &'a str,
    /// Of the lines that have a price; none without a batch.
    pub(crate) batch: Option<Exact>,
    /// The ingredients in the first pack, and the pack.
    pub(crate) per_pack: Option<Exact>,
    /// How many lines have a price and an amount, of how many.
    pub(crate) priced: usize,
    pub(crate) of: usize,
    /// The lines without.
    pub(crate) open: Vec<String>,
}

/// Prices added over the lines of a formula and its premixes.
#[derive(Default)]
struct Bill<'a> {
    currency: Option<&'a str>,
    /// Whether two prices are in different currencies.
    mixed: bool,
    /// Money for one gram of the product.
    per_gram: Exact,
    priced: usize,
    of: usize,
    open: Vec<String>,
}

/// What the batch costs by the first price of each ingredient. None where nothing has a price, or where the prices
/// are not all in one currency.
pub(crate) fn cost<'a>(formula: &'a Formula, batch: Option<&Exact>) -> Option<Cost<'a>> {
    let mut bill = Bill { per_gram: Exact::zero(), ..Bill::default() };
    add(&mut bill, formula, &Exact::one());
    let currency = bill.currency.filter(|_| !bill.mixed && bill.priced > 0)?;
    let per_pack = formula.header.packs.first().and_then(|pack| {
        let (money, own) = pack.cost.as_ref()?;
        let each = pack_grams(pack, formula)?;
        same(own, currency).then(|| &(&each * &bill.per_gram) + money)
    });
    Some(Cost {
        currency,
        batch: grams(Some(&bill.per_gram), batch),
        per_pack,
        priced: bill.priced,
        of: bill.of,
        open: bill.open,
    })
}

fn same(one: &str, other: &str) -> bool {
    one.eq_ignore_ascii_case(other)
}

fn add<'a>(bill: &mut Bill<'a>, formula: &'a Formula, of: &Exact) {
    for item in &formula.items {
        let share = item.mid().map(|share| share * of);
        // A premix with a price of its own is bought, not made.
        if let (Some(premix), Some(share), None) = (&item.premix, &share, price_of(item)) {
            add(bill, premix, share);
            continue;
        }
        bill.of += 1;
        let Some((per_gram, currency)) = price_of(item) else {
            bill.open.push(item.name.clone());
            continue;
        };
        let Some(share) = share else {
            bill.open.push(item.name.clone());
            continue;
        };
        bill.mixed |= bill.currency.is_some_and(|known| !same(known, currency));
        bill.currency = bill.currency.or(Some(currency));
        bill.per_gram = &bill.per_gram + &(&share * &per_gram);
        bill.priced += 1;
    }
}
