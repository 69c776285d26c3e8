use crate::amounts::place;
use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use formula::GapKind;
use notation::{fold, in_one_line};

rule! {
    /// Two variants that are put together change the same line in different ways.
    ///
    /// ## Why
    /// One wants the butter out, the other wants more of it. What is then made hangs on which of them was named
    /// first, and nobody decided that.
    /// ## Fires
    /// ```formula
    /// formula Mill balm
    /// product balm, body
    ///   to  100     %     jojoba oil
    ///        20     %     shea butter
    ///        20     %     beeswax
    ///
    /// variant light
    /// omit shea butter
    ///
    /// variant cocoa
    /// replace shea butter with cocoa butter
    ///
    /// variant both: light, cocoa
    /// ```
    /// ## Quiet
    /// Changes of different lines, and the same change made by both:
    /// ```formula
    /// formula Mill balm
    /// product balm, body
    ///   to  100     %     jojoba oil
    ///        20     %     shea butter
    ///        20     %     beeswax
    ///         0.3   %     lavender oil
    ///
    /// variant light
    /// omit lavender oil
    /// set beeswax to 16 %
    ///
    /// variant cocoa
    /// omit lavender oil
    /// replace shea butter with cocoa butter
    ///
    /// variant both: light, cocoa
    /// ```
    /// Settled by a line of its own:
    /// ```formula
    /// formula Mill balm
    /// product balm, body
    ///   to  100     %     jojoba oil
    ///        20     %     shea butter
    ///        20     %     beeswax
    ///
    /// variant soft
    /// set beeswax to 16 %
    ///
    /// variant firm
    /// set beeswax to 24 %
    ///
    /// variant middle: soft, firm
    /// set beeswax to 20 %
    /// ```
    /// ## Fix
    /// None: only the maker knows which of the two is meant.
    name: "variant-clash",
    group: Variants,
    level: Warning,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    for gap in &case.formula.gaps {
        let GapKind::VariantClash { first, second } = &gap.kind else { continue };
        let written = |(_, span): &(String, _)| in_one_line(case.at(*span));
        let message = format!(
            "`{}` and `{}` change the same thing in different ways: `{}` and `{}`",
            first.0,
            second.0,
            written(first),
            written(second)
        );
        let _ = out
            .add(place(case), message)
            .help("Leave one of the two out, or write what is meant into a variant of its own.")
            .related(first.1, format!("what `{}` does", first.0))
            .related(second.1, format!("what `{}` does", second.0))
            .subject(fold(&written(second)));
    }
}
