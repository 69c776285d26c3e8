use crate::card::rule;

rule! {
    /// An `allow` silences nothing.
    ///
    /// ## Why
    /// A suppression that is no longer needed would hide the next finding of its kind, which nobody has judged.
    /// ## Fires
    /// ```formula
    /// formula Rose balm
    /// allow line-unreadable because of an old line
    ///    60     %     shea butter
    ///    40     %     jojoba oil
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Rose balm
    /// allow total-not-100 because the last part is decided at the bench
    ///    60     %     shea butter
    ///    30     %     jojoba oil
    /// ```
    /// ## Fix
    /// None: whether the finding was meant to come back is for the maker to say.
    name: "allow-unused",
    group: Reading,
    level: Note,
    since: "0.1.0",
    fixes: None,
    check: Engine
}
