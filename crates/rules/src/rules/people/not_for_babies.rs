use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::law;
use crate::people::{is_rinsed, tell};
use formula::people::avoided;
use formula::{Condition, Rank};

rule! {
    /// A product for babies holds something that their skin should be spared.
    ///
    /// ## Why
    /// A baby's skin is thin, lets more through, and there is much of it for so small a body; babies also lick and
    /// breathe what is on them. Menthol and camphor have stopped the breath of small children; essential oils and
    /// acids irritate.
    /// ## Fires
    /// ```formula
    /// formula Cradle balm
    /// product balm, body
    /// for babies
    ///   to  100     %     sunflower oil
    ///        18     %     beeswax
    ///         0.5   %     lavender oil
    ///         0.2   %     Roman chamomile oil
    /// ```
    /// Menthol itself:
    /// ```formula
    /// formula Winter chest balm
    /// product balm, body
    /// for children under 3
    ///   to  100     %     sunflower oil
    ///        18     %     beeswax
    ///         0.3   %     menthol
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Cradle balm
    /// product balm, body
    /// for babies
    ///   to  100     %     sunflower oil
    ///        18     %     beeswax
    ///        12     %     shea butter
    /// ```
    /// For grown-ups:
    /// ```formula
    /// formula Chest balm
    /// product balm, body
    /// for adults
    ///   to  100     %     sunflower oil
    ///        18     %     beeswax
    ///         0.5   %     lavender oil
    /// ```
    /// Lactic acid that only sets the pH:
    /// ```formula
    /// formula Small hands wash
    /// product body wash
    /// for babies
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///        10     %     coco-glucoside; strength 50 %
    ///         2     %     glycerin
    ///         1     %     sodium benzoate (and) potassium sorbate
    ///      q.s.           lactic acid 80 %; to pH 5.2
    /// ```
    /// ## Fix
    /// Takes the lines out where a `to 100` line takes up what they leave.
    /// ## Sources
    /// - Afssaps (France) 2008 on camphor, eucalyptol and menthol in products for children under 3 years
    /// - common practice for essential oils and acids: therefore at most a warning
    /// - what the law bars for an age is told by the rules of limits
    name: "not-for-babies",
    group: People,
    level: Error,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if !formula.header.product.is_for_babies() || formula.is_premix() {
        return;
    }
    let mut found = avoided(formula, |what| what == "babies");
    // What a law bars or limits for this age speaks for itself.
    let by_law: Vec<usize> = law::breaches(case)
        .iter()
        .filter(|breach| breach.limit.force.rank == Rank::Law && breach.certain)
        .filter(|breach| {
            breach.limit.conditions.iter().any(|condition| matches!(condition, Condition::Under(_)))
        })
        .flat_map(|breach| breach.items.iter().copied())
        .collect();
    found.retain(|one| !by_law.contains(&one.item));
    let rinsed = is_rinsed(case);
    let Some(adding) = tell(case, out, &found, "in a product for babies", |_| rinsed) else { return };
    let _ = adding.help(
        "Leave it out: for babies the plain product is the better one. A product for babies that is sold \
         or given away needs an assessment that names them, by someone licensed for it, and your country's \
         own rules.",
    );
}
