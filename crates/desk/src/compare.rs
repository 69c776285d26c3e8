//! Two texts side by side: what changed in what is made, and which findings came or went.

use crate::Page;
use formula::compare::{BlockChange, Side, compare};
use notation::{BlockKind, fold};
use rules::Finding;

/// Two texts side by side.
#[derive(Clone, Debug)]
pub struct Comparison {
    /// What became of each block, those that are the same included, in the order of the new text.
    pub blocks: Vec<BlockChange>,
    /// Findings that are not what they were: those of the new text in its order, then those that went.
    pub findings: Vec<FindingChange>,
    /// Whether the texts are the same, byte by byte.
    pub is_same_text: bool,
}

/// A finding that is not what it was.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct FindingChange {
    /// As it was, with its place in the old text.
    pub before: Option<Finding>,
    /// As it is, with its place in the new text.
    pub after: Option<Finding>,
}

/// What happened to a finding.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum News {
    /// It was not there, or an `allow` line silenced it.
    Came,
    /// It is no longer there.
    Went,
    /// An `allow` line silences it now.
    Allowed,
    /// It is there as before, at another level.
    Level,
    /// It is there as before, with other figures.
    Figures,
}

impl FindingChange {
    /// What happened to it; none where nothing did that a maker has to hear of.
    pub fn news(&self) -> Option<News> {
        let told = |finding: &Option<Finding>| finding.as_ref().is_some_and(|one| one.allowed.is_none());
        match (&self.before, &self.after) {
            (before, _) if !told(before) => told(&self.after).then_some(News::Came),
            (_, None) => Some(News::Went),
            (_, Some(after)) if after.allowed.is_some() => Some(News::Allowed),
            (Some(before), Some(after)) if before.level != after.level => Some(News::Level),
            (Some(before), Some(after)) => {
                (fold(&before.message) != fold(&after.message)).then_some(News::Figures)
            }
            (None, _) => None,
        }
    }

    /// The finding as it is, or as it was where it went.
    pub fn last(&self) -> Option<&Finding> {
        self.after.as_ref().or(self.before.as_ref())
    }
}

impl Comparison {
    /// Holds two pages against each other.
    pub fn of(before: &Page, after: &Page) -> Comparison {
        let blocks = compare(&sides(before), &sides(after));
        let findings = findings(before, after, &blocks);
        Comparison { findings, is_same_text: before.text() == after.text(), blocks }
    }

    /// Whether nothing has changed but, perhaps, how it is written.
    pub fn is_empty(&self) -> bool {
        self.findings.is_empty() && self.blocks.iter().all(BlockChange::is_empty)
    }
}

/// All blocks. What stands before the first one belongs to none, unless it holds lines that cannot be read.
fn sides(page: &Page) -> Vec<Side<'_>> {
    let leaves = page.leaves().filter(|leaf| {
        let block = leaf.block();
        block.kind != BlockKind::Loose || !block.slips.is_empty()
    });
    leaves.map(|leaf| Side { block: leaf.block(), resolved: leaf.resolved() }).collect()
}

/// A finding of the old or the new text, with all by which it is known again.
struct Known {
    finding: Finding,
    /// The block by its new name.
    block: String,
    /// The message without its numbers.
    sense: String,
    /// What stands at its place, without numbers.
    place: String,
}

fn known(page: &Page, renamed: &[(String, String)]) -> Vec<Known> {
    let text = page.text();
    let known = |finding: Finding| Known {
        block: {
            let block = fold(&finding.block);
            renamed.iter().find(|(old, _)| *old == block).map_or(block, |(_, new)| new.clone())
        },
        sense: without_numbers(&finding.message),
        place: without_numbers(finding.span.of(&text)),
        finding,
    };
    page.findings().into_iter().map(known).collect()
}

/// Folded, every number a `#`.
fn without_numbers(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut number = false;
    for c in fold(text).chars() {
        let digit = c.is_ascii_digit() || (number && matches!(c, '.' | ','));
        match (digit, number) {
            (true, false) => out.push('#'),
            (true, true) => {}
            (false, _) => out.push(c),
        }
        number = digit;
    }
    out
}

fn is_about_the_same(one: &Known, other: &Known) -> bool {
    let variant = |known: &Known| known.finding.variant.as_deref().map(fold);
    one.finding.rule == other.finding.rule && one.block == other.block && variant(one) == variant(other)
}

fn findings(before: &Page, after: &Page, blocks: &[BlockChange]) -> Vec<FindingChange> {
    let renamed = blocks.iter().filter_map(|block| {
        let (from, to) = (block.name.from.as_deref()?, block.name.to.as_deref()?);
        Some((fold(from), fold(to)))
    });
    let renamed: Vec<(String, String)> = renamed.filter(|(from, to)| from != to).collect();
    let (mut old, mut new): (Vec<Option<Known>>, Vec<Option<Known>>) = (
        known(before, &renamed).into_iter().map(Some).collect(),
        known(after, &[]).into_iter().map(Some).collect(),
    );
    let mut pairs: Vec<(usize, FindingChange)> = Vec::new();
    let alike: [fn(&Known, &Known) -> bool; 3] = [
        |one, other| fold(&one.finding.message) == fold(&other.finding.message),
        |one, other| one.sense == other.sense && one.place == other.place,
        |one, other| one.sense == other.sense || one.place == other.place,
    ];
    for is_alike in alike {
        for (at, slot) in new.iter_mut().enumerate() {
            let Some(one) = slot.as_ref() else { continue };
            let found = old.iter_mut().find(|other| {
                other.as_ref().is_some_and(|other| is_about_the_same(other, one) && is_alike(other, one))
            });
            if let Some(before) = found.and_then(Option::take) {
                let after = slot.take().map(|known| known.finding);
                pairs.push((at, FindingChange { before: Some(before.finding), after }));
            }
        }
    }
    let come = new
        .into_iter()
        .enumerate()
        .filter_map(|(at, known)| Some((at, FindingChange { before: None, after: Some(known?.finding) })));
    pairs.extend(come);
    pairs.sort_by_key(|(at, _)| *at);
    let gone = old.into_iter().flatten();
    let gone = gone.map(|known| FindingChange { before: Some(known.finding), after: None });
    let all = pairs.into_iter().map(|(_, change)| change).chain(gone);
    all.filter(|change| change.news().is_some()).collect()
}
