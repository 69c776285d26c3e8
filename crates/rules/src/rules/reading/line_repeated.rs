use crate::card::rule;
use crate::case::Writing;
use crate::changes;
use crate::findings::Findings;
use notation::{Block, BlockKind, Fact, Form, SlipKind, Span, fold};

rule! {
    /// A kind of line of which there is one stands twice.
    ///
    /// ## Why
    /// Two versions, two pH targets or two batch sizes on one sheet: each reader follows another one.
    /// ## Fires
    /// ```formula
    /// formula Oil for dry hands
    /// version 2
    /// product body oil, water-free
    /// version 3
    ///    60     %     jojoba oil
    ///    40     %     squalane
    /// ```
    /// ## Quiet
    /// Lines that may be repeated, and a variant that sets its own:
    /// ```formula
    /// formula Oil for dry hands
    /// version 3
    /// product body oil, water-free
    /// batch 200 g
    /// note Warm it in the hands.
    /// note Keep it in the dark.
    ///    60     %     jojoba oil
    ///    40     %     squalane
    ///
    /// variant large
    /// set batch to 2 kg
    /// ```
    /// ## Fix
    /// Takes one of the two out. Where both say the same, that changes nothing; else the maker has to choose.
    name: "line-repeated",
    group: Reading,
    level: Warning,
    since: "0.1.0",
    fixes: Always,
    check: Writing(check)
}

fn check(writing: &Writing<'_>, out: &mut Findings<'_>) {
    let block = writing.block;
    for slip in &block.slips {
        let SlipKind::Repeated(first) = slip.kind else { continue };
        let (Some(one), Some(two)) = (fact(block, first), fact(block, slip.span)) else { continue };
        let word = one.word.spelling();
        let counts = if block.kind == BlockKind::Formula { "; the later one counts" } else { "" };
        let message = format!("a second `{word}` line{counts}");
        let take_out = |span| changes::take_out(&block.text, span);
        let adding =
            out.add(slip.span, message).help("Keep one of them.").related(first, "the first stands here");
        let alike = fold(&said(block, one)) == fold(&said(block, two));
        let _ = if alike {
            adding.safe_fix("Take this line out", take_out(slip.span))
        } else {
            adding
                .judgement_fix(format!("Keep this one, take `{}` out", said(block, one)), take_out(first))
                .judgement_fix(
                    format!("Keep the first, take `{}` out", said(block, two)),
                    take_out(slip.span),
                )
        };
    }
}

fn fact(block: &Block, word: Span) -> Option<&Fact> {
    block.lines.iter().find_map(|line| match &line.form {
        Form::Fact(fact) if fact.word_span == word => Some(fact),
        _ => None,
    })
}

/// What the whole line says, without its comment.
fn said(block: &Block, fact: &Fact) -> String {
    let line = block
        .lines
        .iter()
        .find(|line| line.span.start <= fact.word_span.start && fact.word_span.end <= line.span.end);
    let Some(line) = line else { return String::new() };
    let end = line.comment.map_or(line.span.end, |comment| comment.start);
    block.at(Span::new(fact.word_span.start, end)).trim().to_owned()
}
