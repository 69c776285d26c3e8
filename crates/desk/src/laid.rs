//! An open text as others read it.

use notation::{Block, Sheet};
use std::sync::{Arc, OnceLock};

/// The blocks of a text in pieces that are shared with the text before the last edit.
#[derive(Debug)]
pub(crate) struct Laid {
    pieces: Vec<Arc<[Arc<Block>]>>,
    sheet: OnceLock<Arc<Sheet>>,
}

impl Laid {
    pub(crate) fn new(pieces: Vec<Arc<[Arc<Block>]>>) -> Laid {
        Laid { pieces, sheet: OnceLock::new() }
    }

    fn each(&self) -> impl Iterator<Item = &Arc<Block>> {
        self.pieces.iter().flat_map(|piece| piece.iter())
    }

    /// The whole text.
    pub(crate) fn text(&self) -> String {
        self.each().map(|block| &*block.text).collect()
    }

    /// All blocks in one list, put together for the first who asks.
    pub(crate) fn sheet(&self) -> &Arc<Sheet> {
        self.sheet.get_or_init(|| Arc::new(Sheet { blocks: self.each().cloned().collect() }))
    }
}

/// Something that holds the blocks of a text.
pub(crate) trait Blocks {
    /// All blocks in order.
    fn blocks(&self) -> &[Arc<Block>];
}

impl Blocks for Laid {
    fn blocks(&self) -> &[Arc<Block>] {
        &self.sheet().blocks
    }
}

impl Blocks for Sheet {
    fn blocks(&self) -> &[Arc<Block>] {
        &self.blocks
    }
}
