use crate::Level;
use crate::amounts::grams;
use crate::card::rule;
use crate::case::Case;
use crate::changes::other_batch;
use crate::findings::Findings;
use formula::{Exact, Item, Written};
use notation::{Dimension, Unit};

rule! {
    /// An amount is too small for the scales.
    ///
    /// ## Why
    /// Scales that show 0.01 g are a step or so off. Of 0.05 g that is a fifth more or less; for a preservative or an
    /// active the difference between too little and too much. Twenty steps keep it near a twentieth.
    /// ## Fires
    /// ```formula
    /// workshop Attic bench
    /// scales 0.01 g
    ///
    /// formula Small gel base
    /// product premix
    /// batch 50 g
    ///   to  100     %     purified water
    ///         0.1   %     disodium EDTA
    /// ```
    /// ## Quiet
    /// ```formula
    /// workshop Attic bench
    /// scales 0.01 g
    ///
    /// formula Small gel base
    /// product premix
    /// batch 500 g
    ///   to  100     %     purified water
    ///         0.1   %     disodium EDTA
    /// ```
    /// No batch, no weights:
    /// ```formula
    /// formula Small gel base
    /// product premix
    ///   to  100     %     purified water
    ///         0.1   %     disodium EDTA
    /// ```
    /// ## Fix
    /// Writes a batch that is large enough, where all is in percent and the formula says its batch. A matter of
    /// judgement: finer scales or a dilution do as well.
    /// ## Settings
    /// `scales 0.01 g` in the workshop says the smallest step that the scales show. Where nothing is said, 0.01 g is
    /// assumed, and the finding is a hint.
    /// ## Sources
    /// - twenty steps (common practice)
    name: "too-small-to-weigh",
    group: Amounts,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

/// Steps of the scales that a weight should have.
const STEPS: i64 = 20;

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let Some(batch) = case.formula.batch_grams() else { return };
    let said = case.settings().scales.clone();
    let step = said.clone().unwrap_or_else(|| Exact::fraction(1, 100));
    let least = &step * &Exact::whole(STEPS);
    for item in &case.formula.items {
        let Some(weight) = item.grams.as_ref().map(|grams| &grams.mid).filter(|_| is_weighed(item)) else {
            continue;
        };
        if weight.is_zero() || *weight >= least {
            continue;
        }
        let dosed = ["preservative", "active", "UV filter"].into_iter().any(|function| item.does(function));
        let level = match (&said, dosed) {
            (None, _) => Level::Hint,
            (Some(_), true) => Level::Warning,
            (Some(_), false) => Level::Note,
        };
        let assumed = if said.is_some() { "" } else { " (assumed)" };
        let steps = weight.over(&step).unwrap_or_default();
        let (weighed, shows) = (grams(weight), grams(&step));
        let message = if steps < Exact::one() {
            format!("{weighed} of {} is less than one step of scales that show {shows}{assumed}", item.name)
        } else {
            let count = steps.shown(0);
            let steps_word = if count == "1" { "step" } else { "steps" };
            let spread = Exact::whole(100).over(&steps).unwrap_or_default().shown(0);
            format!(
                "{weighed} of {} is {count} {steps_word} of scales that show {shows}{assumed}: weighed to \
                 {spread} % at best",
                item.name
            )
        };
        let adding = out
            .add(item.amount_span.unwrap_or(item.span), message)
            .level(level)
            .help(way_out(item, batch, weight, &least))
            .subject(item.key())
            .lines([item.span]);
        let enough = enough(batch, weight, &least);
        if let Some((title, edits)) = enough.and_then(|batch| other_batch(case, &batch)) {
            let _ = adding.judgement_fix(title, edits);
        }
    }
}

fn is_weighed(item: &Item) -> bool {
    match item.written {
        Written::Both => true,
        Written::Amount(unit) => {
            matches!(unit.dimension(), Dimension::Share | Dimension::Mass) || unit == Unit::Parts
        }
        _ => false,
    }
}

/// The batch that would do, finer scales, or a dilution in something that dissolves it.
fn way_out(item: &Item, batch: &Exact, weight: &Exact, least: &Exact) -> String {
    let mut ways: Vec<String> = Vec::new();
    if let Some(batch) = enough(batch, weight, least) {
        ways.push(format!("make at least {}", grams(&batch)));
    }
    let mut finer = Exact::fraction(1, 10);
    while &finer * &Exact::whole(STEPS) > *weight {
        finer = finer * Exact::fraction(1, 10);
    }
    // Below a milligram it takes a laboratory.
    if finer >= Exact::fraction(1, 1000) {
        ways.push(format!("weigh it on scales that show {}", grams(&finer)));
    }
    let solvent = match (item.dissolves_in("water"), item.dissolves_in("oil")) {
        (true, _) => Some("glycerin or part of the water"),
        (false, true) => Some("part of the oil"),
        _ => None,
    };
    let ten = weight * &Exact::whole(10);
    if let Some(solvent) = solvent.filter(|_| ten >= *least) {
        ways.push(format!("dilute it to 10 % in {solvent} and weigh {}", grams(&ten)));
    }
    if ways.is_empty() {
        ways.push("dilute it in steps: 10 % of it, then 10 % of that".to_owned());
    }
    let text = ways.join("; or ");
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| format!("{}{}.", first.to_uppercase(), letters.as_str()))
}

/// The batch in which it can be weighed. Nobody makes fifty times as much to spare a dilution.
fn enough(batch: &Exact, weight: &Exact, least: &Exact) -> Option<Exact> {
    let times = least.over(weight).filter(|times| *times <= Exact::whole(50))?;
    Some(rounded_up(&(batch * &times)))
}

/// Up to two leading digits.
fn rounded_up(grams: &Exact) -> Exact {
    let mut step = Exact::one();
    while grams >= &(&step * &Exact::whole(100)) {
        step = step * Exact::whole(10);
    }
    let shown =
        grams.over(&step).and_then(|steps| Exact::read(&steps.shown(0))).unwrap_or_default() * step.clone();
    if shown < *grams { shown + step } else { shown }
}
