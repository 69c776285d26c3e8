use crate::Level;
use crate::card::rule;
use crate::case::Case;
use crate::changes::take_out;
use crate::findings::Findings;
use notation::{Base, Block, Change, ChangeKind, Form, ItemLine, Quantity, SlipKind, Span, fold};

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
    /// Takes the phase out, where nothing else names it. A matter of judgement: its lines may be missing.
    name: "phase-empty",
    group: Reading,
    level: Note,
    since: "0.1.0",
    fixes: Sometimes,
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
        if !is_named(case, slip.span) {
            adding = adding
                .judgement_fix(format!("Take phase {label} out"), take_out(&case.block.text, slip.span));
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

/// Whether a step, a variant, or an amount in percent of it names the phase.
fn is_named(case: &Case<'_>, label: Span) -> bool {
    let formula = &case.resolved.formula;
    let Some(at) = formula.phases.iter().position(|phase| phase.span == label) else { return true };
    let wanted = fold(case.at(label));
    let same = |span: Span| fold(case.at(span)) == wanted;
    let steps = std::iter::once(formula).chain(&case.resolved.variants).flat_map(|formula| &formula.steps);
    let in_line = |form: &Form| match form {
        Form::Change(Change {
            kind: ChangeKind::Add { phase: Some(phase), .. } | ChangeKind::Replace { phase: Some(phase), .. },
            ..
        }) => same(*phase),
        Form::Item(ItemLine { quantity: Quantity::Given(measure), .. }) => {
            matches!(measure.of, Some(Base::Phase(phase)) if same(phase))
        }
        _ => false,
    };
    steps.flat_map(|step| &step.phases).any(|phase| *phase == at)
        || case.block.lines.iter().any(|line| in_line(&line.form))
}
