use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::people::{is_rinsed, tell_kept_from};
use formula::Fit;

rule! {
    /// Something that stings eyes is put near them.
    ///
    /// ## Why
    /// What is put around the eyes creeps into them: oils that smell send up vapour, acids and alcohol sting, and
    /// the skin there is the thinnest of all.
    /// ## Fires
    /// ```formula
    /// formula Evening eye cream
    /// product cream, eye area
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///        15     %     jojoba oil
    ///         6     %     cetearyl alcohol (and) ceteareth-20
    ///         0.2   %     lavender oil
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Evening eye cream
    /// product cream, eye area
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///        15     %     jojoba oil
    ///         6     %     cetearyl alcohol (and) ceteareth-20
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    ///      q.s.           lactic acid 80 %; to pH 5.2
    /// ```
    /// Elsewhere on the face:
    /// ```formula
    /// formula Evening face oil
    /// product face oil
    ///   to  100     %     jojoba oil
    ///         0.2   %     lavender oil
    /// ```
    /// ## Fix
    /// Takes the lines out where a `to 100` line takes up what they leave.
    /// ## Sources
    /// - common practice; from memory where it is a note; the finding says which
    name: "near-eyes",
    group: People,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    if case.formula.header.product.is("eye area") != Fit::Yes {
        return;
    }
    let rinsed = is_rinsed(case);
    let Some(adding) = tell_kept_from(case, out, "eye area", "near the eyes", |_| rinsed) else { return };
    let _ = adding.help(
        "Leave it out. What is sold for the eye area needs an assessment that names it (in the US it also \
         falls out of the exemption for small makers).",
    );
}
