use crate::amounts::written;
use crate::card::rule;
use crate::case::Case;
use crate::changes::{is_own, qualified};
use crate::findings::Findings;
use formula::{Exact, Item, Window, Written};

rule! {
    /// Something is sold as a solution, and no strength is said.
    ///
    /// ## Why
    /// Ten percent of a betaine is three percent of betaine if the drum holds 30 %. Without the strength neither the
    /// active nor the water in it is known.
    /// ## Fires
    /// ```formula
    /// formula Slate cleanser base
    /// product premix
    ///   to  100     %     purified water
    ///        12     %     cocamidopropyl betaine
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Slate cleanser base
    /// product premix
    ///   to  100     %     purified water
    ///        12     %     cocamidopropyl betaine; strength 30 %
    /// ```
    /// In the name:
    /// ```formula
    /// formula Slate cleanser base
    /// product premix
    ///   to  100     %     purified water
    ///        12     %     cocamidopropyl betaine 30 %
    /// ```
    /// Waters, and what is often pure:
    /// ```formula
    /// formula Slate water
    /// product premix
    ///   to  100     %     rose hydrosol
    ///         2     %     panthenol
    /// ```
    /// ## Fix
    /// Writes what the usual share of water leaves, which was counted until now. A matter of judgement: salts may
    /// be in it, and the strength stands on the supplier's sheet.
    /// ## Sources
    /// - the water that such solutions usually hold: the source that the finding names
    name: "strength-unstated",
    group: Amounts,
    level: Note,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

/// What is sold dissolved: a single substance with a purpose. Waters, foods and extracts hold water by nature.
const DISSOLVED: &[&str] = &[
    "surfactant",
    "solubiliser",
    "chelator",
    "pH adjuster",
    "buffer",
    "conditioner",
    "humectant",
    "active",
    "preservative",
    "electrolyte",
];
const BY_NATURE: &[&str] = &["hydrosol", "food", "solvent"];

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    for item in &case.formula.items {
        let Some(material) = item.material.as_ref().filter(|_| !is_stated(item)) else { continue };
        let Some(water) =
            material.water.as_ref().filter(|water| !water.source.own && is_solution(&water.value))
        else {
            continue;
        };
        let blend = material.name.contains(" (and) ");
        if blend || !DISSOLVED.iter().any(|f| material.does(f)) || BY_NATURE.iter().any(|f| material.does(f))
        {
            continue;
        }
        let message = format!(
            "{}: it is mostly sold as a solution ({} % water), and no strength is said",
            written(item),
            water.value.scaled(&Exact::whole(100)).text()
        );
        let adding = out
            .add(item.name_span, message)
            .help(
                "Write it from the supplier's sheet: `; strength 30 %`. Until then the usual share of \
                 water is counted.",
            )
            .founded_on(&water.source)
            .subject(item.key())
            .lines([item.span]);
        let usual = water.value.middle().map(|water| (Exact::one() - water).percent().text());
        if let Some(usual) = usual.filter(|_| is_own(case, item)) {
            let edits = qualified(&case.block.text, item, &format!("strength {usual} %"));
            let title = format!("Write `strength {usual} %`, what the usual share of water leaves");
            let _ = adding.judgement_fix(title, edits);
        }
    }
}

fn is_stated(item: &Item) -> bool {
    item.strength.is_some()
        || item.iu_per_gram.is_some()
        || item.name.contains('%')
        || item.is_ambiguous()
        || item.grades.iter().any(|grade| grade == "fine powder")
        || item.written == Written::AsNeeded
}

/// Never without water, and not almost only water: a lower bound of nothing says that it is often pure.
fn is_solution(water: &Window) -> bool {
    let low = water.low.as_ref().is_some_and(|low| *low >= Exact::fraction(1, 5));
    low && water.high.as_ref().is_some_and(|high| *high <= Exact::fraction(95, 100))
}
