use crate::card::rule;
use crate::case::Writing;
use crate::findings::Findings;
use notation::SlipKind;

rule! {
    /// An `allow` gives no reason.
    ///
    /// ## Why
    /// A finding that is set aside without a word cannot be judged by the next reader, or by the same one in a
    /// year. An `allow` without its reason silences nothing.
    /// ## Fires
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    /// allow total-not-100
    ///    60     %     jojoba oil
    ///    30     %     squalane
    /// ```
    /// Dots still wait for a reason:
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    /// allow total-not-100 because …
    ///    60     %     jojoba oil
    ///    30     %     squalane
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    /// allow total-not-100 because the scent is still being chosen until 2027-06
    ///    60     %     jojoba oil
    ///    30     %     squalane
    /// ```
    /// ## Fix
    /// None: only the maker knows the reason.
    name: "allow-unreasoned",
    group: Reading,
    level: Warning,
    since: "0.1.0",
    fixes: None,
    check: Writing(check)
}

fn check(writing: &Writing<'_>, out: &mut Findings<'_>) {
    for slip in writing.block.slips.iter().filter(|slip| slip.kind == SlipKind::AllowUnreasoned) {
        let text = writing.block.at(slip.span);
        let _ = out
            .add(slip.span, format!("`{text}` says no reason, so it silences nothing"))
            .help("Write why: `allow RULE because REASON`, with `until DATE` where it is for a time.");
    }
}
