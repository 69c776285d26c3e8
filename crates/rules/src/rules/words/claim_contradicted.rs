use crate::card::rule;
use crate::case::Case;
use crate::diet::{carriers, diets};
use crate::findings::Findings;
use crate::wording::{self, Place, Said, holds, level, says_free, speaks_of_absence, tokens};
use crate::{Level, words};
use formula::people::scent;
use formula::{Exact, Found, Item, Standing};
use notation::fold;

rule! {
    /// The formula's own lines contradict a claim.
    ///
    /// ## Why
    /// “Fragrance-free” with lavender, “vegan” with beeswax, “nut-free” with almond oil: those who read such words
    /// need them to be true. For some of them it is an allergy.
    /// ## Fires
    /// ```formula
    /// formula Quiet cream
    /// product cream, face
    /// for sale
    /// claim fragrance-free
    /// market EU
    /// note List: Lavandula Oil/Extract, Linalool, Linalyl Acetate, Limonene, Coumarin, Geraniol
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///        15     %     jojoba oil
    ///         6     %     cetearyl alcohol (and) ceteareth-20
    ///         0.2   %     lavender oil
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// Beeswax for vegans:
    /// ```formula
    /// formula Quiet balm
    /// product balm, hands
    /// claim vegan, with calendula
    ///   to  100     %     sunflower oil
    ///        20     %     beeswax
    /// ```
    /// Said to be in it, and not there:
    /// ```formula
    /// formula Quiet balm
    /// product balm, hands
    /// claim with shea butter
    ///   to  100     %     sunflower oil
    ///        20     %     beeswax
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Quiet cream
    /// product cream, face
    /// claim fragrance-free, vegan, nut-free, alcohol-free
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///        15     %     coconut oil
    ///         6     %     cetearyl alcohol (and) ceteareth-20
    ///         3     %     cetyl alcohol
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// Plant wax:
    /// ```formula
    /// formula Vegan lip balm
    /// product lip balm
    /// claim vegan, with shea butter
    ///   to  100     %     sunflower oil
    ///        12     %     candelilla wax
    ///        20     %     shea butter
    /// ```
    /// The variant leaves the scent out:
    /// ```formula
    /// formula Evening balm
    /// product balm, hands
    ///   to  100     %     sunflower oil
    ///        20     %     beeswax
    ///         0.5   %     lavender oil
    ///
    /// variant unscented
    /// omit lavender oil
    /// ```
    /// ## Fix
    /// Takes the claim out of its line.
    /// ## Sources
    /// - Reg. (EU) 655/2013, Annex (truthfulness: what is claimed to be in it is in it; legal compliance)
    /// - hypoallergenic: Technical document on cosmetic claims, 3 July 2017, Annex IV, as summarised by
    ///   freyrsolutions.com
    name: "claim-contradicted",
    group: Words,
    level: Error,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

const TRUTH: &str = "Reg. (EU) 655/2013, Annex (truthfulness)";

/// What contradicts a claim.
struct Against<'f> {
    lines: Vec<&'f Item>,
    /// After the claim: `but lavender oil is in it`.
    why: String,
    most: Level,
    source: &'static str,
    standing: Standing,
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    if case.formula.is_premix() {
        return;
    }
    let mut texts = wording::said(case);
    texts.extend(wording::people(case));
    for said in texts {
        let Some(against) = against(case, &said) else { continue };
        let what = if said.place == Place::Name { "the name says" } else { "the formula is said to be" };
        let mut adding = out
            .add(said.span, format!("{what} “{}”, but {}", said.text, against.why))
            .level(level(case, &said, against.most))
            .standing(against.standing)
            .help("Take the words out, or the lines that stand against them.")
            .source(against.source)
            .subject(format!("{}: {}", fold(&said.text), against.why))
            .lines(against.lines.iter().map(|item| item.span));
        for item in &against.lines {
            adding = adding.related(item.name_span, format!("{} stands against it", item.name));
        }
        let _ = wording::without(case, &said, adding);
    }
}

fn against<'f>(case: &Case<'f>, said: &Said) -> Option<Against<'f>> {
    let text = said.words.as_slice();
    let lines = scented(case, text)
        .or_else(|| preserved(case, text))
        .or_else(|| grouped(case, text))
        .or_else(|| named(case, text))
        .or_else(|| watery(case, text))
        .or_else(|| absent(case, said));
    if lines.is_some() {
        return lines;
    }
    // Who it is for is asked elsewhere.
    if said.place != Place::For {
        for diet in diets(text) {
            let lines = carriers(case, diet);
            if !lines.is_empty() {
                let names: Vec<String> =
                    lines.iter().map(|(item, why)| format!("{} ({why})", item.name)).collect();
                return Some(is_in_it(lines.into_iter().map(|(item, _)| item).collect(), &names));
            }
        }
    }
    None
}

fn is_in_it<'f>(lines: Vec<&'f Item>, names: &[String]) -> Against<'f> {
    let is = if names.len() == 1 { "is" } else { "are" };
    Against {
        why: format!("{} {is} in it", words::list(names)),
        lines,
        most: Level::Error,
        source: TRUTH,
        standing: Standing::Read,
    }
}

fn these(lines: Vec<&Item>) -> Option<Against<'_>> {
    let names: Vec<String> = lines.iter().map(|item| item.name.clone()).collect();
    (!lines.is_empty()).then(|| is_in_it(lines, &names))
}

/// Fragrance-free, unscented, without essential oils; hypoallergenic.
fn scented<'f>(case: &Case<'f>, text: &[String]) -> Option<Against<'f>> {
    const SCENT: &[&str] = &[
        "fragrance",
        "fragrances",
        "perfume",
        "perfumes",
        "parfum",
        "scent",
        "scents",
        "synthetic fragrance or essential oils",
    ];
    let free = SCENT.iter().any(|word| says_free(text, word))
        || ["unscented", "scentless", "unperfumed"].iter().any(|word| holds(text, word));
    let oils = ["essential oil", "essential oils"].iter().any(|word| says_free(text, word));
    let allergic = ["hypoallergenic", "hypo allergenic"].iter().any(|word| holds(text, word));
    if !free && !oils && !allergic {
        return None;
    }
    let lines: Vec<&Item> =
        scent(case.formula).items.iter().filter_map(|at| case.formula.items.get(*at)).collect();
    let lines: Vec<&Item> = if free || allergic {
        lines
    } else {
        lines.into_iter().filter(|item| item.does("essential oil")).collect()
    };
    let against = these(lines)?;
    if free || oils {
        return Some(against);
    }
    Some(Against {
        why: format!("{}, and scent is what most people react to", against.why),
        most: Level::Warning,
        source: "Technical document on cosmetic claims, 3 July 2017, Annex IV, as summarised by \
            freyrsolutions.com",
        standing: Standing::SecondHand,
        ..against
    })
}

/// Preservative-free. What only helps, and what is there for something else, is no contradiction.
fn preserved<'f>(case: &Case<'f>, text: &[String]) -> Option<Against<'f>> {
    if !["preservative", "preservatives"].iter().any(|word| says_free(text, word)) {
        return None;
    }
    let mut at: Vec<usize> = case.preservatives().iter().filter(|one| one.main).map(|one| one.item).collect();
    at.dedup();
    these(at.into_iter().filter_map(|at| case.formula.items.get(at)).collect())
}

/// Paraben-free, alcohol-free, oil-free, silicone-free: kinds of things.
fn grouped<'f>(case: &Case<'f>, text: &[String]) -> Option<Against<'f>> {
    let formula = case.formula;
    let free = |words: &[&str]| words.iter().any(|word| says_free(text, word));
    let parabens = free(&["paraben", "parabens"]);
    let alcohol = free(&["alcohol"]);
    let oil = free(&["oil", "oils"]);
    if !parabens && !alcohol && !oil {
        return None;
    }
    let mut at: Vec<usize> = Vec::new();
    for substance in &formula.substances {
        let Some(material) = &substance.material else { continue };
        for via in substance.via.iter().filter(|via| via.itself) {
            let more_than = |least: Exact| via.share.as_ref().is_some_and(|share| share.mid >= least);
            let is = (parabens && material.groups.iter().any(|group| group == "parabens"))
                || (alcohol && material.does("alcohol") && more_than(Exact::fraction(5, 1000)))
                || (oil
                    && material.does("oil")
                    && !material.does("essential oil")
                    && more_than(Exact::fraction(1, 100)));
            if is && !at.contains(&via.item) {
                at.push(via.item);
            }
        }
    }
    these(at.into_iter().filter_map(|at| formula.items.get(at)).collect())
}

/// `lanolin-free`, `no mineral oil`, `silicone-free`: a name, or a class of the catalogue, that is in it.
fn named<'f>(case: &Case<'f>, text: &[String]) -> Option<Against<'f>> {
    if !speaks_of_absence(text) {
        return None;
    }
    let formula = case.formula;
    let class = class_before_free(case, text);
    let mut at: Vec<usize> = Vec::new();
    for substance in &formula.substances {
        let Some(material) = &substance.material else { continue };
        if material.water_share() == Some(Exact::one()) {
            continue;
        }
        let is = material.names().any(|name| says_free(text, &tokens(name).join(" ")))
            || class.iter().any(|name| *name == material.key());
        if is {
            at.extend(substance.via.iter().filter(|via| via.itself).map(|via| via.item));
        }
    }
    at.sort_unstable();
    at.dedup();
    these(at.into_iter().filter_map(|at| formula.items.get(at)).collect())
}

/// The things that a class can mean, where a text says that it is free of the class.
fn class_before_free(case: &Case<'_>, text: &[String]) -> Vec<String> {
    let Some(at) = text.iter().position(|token| token == "free").filter(|at| *at > 0) else {
        return Vec::new();
    };
    let class = text.get(..at).map(|words| words.join(" ")).unwrap_or_default();
    match case.known.find(&class) {
        Found::Known(material) => material.ambiguous.iter().map(|name| fold(name)).collect(),
        Found::Unknown => Vec::new(),
    }
}

/// Water-free, with water.
fn watery<'f>(case: &Case<'f>, text: &[String]) -> Option<Against<'f>> {
    let free = says_free(text, "water") || ["waterless", "anhydrous"].iter().any(|word| holds(text, word));
    let water = &case.formula.water;
    if !free || water.share.low < Exact::fraction(1, 100) {
        return None;
    }
    let lines: Vec<&Item> = water
        .lines
        .iter()
        .filter(|(_, share)| share.low >= Exact::fraction(1, 100))
        .filter_map(|(at, _)| case.formula.items.get(*at))
        .collect();
    these(lines)
}

/// `with shea butter`, and none is in it.
fn absent<'f>(case: &Case<'f>, said: &Said) -> Option<Against<'f>> {
    let formula = case.formula;
    let text = fold(&said.text);
    let name = ["with ", "contains ", "made with "].iter().find_map(|lead| text.strip_prefix(lead))?;
    let unknown = formula
        .items
        .iter()
        .any(|item| !item.is_known() || item.open_slot || item.blend.iter().any(|(_, part)| part.is_none()));
    if said.place != Place::Claim || unknown || formula.unfinished {
        return None;
    }
    let Found::Known(material) = case.known.find(name) else { return None };
    let there = |substance: &formula::Substance| {
        substance.material.as_ref().is_some_and(|own| own.key() == material.key())
    };
    if !material.ambiguous.is_empty() || formula.substances.iter().any(there) {
        return None;
    }
    Some(Against {
        lines: Vec::new(),
        why: format!("no line brings {}", material.name),
        most: Level::Error,
        source: TRUTH,
        standing: Standing::Read,
    })
}
