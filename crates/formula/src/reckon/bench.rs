//! What was weighed for a batch against what its formula asks for.

use crate::exact::Exact;
use crate::formula::{Formula, Item, Written};
use crate::known::Known;
use crate::record::{Record, Weighed};
use crate::window::Interval;
use notation::fold;

/// One ingredient on the plan of a batch, and on its record.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Planned<'f> {
    /// The first line of the formula that asks for it.
    pub item: &'f Item,
    /// Grams that all its lines ask for in this batch.
    pub planned: Interval,
    /// Grams that were weighed, over all lots.
    pub weighed: Exact,
    /// How far the written digits may be off, grams.
    pub half_digit: Exact,
    /// The record's lines.
    pub lines: Vec<&'f Weighed>,
}

/// What was weighed of each ingredient of a formula, for the record's own batch. Left out is what was not weighed or
/// not in grams, what the end point decides (`q.s.`), and what has no share. None without a batch on the record.
pub fn planned<'f>(formula: &'f Formula, record: &'f Record, known: &dyn Known) -> Option<Vec<Planned<'f>>> {
    let (batch, _) = record.batch.as_ref().filter(|(batch, _)| !batch.is_zero())?;
    let mut plan: Vec<Planned<'f>> = Vec::new();
    let keys: Vec<String> = record.weighed.iter().map(|weighed| weighed.key(known)).collect();
    for item in &formula.items {
        if plan.iter().any(|planned| planned.item.key() == item.key()) {
            continue;
        }
        let same: Vec<&Item> = formula.items.iter().filter(|other| other.key() == item.key()).collect();
        let asked: Option<Interval> = same
            .iter()
            .map(|item| item.share.as_ref().filter(|_| item.written != Written::AsNeeded))
            .try_fold(Interval::zero(), |sum, share| Some(sum.plus(share?)));
        let Some(asked) = asked.filter(|asked| !asked.mid.is_zero()) else { continue };
        let of_it = |(weighed, key): &(&'f Weighed, &String)| {
            **key == item.key() || fold(&weighed.name) == fold(&item.name)
        };
        let lines: Vec<&'f Weighed> =
            record.weighed.iter().zip(&keys).filter(of_it).map(|(weighed, _)| weighed).collect();
        let grams: Option<Vec<&Exact>> = lines.iter().map(|weighed| weighed.grams.as_ref()).collect();
        let Some(grams) = grams.filter(|grams| !grams.is_empty()) else { continue };
        plan.push(Planned {
            item,
            planned: asked.scaled(batch),
            weighed: grams.into_iter().cloned().sum(),
            half_digit: lines.iter().map(|weighed| weighed.half_digit.clone()).sum(),
            lines,
        });
    }
    Some(plan)
}

impl Planned<'_> {
    /// How far the weight lies outside the plan, grams; negative where it is too little.
    pub fn off(&self) -> Exact {
        if self.weighed > self.planned.high {
            &self.weighed - &self.planned.high
        } else if self.weighed < self.planned.low {
            &self.weighed - &self.planned.low
        } else {
            Exact::zero()
        }
    }
}
