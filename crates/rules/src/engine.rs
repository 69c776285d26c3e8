//! Running the rules on a block, and what the rule book's standing orders make of their findings.

use crate::allow;
use crate::card::{Check, Group, Rule};
use crate::case::{Case, Made, WorkedOut, Writing};
use crate::chains;
use crate::finding::{Finding, Level};
use crate::findings::{Findings, Raised, Untold};
use crate::rules::ALL;
use formula::{Formula, Known, Resolved, read_record, resolve_again};
use notation::{Block, BlockKind, Date, SlipKind};
use std::sync::Arc;

/// A block with what it means and what is found in it.
#[derive(Clone, Debug)]
pub struct Reviewed {
    /// The block.
    pub block: Arc<Block>,
    /// The formula and its variants; none for other blocks.
    pub resolved: Option<Arc<Resolved>>,
    /// What is found, in order of place then rule name; silenced findings carry their reason.
    pub findings: Vec<Finding>,
}

/// Findings that need the whole formula: hints while it is still being written.
const NEED_THE_WHOLE: &[&str] = &[
    "total-not-100",
    "total-not-batch",
    "nothing-left-to-100",
    "variant-total",
    "percent-base-mixed",
    "units-mixed",
    "amount-missing",
    "no-preservative",
    "not-a-preservative",
    "preservative-short",
    "preservative-unnamed",
    "preservative-narrow",
    "ph-unstated",
    "no-antioxidant",
    "never-added",
    "phase-unused",
    "phase-empty",
    "spf-untested",
    "no-emulsifier",
    "not-an-emulsifier",
    "will-not-dissolve",
    "needs-solubiliser",
    "solubiliser-short",
];

/// Reviews one block. What it meant `before` its text changed makes no difference to what is found, only to how soon.
pub fn review(block: &Arc<Block>, known: &dyn Known, law_day: Date, before: Option<&Resolved>) -> Reviewed {
    let mut raised = written(block, known);
    name(&mut raised, block, None);
    let mut resolved = None;
    let mut untold = Vec::new();
    if block.kind == BlockKind::Formula {
        let formulas = resolve_again(block, known, before);
        raised = chains::joined(raised);
        let parent = judged(block, &formulas.formula, &formulas, known, law_day);
        let mut variants: Vec<(String, Vec<Raised>)> = Vec::new();
        for variant in &formulas.variants {
            let name = variant.variant.as_ref().map(|(name, _)| name.clone()).unwrap_or_default();
            variants.push((name, judged(block, variant, &formulas, known, law_day)));
        }
        let told = new_in_variants(&parent, variants, &formulas, &mut untold);
        raised.extend(parent);
        raised.extend(told);
        resolved = Some(Arc::new(formulas));
    }
    if block.kind == BlockKind::Record {
        raised.extend(recorded(block, known));
    }
    treat(&mut raised, known);
    untold.extend(raised.iter().flat_map(|raised| raised.untold.iter().copied()));
    let all = allow::All { block, resolved: resolved.as_deref(), untold: &untold, known, law_day };
    allow::apply(&all, &mut raised);
    let mut findings: Vec<Finding> = raised.into_iter().map(|raised| raised.finding).collect();
    findings.sort_by(|a, b| (a.span, a.rule, &a.variant).cmp(&(b.span, b.rule, &b.variant)));
    Reviewed { block: Arc::clone(block), resolved, findings }
}

fn written(block: &Arc<Block>, known: &dyn Known) -> Vec<Raised> {
    let writing = Writing { block, known };
    let mut raised = Vec::new();
    for rule in ALL.iter().copied() {
        if let Check::Writing(check) = rule.check {
            check(&writing, &mut Findings::of(rule, &mut raised));
        }
    }
    raised
}

/// The findings on one formula, one cause told once.
fn judged(
    block: &Arc<Block>,
    formula: &Formula,
    resolved: &Resolved,
    known: &dyn Known,
    law_day: Date,
) -> Vec<Raised> {
    let case = Case { block, formula, resolved, known, law_day, worked_out: &WorkedOut::default() };
    let mut raised = Vec::new();
    let foreign = of_another_craft(block, formula);
    for rule in ALL.iter().copied() {
        if foreign && !matches!(rule.group, Group::Reading | Group::Amounts) {
            continue;
        }
        if let Some(check) = rule.check.of_formula() {
            check(&case, &mut Findings::of(rule, &mut raised));
        }
    }
    if formula.unfinished {
        for raised in &mut raised {
            if NEED_THE_WHOLE.contains(&raised.finding.rule) {
                raised.finding.level = Level::Hint;
            }
        }
    }
    name(&mut raised, block, Some(formula));
    chains::joined(raised)
}

/// The findings on a record, one cause told once.
fn recorded(block: &Arc<Block>, known: &dyn Known) -> Vec<Raised> {
    let record = read_record(block);
    let resolved = record.of.as_ref().and_then(|of| known.formula(&of.name));
    let made = Made::of(block, &record, resolved.as_deref(), known);
    let mut raised = Vec::new();
    for rule in ALL.iter().copied() {
        if let Some(check) = rule.check.of_record() {
            check(&made, &mut Findings::of(rule, &mut raised));
        }
    }
    name(&mut raised, block, None);
    chains::joined(raised)
}

/// Whether the product line names only what another craft makes: soap, candles. Such a sheet is read and added up, no
/// more.
fn of_another_craft(block: &Block, formula: &Formula) -> bool {
    formula.header.product.form().is_none()
        && block.slips.iter().any(|slip| slip.kind == SlipKind::NotThisTool)
}

fn name(raised: &mut [Raised], block: &Block, formula: Option<&Formula>) {
    for raised in raised {
        block.name().clone_into(&mut raised.finding.block);
        if block.kind == BlockKind::Formula {
            raised.finding.formula = Some(block.name().to_owned());
        }
        raised.finding.variant =
            formula.and_then(|formula| formula.variant.as_ref()).map(|(name, _)| name.clone());
    }
}

/// On a variant only what the parent has not; on a combined one only what neither the parent nor its parts have. The
/// others are `untold`.
fn new_in_variants(
    parent: &[Raised],
    variants: Vec<(String, Vec<Raised>)>,
    resolved: &Resolved,
    untold: &mut Vec<Untold>,
) -> Vec<Raised> {
    let key = |raised: &Raised| (raised.finding.rule, raised.subject.clone());
    let of_parent: Vec<_> = parent.iter().map(key).collect();
    let keys: Vec<(String, Vec<_>)> =
        variants.iter().map(|(name, raised)| (name.clone(), raised.iter().map(key).collect())).collect();
    let mut told = Vec::new();
    for (name, raised) in variants {
        let parts = resolved.combined.iter().find(|(combined, _)| *combined == name).map(|(_, parts)| parts);
        for raised in raised {
            let own = key(&raised);
            let in_part = parts.is_some_and(|parts| {
                keys.iter().any(|(other, keys)| parts.contains(other) && keys.contains(&own))
            });
            if of_parent.contains(&own) || in_part {
                untold.extend(raised.silent());
            } else {
                told.push(raised);
            }
        }
    }
    told
}

/// `treat RULE as LEVEL`; a law's error cannot be lowered.
fn treat(raised: &mut [Raised], known: &dyn Known) {
    for raised in raised {
        let treats = &known.settings().treats;
        let Some((_, word)) = treats.iter().find(|(rule, _)| rule_name(rule) == raised.finding.rule) else {
            continue;
        };
        let Some(level) = Level::of_word(word) else { continue };
        if raised.law && level < raised.finding.level {
            continue;
        }
        raised.finding.level = level;
    }
}

/// The rule with a name; -ise and -ize read alike.
pub fn rule(name: &str) -> Option<&'static Rule> {
    let wanted = rule_name(name);
    ALL.iter().copied().find(|rule| rule.name == wanted)
}

/// A rule's name as it is compared and as rules have it: without case, `needs-solubilizer` as `needs-solubiliser`.
pub(crate) fn rule_name(name: &str) -> String {
    notation::fold(name).replace("iz", "is")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rules_have_their_names_as_they_are_compared() {
        for rule in ALL.iter().copied() {
            assert_eq!(rule_name(rule.name), rule.name);
        }
    }
}
