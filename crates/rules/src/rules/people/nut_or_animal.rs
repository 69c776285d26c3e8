use crate::card::rule;
use crate::case::Case;
use crate::diet::{Diet, carriers, diets};
use crate::findings::Findings;
use crate::people::{by_occasion, tell_kept_from};
use crate::wording::people;
use crate::{Level, words};
use formula::Item;

rule! {
    /// The product holds something that those it is made for are allergic to, or do not use.
    ///
    /// ## Why
    /// Who asks for a balm without nuts has a reason, and trusts the maker. Almond, hazelnut, macadamia and walnut
    /// oils come from tree nuts, peanut oil from a legume that is meant as well when people say “nuts”; refining
    /// lowers the protein and leaves traces. Coconut, argan, shea and palm kernel are not on the lists of tree
    /// nuts; shea was on one until 2025 (a hint).
    /// ## Fires
    /// ```formula
    /// formula Snow balm
    /// product balm, hands
    /// for nut allergy
    ///   to  100     %     sunflower oil
    ///        20     %     candelilla wax
    ///        30     %     sweet almond oil
    /// ```
    /// Not for vegans:
    /// ```formula
    /// formula Snow balm
    /// product balm, hands
    /// for vegans
    ///   to  100     %     sunflower oil
    ///        20     %     beeswax
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Snow balm
    /// product balm, hands
    /// for nut allergy
    ///   to  100     %     sunflower oil
    ///        20     %     beeswax
    ///        30     %     coconut oil
    /// ```
    /// Plant wax for vegans:
    /// ```formula
    /// formula Snow balm
    /// product balm, hands
    /// for vegans
    ///   to  100     %     sunflower oil
    ///        12     %     candelilla wax
    ///        30     %     shea butter
    /// ```
    /// Nobody asked for it:
    /// ```formula
    /// formula Snow balm
    /// product balm, hands
    ///   to  100     %     sweet almond oil
    ///        20     %     beeswax
    /// ```
    /// ## Fix
    /// Takes the lines out where a `to 100` line takes up what they leave.
    /// ## Sources
    /// - tree nuts as in Reg. (EU) 1169/2011 Annex II and in the FDA's Questions and answers regarding food
    ///   allergens, 5th ed. 2025, as quoted by foodallergy.org; peanut oil: Reg. (EC) 1223/2009 Annex III entry 306
    ///   (protein at most 0.5 ppm)
    /// - the families and origins of the catalogue
    name: "nut-or-animal",
    group: People,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    if case.formula.is_premix() {
        return;
    }
    let mut told: Vec<&str> = Vec::new();
    for said in people(case) {
        for diet in diets(&said.words) {
            if told.contains(&diet.name) {
                continue;
            }
            told.push(diet.name);
            let lines = carriers(case, diet);
            if lines.is_empty() {
                disputed(case, diet, out);
            } else {
                tell(case, diet, &said.text, said.span, &lines, out);
            }
        }
    }
}

fn tell(
    case: &Case<'_>,
    diet: &Diet,
    person: &str,
    place: notation::Span,
    lines: &[(&Item, String)],
    out: &mut Findings<'_>,
) {
    let Some((first, _)) = lines.first() else { return };
    let named: Vec<String> = lines.iter().map(|(item, why)| format!("{} ({why})", item.name)).collect();
    let keys: Vec<String> = lines.iter().map(|(item, _)| item.key()).collect();
    let items: Vec<&Item> = lines.iter().map(|(item, _)| *item).collect();
    let mut adding = out
        .add(first.name_span, format!("{} in a product that is said to be for {person}", words::list(&named)))
        .level(by_occasion(case, Level::Warning))
        .help(format!("{} Ask the supplier what else is handled on the same machines.", diet.help))
        .source(diet.source)
        .subject(format!("{}: {}", diet.name, keys.join(", ")))
        .related(place, "it is said here")
        .lines(items.iter().map(|item| item.span));
    if let Some(edits) = crate::changes::left_out(case, &items) {
        let names: Vec<String> = items.iter().map(|item| item.name.clone()).collect();
        adding = adding.judgement_fix(format!("Leave out {}", words::list(&names)), edits);
    }
    for item in items.iter().skip(1) {
        adding = adding.related(item.name_span, format!("{} too", item.name));
    }
}

/// What some lists count and others do not.
fn disputed(case: &Case<'_>, diet: &Diet, out: &mut Findings<'_>) {
    let allergy = format!("{} allergy", diet.name);
    let place = format!("in a product for {allergy}");
    if let Some(adding) = tell_kept_from(case, out, &allergy, &place, |_| false) {
        let _ = adding.help("Ask the person, or the doctor who knows the allergy.");
    }
}
