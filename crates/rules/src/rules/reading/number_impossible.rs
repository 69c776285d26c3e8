use crate::card::rule;
use crate::case::Writing;
use crate::finding::Level;
use crate::findings::Findings;
use formula::possible::{Possible, is_reversed};
use formula::{Exact, Window};
use notation::{
    Block, ChangeKind, Clause, Edits, Fact, Form, ItemLine, Measure, Quantity, RangeKind, Span, Word, fold,
    in_one_line,
};

rule! {
    /// A number that nothing can have: a pH of 99, a strength of 300 %, a batch of nothing, a range from high to low.
    ///
    /// ## Why
    /// It is a slip of the pen, and whatever is worked out from it is wrong. It is taken as not said, until it is
    /// written as it was meant; a range from high to low is read the other way round.
    /// ## Fires
    /// ```formula
    /// formula Night serum
    /// product gel serum, face
    /// pH 55 to 60
    ///   to 100  %     rose hydrosol
    ///     0.9   %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ```formula
    /// formula Night oil
    /// product face oil
    /// batch 0 g
    ///    60     %     jojoba oil
    ///    40     %     squalane
    /// ```
    /// ```formula
    /// formula Night serum
    /// product gel serum, face
    /// pH 5.5 to 5
    ///   to 100  %     purified water
    ///     0.9   %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ```formula
    /// formula Night serum
    /// product gel serum, face
    /// pH 5 to 5.5
    ///   to 100  %     purified water
    ///     0.9   %     phenoxyethanol (and) ethylhexylglycerin
    ///     0.1   %     lactic acid; strength 800 %
    /// ```
    /// A line of nothing brings nothing:
    /// ```formula
    /// formula Night oil
    /// product face oil
    ///    60     %     jojoba oil
    ///    40     %     squalane
    ///     0     %     bisabolol
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Night serum
    /// product gel serum, face
    /// batch 500 g
    /// pH 5 to 5.5
    ///   to 100  %     purified water
    ///     0.9   %     phenoxyethanol (and) ethylhexylglycerin
    ///     0.1   %     lactic acid; strength 80 %
    /// ```
    /// A line of nothing that a variant fills:
    /// ```formula
    /// formula Night oil
    /// product face oil
    ///    60     %     jojoba oil
    ///   to 100  %     squalane
    ///     0     %     bisabolol
    ///
    /// variant soothing
    /// set bisabolol to 0.2 %
    /// ```
    /// ## Fix
    /// A range is turned round; it was read that way already, so nothing changes. All else only the maker can know.
    name: "number-impossible",
    group: Reading,
    level: Error,
    since: "0.1.0",
    fixes: Sometimes,
    check: Writing(check)
}

fn check(writing: &Writing<'_>, out: &mut Findings<'_>) {
    let block = writing.block;
    for line in &block.lines {
        match &line.form {
            Form::Phase(phase) => clauses(block, &phase.clauses, out),
            Form::Item(item) => ingredient(block, item, out),
            Form::Fact(said) => fact(block, said, out),
            Form::Change(change) => {
                if let Some(quantity) = change.kind.quantity() {
                    amount(block, quantity, out);
                }
                if let ChangeKind::Header(said) = &change.kind {
                    fact(block, said, out);
                }
                clauses(block, &change.clauses, out);
            }
            _ => {}
        }
    }
}

fn fact(block: &Block, fact: &Fact, out: &mut Findings<'_>) {
    if let Some(measure) = &fact.measure {
        let kind = Possible::of_line(fact.word);
        if !reversed(block, measure, out) && kind.is_some_and(|kind| !kind.holds(&block.text, measure)) {
            let written = measure.span.join(fact.word_span).of(&block.text);
            tell(written, measure, bounds(kind, fact.word), out);
        }
    }
    clauses(block, &fact.clauses, out);
}

fn clauses(block: &Block, clauses: &[Clause], out: &mut Findings<'_>) {
    for clause in clauses {
        let Some(measure) = &clause.measure else { continue };
        let kind = clause.word.and_then(Possible::of_clause);
        if !reversed(block, measure, out) && kind.is_some_and(|kind| !kind.holds(&block.text, measure)) {
            tell(block.at(clause.span), measure, bounds(kind, Word::Note), out);
        }
    }
}

fn ingredient(block: &Block, item: &ItemLine, out: &mut Findings<'_>) {
    amount(block, &item.quantity, out);
    clauses(block, &item.clauses, out);
    let name = block.at(item.name.span);
    if let Some((number, at)) = strength_behind(name).filter(|_| !item.name.quoted) {
        let span = Span::new(item.name.span.start + at, item.name.span.end);
        if number.is_zero() || number > Exact::whole(100) {
            let _ = out
                .add(span, format!("`{name}`: nothing is {} strong", span.of(&block.text)))
                .help("A strength is more than 0 % and at most 100 %.");
        }
    }
    if let Quantity::Given(measure) = &item.quantity
        && Window::read(&block.text, &measure.range)
            .and_then(|window| window.high)
            .is_some_and(|high| high.is_zero())
        && !is_changed(block, name)
    {
        let _ = out
            .add(
                measure.span,
                format!("{} {name}: the line brings nothing", in_one_line(block.at(measure.span))),
            )
            .level(Level::Note)
            .help("Take the line out, or write how much of it there is.");
    }
}

/// Whether a variant changes what stands under a name.
fn is_changed(block: &Block, name: &str) -> bool {
    let name = fold(name);
    block.lines.iter().any(|line| match &line.form {
        Form::Change(change) => match &change.kind {
            ChangeKind::Replace { old, .. } | ChangeKind::Amount { old, .. } => {
                fold(block.at(old.span)) == name
            }
            _ => false,
        },
        _ => false,
    })
}

fn amount(block: &Block, quantity: &Quantity, out: &mut Findings<'_>) {
    let (first, second) = match quantity {
        Quantity::Given(measure) | Quantity::Balance(Some(measure), _) => (Some(measure), None),
        Quantity::Both(first, second) => (Some(first), Some(second)),
        _ => (None, None),
    };
    for measure in first.into_iter().chain(second) {
        let below = Window::read(&block.text, &measure.range).and_then(|window| window.low);
        if !reversed(block, measure, out)
            && measure.range.kind == RangeKind::PlusMinus
            && below.is_some_and(|low| low < Exact::zero())
        {
            let written = in_one_line(block.at(measure.span));
            let _ = out
                .add(measure.span, format!("`{written}` goes below nothing"))
                .help("The tolerance is larger than the amount: write a smaller one.");
        }
    }
}

/// Tells of a range from high to low.
fn reversed(block: &Block, measure: &Measure, out: &mut Findings<'_>) -> bool {
    let range = &measure.range;
    if !is_reversed(&block.text, range) {
        return false;
    }
    let (first, second) = (block.at(range.first), block.at(range.second));
    let between = Span::new(range.first.end, range.second.start);
    let turned = format!("{second}{}{first}", block.at(between));
    let _ = out
        .add(range.span, format!("`{}` runs from high to low", block.at(range.span)))
        .level(Level::Warning)
        .help("Write the lower number first; it is read that way until then.")
        .judgement_fix(
            format!("Write `{turned}`"),
            Edits::one(range.first.join(range.second), turned.clone()),
        );
    true
}

/// What a number of this kind can be.
fn bounds(kind: Option<Possible>, word: Word) -> &'static str {
    match (kind, word) {
        (Some(Possible::Ph), _) => "A pH lies between 0 and 14.",
        (Some(Possible::WaterActivity), _) => "A water activity lies between 0 and 1.",
        (Some(Possible::Share), _) => "A share is at most 100 %.",
        (Some(Possible::SomeShare), _) => "It is more than 0 % and at most 100 %.",
        (_, Word::Scales) => "It is the smallest step that the scales show: `scales 0.01 g`.",
        (_, Word::Batch) => "Write how much is made: `batch 500 g`.",
        _ => "It is more than nothing.",
    }
}

fn tell(written: &str, measure: &Measure, help: &str, out: &mut Findings<'_>) {
    let _ = out
        .add(measure.span, format!("`{}` is not possible", in_one_line(written)))
        .help(format!("{help} Until then it is taken as not said."));
}

/// `lactic acid 300 %`: the number, and where it begins.
fn strength_behind(name: &str) -> Option<(Exact, u32)> {
    let before = name.strip_suffix('%')?.trim_end();
    let at = before.rfind([' ', '\u{a0}'])?;
    let number = before.get(at..)?.trim_start();
    Some((Exact::read(number)?, (before.len() - number.len()) as u32))
}
