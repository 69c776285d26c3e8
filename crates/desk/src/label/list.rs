//! The order of the list, as a market wants it.
//!
//! EU and UK, Reg. (EC) No 1223/2009 Art. 19(1)(g): by weight at the time of adding; what is there at less than 1 % may
//! stand in any order after what is there at 1 % or more; colourants in any order after all others; nanomaterials with
//! `(nano)` behind; perfume and aroma under these words, with the allergens of Annex III beside them. US, 21 CFR
//! 701.3(a) and (f): by predominance; fragrance and flavor under these words; 1 % or less, and colour additives, in any
//! order after the others. We keep to the weight below 1 %, too, which both allow.

use super::Market;
use formula::labels::{Due, Listed, Listing, SCENT, Unsettled, WATER, Why, everyday_name};
use formula::{Exact, Fit, Formula, Interval};
use notation::fold;

/// Where a name stands in the list.
#[derive(Clone, Copy, PartialEq, Eq, Debug, PartialOrd, Ord)]
pub enum LabelPlace {
    /// By its weight, among those whose order counts.
    Weighed,
    /// After them, where any order will do.
    Minor,
    /// An allergen, which some other line brings.
    Allergen,
    /// A line whose share is not known.
    Open,
    /// A colourant, after all others.
    Colourant,
}

impl LabelPlace {
    /// Its word in outputs for scripts.
    pub fn word(self) -> &'static str {
        match self {
            LabelPlace::Weighed => "by weight",
            LabelPlace::Minor => "any order",
            LabelPlace::Allergen => "allergen",
            LabelPlace::Open => "share unknown",
            LabelPlace::Colourant => "colourant",
        }
    }
}

/// A name of the list.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct LabelEntry {
    /// As it is printed; in square brackets where something has to be settled first.
    pub text: String,
    /// Where it stands, and why.
    pub kind: LabelPlace,
    /// How much of it there is.
    pub share: Option<Interval>,
    /// Whether that is the least: more comes in than is known.
    pub at_least: bool,
    /// Whether its place or its name has to be settled first.
    pub unsettled: bool,
    /// The lines that bring it.
    pub from: Vec<String>,
    /// How well the weakest figure behind its share is founded, in a word; none where the lines say all.
    pub standing: Option<&'static str>,
}

/// The list in the order of a market.
pub(super) fn entries(
    formula: &Formula,
    listing: &Listing,
    due: &[Due],
    abroad: &[Due],
    market: Market,
) -> Vec<LabelEntry> {
    let mut entries: Vec<LabelEntry> = Vec::new();
    for listed in &listing.listed {
        let entry = entry(formula, listed, market);
        // Where nano and other grades go by one name, they are one.
        match entries.iter_mut().find(|own| own.text == entry.text) {
            Some(own) => own.join(entry),
            None => entries.push(entry),
        }
    }
    for entry in &mut entries {
        let colourant = entry.kind == LabelPlace::Colourant;
        if let Some(share) = entry.share.as_ref().filter(|_| !colourant) {
            entry.kind = place(share, market);
        }
    }
    entries.extend(listing.unsettled.iter().map(|unsettled| open(formula, unsettled, market)));
    let printed: Vec<String> = listing.listed.iter().map(|listed| fold(&listed.name)).collect();
    let named = due.iter().filter(|due| !printed.contains(&fold(&due.text)));
    entries.extend(named.map(|due| allergen(formula, due, market)));
    // What the tables do not hold is left open, not left out.
    entries.extend(abroad.first().map(|_| LabelEntry {
        text: format!("[scent allergens by {} law?]", market.code()),
        kind: LabelPlace::Allergen,
        share: None,
        at_least: false,
        unsettled: true,
        from: lines(formula, &abroad.iter().flat_map(|due| due.items.iter().copied()).collect::<Vec<_>>()),
        standing: None,
    }));
    // Stable: equals stay in the order of the sheet.
    entries.sort_by(|a, b| a.kind.cmp(&b.kind).then_with(|| weight(b).cmp(&weight(a))));
    entries
}

impl LabelEntry {
    fn join(&mut self, other: LabelEntry) {
        self.share = self.share.take().zip(other.share).map(|(own, other)| own.plus(&other));
        self.from.extend(other.from);
    }
}

fn weight(entry: &LabelEntry) -> Exact {
    entry.share.as_ref().map(|share| share.mid.clone()).unwrap_or_default()
}

/// Whether the order of a share counts: from 1 % on in the EU and the UK, above 1 % in the US.
fn place(share: &Interval, market: Market) -> LabelPlace {
    let one = Exact::fraction(1, 100);
    let counts = if market == Market::Us { share.mid > one } else { share.mid >= one };
    if counts { LabelPlace::Weighed } else { LabelPlace::Minor }
}

fn entry(formula: &Formula, listed: &Listed, market: Market) -> LabelEntry {
    LabelEntry {
        text: printed(formula, listed, market),
        kind: if listed.colour { LabelPlace::Colourant } else { LabelPlace::Weighed },
        share: Some(listed.share.clone()),
        at_least: false,
        unsettled: false,
        from: lines(formula, &listed.items),
        standing: listed.source.as_ref().map(crate::facts::standing),
    }
}

fn lines(formula: &Formula, items: &[usize]) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for item in items.iter().filter_map(|at| formula.items.get(*at)) {
        if !names.contains(&item.name) {
            names.push(item.name.clone());
        }
    }
    names
}

/// The name as the market wants it.
fn printed(formula: &Formula, listed: &Listed, market: Market) -> String {
    let lips = formula.header.product.is("lips") == Fit::Yes;
    let name = listed.name.as_str();
    match (market, name) {
        (Market::Eu | Market::Uk, SCENT) if lips => return "Aroma".to_owned(),
        (Market::Us, SCENT) if lips => return "Flavor".to_owned(),
        (Market::Us, SCENT) => return "Fragrance".to_owned(),
        (Market::Us, WATER) => return "Water".to_owned(),
        (Market::Us, _) => {}
        (_, _) if listed.nano => return format!("{name} (nano)"),
        _ => return name.to_owned(),
    }
    let material = listed.material.as_deref();
    let everyday = if name.starts_with("CI ") {
        material.filter(|material| !material.own).map(|material| material.name.clone())
    } else {
        material.filter(|material| fold(material.label_name()) == fold(name)).and_then(everyday_name)
    };
    everyday.map_or_else(|| name.to_owned(), |everyday| format!("{name} ({everyday})"))
}

/// A line that has no place or no name yet: in brackets, at its weight where that is known.
fn open(formula: &Formula, unsettled: &Unsettled, market: Market) -> LabelEntry {
    let names = unsettled.names.join(", ");
    let text = match &unsettled.why {
        Why::NoWeight if !names.is_empty() => format!("[{names}: how much?]"),
        Why::NoWeight => format!("[{}: how much?]", unsettled.name),
        Why::Parts if !names.is_empty() => format!("[{names}: how much of each?]"),
        Why::Carrier(carrier) if !names.is_empty() => format!("[{names}, {carrier}: INCI name?]"),
        _ => format!("[{}: INCI name?]", unsettled.name),
    };
    let kind = unsettled.share.as_ref().map_or(LabelPlace::Open, |share| place(share, market));
    LabelEntry {
        text,
        kind,
        share: unsettled.share.clone(),
        at_least: false,
        unsettled: true,
        from: lines(formula, &[unsettled.item]),
        standing: None,
    }
}

/// An allergen that another line brings. From 1 % on it has its place by weight like all others.
fn allergen(formula: &Formula, due: &Due, market: Market) -> LabelEntry {
    let heavy = place(&due.amount, market) == LabelPlace::Weighed;
    let from = lines(formula, &due.items);
    LabelEntry {
        text: if due.unnamed { format!("[allergens of {}?]", from.join(", ")) } else { due.text.clone() },
        kind: if heavy { LabelPlace::Weighed } else { LabelPlace::Allergen },
        share: Some(due.amount.clone()),
        at_least: due.open,
        unsettled: due.unnamed,
        from,
        standing: None,
    }
}
