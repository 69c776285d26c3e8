//! An open text, its blocks each reviewed once for as long as neither it nor what it asked for changes.

use crate::around::{Around, Files, Made, Sight};
use crate::bundle::{Bundle, Slot, bundles, edit};
use crate::laid::Laid;
use crate::page::{Bough, Page};
use formula::Settings;
use notation::{Block, BlockKind, Date, Encoding, Place, fold};
use rules::review;
use std::path::{Path, PathBuf};
use std::sync::Arc;

pub(crate) struct OpenFile {
    path: PathBuf,
    bundles: Vec<Bundle>,
    around: Option<Arc<Around>>,
    /// Whether what the file sees may have changed since the last page.
    stale: bool,
    page: Option<Arc<Page>>,
    /// The text as others read it, and as the next page is made from it.
    laid: Option<Arc<Laid>>,
}

impl OpenFile {
    pub(crate) fn new(path: &Path, text: &str) -> OpenFile {
        OpenFile {
            path: path.to_owned(),
            bundles: bundles(text),
            around: None,
            stale: true,
            page: None,
            laid: None,
        }
    }

    /// The text as others read it.
    pub(crate) fn laid(&mut self) -> Arc<Laid> {
        let bundles = &mut self.bundles;
        let laid = || Arc::new(Laid::new(bundles.iter_mut().map(Bundle::blocks).collect()));
        Arc::clone(self.laid.get_or_insert_with(laid))
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
        (self.page, self.laid) = (None, None);
        edit(&mut self.bundles, from, to, encoding, text);
        // What the file sees depends on its own ingredients and workshop lines.
        self.stale = true;
    }

    /// What the file sees now, and whether that has changed. It is kept once all blocks have been looked at.
    fn look_around(&mut self, files: &Files) -> (Arc<Around>, bool) {
        // Formulas bring nothing to what others see.
        let bundles = self.bundles.iter().filter(|bundle| !bundle.only_formulas);
        let others = bundles.flat_map(|bundle| &bundle.slots).filter(|slot| slot.kind != BlockKind::Formula);
        let others: Vec<Arc<Block>> = others.map(|slot| Arc::clone(&slot.block)).collect();
        let around = Around::of(&self.path, &others, files);
        let changed = self.around.as_deref() != Some(&around);
        // What did not change is kept, so that pages share it.
        let around = match self.around.take() {
            Some(before) if !changed => before,
            _ => Arc::new(around),
        };
        (around, changed)
    }

    pub(crate) fn page(&mut self, files: &Files, law_day: Date) -> Arc<Page> {
        if let Some(page) = self.page.as_ref().filter(|_| !self.stale) {
            return Arc::clone(page);
        }
        let laid = self.laid();
        let (around, changed) = self.look_around(files);
        let look = |slot: &mut Slot, made: &Made| {
            // Other blocks ask for no name, but the workshop's `treat` and `allow` reach them too.
            if slot.looked.is_some() && !changed && !slot.looks_on {
                return false;
            }
            let sight = Sight::new(&self.path, &around, &*laid, files, made, slot.block.name());
            if slot.looked.as_ref().is_some_and(|seen| sight.answers_alike(&seen.asked)) {
                return false;
            }
            let before = slot.before().map(Arc::as_ref);
            let reviewed = review(&slot.block, &sight, law_day, before);
            slot.see(reviewed, sight.asked());
            true
        };
        let is_record = |slot: &Slot| slot.kind == BlockKind::Record;
        // What was made is held against its formula: the formulas come first.
        let look_at = |bundles: &mut [Bundle], records: bool, made: &Made| {
            let due = |bundle: &&mut Bundle| changed || bundle.looks_on || !bundle.is_seen();
            for bundle in bundles.iter_mut().filter(due) {
                let own = bundle.slots.iter_mut().filter(|slot| is_record(slot) == records);
                if own.map(|slot| usize::from(look(slot, made))).sum::<usize>() > 0 {
                    bundle.forget();
                }
            }
        };
        look_at(&mut self.bundles, false, &Made::new());
        if self.bundles.iter().any(|bundle| bundle.looks_on && bundle.slots.iter().any(is_record)) {
            let made = self.made();
            look_at(&mut self.bundles, true, &made);
        }
        self.around = Some(Arc::clone(&around));
        self.stale = false;
        let page = self.page_of_what_was_seen(around, law_day);
        self.page = Some(Arc::clone(&page));
        page
    }

    /// The formulas by their names, the first of each.
    fn made(&self) -> Made {
        let mut made = Made::new();
        for slot in self.bundles.iter().flat_map(|bundle| &bundle.slots) {
            if let Some(resolved) = slot.resolved() {
                let _ = made.entry(fold(slot.block.name())).or_insert_with(|| Arc::clone(resolved));
            }
        }
        made
    }

    fn page_of_what_was_seen(&mut self, around: Arc<Around>, law_day: Date) -> Arc<Page> {
        let (mut start, mut first_line) = (0, 0);
        let bough = |bundle: &mut Bundle| {
            let bough = Bough::new(bundle.sprigs(), start, first_line);
            (start, first_line) = (start + bundle.bytes, first_line + bundle.lines);
            bough
        };
        let boughs = self.bundles.iter_mut().map(bough).collect();
        Arc::new(Page::new(boughs, around, law_day))
    }
}
