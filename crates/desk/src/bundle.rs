//! Neighbouring blocks of an open text, in bundles: an edit touches one bundle, and pages share all others.

use crate::around::Asked;
use crate::page::{Looked, Sprig};
use formula::Resolved;
use notation::{Block, BlockKind, Encoding, Place, Span, Word, read_block_again, split_blocks};
use rules::Reviewed;
use std::sync::Arc;

/// How many blocks make a bundle; about as many bundles make a book of 100,000 lines.
const TOGETHER: usize = 64;

/// A block, and what was found in it. What a keystroke asks of all blocks of a bundle stands in the slot itself, not
/// behind a pointer.
pub(crate) struct Slot {
    pub(crate) block: Arc<Block>,
    pub(crate) kind: BlockKind,
    bytes: u32,
    /// Line ends.
    lines: u32,
    /// Whether it speaks of other formulas, which may change without anything around it: an include, a record.
    pub(crate) looks_on: bool,
    pub(crate) looked: Option<Seen>,
    /// What it meant before its text changed.
    before: Option<Arc<Resolved>>,
}

/// What was found in a block, and what that hangs on.
pub(crate) struct Seen {
    looked: Arc<Looked>,
    /// Whether anything is found.
    found: bool,
    pub(crate) asked: Box<Asked>,
}

impl Slot {
    /// A block that stands where another stood `before`, or where none did.
    fn new(text: &str, before: Option<&Slot>) -> Slot {
        let block = Arc::new(read_block_again(text, before.map(|slot| &*slot.block)));
        let looks_on = block.kind == BlockKind::Record || block.facts(Word::Include).next().is_some();
        let (kind, bytes, lines) = (block.kind, block.text.len() as u32, block.index.lines() - 1);
        let before = before.and_then(Slot::before).cloned();
        Slot { block, kind, bytes, lines, looks_on, looked: None, before }
    }

    pub(crate) fn resolved(&self) -> Option<&Arc<Resolved>> {
        self.looked.as_ref()?.looked.reviewed.resolved.as_ref()
    }

    /// What it meant when it was last looked at, its text being another or not.
    pub(crate) fn before(&self) -> Option<&Arc<Resolved>> {
        self.resolved().or(self.before.as_ref())
    }

    pub(crate) fn see(&mut self, reviewed: Reviewed, asked: Asked) {
        let found = !reviewed.findings.is_empty();
        let looked = Arc::new(Looked::new(reviewed));
        self.before = None;
        self.looked = Some(Seen { looked, found, asked: Box::new(asked) });
    }
}

/// Blocks that follow each other.
pub(crate) struct Bundle {
    pub(crate) slots: Vec<Slot>,
    pub(crate) bytes: u32,
    pub(crate) lines: u32,
    /// Whether all blocks are formulas, which bring nothing to what others see.
    pub(crate) only_formulas: bool,
    /// Whether some block speaks of others.
    pub(crate) looks_on: bool,
    /// Its blocks and what was found in them, for pages; none while a block of it is still to be looked at.
    sprigs: Option<Arc<[Sprig]>>,
    /// Its blocks, as others read them.
    blocks: Option<Arc<[Arc<Block>]>>,
}

/// The bundles of a text.
pub(crate) fn bundles(text: &str) -> Vec<Bundle> {
    let slots = split_blocks(text).into_iter().map(|span| Slot::new(span.of(text), None));
    bundled(slots.collect())
}

fn bundled(slots: Vec<Slot>) -> Vec<Bundle> {
    let mut slots = slots.into_iter().peekable();
    let mut bundles = Vec::new();
    while slots.peek().is_some() {
        bundles.push(Bundle::of(slots.by_ref().take(TOGETHER).collect()));
    }
    bundles
}

impl Bundle {
    fn of(slots: Vec<Slot>) -> Bundle {
        Bundle {
            bytes: slots.iter().map(|slot| slot.bytes).sum(),
            lines: slots.iter().map(|slot| slot.lines).sum(),
            only_formulas: slots.iter().all(|slot| slot.kind == BlockKind::Formula),
            looks_on: slots.iter().any(|slot| slot.looks_on),
            slots,
            sprigs: None,
            blocks: None,
        }
    }

    pub(crate) fn blocks(&mut self) -> Arc<[Arc<Block>]> {
        let slots = &self.slots;
        let blocks = || slots.iter().map(|slot| Arc::clone(&slot.block)).collect();
        Arc::clone(self.blocks.get_or_insert_with(blocks))
    }

    /// Whether all blocks have been looked at, and none of that has been forgotten.
    pub(crate) fn is_seen(&self) -> bool {
        self.sprigs.is_some()
    }

    /// Some block is looked at again.
    pub(crate) fn forget(&mut self) {
        self.sprigs = None;
    }

    pub(crate) fn sprigs(&mut self) -> Arc<[Sprig]> {
        let slots = &self.slots;
        let sprigs = || {
            let (mut start, mut first_line) = (0, 0);
            let sprig = |slot: &Slot| {
                let seen = slot.looked.as_ref()?;
                let (looked, found) = (Arc::clone(&seen.looked), seen.found);
                let sprig = Sprig { looked, start, first_line, found };
                (start, first_line) = (start + slot.bytes, first_line + slot.lines);
                Some(sprig)
            };
            slots.iter().filter_map(sprig).collect()
        };
        Arc::clone(self.sprigs.get_or_insert_with(sprigs))
    }
}

/// A place among bundles: the bundle, the block within it, and the byte within that.
type Found = (usize, usize, u32);

/// Replaces what stands between two places; places that do not fit are clamped.
pub(crate) fn edit(bundles: &mut Vec<Bundle>, from: Place, to: Place, encoding: Encoding, text: &str) {
    let (first, last) = (find(bundles, from, encoding), find(bundles, to.max(from), encoding));
    // A block ends where the next begins: an edit at a border can join the two, so the neighbours are read again.
    let low = first.0 - usize::from(first.1 == 0 && first.0 > 0);
    let end_of_bundle = bundles.get(last.0).is_none_or(|bundle| last.1 + 1 >= bundle.slots.len());
    let high = (last.0 + 1 + usize::from(end_of_bundle)).min(bundles.len());
    let sizes: Vec<usize> = bundles.iter().take(high).skip(low).map(|bundle| bundle.slots.len()).collect();
    let place = |(bundle, slot, _): Found| sizes.iter().take(bundle - low).sum::<usize>() + slot;
    let (first_slot, last_slot) = (place(first), place(last));
    let mut slots: Vec<Slot> = bundles.splice(low..high, []).flat_map(|bundle| bundle.slots).collect();
    let changed = first_slot.saturating_sub(1)..(last_slot + 2).min(slots.len());
    let (before, from_here) = (first_slot - changed.start, last_slot - changed.start);
    let old: Vec<Slot> = slots.splice(changed.clone(), []).collect();
    let offset = |upto: usize| -> u32 { old.iter().take(upto).map(|slot| slot.bytes).sum() };
    let span = (offset(before) + first.2, offset(from_here) + last.2);
    let fresh = changed_slots(old, Span::new(span.0, span.1.max(span.0)), text);
    let _ = slots.splice(changed.start..changed.start, fresh);
    let _ = bundles.splice(low..low, bundled(slots));
}

/// The slots of blocks whose joined text is changed.
fn changed_slots(mut old: Vec<Slot>, span: Span, text: &str) -> Vec<Slot> {
    let joined: String = old.iter().map(|slot| &*slot.block.text).collect();
    let joined = notation::Edits::one(span, text).apply(&joined);
    // A neighbour that came out the same keeps what was read and found in it.
    let kept = |span: &Span| {
        let same = old.iter().position(|slot| &*slot.block.text == span.of(&joined))?;
        Some(old.swap_remove(same))
    };
    let spans = split_blocks(&joined);
    let kept: Vec<Option<Slot>> = spans.iter().map(kept).collect();
    let mut before = old.iter();
    let fresh = spans.iter().zip(kept);
    fresh.map(|(span, kept)| kept.unwrap_or_else(|| Slot::new(span.of(&joined), before.next()))).collect()
}

/// Where a place stands.
fn find(bundles: &[Bundle], place: Place, encoding: Encoding) -> Found {
    let mut line = 0;
    for (at, bundle) in bundles.iter().enumerate() {
        if place.line >= line + bundle.lines && at + 1 < bundles.len() {
            line += bundle.lines;
            continue;
        }
        for (slot_at, slot) in bundle.slots.iter().enumerate() {
            let last = at + 1 == bundles.len() && slot_at + 1 == bundle.slots.len();
            if place.line < line + slot.lines || last {
                let local = Place { line: place.line.saturating_sub(line), column: place.column };
                return (at, slot_at, slot.block.index.offset(&slot.block.text, local, encoding));
            }
            line += slot.lines;
        }
    }
    (0, 0, 0)
}
