use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::people::tell_kept_from;
use formula::Fit;

rule! {
    /// Something on the lips burns them or should not be swallowed.
    ///
    /// ## Why
    /// What is on the lips is eaten, several times a day. Oils like eucalyptus and wintergreen are poisons in small
    /// amounts; clove, cinnamon and oregano burn lips and make them allergic.
    /// ## Fires
    /// ```formula
    /// formula Winter lip balm
    /// product lip balm
    ///   to  100     %     sunflower oil
    ///        20     %     beeswax
    ///         0.5   %     eucalyptus globulus oil
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Winter lip balm
    /// product lip balm
    ///   to  100     %     sunflower oil
    ///        20     %     beeswax
    ///         0.5   %     peppermint oil
    /// ```
    /// Elsewhere:
    /// ```formula
    /// formula Winter chest balm
    /// product balm, body
    ///   to  100     %     sunflower oil
    ///        20     %     beeswax
    ///         0.5   %     eucalyptus globulus oil
    /// ```
    /// ## Fix
    /// Takes the lines out where a `to 100` line takes up what they leave.
    /// ## Sources
    /// - common practice; from memory where it is a note; the finding says which
    /// - what the law limits on lips is told by `over-limit` and `not-allowed-here`
    name: "on-lips",
    group: People,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    if case.formula.header.product.is("lips") != Fit::Yes {
        return;
    }
    let Some(adding) = tell_kept_from(case, out, "lips", "on lips", |_| false) else { return };
    let _ = adding.help(
        "Leave it out; a flavour of food grade that is made for oil, or a little peppermint or orange oil, \
         does instead.",
    );
}
