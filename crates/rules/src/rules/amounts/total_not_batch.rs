use crate::amounts::{balance_fix, can_judge, grams, only_rescaled, place};
use crate::card::rule;
use crate::case::Case;
use crate::changes::said_batch;
use crate::findings::Findings;
use crate::words;
use formula::Basis;
use notation::Span;

rule! {
    /// The weights of a formula do not come to the batch that it says.
    ///
    /// ## Why
    /// What is missing has to be something: water, or the preservative nobody weighed. Until it is known, no
    /// percent of the formula is known, and with them no limit and no dose.
    /// ## Fires
    /// ```formula
    /// formula Hut balm
    /// product balm, body
    /// batch 200 g
    ///    120     g     jojoba oil
    ///     40     g     shea butter
    ///     28     g     beeswax
    /// ```
    /// Lines without a weight are told with it, once:
    /// ```formula
    /// formula Hut balm
    /// product balm, body
    /// batch 200 g
    ///    120     g     jojoba oil
    ///     40     g     shea butter
    ///     28     g     beeswax
    ///     10     drops lavender oil
    /// some tocopherol
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Hut balm
    /// product balm, body
    /// batch 200 g
    /// to 200     g     jojoba oil
    ///     40     g     shea butter
    ///     28     g     beeswax
    /// ```
    /// Written for 100 g, made for 400 g:
    /// ```formula
    /// formula Hut balm
    /// product balm, body
    /// batch 400 g
    /// to 100     g     jojoba oil
    ///     20     g     shea butter
    ///     14     g     beeswax
    /// ```
    /// Rounded weights are no fault:
    /// ```formula
    /// formula Three oils
    /// product body oil
    /// batch 100 g
    ///    33.3    g     jojoba oil
    ///    33.3    g     apricot kernel oil
    ///    33.3    g     sunflower oil
    /// ```
    /// ## Fix
    /// Makes the largest watery line, else the largest line, the balance; or says the batch that the lines come to.
    /// A matter of judgement: the missing part may belong elsewhere.
    /// ## Sources
    /// - tolerance: the smaller of half a unit of each line's last digit, summed, and 0.05 % of the batch a line; a
    ///   tenth of what is measured by spoon (common practice)
    name: "total-not-batch",
    group: Amounts,
    level: Error,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    let totals = &formula.totals;
    if totals.basis != Basis::Weight || !can_judge(formula) || !totals.is_off() || only_rescaled(case) {
        return;
    }
    let (Some(off), Some(batch)) = (totals.off(), &totals.wanted) else { return };
    let missing = !off.is_negative();
    let (named, whole, gap) = (grams(&totals.named), grams(batch), grams(&off.abs()));
    let message = if missing {
        let open = words::open_lines(formula).replacen(';', ",", 1);
        format!("named lines reach {named} of {whole}; {gap} left{open}")
    } else {
        format!(
            "the lines come to {named}: {gap} more than the batch of {whole}{}",
            words::open_lines(formula)
        )
    };
    let help = if totals.open.is_empty() {
        format!("Make one line the balance (`to {whole}`), change an amount, or say the batch that it makes.")
    } else {
        "Weigh the lines that have no weight, or say the batch that it makes.".to_owned()
    };
    let open: Vec<Span> =
        totals.open.iter().filter_map(|at| formula.items.get(*at)).map(|item| item.span).collect();
    let span = match &formula.header.batch {
        Some(batch) if case.is_parent() => batch.span,
        _ => place(case),
    };
    let mut adding = out.add(span, message).help(help).lines(open.clone());
    for item in totals.open.iter().filter_map(|at| formula.items.get(*at)) {
        adding = adding.related(item.span, format!("{} has no weight", item.name));
    }
    adding = balance_fix(case, adding, true, &whole);
    if let Some((title, edits)) = said_batch(case, &totals.named).filter(|_| open.is_empty()) {
        let _ = adding.judgement_fix(format!("{title}, what the lines come to"), edits);
    }
}
