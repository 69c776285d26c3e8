use crate::card::rule;
use crate::case::Case;
use crate::findings::{Adding, Findings};
use crate::words;
use formula::{Exact, Item, Written};
use notation::{Block, ClauseWord, Edit, Edits, Form, ItemLine, Measure, RangeKind};

rule! {
    /// One ingredient stands twice in one phase.
    ///
    /// ## Why
    /// Weighed line by line, the second is easily taken for a slip and left out, or the first is weighed twice.
    /// ## Fires
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///    60     %     jojoba oil
    ///    35     %     squalane
    ///     5     %     Simmondsia Chinensis Seed Oil
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///    65     %     jojoba oil
    ///    35     %     squalane
    /// ```
    /// In two phases it is on purpose; so are two grades:
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    /// phase A oil
    ///    60     %     jojoba oil; refined
    ///     5     %     jojoba oil; unrefined
    /// phase B oil
    ///    10     %     jojoba oil
    ///    25     %     squalane
    /// ```
    /// ## Fix
    /// Puts both amounts on the first line, where they are in the same unit. It needs a look: the method may take them
    /// one after the other.
    name: "ingredient-twice",
    group: Reading,
    level: Note,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let items = &case.formula.items;
    for (at, item) in items.iter().enumerate() {
        let first = items.iter().take(at).find(|first| same(case.block, first, item));
        let Some(first) = first else { continue };
        let adding = out
            .add(
                item.name_span,
                format!("{} stands in this phase twice: {} and {}", item.name, amount(first), amount(item)),
            )
            .help(
                "Put both on one line; or say on each line what tells them apart (a grade, a strength, a \
                 lot).",
            )
            .related(first.name_span, "first here")
            .subject(item.key())
            .lines([item.span]);
        let _ = joined(case.block, first, item, adding);
    }
}

fn amount(item: &Item) -> &str {
    if item.amount_text.is_empty() { "no amount" } else { &item.amount_text }
}

/// Whether two lines are the same thing in the same phase, and nothing on them tells them apart.
fn same(block: &Block, a: &Item, b: &Item) -> bool {
    let plain = |item: &Item| {
        item.material.is_some()
            && !item.is_ambiguous()
            && !item.open_slot
            && !item.changed
            // `1/0 %` counts in nothing, and is told for itself.
            && !matches!(item.written, Written::AsNeeded | Written::Unread)
    };
    plain(a)
        && plain(b)
        && a.phase == b.phase
        && a.key() == b.key()
        && a.grades == b.grades
        && a.strength == b.strength
        && a.iu_per_gram == b.iu_per_gram
        && a.strength_in == b.strength_in
        && a.carried_in == b.carried_in
        && a.inci == b.inci
        && a.to_ph == b.to_ph
        && trade(block, a) == trade(block, b)
}

fn line<'b>(block: &'b Block, item: &Item) -> Option<&'b ItemLine> {
    block.lines.iter().find_map(|line| match &line.form {
        Form::Item(written) if written.name.span == item.name_span => Some(written),
        _ => None,
    })
}

/// Trade name, supplier and lot.
fn trade<'b>(block: &'b Block, item: &Item) -> Vec<&'b str> {
    let clauses = line(block, item).into_iter().flat_map(|line| &line.clauses);
    let told = clauses.filter(|clause| {
        matches!(clause.word, Some(ClauseWord::As | ClauseWord::Supplier | ClauseWord::Lot))
    });
    told.map(|clause| block.at(clause.span)).collect()
}

fn joined<'a>(block: &Block, first: &Item, second: &Item, adding: Adding<'a>) -> Adding<'a> {
    let (Some(a), Some(b)) = (line(block, first), line(block, second)) else { return adding };
    let bare = |line: &ItemLine| line.clauses.is_empty();
    let out = |item: &Item| Edit { span: words::whole_line(&block.text, item.span), text: String::new() };
    let (title, edits) = if first.written == Written::Balance && bare(b) {
        ("Leave this line to the balance", vec![out(second)])
    } else if second.written == Written::Balance && bare(a) {
        ("Leave the first line to the balance", vec![out(first)])
    } else {
        let (Some(one), Some(two)) = (words::measure_of(block, first), words::measure_of(block, second))
        else {
            return adding;
        };
        let Some(sum) = sum(block, &one, &two).filter(|_| bare(b)) else { return adding };
        ("Put both on the first line", vec![Edit { span: one.range.span, text: sum.data() }, out(second)])
    };
    match Edits::new(edits) {
        Ok(edits) => adding.judgement_fix(title, edits),
        Err(_) => adding,
    }
}

fn sum(block: &Block, one: &Measure, two: &Measure) -> Option<Exact> {
    let exact = |measure: &Measure| measure.range.kind == RangeKind::Exact && measure.of.is_none();
    let unit = |measure: &Measure| measure.unit.map(|unit| unit.unit);
    if !exact(one) || !exact(two) || unit(one) != unit(two) {
        return None;
    }
    Some(Exact::read(block.at(one.range.first))? + Exact::read(block.at(two.range.first))?)
}
