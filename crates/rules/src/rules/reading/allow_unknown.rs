use crate::card::rule;

rule! {
    /// An `allow` or `treat` line names a rule that does not exist.
    ///
    /// ## Why
    /// A misspelt name silences nothing, while the line looks as if it did.
    /// ## Fires
    /// ```formula
    /// formula Rose balm
    /// allow too-hott because the scent is added last
    ///    60     %     shea butter
    ///    40     %     jojoba oil
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Rose balm
    ///    60     %     shea butter
    ///    40     %     jojoba oil
    /// ```
    /// ## Fix
    /// Writes the nearest name. It needs a look: the nearest need not be the one that was meant.
    name: "allow-unknown",
    group: Reading,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Engine
}
