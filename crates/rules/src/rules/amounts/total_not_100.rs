use crate::amounts::{balance_fix, can_judge, place};
use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::words;
use formula::Basis;
use notation::Span;

rule! {
    /// The percents of a formula do not add up to 100.
    ///
    /// ## Why
    /// A formula that adds to 98 or 103 cannot be made as written: whoever weighs it out decides unseen where the
    /// rest goes, and every limit and every preservative dose shifts with it.
    /// ## Fires
    /// ```formula
    /// formula Hand lotion
    /// product lotion, hands
    /// pH 5.0 to 5.5
    ///    72     %     purified water
    ///    20     %     caprylic/capric triglyceride
    ///     5     %     cetearyl alcohol (and) ceteareth-20
    ///     1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// Too much of it, and a line that may take what is missing:
    /// ```formula
    /// formula Hall balm
    /// product balm, body
    ///    60     %     shea butter
    ///    30     %     jojoba oil
    ///    15     %     beeswax
    /// ```
    /// ```formula
    /// formula Hall balm
    /// product balm, body
    ///    40     %     shea butter
    ///    20     %     beeswax
    ///                 jojoba oil
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Hand lotion
    /// product lotion, hands
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///        20     %     caprylic/capric triglyceride
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// Rounded thirds are no fault:
    /// ```formula
    /// formula Three oils
    /// product body oil
    ///    33.3   %     jojoba oil
    ///    33.3   %     apricot kernel oil
    ///    33.3   %     sunflower oil
    /// ```
    /// Nor is an adjuster that takes what its pH needs.
    /// ## Fix
    /// Makes the largest watery line, else the largest line, the balance (`to 100 %`); where one line alone has no
    /// amount, it gets the rest. A matter of judgement: the difference may belong elsewhere.
    /// ## Sources
    /// - tolerance: the smaller of half a unit of each line's last digit, summed, and 0.05 points a line (common
    ///   practice)
    name: "total-not-100",
    group: Amounts,
    level: Error,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    let totals = &formula.totals;
    let shares = matches!(totals.basis, Basis::Share | Basis::Joined);
    if !shares || !can_judge(formula) || !totals.is_off() {
        return;
    }
    let Some(off) = totals.off() else { return };
    let missing = !off.is_negative();
    let named = totals.named.percent();
    let gap = off.abs().percent();
    let message = if missing {
        format!("the lines add up to {named} %: {gap} % is missing{}", words::open_lines(formula))
    } else {
        format!("the lines add up to {named} %: {gap} % too much")
    };
    let help = if missing && !totals.open.is_empty() {
        "Give the lines without a weight a percent, or make one line the balance with `to 100 %`."
    } else {
        "Make one line the balance (`to 100 %`), or change an amount."
    };
    let open: Vec<Span> =
        totals.open.iter().filter_map(|at| formula.items.get(*at)).map(|item| item.span).collect();
    let mut adding = out.add(place(case), message).help(help).lines(open.clone());
    for item in totals.open.iter().filter_map(|at| formula.items.get(*at)) {
        adding = adding.related(item.span, format!("{} has no weight", item.name));
    }
    let _ = balance_fix(case, adding, false, "100 %");
}
