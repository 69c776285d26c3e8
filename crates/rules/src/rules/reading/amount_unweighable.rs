use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use formula::Written;

rule! {
    /// An amount is one that nobody can weigh: "some", "a pinch", "a few drops".
    ///
    /// ## Why
    /// The next batch will be another product, and no limit can be held against a pinch.
    /// ## Fires
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///    60       %   jojoba oil
    ///    40       %   squalane
    ///    a few drops  bisabolol
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///    60     %     jojoba oil
    ///    39.8   %     squalane
    ///     0.2   %     bisabolol
    /// ```
    /// ## Fix
    /// None: weigh it once as it is usually done, and write what the scales show.
    name: "amount-unweighable",
    group: Reading,
    level: Warning,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    for item in case.formula.items.iter().filter(|item| item.written == Written::Fuzzy) {
        let place = item.amount_span.unwrap_or(item.name_span);
        let _ = out
            .add(place, format!("`{}` of {} cannot be weighed", amount(&item.amount_text), item.name))
            .help("Weigh it once as you usually take it, and write grams or percent.")
            .subject(item.key())
            .lines([item.span]);
    }
}

/// `a pinch of` without its `of`.
fn amount(written: &str) -> &str {
    written.strip_suffix("of").map_or(written, str::trim_end)
}
