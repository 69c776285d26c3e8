use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::law;
use formula::law::Breach;
use formula::{Ceiling, Condition};

rule! {
    /// There is something in it that the law of the market forbids in every cosmetic.
    ///
    /// ## Why
    /// What stands on such a list was taken off the market because it does harm: it causes cancer, harms the unborn,
    /// or makes allergic for life. No amount of it may be added, whatever the product.
    /// ## Fires
    /// ```formula
    /// formula Bleaching cream
    /// product cream, face
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///        15     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    ///         2     %     hydroquinone
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Even tone cream
    /// product cream, face
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///        15     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    ///         2     %     niacinamide
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Fix
    /// Takes the line out, where another makes up the total. A matter of judgement: the steps may speak of it, and
    /// something else may have to do its work.
    /// ## Sources
    /// - each finding names the entry that it stands on, and the day whose law was used
    name: "prohibited",
    group: Limits,
    level: Error,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

/// Whether a limit forbids a substance outright, or at most for one of its functions.
pub(crate) fn is_outright(breach: &Breach) -> bool {
    breach.limit.ceiling == Ceiling::NotAllowed
        && breach.limit.conditions.iter().all(|condition| matches!(condition, Condition::As(_)))
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    for breach in law::breaches(case).iter().filter(|breach| is_outright(breach)) {
        law::forbid(case, breach, "is not allowed in cosmetics", out);
    }
}
