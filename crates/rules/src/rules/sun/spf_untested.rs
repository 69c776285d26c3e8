use crate::Level;
use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::wording::sun_promises;
use formula::Occasion;
use formula::sun::{is_all_known, uv_filters};
use notation::fold;

rule! {
    /// The product is said to protect from the sun, and no test of it is named.
    ///
    /// ## Why
    /// How much a product protects depends on grain, coating, dispersion and film, not on the percent of a filter.
    /// Only a measurement tells; whoever trusts a guessed number burns.
    /// ## Fires
    /// ```formula
    /// formula Beach cream SPF 30
    /// product cream, face
    /// pH 6.5 to 7.5
    ///   to  100     %     purified water
    ///        20     %     jojoba oil
    ///         6     %     cetearyl alcohol (and) ceteareth-20
    ///        18     %     zinc oxide; coated; non-nano
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Beach balm
    /// version 2
    /// product balm, face, sun care
    /// claim SPF 30
    /// tested SPF by ISO 24444 on 2026-05-02; version 2; report 41
    ///    20     %     beeswax
    ///    62     %     jojoba oil
    ///    18     %     zinc oxide; coated; non-nano
    /// ```
    /// After the sun:
    /// ```formula
    /// formula After-sun butter
    /// product body butter, after-sun
    ///    80     %     shea butter
    ///    20     %     jojoba oil
    /// ```
    /// Zinc oxide in a cream that is said to do something else:
    /// ```formula
    /// formula Nappy balm
    /// product balm, nappy area
    ///    20     %     beeswax
    ///    60     %     jojoba oil
    ///    20     %     zinc oxide; coated; non-nano
    /// ```
    /// ## Fix
    /// None: have it measured, or take the words out.
    /// ## Sources
    /// - ISO 24444 (SPF is measured on skin), Commission Recommendation 2006/647/EC on claims of sunscreen products
    name: "spf-untested",
    group: Sun,
    level: Error,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    let header = &formula.header;
    if formula.is_premix() || formula.tested(&["spf"]) {
        return;
    }
    let places = sun_promises(case);
    let Some((first, word)) = places.first() else { return };
    let level = if header.occasion == Occasion::Private { Level::Warning } else { Level::Error };
    let other = header.tests.iter().find(|test| fold(&test.what).split(' ').any(|word| word == "spf"));
    let message = match other.and_then(|test| test.version.as_ref()) {
        Some(version) => format!(
            "“{word}” promises protection from the sun, and the only SPF test here is of version {version}"
        ),
        None => {
            format!("“{word}” promises protection from the sun, and no SPF test of this version is named")
        }
    };
    let drug = if header.markets.iter().any(|market| market == "US") {
        " In the US a sunscreen is a drug, with its own rules."
    } else {
        ""
    };
    let none = is_all_known(formula) && uv_filters(formula).is_empty();
    let bare = if none { "No line is a UV filter; oils and extracts are none. " } else { "" };
    let mut adding = out
        .add(*first, message)
        .level(level)
        .help(format!(
            "{bare}SPF is measured on the finished product (ISO 24444 or an equivalent method); it cannot \
             be reckoned from a formula. Name the test (`tested SPF by ISO 24444 on DATE; version V`), or \
             take the word out.{drug}"
        ))
        .source("ISO 24444; Commission Recommendation 2006/647/EC");
    for (span, word) in places.iter().skip(1) {
        adding = adding.related(*span, format!("“{word}” says it here too"));
    }
    if let Some(test) = other {
        let _ = adding.related(test.span, "this test is of another version").lines([test.span]);
    }
}
