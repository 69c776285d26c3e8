use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::premixes::lines_of;
use formula::IncludeFault;
use notation::fold;

rule! {
    /// A premix is included and cannot be found.
    ///
    /// ## Why
    /// What it brings is then missing in the water, the preservative, the limits and the label; nothing said of this
    /// formula counts it.
    /// ## Fires
    /// ```formula
    /// formula Scented lotion
    /// product lotion, body
    /// include bases/plain-lotion.formula as plain lotion base
    ///    99.5   %     plain lotion base
    ///     0.5   %     lavender oil
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Wax base
    /// product premix
    ///    40     %     beeswax
    ///    60     %     jojoba oil
    ///
    /// formula Scented balm
    /// product balm, body
    /// include test.formula#Wax base as wax base
    ///    99.5   %     wax base
    ///     0.5   %     lavender oil
    /// ```
    /// ## Fix
    /// None: the path has to be set right. It counts from the folder of this file, with `/` between folders.
    name: "premix-missing",
    group: Variants,
    level: Warning,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    for include in &case.formula.header.includes {
        let message = match &include.formula {
            Err(IncludeFault::NoFile) => format!(
                "{} is not there or cannot be read, so nothing is known of {}",
                include.path, include.name
            ),
            Err(IncludeFault::NoFormula) => {
                format!("{} holds no such formula, so nothing is known of {}", include.path, include.name)
            }
            Ok(_) | Err(IncludeFault::Circular) => continue,
        };
        let _ = out
            .add(include.span, message)
            .help(
                "Write the path as seen from the folder of this file, with `/` between folders: `include \
                 bases/lotion.formula#Plain lotion as base`.",
            )
            .subject(fold(&include.name))
            .lines(lines_of(case.formula, include));
    }
}
