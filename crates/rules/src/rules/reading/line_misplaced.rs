use crate::card::rule;
use crate::case::Writing;
use crate::changes::line_below;
use crate::findings::Findings;
use crate::words::whole_line;
use notation::{Block, Edit, Edits, Form, Line, Quantity, SlipKind, Span};

rule! {
    /// A line does not belong where it stands: a phase or an ingredient below a variant.
    ///
    /// ## Why
    /// Whoever reads the sheet takes such a line for part of the variant; here it is read as part of the formula
    /// itself, and so of all its variants.
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
    /// A phase:
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    /// phase A oil
    ///    60     %     jojoba oil
    ///    39.8   %     squalane
    ///
    /// variant light
    /// replace squalane with caprylic/capric triglyceride
    ///
    /// phase B fragrance
    ///     0.2   %     bisabolol
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
    /// Moves the line, or the phase with its lines, above the first variant; or gives a single line to the variant
    /// with `add`. A matter of judgement: only the maker knows whose it is.
    name: "line-misplaced",
    group: Reading,
    level: Warning,
    since: "0.1.0",
    fixes: Always,
    check: Writing(check)
}

fn check(writing: &Writing<'_>, out: &mut Findings<'_>) {
    let block = writing.block;
    for slip in block.slips.iter().filter(|slip| slip.kind == SlipKind::Misplaced) {
        let Some(at) = block.lines.iter().position(|line| holds(line, slip.span)) else { continue };
        let run = run(block, at);
        let phase = matches!(block.lines.get(at).map(|line| &line.form), Some(Form::Phase(_)));
        let adding = if phase {
            let label = block.at(slip.span);
            out.add(
                slip.span,
                format!("phase {label} stands below a variant, but belongs to the formula itself"),
            )
            .help("Move the phase with its lines above the first `variant`.")
        } else {
            out.add(slip.span, "this line stands below a variant, but belongs to the formula itself").help(
                "Move it above the first `variant`; to give it to the variant only, write `add AMOUNT NAME \
                 to PHASE`.",
            )
        };
        let title = match (phase, run.len()) {
            (true, _) => "Move the phase above the variants",
            (false, 1) => "Move the line above the variants",
            (false, _) => "Move the lines above the variants",
        };
        let adding = match above(block, &run) {
            Some(edits) => adding.judgement_fix(title, edits),
            None => adding,
        };
        if let Some((name, edits)) = given(block, at).filter(|_| run.len() == 1 && !phase) {
            let _ = adding.judgement_fix(format!("Give it to the variant {name}"), edits);
        }
    }
}

fn holds(line: &Line, place: Span) -> bool {
    line.span.start <= place.start && place.end <= line.span.end
}

/// The lines that belong together: a phase with its lines, or ingredients that follow each other.
fn run(block: &Block, at: usize) -> Vec<&Line> {
    let Some((first, rest)) = block.lines.get(at..).and_then(<[Line]>::split_first) else {
        return Vec::new();
    };
    let more = rest.iter().take_while(|line| matches!(line.form, Form::Item(_)));
    std::iter::once(first).chain(more).collect()
}

/// Moves lines below the last ingredient, or else the last line, before the first variant.
fn above(block: &Block, run: &[&Line]) -> Option<Edits> {
    let text: &str = &block.text;
    let (first, last) = (run.first()?, run.last()?);
    let before = block.lines.iter().take_while(|line| !matches!(line.form, Form::Variant(_)));
    let told = |line: &&Line| !matches!(line.form, Form::Blank | Form::Comment);
    let (items, others): (Vec<&Line>, Vec<&Line>) =
        before.filter(told).partition(|line| matches!(line.form, Form::Item(_) | Form::Phase(_)));
    let below = items.last().or(others.last())?;
    let moved = Span::new(first.span.start, last.span.end);
    let mut edits: Vec<Edit> = line_below(text, below.span, moved.of(text)).iter().cloned().collect();
    edits.push(Edit { span: whole_line(text, moved), text: String::new() });
    Edits::new(edits).ok()
}

/// `add 10 % NAME`, in a formula without phases: the variant, and the change.
fn given(block: &Block, at: usize) -> Option<(&str, Edits)> {
    let line = block.lines.get(at)?;
    let Form::Item(item) = &line.form else { return None };
    let Quantity::Given(measure) = &item.quantity else { return None };
    let mut before =
        block.lines.iter().take(at).rev().filter(|line| !matches!(line.form, Form::Blank | Form::Comment));
    let variant = block.lines.iter().take(at).rev().find_map(|line| match &line.form {
        Form::Variant(variant) => Some(block.at(variant.name)),
        _ => None,
    })?;
    let follows = before.next().is_some_and(|line| matches!(line.form, Form::Change(_) | Form::Variant(_)));
    let phases = block.lines.iter().any(|line| matches!(line.form, Form::Phase(_)));
    let amount: Vec<&str> = block.at(measure.span).split_whitespace().collect();
    let start = item.name.span.start - u32::from(item.name.quoted);
    let edits = Edits::one(Span::new(line.span.start, start), format!("add {} ", amount.join(" ")));
    (follows && !phases).then_some((variant, edits))
}
