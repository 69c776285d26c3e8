use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::wording::sun_promises;
use crate::{Level, words};
use formula::Item;
use formula::sun::{is_all_known, uv_filters};

rule! {
    /// The product is said to protect from the sun, and no filter for UVA is in it.
    ///
    /// ## Why
    /// UVB burns and is felt; UVA goes deeper and is not. A product that takes up only UVB lets people stay in the
    /// sun for hours with nothing against UVA. The EU asks for UVA protection of a third of the SPF, and a critical
    /// wavelength of 370 nm.
    /// ## Fires
    /// ```formula
    /// formula Harbour lotion
    /// version 2
    /// product sun lotion, body
    /// tested SPF by ISO 24444 on 2026-05-02; version 2; report 41
    /// pH 5 to 6
    ///   to  100     %     purified water
    ///        15     %     jojoba oil
    ///         6     %     cetearyl alcohol (and) ceteareth-20
    ///         8     %     octocrylene
    ///         5     %     ethylhexyl salicylate
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// No filter at all:
    /// ```formula
    /// formula Garden oil
    /// version 1
    /// product body oil, sun care
    /// tested SPF by ISO 24444 on 2026-05-02; version 1; report 40
    ///    60     %     jojoba oil
    ///    40     %     raspberry seed oil
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Harbour lotion
    /// version 2
    /// product sun lotion, body
    /// tested SPF by ISO 24444 on 2026-05-02; version 2; report 41
    /// pH 5 to 6
    ///   to  100     %     purified water
    ///        15     %     jojoba oil
    ///         6     %     cetearyl alcohol (and) ceteareth-20
    ///         8     %     octocrylene
    ///         3     %     avobenzone
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// Zinc oxide takes up both:
    /// ```formula
    /// formula Beach balm
    /// version 2
    /// product balm, face, sun care
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
    /// ## Fix
    /// None: which filter, and how much, is a new formula and a new test.
    /// ## Sources
    /// - Commission Recommendation 2006/647/EC: UVA protection of at least a third of the SPF, critical wavelength
    ///   of at least 370 nm
    name: "no-uva-cover",
    group: Sun,
    level: Warning,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if formula.is_premix() || formula.unfinished || formula.tested(&["uva"]) || !is_all_known(formula) {
        return;
    }
    let Some((place, word)) = sun_promises(case).into_iter().next() else { return };
    let filters = uv_filters(formula);
    if filters.iter().any(|filter| filter.uva) {
        return;
    }
    // That nothing was measured comes first where nothing is there to be measured.
    if filters.is_empty() && !formula.tested(&["spf"]) {
        return;
    }
    let lines: Vec<&Item> = filters.iter().filter_map(|filter| formula.items.get(filter.item)).collect();
    let names: Vec<String> = lines.iter().map(|item| item.name.clone()).collect();
    let at = lines.first().map_or(place, |item| item.name_span);
    let mineral = filters.iter().any(|filter| filter.mineral);
    let message = if lines.is_empty() {
        format!(
            "“{word}” promises protection from the sun, and no line is a UV filter; oils and extracts are \
             none"
        )
    } else if mineral {
        format!("{} takes up mostly UVB; what it does against UVA is not measured here", words::list(&names))
    } else {
        let is = if names.len() == 1 { "is a filter" } else { "are filters" };
        format!("{} {is} for UVB only; nothing is in it against UVA", words::list(&names))
    };
    let adding = out
        .add(at, message)
        .help(
            "Take the promise out, or plan a sun product with someone who makes and measures them. UVA \
             cover is measured (ISO 24443): name the test (`tested UVA by ISO 24443 on DATE; version V`).",
        )
        .source(
            "Commission Recommendation 2006/647/EC (UVA at least a third of the SPF, critical wavelength \
             at least 370 nm)",
        )
        .subject("uva");
    let _ = if mineral { adding.at_most(Level::Note) } else { adding };
}
