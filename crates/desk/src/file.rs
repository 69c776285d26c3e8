//! An open text as a list of blocks, each reviewed once for as long as neither it nor what it asked for changes.

use crate::around::{Around, Asked, Files, Made, Sight};
use crate::page::{Leaf, Looked, Page};
use formula::{Resolved, Settings};
use notation::{
    Block, BlockKind, Date, Edits, Encoding, LineIndex, Place, Sheet, Span, Word, fold, read_block,
    split_blocks,
};
use rules::review;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// A block in its place. What a keystroke asks of all blocks stands in the slot itself, not behind a pointer.
struct Slot {
    block: Arc<Block>,
    index: Arc<LineIndex>,
    kind: BlockKind,
    bytes: u32,
    /// Line ends.
    lines: u32,
    /// Whether it speaks of other formulas, which may change without anything around it: an include, a record.
    looks_on: bool,
    looked: Option<Seen>,
    /// What it meant before its text changed.
    before: Option<Arc<Resolved>>,
}

impl Slot {
    fn resolved(&self) -> Option<&Arc<Resolved>> {
        self.looked.as_ref()?.looked.reviewed.resolved.as_ref()
    }
}

/// What was found in a block, and what that hangs on.
struct Seen {
    looked: Arc<Looked>,
    /// Whether anything is found.
    found: bool,
    asked: Box<Asked>,
}

pub(crate) struct OpenFile {
    path: PathBuf,
    slots: Vec<Slot>,
    around: Option<Arc<Around>>,
    /// Whether what the file sees may have changed since the last page.
    stale: bool,
    page: Option<Arc<Page>>,
    /// The text as others read it, and as the next page is made from it.
    sheet: Option<Arc<Sheet>>,
}

impl OpenFile {
    pub(crate) fn new(path: &Path, text: &str) -> OpenFile {
        OpenFile {
            path: path.to_owned(),
            slots: slots(text),
            around: None,
            stale: true,
            page: None,
            sheet: None,
        }
    }

    pub(crate) fn sheet(&mut self) -> Arc<Sheet> {
        let blocks = || self.slots.iter().map(|slot| Arc::clone(&slot.block)).collect();
        Arc::clone(self.sheet.get_or_insert_with(|| Arc::new(Sheet { blocks: blocks() })))
    }

    /// What the workshops around it say; none before the first page.
    pub(crate) fn settings(&self) -> Option<&Settings> {
        self.around.as_deref().map(Around::settings)
    }

    pub(crate) fn look_again(&mut self) {
        self.stale = true;
        self.page = None;
    }

    pub(crate) fn edit(&mut self, from: Place, to: Place, encoding: Encoding, text: &str) {
        (self.page, self.sheet) = (None, None);
        let (first, start) = self.find(from, encoding);
        let (last, end) = self.find(to.max(from), encoding);
        // A block ends where the next begins: an edit at a border can join the two, so the neighbours are read again.
        let low = first.saturating_sub(1);
        let high = (last + 2).min(self.slots.len());
        let offset =
            |upto: usize| -> u32 { self.slots.iter().take(upto).skip(low).map(|slot| slot.bytes).sum() };
        let (start, end) = (offset(first) + start, offset(last) + end);
        let mut joined = String::with_capacity(offset(high) as usize);
        joined.extend(self.slots.iter().take(high).skip(low).map(|slot| &*slot.block.text));
        let joined = Edits::one(Span::new(start, end.max(start)), text).apply(&joined);
        let mut old: Vec<Slot> = self.slots.splice(low..high, std::iter::empty()).collect();
        // A neighbour that came out the same keeps what was read and found in it.
        let kept = |span: &Span| {
            let same = old.iter().position(|slot| &*slot.block.text == span.of(&joined))?;
            Some(old.swap_remove(same))
        };
        let spans = split_blocks(&joined);
        let kept: Vec<Option<Slot>> = spans.iter().map(kept).collect();
        let mut changed = old.iter().filter_map(|slot| slot.resolved().or(slot.before.as_ref())).cloned();
        let fresh: Vec<Slot> = spans
            .iter()
            .zip(kept)
            .map(|(span, kept)| {
                kept.unwrap_or_else(|| Slot { before: changed.next(), ..slot(span.of(&joined)) })
            })
            .collect();
        let _ = self.slots.splice(low..low, fresh);
        // What the file sees depends on its own ingredients and workshop lines.
        self.stale = true;
    }

    /// The block of a place, and the byte within it.
    fn find(&self, place: Place, encoding: Encoding) -> (usize, u32) {
        let mut line = 0;
        for (at, slot) in self.slots.iter().enumerate() {
            let last = at + 1 == self.slots.len();
            if place.line < line + slot.lines || last {
                let local = Place { line: place.line.saturating_sub(line), column: place.column };
                return (at, slot.index.offset(&slot.block.text, local, encoding));
            }
            line += slot.lines;
        }
        (0, 0)
    }

    pub(crate) fn page(&mut self, files: &Files, law_day: Date) -> Arc<Page> {
        if let Some(page) = self.page.as_ref().filter(|_| !self.stale) {
            return Arc::clone(page);
        }
        let sheet = self.sheet();
        // Formulas bring nothing to what others see.
        let others = self.slots.iter().filter(|slot| slot.kind != BlockKind::Formula);
        let others: Vec<Arc<Block>> = others.map(|slot| Arc::clone(&slot.block)).collect();
        let around = Around::of(&self.path, &others, files);
        let changed = self.around.as_deref() != Some(&around);
        // What did not change is kept, so that pages share it.
        let around = match self.around.take() {
            Some(before) if !changed => before,
            _ => Arc::new(around),
        };
        let look = |slot: &mut Slot, made: &Made| {
            // Other blocks ask for no name, but the workshop's `treat` and `allow` reach them too.
            if slot.looked.is_some() && !changed && !slot.looks_on {
                return;
            }
            let sight = Sight::new(&self.path, &around, &sheet.blocks, files, made, slot.block.name());
            if slot.looked.as_ref().is_some_and(|seen| sight.answers_alike(&seen.asked)) {
                return;
            }
            let before = slot.resolved().or(slot.before.as_ref());
            let reviewed = review(&slot.block, &sight, law_day, before.map(Arc::as_ref));
            slot.before = None;
            let found = !reviewed.findings.is_empty();
            let looked = Arc::new(Looked { reviewed, index: Arc::clone(&slot.index) });
            slot.looked = Some(Seen { looked, found, asked: Box::new(sight.asked()) });
        };
        // What was made is held against its formula: the formulas come first.
        let none = Made::new();
        let mut made = Made::new();
        let records = self.slots.iter().any(|slot| slot.kind == BlockKind::Record);
        for slot in self.slots.iter_mut().filter(|slot| slot.kind != BlockKind::Record) {
            look(slot, &none);
            if records && let Some(resolved) = slot.resolved() {
                let _ = made.entry(fold(slot.block.name())).or_insert_with(|| Arc::clone(resolved));
            }
        }
        for slot in self.slots.iter_mut().filter(|slot| slot.kind == BlockKind::Record) {
            look(slot, &made);
        }
        self.around = Some(Arc::clone(&around));
        self.stale = false;
        let (mut start, mut line) = (0, 0);
        let mut leaves = Vec::with_capacity(self.slots.len());
        for slot in &self.slots {
            if let Some(seen) = &slot.looked {
                leaves.push(Leaf::new(Arc::clone(&seen.looked), seen.found, start, line));
            }
            start += slot.bytes;
            line += slot.lines;
        }
        let page = Arc::new(Page::new(leaves, around, law_day));
        self.page = Some(Arc::clone(&page));
        page
    }
}

fn slots(text: &str) -> Vec<Slot> {
    split_blocks(text).into_iter().map(|span| slot(span.of(text))).collect()
}

fn slot(text: &str) -> Slot {
    let block = Arc::new(read_block(text));
    let index = Arc::new(LineIndex::new(&block.text));
    let looks_on = block.kind == BlockKind::Record || block.facts(Word::Include).next().is_some();
    let (kind, bytes, lines) = (block.kind, block.text.len() as u32, index.lines() - 1);
    Slot { block, index, kind, bytes, lines, looks_on, looked: None, before: None }
}
