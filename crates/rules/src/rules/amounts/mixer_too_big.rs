use crate::amounts::{grams, place};
use crate::card::rule;
use crate::case::Case;
use crate::changes::other_batch;
use crate::findings::Findings;

rule! {
    /// The batch is smaller than the mixer needs.
    ///
    /// ## Why
    /// A mixer whose head stands out of the batch draws in air and shears nothing: foam instead of an emulsion.
    /// ## Fires
    /// ```formula
    /// workshop Attic bench
    /// mixer at least 150 g
    ///
    /// formula Small balm
    /// product balm, body
    /// batch 80 g
    ///   to  100     %     jojoba oil
    ///        20     %     beeswax
    /// ```
    /// ## Quiet
    /// ```formula
    /// workshop Attic bench
    /// mixer at least 150 g
    ///
    /// formula Small balm
    /// product balm, body
    /// batch 150 g
    ///   to  100     %     jojoba oil
    ///        20     %     beeswax
    /// ```
    /// ## Fix
    /// Writes the least batch that the mixer takes, where all is in percent. A matter of judgement: a smaller mixer
    /// does as well.
    /// ## Settings
    /// `mixer at least 150 g` in the workshop says the least that it takes.
    name: "mixer-too-big",
    group: Amounts,
    level: Note,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let (Some(batch), Some(least)) = (case.formula.batch_grams(), &case.settings().mixer) else { return };
    if batch >= least || case.formula.totals.batch_is_sum {
        return;
    }
    let span = match &case.formula.header.batch {
        Some(batch) if case.is_parent() => batch.span,
        _ => place(case),
    };
    let message =
        format!("a batch of {} is less than the {} that the mixer needs", grams(batch), grams(least));
    let adding = out.add(span, message).help("Make more, or mix it with a smaller head or by hand.");
    if let Some((title, edits)) = other_batch(case, least) {
        let _ = adding.judgement_fix(title, edits);
    }
}
