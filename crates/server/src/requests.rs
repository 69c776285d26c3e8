//! The answers to an editor's questions, one file each. A request is turned into a question to the desk, and its
//! answer into the protocol's words; nothing is worked out here.

mod actions;
mod colours;
mod commands;
mod complete;
mod edits;
mod findings;
mod formatting;
mod hints;
mod hover;
mod lenses;
mod places;
mod shape;
mod versions;
mod workspace;

pub(crate) use actions::{actions, all_fixes_resolved, asks_for_all, kinds, mends, only_all_fixes, resolved};
pub(crate) use colours::{colours, colours_between, colours_since, legend};
pub(crate) use commands::{commands, compares, execute, show_comparison};
pub(crate) use complete::{about, complete, tell};
pub(crate) use findings::{all_findings, findings};
pub(crate) use formatting::{formatting, line_formatting, lines_formatting};
pub(crate) use hints::hints;
pub(crate) use hover::hover;
pub(crate) use lenses::{lens_text, lenses, resolved_lens};
pub(crate) use places::{can_rename, definition, highlights, references, rename};
pub(crate) use shape::{folds, links, outline, selections};
pub(crate) use versions::{Versions, compared};
pub(crate) use workspace::{incoming, moved, outgoing, prepare, symbols};

use crate::from_lsp::place;
use crate::state::State;
use desk::Page;
use std::sync::Arc;
use tower_lsp::lsp_types::TextDocumentPositionParams;

/// The page that a position is on, and the byte at it.
fn spot(state: &mut State, at: &TextDocumentPositionParams) -> Option<(Arc<Page>, u32)> {
    let page = state.page(&at.text_document.uri)?;
    let offset = page.offset(place(at.position), state.facts().encoding);
    Some((page, offset))
}
