use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use formula::Item;
use formula::sun::uv_filters;
use notation::fold;

rule! {
    /// Two UV filters break each other down in light.
    ///
    /// ## Why
    /// Some filters are spent within an hour of sun, faster still beside certain others: the number measured at the
    /// start is not the one on the skin at noon.
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
    ///         7     %     ethylhexyl methoxycinnamate
    ///         3     %     avobenzone
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
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
    /// UVA was measured, after the light that the method asks for:
    /// ```formula
    /// formula Harbour lotion
    /// version 2
    /// product sun lotion, body
    /// tested SPF by ISO 24444 on 2026-05-02; version 2; report 41
    /// tested UVA by ISO 24443 on 2026-05-02; version 2; report 42
    /// pH 5 to 6
    ///   to  100     %     purified water
    ///        15     %     jojoba oil
    ///         6     %     cetearyl alcohol (and) ceteareth-20
    ///         7     %     ethylhexyl methoxycinnamate
    ///         3     %     avobenzone
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Fix
    /// None: which filter goes is a new formula and a new test.
    /// ## Sources
    /// - D. Dondi, A. Albini and N. Serpone, Photochem. Photobiol. Sci. 2006 (doi 10.1039/b606768a)
    /// - from memory: bemotrizinol keeps the pair (Chatelain and Gabard 2001), so nothing is said beside it
    name: "filter-unstable",
    group: Sun,
    level: Warning,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    let filters = uv_filters(formula);
    let kept = filters.iter().any(|filter| filter.material.does("stabiliser"));
    if kept || formula.is_premix() || formula.tested(&["uva"]) {
        return;
    }
    for one in &filters {
        for clash in &one.material.incompatible {
            let with = fold(&clash.value.with);
            let other = filters.iter().find(|other| other.material.names().any(|name| name == with));
            let Some(other) = other.filter(|other| other.item != one.item) else { continue };
            let (Some(first), Some(second)) = (formula.items.get(one.item), formula.items.get(other.item))
            else {
                continue;
            };
            tell(first, second, &clash.value.because, &clash.source, out);
        }
    }
}

fn tell(first: &Item, second: &Item, because: &str, source: &formula::Source, out: &mut Findings<'_>) {
    let _ = out
        .add(first.name_span, format!("{} and {}: {because}", first.name, second.name))
        .help(
            "Take one of them out for a filter that bears light, or measure UVA after irradiation (ISO \
             24443) and name the test (`tested UVA by ISO 24443 on DATE; version V`).",
        )
        .founded_on(source)
        .subject(first.key())
        .related(second.name_span, "beside this one")
        .lines([second.span]);
}
