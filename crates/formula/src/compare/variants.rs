//! Variants. A variant is the difference to its formula: what the formula changed is not told again.

use super::facts::{content, settings};
use super::lines::LineChange;
use super::order::{Slot, interleaved};
use super::phases::{Body, PhaseChange, phases};
use super::sums::{SumChange, sums};
use super::{BlockChange, FactChange, Turn};
use crate::exact::Exact;
use crate::formula::Formula;
use crate::resolve::Resolved;
use notation::{Block, Form, Line, fold, in_one_line};

/// A variant that came, went, or is not the same.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct VariantChange {
    /// Its name.
    pub name: Turn<String>,
    /// Its lines as written, of one that came or went.
    pub written: Vec<String>,
    /// The header lines that it sets.
    pub facts: Vec<FactChange>,
    /// Its ingredients, as far as they changed in another way than the formula's.
    pub phases: Vec<PhaseChange>,
    /// What follows from that.
    pub sums: Vec<SumChange>,
}

/// The variants that came or went, and those that changed beside their formula.
pub(super) fn variants(
    before: (&Block, &Resolved),
    after: (&Block, &Resolved),
    parent: &BlockChange,
) -> Vec<VariantChange> {
    let (old, new) = (&before.1.variants, &after.1.variants);
    // The first of a name with the first.
    let mut matched: Vec<Option<usize>> = Vec::with_capacity(old.len());
    for one in old {
        let mut same = new.iter().enumerate().filter(|(_, other)| name(one) == name(other));
        let found = same.find(|(at, _)| !matched.contains(&Some(*at)));
        matched.push(found.map(|(at, _)| at));
    }
    let slots = interleaved(&matched, new.len());
    let part = |from: &Formula, to: &Formula| Varied::of((before.0, from), (after.0, to), parent);
    let mut changes = Vec::new();
    for slot in slots {
        match slot {
            Slot::Gone(at) => changes.extend(old.get(at).map(|one| whole(before.0, one, false))),
            Slot::Come(at) => changes.extend(new.get(at).map(|one| whole(after.0, one, true))),
            Slot::Kept(from, to) => {
                let (Some(from), Some(to)) = (old.get(from), new.get(to)) else { continue };
                let mut varied = part(from, to);
                // What the parts of a combined variant changed is told with them.
                for other in parts(after.1, to) {
                    let earlier = before.1.variant(&other).zip(after.1.variant(&other));
                    if let Some((from, to)) = earlier {
                        varied.less(&part(from, to));
                    }
                }
                changes.extend(varied.told(from, to));
            }
        }
    }
    changes
}

fn name(variant: &Formula) -> String {
    variant.variant.as_ref().map(|(name, _)| fold(name)).unwrap_or_default()
}

fn parts(resolved: &Resolved, variant: &Formula) -> Vec<String> {
    let combined = resolved.combined.iter().find(|(combined, _)| fold(combined) == name(variant));
    combined.map(|(_, parts)| parts.clone()).unwrap_or_default()
}

fn written_name(variant: &Formula) -> String {
    variant.variant.as_ref().map(|(name, _)| name.clone()).unwrap_or_default()
}

/// The lines that a variant is made of, its first one left out.
fn own_lines<'a>(block: &'a Block, variant: &Formula) -> Vec<&'a Line> {
    let opens = |line: &&Line| match (&line.form, &variant.variant) {
        (Form::Variant(opener), Some((_, span))) => opener.name == *span,
        _ => false,
    };
    let lines = block.lines.iter().skip_while(|line| !opens(line)).skip(1);
    lines.take_while(|line| !matches!(line.form, Form::Variant(_))).collect()
}

fn whole(block: &Block, variant: &Formula, is_new: bool) -> VariantChange {
    let name = written_name(variant);
    let lines = own_lines(block, variant).into_iter().filter(|line| matches!(line.form, Form::Change(_)));
    VariantChange {
        name: if is_new { Turn::come(name) } else { Turn::gone(name) },
        written: lines.map(|line| in_one_line(block.at(content(line)))).collect(),
        facts: Vec::new(),
        phases: Vec::new(),
        sums: Vec::new(),
    }
}

/// How a variant changed beside its formula.
struct Varied {
    facts: Vec<FactChange>,
    phases: Vec<PhaseChange>,
    sums: Vec<SumChange>,
}

impl Varied {
    fn of(before: (&Block, &Formula), after: (&Block, &Formula), parent: &BlockChange) -> Varied {
        let body = |(block, formula)| Body { block, formula };
        let facts =
            settings((before.0, &own_lines(before.0, before.1)), (after.0, &own_lines(after.0, after.1)));
        let mut varied =
            Varied { facts, phases: phases(body(before), body(after)), sums: sums(before.1, after.1) };
        for phase in &mut varied.phases {
            phase.lines.retain(|line| !line.is_consequence());
        }
        let own = Varied { facts: Vec::new(), phases: parent.phases.clone(), sums: parent.sums.clone() };
        varied.less(&own);
        varied
    }

    /// Takes out what is told elsewhere.
    fn less(&mut self, told: &Varied) {
        self.facts.retain(|fact| !told.facts.contains(fact));
        let lines: Vec<&LineChange> = told.phases.iter().flat_map(|phase| &phase.lines).collect();
        for phase in &mut self.phases {
            let same = told.phases.iter().find(|other| other.label == phase.label);
            phase.words.retain(|words| !same.is_some_and(|same| same.words.contains(words)));
            phase.lines.retain(|line| !lines.iter().any(|other| is_same_change(line, other)));
        }
        self.phases.retain(|phase| {
            let same = told.phases.iter().any(|other| other.label == phase.label);
            !phase.words.is_empty() || !phase.lines.is_empty() || (phase.label.differs() && !same)
        });
        self.sums.retain(|sum| !told.sums.iter().any(|other| is_same_sum(sum, other)));
    }

    fn told(self, from: &Formula, to: &Formula) -> Option<VariantChange> {
        let Varied { facts, phases, sums } = self;
        let name = Turn::both(written_name(from), written_name(to));
        // What only follows from the formula's own changes is no change of the variant.
        (!facts.is_empty() || !phases.is_empty()).then_some(VariantChange {
            name,
            written: Vec::new(),
            facts,
            phases,
            sums,
        })
    }
}

/// Whether two lines changed in the same way: the same ingredient, by as much.
fn is_same_change(one: &LineChange, other: &LineChange) -> bool {
    let key = |name: &Option<String>| name.as_deref().map(fold);
    let alike = key(&one.name.from) == key(&other.name.from)
        && key(&one.name.to) == key(&other.name.to)
        && one.moved_from == other.moved_from
        && one.marks == other.marks
        && one.is_resized() == other.is_resized();
    alike && (!one.is_resized() || one.growth() == other.growth())
}

/// Whether two sums changed by as much.
fn is_same_sum(one: &SumChange, other: &SumChange) -> bool {
    let by = |turn: &Turn<Exact>| turn.to.as_ref().zip(turn.from.as_ref()).map(|(to, from)| to - from);
    match (one, other) {
        (SumChange::Total(one), SumChange::Total(other))
        | (SumChange::Batch(one), SumChange::Batch(other))
        | (SumChange::Water(one), SumChange::Water(other))
        | (SumChange::Oils(one), SumChange::Oils(other)) => by(one) == by(other),
        (
            SumChange::Preservative { name, share, .. },
            SumChange::Preservative { name: named, share: shared, .. },
        ) => name == named && by(share) == by(shared),
        _ => one == other,
    }
}
