use crate::amounts::{grams, place};
use crate::card::rule;
use crate::case::Case;
use crate::changes::{said_batch, weighed};
use crate::findings::Findings;
use crate::words;
use formula::{Basis, Exact, Formula, GapKind, Item, Written};
use notation::{Dimension, Edits, Form, ItemLine, Measure, Quantity, Span, Unit, in_one_line};

rule! {
    /// Percents and weights stand side by side, and nothing joins them.
    ///
    /// ## Why
    /// A weight is a share only of a batch of known size. Without one, nobody can say what the formula holds; with
    /// two sizes that disagree, neither.
    /// ## Fires
    /// ```formula
    /// formula Ferry balm
    /// product balm, body
    ///    60     %     jojoba oil
    ///    20     %     shea butter
    ///    40     g     beeswax
    /// ```
    /// Two sizes:
    /// ```formula
    /// formula Ferry balm
    /// product balm, body
    /// batch 400 g
    ///   to  100     %     jojoba oil
    ///        30     g = 6 % beeswax
    /// ```
    /// ## Quiet
    /// A batch joins them:
    /// ```formula
    /// formula Ferry balm
    /// product balm, body
    /// batch 200 g
    ///    60     %     jojoba oil
    ///    20     %     shea butter
    ///    40     g     beeswax
    /// ```
    /// So does a line that says both, or the total that is made up to:
    /// ```formula
    /// formula Ferry balm
    /// product balm, body
    ///   to  100     %     jojoba oil
    ///        20     %     shea butter
    ///       100     g = 20 % beeswax
    /// ```
    /// ```formula
    /// formula Ferry balm
    /// product balm, body
    ///   to  500     g     jojoba oil
    ///        20     %     shea butter
    ///       100     g     beeswax
    /// ```
    /// ## Fix
    /// Writes the batch of which the weights are what the percents leave; of a line that says two sizes, either the
    /// percent alone, or the batch that it says. A matter of judgement: the size of the batch is for the maker to
    /// say.
    /// ## Sources
    /// - `30 g = 6 %` disagrees with a batch only where no rounding of either number explains it
    name: "units-mixed",
    group: Amounts,
    level: Error,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    for gap in &formula.gaps {
        let GapKind::BothDisagree { says, batch } = &gap.kind else { continue };
        let item = formula.items.iter().find(|item| item.span == gap.span);
        let text = item.map_or(case.at(gap.span), |item| item.amount_text.as_str());
        let said = formula.header.batch.as_ref().filter(|header| header.grams.as_ref() == Some(batch));
        let whose = if said.is_some() { "the batch line" } else { "another line" };
        let text = in_one_line(text);
        let message = format!("{text} says a batch of {}, {whose} says {}", grams(says), grams(batch));
        let mut adding = out
            .add(item.and_then(|item| item.amount_span).unwrap_or(gap.span), message)
            .help("Correct one of them, or write only the percent.")
            .subject(item.map(Item::key).unwrap_or_default());
        if let Some(header) = said {
            adding = adding.related(header.span, "the batch line");
        }
        if let Some((title, edits)) = said.and_then(|_| said_batch(case, says)) {
            adding = adding.judgement_fix(title, edits);
        }
        let Some((share, edits)) = item.and_then(|item| only_share(case, item)) else { continue };
        let _ = adding.judgement_fix(format!("Write only `{share}`"), edits);
    }
    if formula.totals.basis == Basis::Mixed {
        mixed(case, formula, out);
    }
}

fn mixed(case: &Case<'_>, formula: &Formula, out: &mut Findings<'_>) {
    let names = |is: &dyn Fn(&Item) -> bool| -> Vec<String> {
        formula.items.iter().filter(|item| is(item)).map(|item| item.name.clone()).collect()
    };
    let of = |item: &Item, dimension: Dimension| match item.written {
        Written::Amount(unit) => unit.dimension() == dimension,
        _ => false,
    };
    let groups = [
        ("percents", names(&|item| of(item, Dimension::Share))),
        ("parts", names(&|item| item.written == Written::Amount(Unit::Parts))),
        ("weights", names(&|item| of(item, Dimension::Mass))),
        ("volumes", names(&|item| of(item, Dimension::Volume) || of(item, Dimension::Activity))),
        ("the balance", names(&|item| item.written == Written::Balance)),
    ];
    let told: Vec<String> = groups
        .into_iter()
        .filter(|(_, names)| !names.is_empty())
        .map(|(kind, names)| format!("{kind} ({})", words::list(&names)))
        .collect();
    let message = format!("{} stand side by side, and no batch joins them", words::list(&told));
    let volume = formula.totals.balances.iter().filter_map(|at| formula.items.get(*at)).any(|item| {
        let text = item.amount_text.to_lowercase();
        text.ends_with("ml") || text.ends_with(" l")
    });
    let help = if volume {
        "The total is made up to a volume: say the product's `density` too, or make it up to a weight (`to \
         100 g`)."
    } else {
        "Say the batch (`batch 500 g`, or `to 500 g` on the balance line), or write all lines in one kind."
    };
    let adding = out.add(place(case), message).help(help);
    if let Some((title, edits)) = joining(formula, case).and_then(|batch| said_batch(case, &batch)) {
        let _ =
            adding.judgement_fix(format!("{title}, of which the weights are what the percents leave"), edits);
    }
}

/// The batch of which the weights are what the percents leave.
fn joining(formula: &Formula, case: &Case<'_>) -> Option<Exact> {
    let (mut shares, mut weights) = (Exact::zero(), Exact::zero());
    for item in formula.items.iter().filter(|item| item.written != Written::AsNeeded) {
        match item.written {
            Written::Amount(Unit::Percent) => shares = shares + item.mid().filter(|_| !item.is_range)?,
            Written::Amount(_) => weights = weights + weighed(case, item)?,
            _ => return None,
        }
    }
    let left = Exact::one() - shares;
    if left.is_negative() || left.is_zero() { None } else { weights.over(&left) }
}

/// Of a line that says a weight and a percent, the percent alone.
fn only_share(case: &Case<'_>, item: &Item) -> Option<(String, Edits)> {
    let (first, second) = case.block.lines.iter().find_map(|line| match &line.form {
        Form::Item(ItemLine { name, quantity: Quantity::Both(first, second), .. })
            if name.span == item.name_span =>
        {
            Some((*first, *second))
        }
        _ => None,
    })?;
    let is_share =
        |measure: &Measure| measure.unit.is_some_and(|unit| unit.unit.dimension() == Dimension::Share);
    let cut = if is_share(&second) {
        Span::new(first.span.start, second.span.start)
    } else {
        Span::new(first.span.end, second.span.end)
    };
    let kept = if is_share(&second) { second } else { first };
    Some((case.at(kept.span).to_owned(), Edits::one(cut, "")))
}
