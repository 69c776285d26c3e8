//! Speaks the **Language Server Protocol**: turns an editor's messages into questions to the desk, and the desk's
//! answers into messages.
//!
//! Bytes come in through the front door (`door`), which hands clean messages to tower-lsp; its handlers (`wire`)
//! do nothing but push into one queue; one actor (`state`) owns the desk and works the queue off in order. All
//! counting in bytes, UTF-16 and characters happens in `to_lsp` and `from_lsp`. The crate knows no ingredient,
//! unit or rule, and touches no file: what it needs of the outside comes in through [`Setup`].

mod address;
mod capabilities;
mod clean;
mod door;
mod frame;
mod from_lsp;
mod ledger;
mod note;
mod options;
mod outbox;
mod requests;
mod scan;
mod state;
mod surrogates;
#[cfg(test)]
mod tests;
mod to_lsp;
mod voice;
mod wire;

use desk::{Date, Desk, Page, Settings, Shelf};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Keeps the page of a rule where an editor can open it. Called with the rule's name and its page in Markdown, once
/// for each rule that is needed; answers with the absolute path of the file, or none where it could not be kept.
pub type KeepPage = Box<dyn FnMut(&str, &str) -> Option<PathBuf> + Send>;

/// A document that is made of a formula, for reading.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Paper {
    /// All that is worked out.
    Sheet,
    /// The words for the label.
    Label,
}

/// Writes a paper: of a page, by the settings of its workshop, of the formula with a name or of all. None where there is
/// no such formula.
pub type WritePaper = Box<dyn Fn(Paper, &Page, &Settings, Option<&str>) -> Option<String> + Send>;

impl Paper {
    /// What it is called.
    pub fn word(self) -> &'static str {
        match self {
            Paper::Sheet => "sheet",
            Paper::Label => "label",
        }
    }
}

/// Keeps a paper, or a comparison, where an editor can open it. Called with what it is called, a name for it and its
/// text; answers like [`KeepPage`].
pub type KeepPaper = Box<dyn FnMut(&str, &str, &str) -> Option<PathBuf> + Send>;

/// The text of a file in the last commit; none where it is not committed, or nobody keeps versions. May take a while,
/// and is not asked on the thread that answers the editor.
pub type Committed = Arc<dyn Fn(&Path) -> Option<String> + Send + Sync>;

/// Writes what changed from one page to another.
pub type WriteComparison = Arc<dyn Fn(&Page, &Page) -> String + Send + Sync>;

/// What the server needs of the outside.
pub struct Setup {
    /// Where files come from.
    pub shelf: Arc<dyn Shelf>,
    /// The day whose law holds.
    pub law_day: Date,
    /// Keeps rule pages for the links of findings.
    pub keep_page: KeepPage,
    /// Writes papers.
    pub write_paper: WritePaper,
    /// Gets committed texts.
    pub committed: Committed,
    /// Writes comparisons.
    pub write_comparison: WriteComparison,
    /// Keeps papers and comparisons for the editor.
    pub keep_paper: KeepPaper,
    /// Whether a process with this number lives. The server ends when the editor that started it has gone.
    pub is_alive: fn(u32) -> bool,
}

/// Serves one editor on standard input and output until it says `exit`, hangs up, or dies. Blocks.
///
/// The value is the exit status that the protocol asks for: 0 when `shutdown` came before the end, else 1. The caller
/// should leave the process at once with it: a thread may still be waiting for input.
///
/// # Errors
/// When the machine refuses a thread or a timer.
pub fn serve(setup: Setup) -> io::Result<u8> {
    serve_on(setup, io::stdin(), io::stdout())
}

/// Like [`serve`], on any pair of streams.
///
/// # Errors
/// When the machine refuses a thread or a timer.
pub fn serve_on(
    setup: Setup,
    input: impl Read + Send + 'static,
    output: impl Write + Send + 'static,
) -> io::Result<u8> {
    door::run(setup, Box::new(Desk::page), input, output)
}

/// How a page is got from the desk. A seam: tests listen here, and plant faults.
pub(crate) type Look = Box<dyn FnMut(&mut Desk, &Path) -> Option<Arc<Page>> + Send>;
