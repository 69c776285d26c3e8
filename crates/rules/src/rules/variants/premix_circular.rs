use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::premixes::lines_of;
use formula::IncludeFault;
use notation::fold;

rule! {
    /// A premix is made of the formula that uses it.
    ///
    /// ## Why
    /// A base that needs the lotion that needs the base can be made by nobody, and what it holds cannot be counted.
    /// ## Fires
    /// ```formula
    /// formula Wax base
    /// product premix
    /// include test.formula#Wax base as wax base
    ///    40     %     beeswax
    ///    60     %     wax base
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Wax base
    /// product premix
    ///    40     %     beeswax
    ///    60     %     jojoba oil
    ///
    /// formula Soft balm
    /// product balm, body
    /// include test.formula#Wax base as wax base
    ///    50     %     wax base
    ///    50     %     jojoba oil
    /// ```
    /// ## Fix
    /// None: one of the two has to stand by itself.
    name: "premix-circular",
    group: Variants,
    level: Warning,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    for include in &case.formula.header.includes {
        if !matches!(include.formula, Err(IncludeFault::Circular)) {
            continue;
        }
        let _ = out
            .add(
                include.span,
                format!("{} is made with this formula in turn, so neither can be made", include.name),
            )
            .help("Let one of them list its own ingredients.")
            .subject(fold(&include.name))
            .lines(lines_of(case.formula, include));
    }
}
