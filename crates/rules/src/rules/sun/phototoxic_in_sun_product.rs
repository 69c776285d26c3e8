use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::{Level, law, words};
use formula::law::{FUROCOUMARINS, photosensitisers};
use formula::{Exact, Item, is_sun_product};
use notation::fold;

rule! {
    /// There are oils with furocoumarins in a product that is made for the sun.
    ///
    /// ## Why
    /// Sun care and tanning products are put on just before the light that makes furocoumarins burn. EU law allows
    /// less than one part in a million, far below what other products may hold.
    /// ## Fires
    /// ```formula
    /// formula Beach balm
    /// product balm, body, sun care
    /// tested SPF by ISO 24444
    ///    20     %     beeswax
    ///    69.95  %     jojoba oil
    ///    10     %     zinc oxide; coated; non-nano
    ///     0.05  %     cold-pressed bergamot oil
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Beach balm
    /// product balm, body, sun care
    /// tested SPF by ISO 24444
    ///    20     %     beeswax
    ///    69.95  %     jojoba oil
    ///    10     %     zinc oxide; coated; non-nano
    ///     0.05  %     bergamot FCF oil
    /// ```
    /// After the sun, within the usual limit:
    /// ```formula
    /// formula After-sun balm
    /// product balm, body, after-sun
    ///    20     %     beeswax
    ///    79.95  %     jojoba oil
    ///     0.05  %     cold-pressed bergamot oil
    /// ```
    /// ## Fix
    /// None: it has to go, or be the furocoumarin-free oil.
    /// ## Sources
    /// - Reg. (EC) 1223/2009 Annex II entry 358: furocoumarins below 1 mg/kg in sun protection and bronzing products
    name: "phototoxic-in-sun-product",
    group: Sun,
    level: Error,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if !is_sun_product(&formula.header.product) || formula.is_premix() {
        return;
    }
    let substance = formula.substances.iter().find(|substance| {
        substance.material.as_ref().map_or_else(|| fold(&substance.name), |material| material.key())
            == FUROCOUMARINS
    });
    let known: Vec<(usize, Exact)> = substance
        .iter()
        .flat_map(|substance| &substance.via)
        .filter_map(|via| via.share.as_ref().map(|share| (via.item, share.high.clone())))
        .collect();
    let total: Exact = known.iter().map(|(_, share)| share.clone()).sum();
    let mut items: Vec<usize> = Vec::new();
    if total >= Exact::fraction(1, 1_000_000) {
        items.extend(known.iter().map(|(at, _)| *at));
    }
    // The furocoumarin oils whose content no figure says: what is one part in a million of the product is then always
    // exceeded in the end.
    let unsaid = photosensitisers(formula).into_iter().filter(|one| {
        let present = one.share.as_ref().is_some_and(|share| !share.high.is_zero());
        present && !one.outside_sum && !known.iter().any(|(at, _)| *at == one.item)
    });
    items.extend(unsaid.map(|one| one.item));
    items.sort_unstable();
    items.dedup();
    let lines: Vec<&Item> = items.iter().filter_map(|at| formula.items.get(*at)).collect();
    let Some(first) = lines.first() else { return };
    let names: Vec<String> = lines.iter().map(|item| item.name.clone()).collect();
    let bring = if names.len() == 1 { "brings" } else { "bring" };
    let amount = if total >= Exact::fraction(1, 1_000_000) {
        let milligrams = (total * Exact::whole(1_000_000)).shown(2);
        format!("about {milligrams} mg/kg of furocoumarins")
    } else {
        "furocoumarins, how much no figure says,".to_owned()
    };
    let european: Vec<&str> = formula
        .header
        .markets
        .iter()
        .map(String::as_str)
        .filter(|market| ["EU", "UK"].contains(market))
        .collect();
    let assumed = if formula.header.market_assumed { " by EU law (assumed: no market is said)" } else { "" };
    let message = format!(
        "{} {bring} {amount} into a product for the sun; less than 1 mg/kg is allowed{assumed}",
        words::list(&names)
    );
    let mut adding = out
        .add(first.name_span, message)
        .help("Leave it out, or take the furocoumarin-free or distilled oil.")
        .source(
            "Reg. (EC) 1223/2009 Annex II entry 358 (furocoumarins in sun protection and bronzing products)",
        )
        .subject(first.key());
    adding = if european.is_empty() {
        adding.level(Level::Warning)
    } else {
        adding.level(law::law_level(case)).law()
    };
    for item in lines.iter().skip(1) {
        adding = adding.related(item.name_span, format!("{} brings them too", item.name));
    }
    let _ = adding.lines(lines.iter().map(|item| item.span));
}
