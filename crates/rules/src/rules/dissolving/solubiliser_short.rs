use crate::card::rule;
use crate::case::Case;
use crate::changes::{has_balance, with_number};
use crate::findings::Findings;
use crate::words;
use formula::mixing::{Place, floating};
use formula::{Exact, Item, Written};
use notation::Unit;

rule! {
    /// There is less solubiliser than the oil or the scent takes.
    ///
    /// ## Why
    /// A solubiliser wraps the oil in particles far smaller than a drop, and that takes several times the oil's own
    /// weight. With less of it than oil the water turns milky and a film rises.
    /// ## Fires
    /// ```formula
    /// formula Petal mist
    /// product mist, face
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///         3     %     glycerin
    ///         0.4   %     lavender oil
    ///         0.2   %     polysorbate 20
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Petal mist
    /// product mist, face
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///         3     %     glycerin
    ///         0.4   %     lavender oil
    ///         1.6   %     polysorbate 20
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// In a bath the water is plenty, and little does:
    /// ```formula
    /// formula Evening soak
    /// product bath salts
    ///        98.5   %     magnesium sulfate
    ///         1     %     lavender oil
    ///         0.5   %     polysorbate 20
    /// ```
    /// ## Fix
    /// Where the solubiliser is a percent and another line is the balance: makes it four times the oil. A matter of
    /// judgement: only a trial tells how much an oil takes.
    /// ## Sources
    /// - starting ratio of one to one by weight, more for heavy oils: rawsource.com, on essential and fragrance oil
    ///   in water; three to eight times: common practice
    /// - a fifth of the essential oil in a bath product: common practice
    name: "solubiliser-short",
    group: Dissolving,
    level: Note,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let Some(found) = floating(case.formula) else { return };
    let items: Vec<&Item> = found.solubilisers.iter().filter_map(|at| case.formula.items.get(*at)).collect();
    let Some(first) = items.iter().copied().max_by_key(|item| item.mid().cloned()) else { return };
    if items.iter().any(|item| item.share.is_none()) {
        return;
    }
    let (oils, least, carries) = match found.place {
        Place::Water => (
            &found.scent + &found.oil,
            Exact::one(),
            "clear water takes at least as much of it as oil, usually 3 to 8 times as much",
        ),
        Place::Bath => {
            (found.scent.clone(), Exact::fraction(1, 5), "a bath takes about a fifth of the scent's weight")
        }
    };
    if found.solubiliser >= &oils * &least {
        return;
    }
    let what = if found.oils.is_empty() || found.place == Place::Bath { "scent" } else { "oil and scent" };
    let message = format!(
        "{} of solubiliser for {} of {what}; {carries}",
        words::percent(&found.solubiliser),
        words::percent(&oils)
    );
    let mut adding = out
        .add(first.name_span, message)
        .help("Use more of it, or less oil, and see in a trial whether it stays clear.")
        .source("rawsource.com, on essential and fragrance oil in water; common practice")
        .subject(first.key());
    for at in found.scents.iter().chain(&found.oils) {
        let Some(oil) = case.formula.items.get(*at) else { continue };
        adding = adding.related(oil.name_span, format!("{} is to be carried", oil.name));
    }
    let plain =
        first.written == Written::Amount(Unit::Percent) && first.strength.is_none() && items.len() == 1;
    let text = (&oils * &Exact::whole(400)).text();
    if found.place == Place::Water
        && plain
        && has_balance(case)
        && let Some(edits) = with_number(case, first, &text)
    {
        adding = adding.judgement_fix(format!("Use {text} % {}", first.name), edits);
    }
    let _ = adding;
}
