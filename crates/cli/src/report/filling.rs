//! How far a batch goes: packs filled, and what they cost by the maker's own prices.

use super::worked::grams;
use desk::{Exact, Formula, Item, Pack};

/// How many of a pack a batch fills.
pub(crate) struct Filled<'a> {
    pub(crate) pack: &'a Pack,
    /// Grams in one.
    pub(crate) each: Option<Exact>,
    /// How many are full, and the grams that are left.
    pub(crate) full: Option<(Exact, Exact)>,
}

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

/// The packs of a formula, filled one kind at a time from the whole batch.
pub(crate) fn packs<'a>(formula: &'a Formula, batch: Option<&Exact>) -> Vec<Filled<'a>> {
    formula
        .header
        .packs
        .iter()
        .map(|pack| {
            let each = each(pack, formula);
            let full = each.as_ref().zip(batch).and_then(|(each, batch)| {
                let count = whole(&batch.over(each)?)?;
                let left = batch - &(&count * each);
                Some((count, left))
            });
            Filled { pack, each, full }
        })
        .collect()
}

/// Grams in a full pack: what its label says, else its volume by the product's density.
fn each(pack: &Pack, formula: &Formula) -> Option<Exact> {
    let by_volume = || Some(pack.millilitres.as_ref()? * formula.header.density.as_ref()?);
    pack.net_grams.clone().or_else(by_volume)
}

/// The whole part of a number that is not negative.
fn whole(value: &Exact) -> Option<Exact> {
    let near = Exact::read(&value.shown(0))?;
    Some(if near > *value { near - Exact::one() } else { near })
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
        let each = each(pack, formula)?;
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
        if let (Some(premix), Some(share), None) = (&item.premix, &share, price(item)) {
            add(bill, premix, share);
            continue;
        }
        bill.of += 1;
        let Some((per_gram, currency)) = price(item) else {
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

/// Money for one gram, and the currency: the first price of the maker's block whose weight is known.
fn price(item: &Item) -> Option<(Exact, &str)> {
    item.material.as_ref()?.prices.iter().find_map(|price| {
        let per_gram = price.money.over(price.grams.as_ref()?)?;
        Some((per_gram, price.currency.as_str()))
    })
}
