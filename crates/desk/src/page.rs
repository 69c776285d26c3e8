//! A snapshot of one text, and the answers to all questions about it.

use crate::around::Around;
use formula::Resolved;
use notation::{Block, BlockKind, Date, Edits, Encoding, LineIndex, Place, Sheet, Span, tidy};
use rules::{Finding, Level, Reviewed, Safety};
use std::sync::Arc;

/// A block with all that is found in it, and its lines. Pages share it for as long as it stays as it is.
pub(crate) struct Looked {
    pub(crate) reviewed: Reviewed,
    pub(crate) index: Arc<LineIndex>,
}

/// A block in its place within a page. What every page asks of all its blocks stands here, so that a keystroke in a
/// long text need not fetch each of them.
pub(crate) struct Leaf {
    looked: Arc<Looked>,
    /// The byte of the file at which it begins.
    pub(crate) start: u32,
    first_line: u32,
    /// Whether anything is found in it.
    found: bool,
}

impl Leaf {
    /// A block that begins at a byte and a line of its file; `found` says whether anything is found in it.
    pub(crate) fn new(looked: Arc<Looked>, found: bool, start: u32, first_line: u32) -> Leaf {
        Leaf { looked, start, first_line, found }
    }

    pub(crate) fn reviewed(&self) -> &Reviewed {
        &self.looked.reviewed
    }

    pub(crate) fn block(&self) -> &Block {
        &self.looked.reviewed.block
    }

    pub(crate) fn resolved(&self) -> Option<&Resolved> {
        self.looked.reviewed.resolved.as_deref()
    }
}

/// A snapshot of one text. Spans count bytes from the file's start.
pub struct Page {
    leaves: Vec<Leaf>,
    /// What its formulas see besides the catalogue.
    pub(crate) around: Arc<Around>,
    /// The day whose law counts.
    pub(crate) law_day: Date,
}

/// A rule that is told once a file, since it is about the tables, not about one formula.
const ONCE_A_FILE: &str = "law-not-known";

impl Page {
    /// A page of blocks in their places, in order.
    pub(crate) fn new(leaves: Vec<Leaf>, around: Arc<Around>, law_day: Date) -> Page {
        Page { leaves, around, law_day }
    }

    /// The blocks in their places, in order.
    pub(crate) fn leaves(&self) -> &[Leaf] {
        &self.leaves
    }

    /// The block that holds a byte; the last one for bytes beyond the text.
    pub(crate) fn leaf_at(&self, at: u32) -> Option<&Leaf> {
        let after = self.leaves.partition_point(|leaf| leaf.start <= at);
        self.leaves.get(after.saturating_sub(1))
    }

    /// The whole text.
    pub fn text(&self) -> String {
        self.leaves.iter().map(|leaf| &*leaf.block().text).collect()
    }

    /// Line and column of a byte; the text's end for bytes beyond it.
    pub fn place(&self, at: u32, encoding: Encoding) -> Place {
        let Some(leaf) = self.leaf_at(at) else { return Place::default() };
        let text = &leaf.block().text;
        let local = (at - leaf.start).min(text.len() as u32);
        let place = leaf.looked.index.place(text, local, encoding);
        Place { line: place.line + leaf.first_line, column: place.column }
    }

    /// The byte of a place; clamped to what is there.
    pub fn offset(&self, place: Place, encoding: Encoding) -> u32 {
        let after = self.leaves.partition_point(|leaf| leaf.first_line <= place.line);
        // Blocks without a line end of their own begin on the line where the last one ends: the last of them counts.
        let Some(leaf) = self.leaves.get(after.saturating_sub(1)) else { return 0 };
        let local = Place { line: place.line - leaf.first_line, column: place.column };
        leaf.start + leaf.looked.index.offset(&leaf.block().text, local, encoding)
    }

    /// Every finding with the start of its block, silenced ones included, in order of place then rule name.
    fn each(&self) -> impl Iterator<Item = (u32, &Finding)> {
        let mut told = false;
        self.leaves
            .iter()
            .filter(|leaf| leaf.found)
            .flat_map(|leaf| leaf.reviewed().findings.iter().map(move |finding| (leaf.start, finding)))
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

    /// The findings that touch a span and are not allowed, in order of place then rule name.
    pub fn findings_in(&self, within: Span) -> Vec<Finding> {
        let touches = |span: Span| span.start <= within.end && within.start <= span.end;
        let here = self
            .each()
            .filter(|(start, finding)| finding.allowed.is_none() && touches(finding.span.shifted(*start)));
        here.map(|(start, finding)| finding.shifted(start)).collect()
    }

    /// Whether some finding has a fix that may be made without being asked for.
    pub fn can_mend(&self) -> bool {
        self.each().any(|(_, finding)| {
            finding.allowed.is_none() && finding.fixes.iter().any(|fix| fix.safety == Safety::Safe)
        })
    }

    /// At most `most` findings that are no quieter than `least`, the most serious first, each with the byte from which
    /// its spans count, and how many there are in all. Findings silenced by `allow` do not count.
    pub fn gravest(&self, most: usize, least: Level) -> (Vec<(u32, &Finding)>, usize) {
        let counts = |finding: &Finding| finding.allowed.is_none() && finding.level >= least;
        let mut told: Vec<(u32, &Finding)> = self.each().filter(|(_, finding)| counts(finding)).collect();
        let all = told.len();
        told.sort_by_key(|(_, finding)| std::cmp::Reverse(finding.level));
        told.truncate(most);
        (told, all)
    }

    /// The formulas with their variants, in order.
    pub fn formulas(&self) -> impl Iterator<Item = &Resolved> {
        self.leaves.iter().filter_map(Leaf::resolved)
    }

    /// Whether the text holds any block at all.
    pub fn has_blocks(&self) -> bool {
        self.leaves.iter().any(|leaf| leaf.block().kind != BlockKind::Loose)
    }

    /// The edits that bring the text into its canonical form.
    pub fn tidy(&self) -> Edits {
        let blocks = self.leaves.iter().map(|leaf| Arc::clone(&leaf.reviewed().block)).collect();
        tidy(&self.text(), &Sheet { blocks })
    }
}
