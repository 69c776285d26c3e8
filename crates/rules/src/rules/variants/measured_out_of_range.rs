use crate::card::rule;
use crate::case::Made;
use crate::findings::Findings;
use formula::{Exact, Formula, Measured, Verdict, Window};

rule! {
    /// What was measured on a batch lies outside what its formula asks for.
    ///
    /// ## Why
    /// A pH outside the target can leave a preservative without effect, and a skin with too much of it.
    /// ## Fires
    /// ```formula
    /// formula Gorse lotion
    /// version 3
    /// product lotion, body
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///         5     %     glycerin
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    ///
    /// record 26-044
    /// of Gorse lotion version 3
    /// measured pH 6.1 at 22 °C
    /// ```
    /// ## Quiet
    /// The last measurement counts, as far as its digits go; an older version may have asked for something else:
    /// ```formula
    /// formula Gorse lotion
    /// version 3
    /// product lotion, body
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///         5     %     glycerin
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    ///
    /// record 26-044
    /// of Gorse lotion version 3
    /// measured pH 6.1 at 22 °C
    /// measured pH 5.3 after lactic acid
    ///
    /// record 26-045
    /// of Gorse lotion version 3
    /// measured pH 6
    ///
    /// record 26-012
    /// of Gorse lotion version 2
    /// measured pH 6.1
    /// ```
    /// The maker knows:
    /// ```formula
    /// formula Gorse lotion
    /// version 3
    /// product lotion, body
    /// pH 5.3
    ///   to  100     %     purified water
    ///         5     %     glycerin
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    ///
    /// record 26-044
    /// of Gorse lotion version 3
    /// measured pH 6.1
    /// rejected
    ///
    /// record 26-045
    /// of Gorse lotion version 3
    /// measured pH 5.7
    /// deviation pH 5.7 kept, challenge test covers it
    ///
    /// record 26-046
    /// of Gorse lotion version 3
    /// measured pH 5.4
    /// ```
    /// ## Fix
    /// None: the batch has to be mended, not its record.
    /// ## Sources
    /// - a target that is one number is met within 0.2 of it: common practice
    name: "measured-out-of-range",
    group: Variants,
    level: Warning,
    since: "0.1.0",
    fixes: None,
    check: Record(check)
}

fn check(made: &Made<'_>, out: &mut Findings<'_>) {
    let (record, Some(formula)) = (made.record, made.plan()) else { return };
    if record.verdict == Some(Verdict::Rejected) {
        return;
    }
    for (what, name, wanted) in targets(formula) {
        let Some(measured) = record.last_measured(what).filter(|_| !record.explains(what)) else { continue };
        if is_within(measured, &widened(&wanted)) {
            continue;
        }
        let version = formula.header.version.as_ref().map(|(version, _)| format!("version {version}"));
        let sheet = version.unwrap_or_else(|| "the formula".to_owned());
        let _ = out
            .add(
                measured.span,
                format!(
                    "measured {name} {}, and {sheet} asks for {name} {}",
                    measured.written,
                    wanted.text()
                ),
            )
            .help(
                "Adjust it and measure again, or hold the batch; what was decided goes into a `deviation` \
                 line.",
            )
            .subject(what);
    }
}

/// What the formula asks for that can be measured: the word that is looked for, the word that is told, the window.
fn targets(formula: &Formula) -> Vec<(&'static str, &'static str, Window)> {
    let header = &formula.header;
    let ph = header.ph.as_ref().map(|(window, _)| ("ph", "pH", window.clone()));
    let activity = header
        .water_activity
        .as_ref()
        .map(|(most, _)| ("water activity", "water activity", Window::of(None, Some(most.clone()))));
    ph.into_iter().chain(activity).collect()
}

/// A target that is one number is met a little beside it too.
fn widened(wanted: &Window) -> Window {
    let slack = Exact::fraction(2, 10);
    match (&wanted.low, &wanted.high) {
        (Some(low), Some(high)) if low == high => Window::between(low - &slack, high + &slack),
        _ => wanted.clone(),
    }
}

/// Whether some number that is rounded to the one written lies inside.
fn is_within(measured: &Measured, wanted: &Window) -> bool {
    let above = wanted.high.as_ref().is_some_and(|high| &measured.value - &measured.half_digit > *high);
    let below = wanted.low.as_ref().is_some_and(|low| &measured.value + &measured.half_digit < *low);
    !above && !below
}
