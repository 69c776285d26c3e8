//! A snapshot of one text, and the answers to all questions about it.

use formula::Resolved;
use notation::{Block, BlockKind, Edits, Encoding, LineIndex, Place, Sheet, tidy};
use rules::{Finding, Reviewed};
use std::sync::Arc;

/// A block in its place within a page.
pub(crate) struct Leaf {
    reviewed: Arc<Reviewed>,
    index: Arc<LineIndex>,
    start: u32,
    first_line: u32,
}

impl Leaf {
    pub(crate) fn new(reviewed: Arc<Reviewed>, index: Arc<LineIndex>) -> Leaf {
        Leaf { reviewed, index, start: 0, first_line: 0 }
    }
}

/// A snapshot of one text. Spans count bytes from the file's start.
pub struct Page {
    leaves: Vec<Leaf>,
}

/// A rule that is told once a file, since it is about the tables, not about one formula.
const ONCE_A_FILE: &str = "law-not-known";

impl Page {
    pub(crate) fn new(mut leaves: Vec<Leaf>) -> Page {
        let (mut start, mut line) = (0, 0);
        for leaf in &mut leaves {
            (leaf.start, leaf.first_line) = (start, line);
            start += leaf.reviewed.block.text.len() as u32;
            line += leaf.index.lines() - 1;
        }
        Page { leaves }
    }

    /// The whole text.
    pub fn text(&self) -> String {
        self.leaves.iter().map(|leaf| &*leaf.reviewed.block.text).collect()
    }

    /// Line and column of a byte; the text's end for bytes beyond it.
    pub fn place(&self, at: u32, encoding: Encoding) -> Place {
        let after = self.leaves.partition_point(|leaf| leaf.start <= at);
        let Some(leaf) = self.leaves.get(after.saturating_sub(1)) else { return Place::default() };
        let text = &leaf.reviewed.block.text;
        let local = (at - leaf.start).min(text.len() as u32);
        let place = leaf.index.place(text, local, encoding);
        Place { line: place.line + leaf.first_line, column: place.column }
    }

    /// The block that holds a byte, and where it starts.
    pub(crate) fn block_at(&self, at: u32) -> Option<(&Block, u32)> {
        let after = self.leaves.partition_point(|leaf| leaf.start <= at);
        let leaf = self.leaves.get(after.saturating_sub(1))?;
        Some((&leaf.reviewed.block, leaf.start))
    }

    /// Every finding with the start of its block, silenced ones included, in order of place then rule name.
    fn each(&self) -> impl Iterator<Item = (u32, &Finding)> {
        let mut told = false;
        self.leaves
            .iter()
            .flat_map(|leaf| leaf.reviewed.findings.iter().map(move |finding| (leaf.start, finding)))
            .filter(move |(_, finding)| {
                let once = finding.rule == ONCE_A_FILE;
                let again = once && told;
                told |= once;
                !again
            })
    }

    /// All findings, silenced ones included (they carry the reason), in order of place then rule name.
    pub fn findings(&self) -> Vec<Finding> {
        self.each().map(|(start, finding)| finding.shifted(start)).collect()
    }

    /// At most `most` findings, the most serious first, and how many there are in all. Findings silenced by `allow`
    /// do not count.
    pub fn gravest(&self, most: usize) -> (Vec<Finding>, usize) {
        let mut told: Vec<(u32, &Finding)> =
            self.each().filter(|(_, finding)| finding.allowed.is_none()).collect();
        let all = told.len();
        told.sort_by_key(|(_, finding)| std::cmp::Reverse(finding.level));
        (told.into_iter().take(most).map(|(start, finding)| finding.shifted(start)).collect(), all)
    }

    /// The formulas with their variants, in order.
    pub fn formulas(&self) -> impl Iterator<Item = &Resolved> {
        self.leaves.iter().filter_map(|leaf| leaf.reviewed.resolved.as_deref())
    }

    /// Whether the text holds any block at all.
    pub fn has_blocks(&self) -> bool {
        self.leaves.iter().any(|leaf| leaf.reviewed.block.kind != BlockKind::Loose)
    }

    /// The edits that bring the text into its canonical form.
    pub fn tidy(&self) -> Edits {
        let blocks = self.leaves.iter().map(|leaf| Arc::clone(&leaf.reviewed.block)).collect();
        tidy(&self.text(), &Sheet { blocks })
    }
}
