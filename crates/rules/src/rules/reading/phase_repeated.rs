use crate::card::rule;
use crate::case::Writing;
use crate::findings::Findings;
use notation::{Block, Form, SlipKind, fold};

rule! {
    /// Two phases have the same label.
    ///
    /// ## Why
    /// A step that says `add B to A` then means two things.
    /// ## Fires
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    /// phase A oil
    ///    60     %     jojoba oil
    /// phase A oil
    ///    40     %     squalane
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    /// phase A oil
    ///    60     %     jojoba oil
    /// phase A2 oil
    ///    40     %     squalane
    /// ```
    /// ## Fix
    /// Gives the second the next free letter. It needs a look: steps name phases by their label.
    name: "phase-repeated",
    group: Reading,
    level: Note,
    since: "0.1.0",
    fixes: Sometimes,
    check: Writing(check)
}

fn check(writing: &Writing<'_>, out: &mut Findings<'_>) {
    let block = writing.block;
    for slip in &block.slips {
        let SlipKind::PhaseRepeated(first) = slip.kind else { continue };
        let label = block.at(slip.span);
        let adding = out
            .add(slip.span, format!("a second phase {label}"))
            .help("Give it a label of its own, or put its lines under the first.")
            .related(first, "the first stands here");
        let _ = match free_label(block) {
            Some(free) => adding.replace(format!("Call it phase {free}"), slip.span, free),
            None => adding,
        };
    }
}

/// The first letter that no phase has.
fn free_label(block: &Block) -> Option<String> {
    let taken: Vec<String> = block
        .lines
        .iter()
        .filter_map(|line| match &line.form {
            Form::Phase(phase) => Some(fold(block.at(phase.label))),
            _ => None,
        })
        .collect();
    ('A'..='Z').map(String::from).find(|letter| !taken.contains(&fold(letter)))
}
