use crate::Level;
use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::words;
use formula::{Occasion, Test, is_older};
use notation::fold;

rule! {
    /// The tests that a formula names are of an older version of it.
    ///
    /// ## Why
    /// A challenge test tells of the very mixture that was in the flask. Another emulsifier, another pH, and the
    /// preservative that passed may fail.
    /// ## Fires
    /// ```formula
    /// formula Gorse lotion
    /// version 4
    /// product lotion, body
    /// pH 5.0 to 5.5
    /// tested challenge by ISO 11930 on 2026-02-20; version 3; result criteria A
    /// tested stability on 2026-03-16; version 3; result no change in 12 weeks
    ///   to  100     %     purified water
    ///         5     %     glycerin
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Quiet
    /// Tested again; the old result stays on the sheet:
    /// ```formula
    /// formula Gorse lotion
    /// version 4
    /// product lotion, body
    /// pH 5.0 to 5.5
    /// tested challenge by ISO 11930 on 2026-02-20; version 3; result criteria A
    /// tested challenge by ISO 11930 on 2026-08-24; version 4; result criteria A
    ///   to  100     %     purified water
    ///         5     %     glycerin
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// A trial is not tested yet, and a test that names no version is taken for this one's:
    /// ```formula
    /// formula Gorse lotion
    /// version 4
    /// status trial
    /// product lotion, body
    /// pH 5.0 to 5.5
    /// tested challenge by ISO 11930 on 2026-02-20; version 3; result criteria A
    ///   to  100     %     purified water
    ///         5     %     glycerin
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    ///
    /// formula Heath lotion
    /// version 4
    /// product lotion, body
    /// pH 5.0 to 5.5
    /// tested challenge by ISO 11930 on 2026-02-20; result criteria A
    ///   to  100     %     purified water
    ///         5     %     glycerin
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Fix
    /// None: have it tested, or say with `allow test-outdated because …` why the old result still holds.
    name: "test-outdated",
    group: Variants,
    level: Warning,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let header = &case.formula.header;
    let Some((now, _)) = &header.version else { return };
    if matches!(header.status.as_deref(), Some("trial" | "withdrawn")) {
        return;
    }
    let older =
        |test: &&Test| test.version.as_ref().is_some_and(|version| is_older(version, now) == Some(true));
    // Whatever is no older than the sheet, and a test of no said version, counts for it.
    let renewed = |test: &Test| {
        header.tests.iter().any(|other| fold(&other.what) == fold(&test.what) && !older(&other))
    };
    let old: Vec<&Test> = header.tests.iter().filter(older).filter(|test| !renewed(test)).collect();
    let Some(first) = old.first() else { return };
    let mut named: Vec<String> = Vec::new();
    for test in &old {
        let version = test.version.as_deref().unwrap_or("");
        let name = format!("{} (version {version})", test.what.trim());
        if !named.contains(&name) {
            named.push(name);
        }
    }
    let level = if header.occasion == Occasion::Private { Level::Note } else { Level::Warning };
    let mut adding = out
        .add(
            first.span,
            format!("this is version {now}, and its tests are of older ones: {}", words::list(&named)),
        )
        .level(level)
        .help(
            "Have this version tested; or say with `allow test-outdated because …` why the old result \
             still holds.",
        );
    for test in old.iter().skip(1) {
        adding = adding.related(test.span, "this test too is of an older version").lines([test.span]);
    }
}
