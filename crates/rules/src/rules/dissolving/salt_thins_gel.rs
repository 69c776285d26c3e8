use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::words::{list, percent};
use formula::preservation::{is_watery, share_of};
use formula::{Exact, Item};

rule! {
    /// There are salts in a gel that they make thin.
    ///
    /// ## Why
    /// Carbomers and their kin swell because their chains push each other away. Salts take that away: the gel turns
    /// thin, with zinc, magnesium or calcium to water. Xanthan, cellulose and sclerotium gums stand salts.
    /// ## Fires
    /// ```formula
    /// formula Dew gel
    /// product gel, face
    /// pH 5.8 to 6.2
    ///   to  100     %     purified water
    ///         0.5   %     carbomer
    ///         3     %     sodium PCA; strength 50 %
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    ///      q.s.           sodium hydroxide; to pH 6; about 0.2 %
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Dew gel
    /// product gel, face
    /// pH 5.8 to 6.2
    ///   to  100     %     purified water
    ///         0.8   %     xanthan gum
    ///         3     %     sodium PCA; strength 50 %
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// A little salt, and what neutralises the gel:
    /// ```formula
    /// formula Dew gel
    /// product gel, face
    /// pH 5.8 to 6.2
    ///   to  100     %     purified water
    ///         0.5   %     carbomer
    ///         0.1   %     disodium EDTA
    ///         0.3   %     sodium PCA; strength 50 %
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    ///      q.s.           sodium hydroxide; to pH 6; about 0.2 %
    /// ```
    /// In a wash salt thickens the surfactants:
    /// ```formula
    /// formula Mill wash
    /// product body wash
    /// pH 5.5 to 6.0
    ///   to  100     %     purified water
    ///        30     %     sodium laureth sulfate; strength 28 %
    ///         0.5   %     carbomer
    ///         1.5   %     sodium chloride
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Fix
    /// None: another gum, or less salt.
    /// ## Sources
    /// - the `incompatible with any electrolyte` line of the thickener; the finding names where it comes from
    name: "salt-thins-gel",
    group: Dissolving,
    level: Warning,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if !is_watery(formula) || share_of(formula, "surfactant") >= Exact::fraction(3, 100) {
        return;
    }
    for (at, gel) in formula.items.iter().enumerate() {
        let Some(material) = gel.material.as_ref().filter(|material| material.does("thickener")) else {
            continue;
        };
        let figure = material
            .incompatible
            .iter()
            .find(|figure| figure.value.with == "any electrolyte" || figure.value.with == "any metal salt");
        let Some(figure) = figure else { continue };
        let salts: Vec<&Item> = formula
            .items
            .iter()
            .enumerate()
            .filter(|(other, item)| {
                *other != at && item.material.as_ref().is_some_and(|m| figure.value.means(m))
            })
            .map(|(_, item)| item)
            .collect();
        let sum: Exact = salts.iter().filter_map(|item| dry(item)).sum();
        let least = figure.value.above.clone().unwrap_or_default();
        if salts.is_empty() || sum <= least {
            continue;
        }
        let named: Vec<String> =
            salts.iter().filter_map(|item| Some(format!("{} {}", item.name, percent(item.mid()?)))).collect();
        let shown =
            if least.is_zero() { String::new() } else { format!(" (more than {} in all)", percent(&least)) };
        let mut adding = out
            .add(
                gel.name_span,
                format!("{}{shown} beside {}: {}", list(&named), gel.name, figure.value.because),
            )
            .help(
                "Take a gum that stands salts, such as xanthan, cellulose or sclerotium gum, or leave the \
                 salt out.",
            )
            .founded_on(&figure.source)
            .subject(gel.key())
            .lines(salts.iter().map(|item| item.span));
        for salt in &salts {
            adding = adding.related(salt.name_span, format!("{} is a salt", salt.name));
        }
        let _ = adding;
    }
}

/// How much dry salt a line brings at least: the strength that it says, else what its usual water leaves.
fn dry(item: &Item) -> Option<Exact> {
    let low = item.active()?.low;
    let water = item.material.as_ref().and_then(|material| material.water.as_ref()?.value.high.clone());
    match water.filter(|_| item.strength.is_none()) {
        Some(water) => Some(low * (Exact::one() - water)),
        None => Some(low),
    }
}
