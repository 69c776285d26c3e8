//! How far a batch goes: what is left of it after making, and how many packs that fills.

use crate::exact::Exact;
use crate::formula::{Formula, Item, Pack};

/// How many of a pack a batch fills.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Filled<'f> {
    /// The pack.
    pub pack: &'f Pack,
    /// Grams in one: what its label says, else its volume by the product's density; none where neither is known.
    pub each: Option<Exact>,
    /// How many are full, and the grams that are left.
    pub full: Option<(Exact, Exact)>,
}

/// Grams that come out of a batch, where a share of it (0 to 1) stays in the vessels: `batch × (1 − loss)`.
pub fn yield_of(batch: &Exact, loss: Option<&Exact>) -> Exact {
    let kept = Exact::one() - loss.cloned().unwrap_or_default();
    if kept.is_negative() { Exact::zero() } else { batch * &kept }
}

/// The packs of a formula, each kind filled from all that came out of the batch, in grams.
pub fn packs<'f>(formula: &'f Formula, yielded: Option<&Exact>) -> Vec<Filled<'f>> {
    let fill = |pack: &'f Pack| {
        let each = pack_grams(pack, formula);
        let full = each.as_ref().zip(yielded).and_then(|(each, yielded)| {
            let count = whole(&yielded.over(each)?)?;
            let left = yielded - &(&count * each);
            Some((count, left))
        });
        Filled { pack, each, full }
    };
    formula.header.packs.iter().map(fill).collect()
}

/// Grams in a full pack: what its label says, else its volume by the product's density.
pub fn pack_grams(pack: &Pack, formula: &Formula) -> Option<Exact> {
    pack.net_grams.clone().or_else(|| room_of(pack, formula))
}

/// Grams that a pack's volume holds, by the product's density.
pub fn room_of(pack: &Pack, formula: &Formula) -> Option<Exact> {
    Some(pack.millilitres.as_ref()? * formula.header.density.as_ref()?)
}

/// Money for one gram, and the currency: the first price of the maker's block whose weight is known.
pub fn price_of(item: &Item) -> Option<(Exact, &str)> {
    item.material.as_ref()?.prices.iter().find_map(|price| {
        let per_gram = price.money.over(price.grams.as_ref()?)?;
        Some((per_gram, price.currency.as_str()))
    })
}

/// The whole part of a number that is not negative.
fn whole(value: &Exact) -> Option<Exact> {
    let near = Exact::read(&value.shown(0))?;
    Some(if near > *value { near - Exact::one() } else { near })
}
