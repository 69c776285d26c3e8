use crate::Level;
use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::words::percent;
use formula::preservation::is_watery;
use formula::{Exact, Fit, Item};

rule! {
    /// Something cationic stands beside something anionic.
    ///
    /// ## Why
    /// Opposite charges pair up. With sulfates and sulfonates the pair is a curd: the product clumps or turns
    /// cloudy, and neither conditions, washes nor preserves as it should. With soaps, gums and other carboxylates
    /// the pair is ten times weaker, and conditioning shampoos are built on it.
    /// ## Fires
    /// ```formula
    /// formula Silk hand cream
    /// product cream, hands
    /// pH 4.5 to 5.0
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        12     %     jojoba oil
    ///         4     %     behentrimonium methosulfate (and) cetearyl alcohol
    ///         1     %     sodium cetearyl sulfate
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Quiet
    /// A conditioning polymer in a shampoo:
    /// ```formula
    /// formula Brook shampoo
    /// product shampoo
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///        40     %     sodium laureth sulfate; strength 28 %
    ///        10     %     cocamidopropyl betaine; strength 30 %
    ///         0.3   %     polyquaternium-10
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// Cationic with non-ionic and amphoteric:
    /// ```formula
    /// formula Brook conditioner
    /// product conditioner
    /// pH 4.0 to 4.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///         4     %     behentrimonium methosulfate (and) cetearyl alcohol
    ///         3     %     cetyl alcohol
    ///         1     %     glyceryl stearate
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    ///   q.s.              citric acid; to pH 4.2
    /// ```
    /// ## Fix
    /// None: one of the two has to be another.
    /// ## Sources
    /// - the `charge` lines of the ingredients
    /// - cationic surfactants pair with sulfates about ten times as strongly as with carboxylates: abstract at
    ///   discovery.researcher.life
    name: "charge-clash",
    group: Dissolving,
    level: Warning,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

/// Where a charge sits on an anionic thing.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Head {
    /// Soaps, gums, and all of which it is not said.
    Weak,
    /// Sulfates and sulfonates.
    Strong,
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    let dry_bar = formula.header.product.says("cleansing bar");
    if !is_watery(formula) && !dry_bar {
        return;
    }
    let anions: Vec<(Head, &Item)> =
        formula.items.iter().filter_map(|item| anionic(case, item).map(|head| (head, item))).collect();
    let Some((strongest, anion)) =
        anions.iter().max_by(|a, b| (a.0, a.1.mid()).cmp(&(b.0, b.1.mid()))).copied()
    else {
        return;
    };
    let cations = formula.items.iter().filter(|item| is_cationic(item));
    let cation = cations.max_by_key(|item| (item.does("preservative"), item.mid().cloned()));
    let Some(cation) = cation else { return };
    let rinsed = formula.header.product.is("rinse-off") == Fit::Yes;
    let preserves = cation.does("preservative") && !cation.does("conditioner");
    // Conditioning polymers are made for shampoos.
    let polymer = cation.does("conditioner") && !cation.does("emulsifier");
    if rinsed && polymer {
        return;
    }
    let level = match strongest {
        Head::Strong if !rinsed || preserves => Level::Warning,
        _ => Level::Hint,
    };
    let head = match strongest {
        Head::Strong => "a sulfate or sulfonate",
        Head::Weak => "anionic as well, though weakly",
    };
    let loss =
        if preserves { "and the preservative is lost" } else { "and the mix can clump or turn cloudy" };
    let amount = |item: &Item| item.mid().map(percent).unwrap_or_default();
    let mut adding = out
        .add(
            cation.name_span,
            format!(
                "{} {} is cationic, {} {} is {head}: they pair up, {loss}",
                cation.name,
                amount(cation),
                anion.name,
                amount(anion)
            ),
        )
        .level(level)
        .help(
            "Take a non-ionic or amphoteric one in place of either, or try the pair in a small batch over \
             some weeks.",
        )
        .source("cationic and anionic surfactants, abstract at discovery.researcher.life")
        .subject(cation.key());
    for (figure, item) in [cation, anion].into_iter().filter_map(|item| Some((charge(item)?, item))) {
        adding = adding
            .standing(figure.source.standing)
            .source(format!("charge of {}: {}", item.name, figure.source.text));
    }
    for (_, other) in &anions {
        adding = adding.related(other.name_span, format!("{} is anionic", other.name)).lines([other.span]);
    }
    let _ = adding;
}

fn charge(item: &Item) -> Option<&formula::Figure<String>> {
    item.material.as_ref()?.charge.as_ref()
}

fn is_cationic(item: &Item) -> bool {
    item.material.as_ref().is_some_and(|material| material.has_charge("cationic"))
        && (item.does("preservative") || item.mid().is_some_and(|share| *share >= Exact::fraction(1, 2000)))
}

/// Emulsifiers, surfactants and gums; the small salts of water are no matter. A gel that still has to be neutralised
/// counts where something neutralises it, a fatty acid never.
fn anionic(case: &Case<'_>, item: &Item) -> Option<Head> {
    let material = item.material.as_ref().filter(|material| material.has_charge("anionic"))?;
    let acts = ["surfactant", "emulsifier", "thickener"].iter().any(|function| material.does(function));
    let enough = item.mid().is_some_and(|share| *share >= Exact::fraction(1, 1000));
    if !acts || !enough {
        return None;
    }
    let words = &material.charge.as_ref()?.value;
    if words.ends_with("when neutralised") {
        let neutralised = case.formula.items.iter().any(|other| other.does("pH adjuster"));
        return (neutralised && !material.dissolves_in("oil")).then_some(Head::Weak);
    }
    let strong = words.ends_with("sulfate") || words.ends_with("sulfonate");
    Some(if strong { Head::Strong } else { Head::Weak })
}
