//! A snapshot of one text, and the answers to all questions about it.

use crate::around::Around;
use formula::Resolved;
use notation::{Block, BlockKind, Date, Edits, Encoding, LineForms, Place, Sheet, Span, tidy_with};
use rules::{Finding, Level, Reviewed, Safety};
use std::sync::{Arc, OnceLock};

/// A block with all that is found in it. Pages share it for as long as it stays as it is.
pub(crate) struct Looked {
    pub(crate) reviewed: Reviewed,
    /// How its lines should be written, once that has been asked.
    forms: OnceLock<LineForms>,
}

impl Looked {
    pub(crate) fn new(reviewed: Reviewed) -> Looked {
        Looked { reviewed, forms: OnceLock::new() }
    }

    fn forms(&self) -> &LineForms {
        self.forms.get_or_init(|| LineForms::of(&self.reviewed.block))
    }
}

/// A block in its place within a bundle of blocks. What every page asks of all its blocks stands here, so that a
/// keystroke in a long text need not fetch each of them.
pub(crate) struct Sprig {
    pub(crate) looked: Arc<Looked>,
    /// The byte of the bundle at which it begins.
    pub(crate) start: u32,
    /// The line of the bundle on which it begins.
    pub(crate) first_line: u32,
    /// Whether anything is found in it.
    pub(crate) found: bool,
}

/// A bundle of blocks in its place within a page.
pub(crate) struct Bough {
    sprigs: Arc<[Sprig]>,
    start: u32,
    first_line: u32,
    /// Whether anything is found in it.
    found: bool,
}

impl Bough {
    /// Blocks that begin at a byte and a line of their file.
    pub(crate) fn new(sprigs: Arc<[Sprig]>, start: u32, first_line: u32) -> Bough {
        let found = sprigs.iter().any(|sprig| sprig.found);
        Bough { sprigs, start, first_line, found }
    }

    fn leaves(&self) -> impl DoubleEndedIterator<Item = Leaf<'_>> {
        self.sprigs.iter().map(|sprig| self.leaf(sprig))
    }

    fn leaf<'p>(&self, sprig: &'p Sprig) -> Leaf<'p> {
        Leaf { sprig, start: self.start + sprig.start, first_line: self.first_line + sprig.first_line }
    }
}

/// A block in its place within a page.
#[derive(Clone, Copy)]
pub(crate) struct Leaf<'p> {
    sprig: &'p Sprig,
    /// The byte of the file at which it begins.
    pub(crate) start: u32,
    first_line: u32,
}

impl<'p> Leaf<'p> {
    pub(crate) fn reviewed(&self) -> &'p Reviewed {
        &self.sprig.looked.reviewed
    }

    pub(crate) fn block(&self) -> &'p Block {
        &self.reviewed().block
    }

    pub(crate) fn resolved(&self) -> Option<&'p Resolved> {
        self.reviewed().resolved.as_deref()
    }
}

/// A snapshot of one text. Spans count bytes from the file's start.
pub struct Page {
    boughs: Vec<Bough>,
    /// What its formulas see besides the catalogue.
    pub(crate) around: Arc<Around>,
    /// The day whose law counts.
    pub(crate) law_day: Date,
}

/// A rule that is told once a file, since it is about the tables, not about one formula.
const ONCE_A_FILE: &str = "law-not-known";

impl Page {
    /// A page of blocks in their places, in order.
    pub(crate) fn new(boughs: Vec<Bough>, around: Arc<Around>, law_day: Date) -> Page {
        Page { boughs, around, law_day }
    }

    /// The blocks in their places, in order.
    pub(crate) fn leaves(&self) -> impl DoubleEndedIterator<Item = Leaf<'_>> {
        self.boughs.iter().flat_map(Bough::leaves)
    }

    /// The block that holds a byte; the last one for bytes beyond the text.
    pub(crate) fn leaf_at(&self, at: u32) -> Option<Leaf<'_>> {
        let bough = before(&self.boughs, |bough| bough.start <= at)?;
        before(&bough.sprigs, |sprig| bough.start + sprig.start <= at).map(|sprig| bough.leaf(sprig))
    }

    /// The blocks that begin at a byte or after it, in order.
    pub(crate) fn leaves_from(&self, start: u32) -> impl Iterator<Item = Leaf<'_>> {
        let first = self.boughs.partition_point(|bough| bough.start <= start).saturating_sub(1);
        let boughs = self.boughs.iter().skip(first);
        boughs.flat_map(Bough::leaves).filter(move |leaf| leaf.start >= start)
    }

    /// The blocks that begin before a byte, the nearest first.
    pub(crate) fn leaves_before(&self, start: u32) -> impl Iterator<Item = Leaf<'_>> {
        let after = self.boughs.partition_point(|bough| bough.start < start);
        let boughs = self.boughs.iter().take(after).rev();
        boughs.flat_map(|bough| bough.leaves().rev()).filter(move |leaf| leaf.start < start)
    }

    /// The blocks that touch a span, in order.
    pub(crate) fn leaves_in(&self, within: Span) -> impl Iterator<Item = Leaf<'_>> {
        let first = self.leaf_at(within.start.saturating_sub(1)).map_or(0, |leaf| leaf.start);
        let all = self.leaves_from(first).take_while(move |leaf| leaf.start <= within.end);
        all.filter(move |leaf| within.start <= leaf.start + leaf.block().text.len() as u32)
    }

    /// How many line ends the text has.
    pub(crate) fn lines(&self) -> u32 {
        self.leaves().next_back().map_or(0, |leaf| leaf.first_line + leaf.block().index.lines() - 1)
    }

    /// The whole text.
    pub fn text(&self) -> String {
        self.leaves().map(|leaf| &*leaf.block().text).collect()
    }

    /// Line and column of a byte; the text's end for bytes beyond it.
    pub fn place(&self, at: u32, encoding: Encoding) -> Place {
        let Some(leaf) = self.leaf_at(at) else { return Place::default() };
        let text = &leaf.block().text;
        let local = (at - leaf.start).min(text.len() as u32);
        let place = leaf.block().index.place(text, local, encoding);
        Place { line: place.line + leaf.first_line, column: place.column }
    }

    /// The byte of a place; clamped to what is there.
    pub fn offset(&self, place: Place, encoding: Encoding) -> u32 {
        // Blocks without a line end of their own begin on the line where the last one ends: the last of them counts.
        let bough = before(&self.boughs, |bough| bough.first_line <= place.line);
        let leaf = bough.and_then(|bough| {
            let begun = |sprig: &Sprig| bough.first_line + sprig.first_line <= place.line;
            before(&bough.sprigs, begun).map(|sprig| bough.leaf(sprig))
        });
        let Some(leaf) = leaf else { return 0 };
        let local = Place { line: place.line - leaf.first_line, column: place.column };
        leaf.start + leaf.block().index.offset(&leaf.block().text, local, encoding)
    }

    /// Every finding with the start of its block, silenced ones included, in order of place then rule name.
    fn each(&self) -> impl Iterator<Item = (u32, &Finding)> {
        let mut told = false;
        self.boughs
            .iter()
            .filter(|bough| bough.found)
            .flat_map(Bough::leaves)
            .filter(|leaf| leaf.sprig.found)
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
        self.leaves().filter_map(|leaf| leaf.resolved())
    }

    /// Whether the text holds any block at all.
    pub fn has_blocks(&self) -> bool {
        self.leaves().any(|leaf| leaf.block().kind != BlockKind::Loose)
    }

    /// The edits that bring the text into its canonical form.
    pub fn tidy(&self) -> Edits {
        let blocks = self.leaves().map(|leaf| Arc::clone(&leaf.reviewed().block)).collect();
        let forms: Vec<&LineForms> = self.leaves().map(|leaf| leaf.sprig.looked.forms()).collect();
        tidy_with(&self.text(), &Sheet { blocks }, &forms)
    }
}

/// The last of those that come at or before something.
fn before<T>(all: &[T], comes: impl Fn(&T) -> bool) -> Option<&T> {
    let after = all.partition_point(comes);
    all.get(after.saturating_sub(1))
}
