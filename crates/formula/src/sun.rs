//! The UV filters of a formula. Nothing here tells how much it protects: that is measured, never worked out.
#![deny(clippy::float_arithmetic)]

use crate::exact::Exact;
use crate::formula::{Formula, Item};
use crate::material::Material;
use std::sync::Arc;

/// A line that brings a UV filter.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct UvFilter {
    /// The line.
    pub item: usize,
    /// The filter.
    pub material: Arc<Material>,
    /// Its share of the whole; none where it is not known.
    pub share: Option<Exact>,
    /// Whether it takes up UVA. A filter of which no kind is said takes up both.
    pub uva: bool,
    /// Whether it is a mineral powder, which dissolves in nothing.
    pub mineral: bool,
}

/// Everything that filters UV, blends and premixes included.
pub fn uv_filters(formula: &Formula) -> Vec<UvFilter> {
    let mut found = Vec::new();
    for substance in &formula.substances {
        let Some(material) = substance.material.as_ref().filter(|material| material.does("UV filter")) else {
            continue;
        };
        for via in substance.via.iter().filter(|via| via.itself) {
            found.push(UvFilter {
                item: via.item,
                material: Arc::clone(material),
                share: via.share.as_ref().map(|share| share.high.clone()),
                uva: material.functions.iter().any(|own| own == "UV filter" || own == "UV filter UVA"),
                mineral: material.dissolves_in("nothing"),
            });
        }
    }
    found
}

/// Whether every line is known, blends and premixes included: else something unknown could be a filter.
pub fn is_all_known(formula: &Formula) -> bool {
    formula.items.iter().all(is_known)
}

fn is_known(item: &Item) -> bool {
    let inside = item.premix.as_ref().is_none_or(|premix| is_all_known(premix));
    item.is_known() && !item.open_slot && inside && item.blend.iter().all(|(_, part)| part.is_some())
}

/// How many percent of filter a number on the label stands on at the very least, in parts of what is there: above 1,
/// more would be needed than there is. No prediction: twice and more what the trade reports of the best dispersions
/// (0.5 to 1.5 for each percent of zinc oxide in the charts that go round, about twice as much of titanium dioxide, which
/// is the stronger in UVB), so that only what is far off is told. Common practice. None without mineral filters, and
/// where others, or shares that nobody knows, are among them.
pub fn shortfall(filters: &[UvFilter], number: &Exact) -> Option<Exact> {
    const ZINC_OXIDE: i64 = 3;
    const TITANIUM_DIOXIDE: i64 = 5;
    let mut most = Exact::zero();
    for filter in filters {
        if !filter.mineral {
            return None;
        }
        let each = if filter.uva { ZINC_OXIDE } else { TITANIUM_DIOXIDE };
        most = most + filter.share.as_ref()?.percent() * Exact::whole(each);
    }
    number.over(&most)
}
