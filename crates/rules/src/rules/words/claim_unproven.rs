use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::wording::{self, UNPROVEN};

rule! {
    /// A claim promises something, and no test of it is named.
    ///
    /// ## Why
    /// “Dermatologically tested” says that somebody tested it; “hypoallergenic” and “clinically proven” say what
    /// came out. Claims have to be backed by evidence that can be shown.
    /// ## Fires
    /// ```formula
    /// formula Meadow balm
    /// product balm, hands
    /// for sale
    /// claim dermatologically tested
    ///   to  100     %     sunflower oil
    ///        20     %     beeswax
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Meadow balm
    /// version 1
    /// product balm, hands
    /// for sale
    /// claim dermatologically tested
    /// tested patch on 2026-06-01; version 1; result no reaction on 30 people; report 12
    ///   to  100     %     sunflower oil
    ///        20     %     beeswax
    /// ```
    /// Words that say no more than what it feels like:
    /// ```formula
    /// formula Meadow balm
    /// product balm, hands
    /// for sale
    /// claim softens, leaves skin smooth, not tested on animals, not clinically tested
    ///   to  100     %     sunflower oil
    ///        20     %     beeswax
    /// ```
    /// ## Fix
    /// Takes the claim out of its line.
    /// ## Sources
    /// - Reg. (EU) 655/2013, Annex (evidential support: adequate and verifiable evidence)
    /// - hypoallergenic: Technical document on cosmetic claims, 3 July 2017, Annex IV, as summarised by icda.ie and
    ///   freyrsolutions.com
    name: "claim-unproven",
    group: Words,
    level: Error,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    if case.formula.is_premix() {
        return;
    }
    let texts = wording::said(case);
    for fault in wording::faults(case, UNPROVEN, &texts) {
        let _ = fault.levelled(case, fault.tell(case, "", out));
    }
}
