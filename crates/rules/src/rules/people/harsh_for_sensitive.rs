use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::people::{is_for, is_rinsed, tell_kept_from};

rule! {
    /// A product for sensitive skin holds something harsh.
    ///
    /// ## Why
    /// Sensitive skin stings and reddens at what other skin bears: strong acids, much alcohol, stripping
    /// surfactants, known sensitisers. The maker who writes `for sensitive skin` is trusted by those who have
    /// learned to be careful.
    /// ## Fires
    /// ```formula
    /// formula Gentle peel gel
    /// product gel, face
    /// for sensitive skin
    /// caution Protect the skin from the sun.
    /// pH 3.6 to 4.0
    ///   to  100     %     purified water
    ///         8     %     glycolic acid
    ///         1     %     hydroxyethylcellulose
    ///         0.8   %     sodium benzoate (and) potassium sorbate
    ///      q.s.           sodium hydroxide; to pH 3.8
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Gentle gel
    /// product gel, face
    /// for sensitive skin
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///         2     %     panthenol
    ///         1     %     hydroxyethylcellulose
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    ///      q.s.           lactic acid 80 %; to pH 5.2
    /// ```
    /// Fatty alcohols are no alcohol:
    /// ```formula
    /// formula Gentle cream
    /// product cream, face
    /// for sensitive skin
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///        15     %     jojoba oil
    ///         6     %     cetearyl alcohol (and) ceteareth-20
    ///         5     %     cetyl alcohol
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Fix
    /// Takes the lines out where a `to 100` line takes up what they leave.
    /// ## Sources
    /// - common practice; from memory where it is a note; the finding says which
    name: "harsh-for-sensitive",
    group: People,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    if !is_for(case, &["sensitive skin", "reactive skin", "irritated skin"]) {
        return;
    }
    let rinsed = is_rinsed(case);
    // What washes is rinsed off by its nature, and strips in that time.
    let washes = |one: &formula::people::Avoided| one.material.does("surfactant");
    let softer = |one: &_| rinsed && !washes(one);
    let Some(adding) = tell_kept_from(case, out, "sensitive skin", "in a product for sensitive skin", softer)
    else {
        return;
    };
    let _ = adding.help(
        "Leave it out or take less of it, and ask for a patch test on the label (a little on the inner \
         arm, 24 to 48 hours), which tells of one person's skin only.",
    );
}
