use crate::card::rule;
use crate::case::Case;
use crate::changes::{has_balance, indented, line_below};
use crate::findings::Findings;
use crate::words;
use crate::{Level, words::list};
use formula::mixing::{Floating, Place, floating};
use formula::{Exact, Item, Written};
use notation::Unit;

rule! {
    /// Nothing carries the oil or the scent in a product of water, or in one for the bath.
    ///
    /// ## Why
    /// Essential oils and other oils do not dissolve in water. Without a solubiliser they float in drops and films,
    /// and whoever uses the product first, or gets into the bath, has them undiluted on the skin. Undiluted
    /// essential oil irritates skin.
    /// ## Fires
    /// ```formula
    /// formula Lavender toner
    /// product toner, face
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///         3     %     glycerin
    ///         0.5   %     lavender oil
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// Salt does not carry it either:
    /// ```formula
    /// formula Evening soak
    /// product bath salts
    ///        99     %     magnesium sulfate
    ///         1     %     lavender oil
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Lavender toner
    /// product toner, face
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///         3     %     glycerin
    ///         0.5   %     lavender oil
    ///         2     %     polysorbate 20
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// In an emulsion the scent goes into the oil drops:
    /// ```formula
    /// formula Lavender milk
    /// product lotion, body
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        15     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    ///         0.3   %     lavender oil
    /// ```
    /// A bath oil dilutes it, and so does a carrier oil in the salt:
    /// ```formula
    /// formula Bath oil
    /// product bath oil
    ///        98     %     high-oleic sunflower oil
    ///         2     %     lavender oil
    /// formula Oiled soak
    /// product bath salts
    ///        94     %     magnesium sulfate
    ///         5     %     high-oleic sunflower oil
    ///         1     %     lavender oil
    /// ```
    /// Two layers, to be shaken:
    /// ```formula
    /// formula Shaken mist
    /// product mist, face, shake before use
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///         0.3   %     lavender oil
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Fix
    /// Where the scent is a percent and another line is the balance: adds an open slot for a solubiliser of four
    /// times its weight. A matter of judgement: which one it is has to be written, and tried.
    /// ## Sources
    /// - undiluted drops on skin: stellacrown-elixirs.blogspot.com, February 2026; planttherapy.com and eocsa.org on
    ///   essential oils in the bath
    /// - 3 to 8 times its weight of solubiliser, a fifth in a bath product with a carrier oil: common practice
    name: "needs-solubiliser",
    group: Dissolving,
    level: Error,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let Some(found) = floating(case.formula) else { return };
    if !found.solubilisers.is_empty() {
        return;
    }
    let items = |lines: &[usize]| -> Vec<&Item> {
        lines.iter().filter_map(|at| case.formula.items.get(*at)).collect()
    };
    let scented = !found.scents.is_empty();
    let all = if scented { items(&found.scents) } else { items(&found.oils) };
    let Some(first) = all.iter().copied().max_by_key(|item| item.mid().cloned()) else { return };
    let essential = all.iter().any(|item| item.does("essential oil"));
    let names: Vec<String> = all
        .iter()
        .map(|item| match item.mid() {
            Some(share) => format!("{} {}", item.name, words::percent(share)),
            None => item.name.clone(),
        })
        .collect();
    let irritates = if essential { ", and undiluted essential oil irritates skin" } else { "" };
    let (where_, way) = match found.place {
        Place::Water if found.thickened => (
            "nothing here carries it in the water; it stays in drops",
            "Mix it first with 3 to 8 times its weight of a solubiliser and try it out, or leave it out.",
        ),
        Place::Water => (
            "nothing here carries it in the water; it floats on top in drops",
            "Mix it first with 3 to 8 times its weight of a solubiliser and try it out, or leave it out.",
        ),
        Place::Bath => (
            "nothing here carries it in the bath water; it floats there as a film",
            "Mix it first with a carrier oil and a solubiliser, or leave it out; a carrier oil of at least \
             four times its weight dilutes it.",
        ),
    };
    let way = if essential && found.place == Place::Water {
        format!("{way} A hydrosol gives scent without oil.")
    } else {
        way.to_owned()
    };
    let mut adding = out
        .add(first.name_span, format!("{}: {where_}{irritates}", list(&names)))
        .level(level(case, &found, essential))
        .help(way)
        .subject(first.key())
        .lines(all.iter().map(|item| item.span));
    if essential {
        adding = adding
            .source("stellacrown-elixirs.blogspot.com, February 2026, on drops of undispersed essential oil")
            .source("planttherapy.com and eocsa.org, on essential oils in the bath");
    } else {
        adding = adding.source("common practice");
    }
    for other in all.iter().filter(|other| other.name_span != first.name_span) {
        adding = adding.related(other.name_span, format!("{} floats as well", other.name));
    }
    let plain = first.written == Written::Amount(Unit::Percent) && !first.changed;
    if found.place == Place::Water && plain && has_balance(case) {
        let amount = (&found.scent + &found.oil) * Exact::whole(400);
        let line = indented(case, first, &format!("{amount} % any solubiliser"));
        adding = adding.judgement_fix(
            format!("Add {amount} % of a solubiliser"),
            line_below(&case.block.text, first.span, &line),
        );
    }
    let _ = adding;
}

/// An error where undiluted essential oil meets the skin; quieter where a gel holds the drops apart, in what is rinsed
/// off, and where milk is said to carry it, of which the trade does not agree.
fn level(case: &Case<'_>, found: &Floating, essential: bool) -> Level {
    let formula = case.formula;
    let milk = formula.items.iter().any(|item| {
        item.material.as_ref().is_some_and(|material| material.families.iter().any(|family| family == "milk"))
    });
    if found.place == Place::Bath {
        return if milk {
            Level::Hint
        } else if essential {
            Level::Error
        } else {
            Level::Warning
        };
    }
    let rinsed = formula.header.product.usage() != Some("leave-on");
    match (essential, found.thickened) {
        (true, false) if !rinsed => Level::Error,
        (false, true) if found.scents.is_empty() => Level::Note,
        _ => Level::Warning,
    }
}
