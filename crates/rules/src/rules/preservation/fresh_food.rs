use crate::Level;
use crate::card::rule;
use crate::case::Case;
use crate::changes::shelf_life;
use crate::findings::Findings;
use crate::words;
use formula::Exact;
use formula::keeping::fresh_food;

rule! {
    /// There is fresh food in a product that is to be kept.
    ///
    /// ## Why
    /// Milk, juice, egg and fruit bring microbes with them and feed them; no usual dose of a preservative is enough
    /// for that. What is made with them is used up at once.
    /// ## Fires
    /// ```formula
    /// formula Cucumber toner
    /// product toner, face
    /// shelf life 2 months
    ///   to  100     %     purified water
    ///        20     %     cucumber juice
    ///         3     %     glycerin
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ```formula
    /// formula Banana mask
    /// product mask, face
    ///        70     %     mashed banana
    ///        20     %     plain yoghurt
    ///        10     %     oat flour
    /// ```
    /// ## Quiet
    /// Made fresh:
    /// ```formula
    /// formula Cucumber compress
    /// product mask, face
    /// shelf life 1 day
    ///        80     %     cucumber juice
    ///        20     %     glycerin
    /// ```
    /// A distillate, and dry powders:
    /// ```formula
    /// formula Cucumber toner
    /// product toner, face
    ///   to  100     %     cucumber hydrosol
    ///         3     %     glycerin
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    ///
    /// formula Milk bath
    /// product bath salts, bath
    ///        60     %     milk powder
    ///        40     %     corn starch
    /// ```
    /// The supplier's preserved juice, described by the maker:
    /// ```formula
    /// formula Cucumber toner
    /// product toner, face
    ///   to  100     %     purified water
    ///        20     %     cucumber juice
    ///         3     %     glycerin
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ingredient cucumber juice
    /// function humectant
    /// water 96 %
    /// ```
    /// ## Fix
    /// Says that it is made fresh. A matter of judgement: it then has to be used up within a day.
    /// ## Sources
    /// - common practice; what is food is marked so in the catalogue
    name: "fresh-food",
    group: Preservation,
    level: Error,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if formula.broken || !case.needs_preserving() || formula.tested(&["challenge"]) {
        return;
    }
    let mut foods = fresh_food(formula);
    foods.retain(|food| !food.share.is_zero());
    foods.sort_by(|a, b| b.share.cmp(&a.share));
    let Some(first) = foods.first() else { return };
    let Some(item) = first.items.first().and_then(|at| formula.items.get(*at)) else { return };
    let kept = match case.block.facts(notation::Word::ShelfLife).last().and_then(|(_, fact)| fact.measure) {
        Some(measure) if formula.header.shelf_life_days.is_some() && case.is_parent() => {
            format!("this is to keep {}", case.at(measure.span))
        }
        _ if formula.header.shelf_life_days.is_some() => "this is to be kept".to_owned(),
        _ => "nothing says that this is used up at once".to_owned(),
    };
    let much = first.share >= Exact::fraction(1, 100);
    let mut adding = out
        .add(
            item.name_span,
            format!("{} {} is fresh food, and {kept}", item.name, words::percent(&first.share)),
        )
        .level(if much { Level::Error } else { Level::Warning })
        .help(
            "Make it for one use and say `shelf life 1 day`, or take a distillate, a powder or an extract \
             made for cosmetics. A preserved juice from a supplier: describe it in an `ingredient` block.",
        )
        .source("common practice")
        .subject(item.key());
    for food in foods.iter().skip(1) {
        for other in food.items.iter().filter_map(|at| formula.items.get(*at)) {
            if other.span != item.span {
                adding = adding
                    .related(other.name_span, format!("{} is fresh food too", other.name))
                    .lines([other.span]);
            }
        }
    }
    if let Some(edits) = shelf_life(case, "1 day") {
        adding = adding.judgement_fix("Say that it is made fresh: shelf life 1 day", edits);
    }
    let _ = adding.lines([item.span]);
}
