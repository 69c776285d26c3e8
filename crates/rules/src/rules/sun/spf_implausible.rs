use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::wording::said;
use crate::words;
use formula::sun::{is_all_known, shortfall, uv_filters};
use formula::{Exact, Item};
use notation::Span;

rule! {
    /// A sun protection number stands on far less mineral filter than sun creams of that number hold.
    ///
    /// ## Why
    /// A number that nobody measured is taken from a chart or from a friend. Where there is not even as much filter
    /// as the best made sun creams of that number need, it cannot be true, and whoever trusts it burns. More filter
    /// alone does not make it true: grain, coating, dispersion and film decide.
    /// ## Fires
    /// ```formula
    /// formula Garden cream
    /// product cream, face
    /// claim SPF 30
    /// pH 6.5 to 7.5
    ///   to  100     %     purified water
    ///        20     %     jojoba oil
    ///         6     %     cetearyl alcohol (and) ceteareth-20
    ///         5     %     zinc oxide; coated; non-nano
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Quiet
    /// Measured, of this version:
    /// ```formula
    /// formula Garden balm
    /// version 2
    /// product balm, face, sun care
    /// claim SPF 30
    /// tested SPF by ISO 24444 on 2026-05-02; version 2; report 41
    ///    20     %     beeswax
    ///    62     %     jojoba oil
    ///    18     %     zinc oxide; coated; non-nano
    /// ```
    /// Zinc oxide in a cream that says nothing of the sun:
    /// ```formula
    /// formula Nappy balm
    /// product balm, nappy area
    ///    20     %     beeswax
    ///    75     %     jojoba oil
    ///     5     %     zinc oxide; coated; non-nano
    /// ```
    /// ## Fix
    /// None: have it measured, or take the number out.
    /// ## Sources
    /// - common practice: a limit at twice what charts of the trade and published formulas say of zinc oxide (20 %
    ///   at SPF 30, 15 to 20 % at SPF 20 to 30; cosmeticsandtoiletries.com), and never a prediction
    /// - ISO 24444: SPF is measured on skin
    name: "spf-implausible",
    group: Sun,
    level: Warning,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if formula.is_premix() || formula.tested(&["spf"]) || !is_all_known(formula) {
        return;
    }
    let Some((number, place)) = highest(case) else { return };
    let filters = uv_filters(formula);
    let Some(times) = shortfall(&filters, &number).filter(|times| *times > Exact::one()) else { return };
    let lines: Vec<&Item> = filters.iter().filter_map(|filter| formula.items.get(filter.item)).collect();
    let Some(first) = lines.first() else { return };
    let named: Vec<String> = lines
        .iter()
        .map(|item| format!("{}{}", item.mid().map(words::percent).unwrap_or_default() + " ", item.name))
        .collect();
    let message = format!(
        "“SPF {number}” stands on {} and no other filter; sun creams that were measured at such a number \
         hold at least {} as much",
        words::list(&named),
        if times == Exact::whole(2) { "twice".to_owned() } else { format!("{} times", times.shown(1)) }
    );
    let mut adding = out
        .add(first.name_span, message)
        .help(
            "Take the number out, or plan a sun cream with someone who makes and measures them. More \
             filter alone does not make a number true: it is measured on the finished product (ISO 24444), \
             never worked out from the formula.",
        )
        .source("common practice: twice what the trade's charts and published formulas say; ISO 24444")
        .subject("spf")
        .related(place, "the number stands here");
    for item in lines.iter().skip(1) {
        adding = adding.related(item.name_span, format!("{} too", item.name));
    }
}

/// The highest number behind “SPF” in the claims and names, and where it stands.
fn highest(case: &Case<'_>) -> Option<(Exact, Span)> {
    let mut found: Vec<(Exact, Span)> = Vec::new();
    for said in said(case) {
        let tokens = &said.words;
        for (at, token) in tokens.iter().enumerate() {
            let Some(rest) = token.strip_prefix("spf") else { continue };
            let digits = if rest.is_empty() { tokens.get(at + 1).map_or("", String::as_str) } else { rest };
            let denied =
                at.checked_sub(1).and_then(|before| tokens.get(before)).is_some_and(|word| word == "no");
            if let Some(number) = Exact::read(digits).filter(|number| !denied && *number > Exact::one()) {
                found.push((number, said.span));
            }
        }
    }
    found.into_iter().max_by(|a, b| a.0.cmp(&b.0))
}
