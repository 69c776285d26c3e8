use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::words;
use formula::reckon::price_of;
use formula::{Exact, Item, Written};

rule! {
    /// Some ingredients have no price, so that the cost is not whole.
    ///
    /// ## Why
    /// A cost that leaves one ingredient out looks like a cost, and the price of the jar is made from it.
    /// ## Fires
    /// ```formula
    /// formula Gorse balm
    /// product balm, body
    ///    60     %     jojoba oil
    ///    20     %     shea butter
    ///    20     %     beeswax
    ///
    /// ingredient jojoba oil
    /// price 34.00 EUR per kg
    ///
    /// ingredient beeswax
    /// price 17.50 EUR per kg
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Gorse balm
    /// product balm, body
    ///    60     %     jojoba oil
    ///    20     %     shea butter
    ///    20     %     beeswax
    ///
    /// ingredient jojoba oil
    /// price 34.00 EUR per kg
    ///
    /// ingredient shea butter
    /// price 10.40 EUR per kg
    ///
    /// ingredient beeswax
    /// price 17.50 EUR per kg
    /// ```
    /// Prices have only been begun, or are not kept at all; water from the tap, and what an end point decides:
    /// ```formula
    /// formula Gorse balm
    /// product balm, body
    ///    50     %     jojoba oil
    ///    20     %     shea butter
    ///    10     %     cocoa butter
    ///    20     %     beeswax
    ///
    /// formula Gorse rinse
    /// product cleanser, rinse-off
    /// pH 4.5 to 5.0
    ///   to  100     %     purified water
    ///        20     %     glycerin
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    ///      q.s.           lactic acid 80 %; to pH 4.8
    ///
    /// ingredient jojoba oil
    /// price 34.00 EUR per kg
    ///
    /// ingredient glycerin
    /// price 4.90 EUR per kg
    ///
    /// ingredient phenoxyethanol (and) ethylhexylglycerin
    /// price 31.00 EUR per kg
    /// ```
    /// ## Fix
    /// None: write `price 14.20 EUR per kg` into the ingredient's block.
    name: "price-missing",
    group: Variants,
    level: Note,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let counts = |item: &&Item| {
        let water = item.material.as_ref().is_some_and(|own| own.water_share() == Some(Exact::one()));
        let made = item.premix.is_some() || item.premix_missing;
        let decided_later = item.written == Written::AsNeeded || item.open_slot || item.optional;
        // What is unknown, or without an amount, is told of elsewhere.
        let settled = item.is_known() && !item.is_ambiguous() && item.mid().is_some();
        // Water and premixes count where they are bought.
        price_of(item).is_some() || (settled && !(water || made || decided_later))
    };
    let lines: Vec<&Item> = case.formula.items.iter().filter(counts).collect();
    let open: Vec<&Item> = lines.iter().copied().filter(|item| price_of(item).is_none()).collect();
    let priced = lines.len() - open.len();
    // Whoever has priced less than half is not reckoning costs yet.
    let Some(first) = open.first().filter(|_| priced >= 2 && priced >= open.len()) else { return };
    let mut names: Vec<String> = open.iter().map(|item| item.name.clone()).collect();
    names.dedup();
    let verb = if names.len() == 1 { "has" } else { "have" };
    let message = format!(
        "{priced} of {} lines have a price, and {} {verb} none: the cost is not whole",
        lines.len(),
        words::list(&names)
    );
    let by_volume = open.iter().any(|item| item.material.as_ref().is_some_and(|own| !own.prices.is_empty()));
    let volume = if by_volume { " A price by volume needs the ingredient's `density`." } else { "" };
    let mut adding = out
        .add(first.name_span, message)
        .help(format!("Write `price AMOUNT CURRENCY per kg` into the ingredient's block.{volume}"));
    for item in open.iter().skip(1) {
        adding = adding.related(item.name_span, "no price");
    }
}
