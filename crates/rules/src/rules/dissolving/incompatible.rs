use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::words::{list, percent};
use formula::preservation::is_watery;
use formula::{Clash, Exact, Figure, Found, Item, Material, Substance};
use std::sync::Arc;

rule! {
    /// Of two things, one undoes the other.
    ///
    /// ## Why
    /// Some pairs react, fall out or take each other's effect in the jar, however well each of them works alone.
    /// The finding gives the reason.
    /// ## Fires
    /// ```formula
    /// formula Quay serum
    /// product serum, face
    /// pH 2.8 to 3.3
    ///   to  100     %     purified water
    ///        10     %     ascorbic acid
    ///         0.4   %     sodium benzoate
    ///         0.2   %     potassium sorbate
    /// ```
    /// The maker's own line counts:
    /// ```formula
    /// formula Quay gel
    /// product gel, face
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///         1     %     Marsh gum
    ///         3     %     sodium PCA; strength 50 %
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ingredient Marsh gum
    /// function stabiliser
    /// phase water
    /// soluble in water
    /// incompatible with any electrolyte above 1 % because it turns to strings
    /// ```
    /// ## Quiet
    /// Niacinamide and vitamin C go together:
    /// ```formula
    /// formula Quay serum
    /// product serum, face
    /// pH 3.0 to 3.5
    ///   to  100     %     purified water
    ///        10     %     ascorbic acid
    ///         4     %     niacinamide
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// Dry acid and carbonate wait for the bath:
    /// ```formula
    /// formula Fizzing bomb
    /// product bath bomb
    ///        60     %     sodium bicarbonate
    ///        30     %     citric acid
    ///        10     %     corn starch
    /// ```
    /// Less than the line says:
    /// ```formula
    /// formula Quay gel
    /// product gel, face
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///         1     %     Marsh gum
    ///         1     %     sodium PCA; strength 50 %
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ingredient Marsh gum
    /// function stabiliser
    /// phase water
    /// soluble in water
    /// incompatible with any electrolyte above 1 % because it turns to strings
    /// ```
    /// ## Fix
    /// None: one of the two has to go.
    /// ## Sources
    /// - the `incompatible with` lines of the ingredients; the finding names where they come from and is no louder
    ///   than that allows
    name: "incompatible",
    group: Dissolving,
    level: Warning,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    let mut told: Vec<(String, String)> = Vec::new();
    for substance in &formula.substances {
        let Some(material) = &substance.material else { continue };
        // One reason, one finding, however many lines give it.
        let mut reasons: Vec<&str> = Vec::new();
        for figure in &material.incompatible {
            let because = figure.value.because.as_str();
            if reasons.contains(&because) || has_a_rule_of_its_own(case, material, &figure.value) {
                continue;
            }
            reasons.push(because);
            judge(case, substance, material, because, &mut told, out);
        }
    }
}

/// Salts in gels, and pairs of UV filters, which a third can keep stable.
fn has_a_rule_of_its_own(case: &Case<'_>, material: &Material, clash: &Clash) -> bool {
    let salt =
        material.does("thickener") && matches!(clash.with.as_str(), "any electrolyte" | "any metal salt");
    let filter = |name: &str| matches!(case.known.find(name), Found::Known(other) if other.does("UV filter"));
    salt || (material.does("UV filter") && filter(&clash.with))
}

/// What a line names, with the line that brings it.
struct Partner<'a> {
    substance: &'a Substance,
    item: &'a Item,
    figure: &'a Figure<Clash>,
}

fn judge<'a>(
    case: &Case<'a>,
    substance: &'a Substance,
    material: &'a Arc<Material>,
    because: &str,
    told: &mut Vec<(String, String)>,
    out: &mut Findings<'_>,
) {
    let Some((own, item)) = line_of(case, substance) else { return };
    let mut partners: Vec<Partner<'a>> = Vec::new();
    for figure in material.incompatible.iter().filter(|figure| figure.value.because == because) {
        let meant = meant(case, substance, material, &figure.value, own);
        let amount: Exact = meant.iter().filter_map(|(other, _)| direct_share(other)).sum();
        // An adjuster that is spent on the acid is meant to be.
        let spent = item.does("pH adjuster") && item.mid().is_none_or(|share| *share < amount);
        if spent || !holds(case, &figure.value, &amount) {
            continue;
        }
        let new = meant.into_iter().filter(|(_, line)| !is_coated(line));
        partners.extend(new.map(|(substance, item)| Partner { substance, item, figure }));
    }
    partners.retain(|other| !told.contains(&(other.substance.name.clone(), substance.name.clone())));
    let Some(first) = partners.first().filter(|_| !is_coated(item)) else { return };
    told.extend(partners.iter().map(|other| (substance.name.clone(), other.substance.name.clone())));
    let below = first.figure.value.below_ph.as_ref().map(|ph| format!(" below pH {ph}")).unwrap_or_default();
    let names: Vec<String> = partners.iter().map(|other| called(other.substance, other.item)).collect();
    let message =
        format!("{} and {} do not go together{below}: {because}", called(substance, item), list(&names));
    let mut adding = out
        .add(item.name_span, message)
        .help("Leave out or replace one of the two.")
        .founded_on(&first.figure.source)
        .subject(format!("{} / {}", item.key(), first.item.key()));
    for other in &partners {
        let line = other.item;
        adding = adding.related(line.name_span, format!("{} is the other", line.name)).lines([line.span]);
    }
    let _ = adding;
}

/// The other substances that a line means, each with the item that brings most of it, where the two meet.
fn meant<'a>(
    case: &Case<'a>,
    substance: &Substance,
    material: &Material,
    clash: &Clash,
    own: usize,
) -> Vec<(&'a Substance, &'a Item)> {
    let fits = |other: &&Substance| {
        other.name != substance.name
            && other.material.as_ref().is_some_and(|m| clash.means(m) && meet(case, material, m))
    };
    let others = case.formula.substances.iter().filter(fits);
    others
        .filter_map(|other| line_of(case, other).map(|(at, line)| (other, at, line)))
        .filter(|(_, at, _)| *at != own)
        .map(|(other, _, line)| (other, line))
        .collect()
}

/// How much of a substance itself there is, not of what counts as it.
fn direct_share(substance: &Substance) -> Option<Exact> {
    let known = substance.via.iter().filter(|via| via.itself).filter_map(|via| via.share.as_ref());
    let sum: Exact = known.map(|share| share.low.clone()).sum();
    (!sum.is_zero()).then_some(sum)
}

/// `citric acid 2 %`, or `benzoic acid in Marsh blend`.
fn called(substance: &Substance, item: &Item) -> String {
    let amount = item.mid().map(|share| format!(" {}", percent(share))).unwrap_or_default();
    if item.key() == notation::fold(&substance.name) {
        format!("{}{amount}", item.name)
    } else {
        format!("{} in {}", substance.name, item.name)
    }
}

/// The line that brings most of a substance itself, not something that only counts as it.
fn line_of<'a>(case: &Case<'a>, substance: &Substance) -> Option<(usize, &'a Item)> {
    let ways = substance.via.iter().filter(|via| via.itself);
    let most = ways.max_by_key(|via| via.share.as_ref().map(|share| share.mid.clone()))?;
    case.formula.items.get(most.item).map(|item| (most.item, item))
}

/// Whether two things meet at all: dissolved in one water, or in one oil. In a product without water what lies there as a
/// powder does not react.
fn meet(case: &Case<'_>, one: &Material, other: &Material) -> bool {
    let oily = |material: &Material| material.dissolves_in("oil");
    let product = &case.formula.header.product;
    let dry = ["bath bomb", "bath salts", "loose powder", "pressed powder", "powder"]
        .iter()
        .any(|form| product.says(form));
    (is_watery(case.formula) && !dry) || (oily(one) && oily(other))
}

fn holds(case: &Case<'_>, clash: &Clash, amount: &Exact) -> bool {
    if clash.above.as_ref().is_some_and(|above| amount <= above) {
        return false;
    }
    let Some(below) = &clash.below_ph else { return true };
    let target = case.formula.header.ph.as_ref().map(|(window, _)| window);
    let target = target.or_else(|| case.formula.items.iter().find_map(|item| item.to_ph.as_ref()));
    target.and_then(|window| window.high.as_ref()).is_some_and(|high| high < below)
}

/// A coat keeps a powder from the water.
fn is_coated(item: &Item) -> bool {
    item.grades.iter().any(|grade| grade == "coated")
}
