use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::law;
use crate::rules::limits::prohibited::is_outright;
use formula::Ceiling;

rule! {
    /// Something is not allowed in this kind of product, on this part of the body, or for these people.
    ///
    /// ## Why
    /// Some things are harmless where they are rinsed off and harmful where they stay, in the lungs, on lips, or on
    /// small children. The law then allows them in one place and forbids them in another.
    /// ## Fires
    /// ```formula
    /// formula Day lotion
    /// product lotion, body
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///        15     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    ///         0.001 %     methylisothiazolinone
    /// ```
    /// ```formula
    /// formula Sun powder
    /// product loose powder, face, sun care
    /// tested SPF by ISO 24444
    ///    80     %     corn starch
    ///    20     %     zinc oxide
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Bathroom shampoo
    /// product shampoo
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///        30     %     cocamidopropyl betaine 30 %
    ///         0.001 %     methylisothiazolinone
    ///         0.5   %     phenoxyethanol
    ///         0.3   %     caprylyl glycol
    /// ```
    /// ## Fix
    /// None: what takes its place has to be decided.
    /// ## Sources
    /// - each finding names the entry that it stands on, and the day whose law was used
    name: "not-allowed-here",
    group: Limits,
    level: Error,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    if case.formula.is_premix() {
        return;
    }
    for breach in law::breaches(case)
        .iter()
        .filter(|breach| breach.limit.ceiling == Ceiling::NotAllowed && !is_outright(breach))
    {
        law::forbid(case, breach, "is not allowed here", out);
    }
}
