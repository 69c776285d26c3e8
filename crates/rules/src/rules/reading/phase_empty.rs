use crate::Level;
use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use notation::{Block, Form, SlipKind, Span};

rule! {
    /// A phase has no ingredient.
    ///
    /// ## Why
    /// A heading without lines makes the reader look for what is missing.
    /// ## Fires
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    /// phase A oil
    ///    60     %     jojoba oil
    ///    40     %     squalane
    /// phase B fragrance
    /// note Without scent so far.
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    /// phase A oil
    ///    60     %     jojoba oil
    ///    39.8   %     squalane
    /// phase B other
    ///     0.2   %     bisabolol
    /// ```
    /// ## Fix
    /// None: either its lines are missing, or the phase is one too many.
    name: "phase-empty",
    group: Reading,
    level: Note,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    if !case.is_parent() {
        return;
    }
    for slip in case.block.slips.iter().filter(|slip| slip.kind == SlipKind::PhaseEmpty) {
        let label = case.at(slip.span);
        let mut adding = out
            .add(slip.span, format!("phase {label} has no ingredient"))
            .help("Write its lines below it, or take the phase out.")
            .subject(label.to_owned());
        if is_last(case.block, slip.span) {
            adding = adding.level(Level::Hint);
        }
        let _ = adding;
    }
}

/// Whether nothing stands below the phase: it is being written.
fn is_last(block: &Block, label: Span) -> bool {
    !block
        .lines
        .iter()
        .any(|line| line.span.start > label.end && !matches!(line.form, Form::Blank | Form::Comment))
}
