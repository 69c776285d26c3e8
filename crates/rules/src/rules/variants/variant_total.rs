use crate::amounts::{can_judge, grams, only_rescaled, place};
use crate::card::rule;
use crate::case::Case;
use crate::changes::line_below;
use crate::findings::{Adding, Findings};
use crate::words;
use formula::{Basis, Exact, Formula, Item, Written};
use notation::{Form, Span, Unit};

rule! {
    /// A variant no longer adds up, though its formula does.
    ///
    /// ## Why
    /// What a variant leaves out has to go somewhere: to the water, to another oil. Without a balance line nobody
    /// says where, and the variant is made as something that was never worked out.
    /// ## Fires
    /// ```formula
    /// formula Mill balm
    /// product balm, body
    ///    60     %     jojoba oil
    ///    20     %     shea butter
    ///    20     %     beeswax
    ///
    /// variant light
    /// omit shea butter
    /// ```
    /// ## Quiet
    /// A balance line takes the rest in every variant:
    /// ```formula
    /// formula Mill balm
    /// product balm, body
    ///   to  100     %     jojoba oil
    ///    20     %     shea butter
    ///    20     %     beeswax
    ///
    /// variant light
    /// omit shea butter
    /// ```
    /// ```formula
    /// formula Mill balm
    /// product balm, body
    ///    60     %     jojoba oil
    ///    20     %     shea butter
    ///    20     %     beeswax
    ///
    /// variant light
    /// omit shea butter
    /// set jojoba oil to 80 %
    /// ```
    /// ## Fix
    /// Gives what is missing, or takes what is too much, to or from the largest watery line, else the largest line. A
    /// matter of judgement.
    /// ## Sources
    /// - tolerance: as for `total-not-100` and `total-not-batch`
    name: "variant-total",
    group: Variants,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let (own, parent) = (case.formula, &case.resolved.formula);
    if case.is_parent() || !can_judge(own) || !can_judge(parent) || only_rescaled(case) {
        return;
    }
    if !own.totals.is_off() || parent.totals.is_off() || parent.totals.wanted.is_none() {
        return;
    }
    let Some(off) = own.totals.off() else { return };
    let weights = own.totals.basis == Basis::Weight;
    let amount = |value: &Exact| if weights { grams(value) } else { format!("{} %", value.percent()) };
    let (named, gap) = (amount(&own.totals.named), amount(&off.abs()));
    let gone: Vec<String> = parent
        .items
        .iter()
        .filter(|item| !own.items.iter().any(|other| other.name_span == item.name_span))
        .map(|item| line(item, weights))
        .collect();
    let come: Vec<String> =
        own.items.iter().filter(|item| item.changed).map(|item| line(item, weights)).collect();
    let told = |what: &str, lines: &[String]| match lines {
        [] => String::new(),
        lines => format!("; {what}: {}", words::list(lines)),
    };
    let message = if off.is_negative() {
        format!("the lines of this variant add up to {named}: {gap} too much")
    } else {
        format!("the lines of this variant add up to {named}: {gap} goes nowhere")
    };
    let message = format!("{message}{}{}", told("left out", &gone), told("changed or added", &come));
    let adding = out
        .add(place(case), message)
        .help(
            "Give the difference to a line with `set NAME to AMOUNT`, or make one line of the formula the \
             balance.",
        )
        .lines(own.totals.open.iter().filter_map(|at| own.items.get(*at)).map(|item| item.span));
    if !weights {
        let _ = set_fix(case, adding, &off);
    }
}

fn line(item: &Item, weights: bool) -> String {
    let share = item.mid().map(|share| format!(" {} %", share.percent()));
    let weight = item.grams.as_ref().map(|weight| format!(" {}", grams(&weight.mid)));
    format!("{}{}", item.name, if weights { weight } else { share }.unwrap_or_default())
}

fn set_fix<'a>(case: &Case<'_>, adding: Adding<'a>, off: &Exact) -> Adding<'a> {
    let own = case.formula;
    let watery = |item: &Item| item.material.as_ref().is_some_and(|m| m.water_share() == Some(Exact::one()));
    let fits = |item: &&Item| {
        let alone = own.items.iter().filter(|other| other.key() == item.key()).count() == 1;
        let plain = ![" to ", " with ", " in ", ";"].iter().any(|word| item.name.contains(word));
        !item.changed && item.written == Written::Amount(Unit::Percent) && !item.is_range && alone && plain
    };
    let best = own.items.iter().filter(fits).max_by_key(|item| (watery(item), item.mid().cloned()));
    let amount = best
        .and_then(Item::mid)
        .map(|share| share + off)
        .filter(|share| !share.is_negative() && !share.is_zero());
    let (Some(item), Some(amount), Some(last)) = (best, amount, last_line(case, own)) else { return adding };
    let line = format!("set {} to {} %", item.name, amount.percent().data());
    adding.judgement_fix(format!("`{line}`"), line_below(&case.block.text, last, &line))
}

/// The last line of a variant: a change, or the line that opens it.
fn last_line(case: &Case<'_>, formula: &Formula) -> Option<Span> {
    let (_, name) = formula.variant.as_ref()?;
    let mut last = None;
    for line in &case.block.lines {
        match &line.form {
            Form::Variant(variant) if variant.name == *name => last = Some(line.span),
            Form::Change(_) if last.is_some() => last = Some(line.span),
            Form::Blank | Form::Comment => {}
            _ if last.is_some() => break,
            _ => {}
        }
    }
    last
}
