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
    /// One of two names, and one on a line:
    /// ```formula
    /// formula Rose balm
    /// allow total-not-100, too-hot because the last part is decided at the bench
    ///    60     %     shea butter
    ///    30     %     jojoba oil
    /// ```
    /// ```formula
    /// formula Rose balm
    ///    60     %     shea butter
    ///    40     %     jojoba oil; unrefined; allow ingredient-vague because of an old name
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Rose balm
    /// allow total-not-100 because the last part is decided at the bench
    ///    60     %     shea butter
    ///    30     %     jojoba oil
    /// ```
    /// ## Fix
    /// Takes the name out, or all of it where it is the only one. It silences nothing, so nothing else changes; it
    /// needs a look only where the date after `until` has passed, or where something in the formula is not read or
    /// not known yet.
    name: "allow-unused",
    group: Reading,
    level: Note,
    since: "0.1.0",
    fixes: Always,
    check: Engine
}
