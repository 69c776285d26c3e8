use crate::card::rule;
use crate::case::Writing;
use crate::findings::Findings;
use notation::{Form, SlipKind};

rule! {
    /// A line does not belong where it stands: a phase or an ingredient below a variant.
    ///
    /// ## Why
    /// Whoever reads the sheet takes such a line for part of the variant; here it is read as part of the formula itself,
    /// and so of all its variants.
    /// ## Fires
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///    60     %     jojoba oil
    ///    30     %     squalane
    ///
    /// variant light
    /// replace squalane with caprylic/capric triglyceride
    ///    10     %     isoamyl laurate
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///    60     %     jojoba oil
    ///    40     %     squalane
    ///
    /// variant light
    /// replace squalane with caprylic/capric triglyceride
    ///
    /// note The light one sinks in faster.
    /// ```
    /// ## Fix
    /// None: move the line above the first variant, or write `add AMOUNT NAME` to give it to the variant.
    name: "line-misplaced",
    group: Reading,
    level: Warning,
    since: "0.1.0",
    fixes: None,
    check: Writing(check)
}

fn check(writing: &Writing<'_>, out: &mut Findings<'_>) {
    for slip in writing.block.slips.iter().filter(|slip| slip.kind == SlipKind::Misplaced) {
        let phase = writing
            .block
            .lines
            .iter()
            .any(|line| matches!(&line.form, Form::Phase(phase) if phase.label == slip.span));
        let _ = if phase {
            let label = writing.block.at(slip.span);
            out.add(
                slip.span,
                format!("phase {label} stands below a variant, but belongs to the formula itself"),
            )
            .help("Move the phase with its lines above the first `variant`.")
        } else {
            out.add(slip.span, "this line stands below a variant, but belongs to the formula itself")
                .help("Move it above the first `variant`; to give it to the variant only, write `add AMOUNT NAME to PHASE`.")
        };
    }
}
