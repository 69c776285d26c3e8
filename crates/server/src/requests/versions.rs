//! A text beside its committed version. Asking for that starts another program, so that it is done beside the actor.

use super::commands::{compare, refused};
use crate::address::path;
use crate::capabilities::Facts;
use crate::note::Answer;
use crate::state::State;
use crate::to_lsp::range;
use crate::{Committed, WriteComparison};
use desk::{Desk, Page, Since};
use tower_lsp::jsonrpc::Result;
use tower_lsp::lsp_types::{CodeLens, Command, Url};

/// How a committed version is got, and how two versions are told apart.
#[derive(Clone)]
pub(crate) struct Versions {
    pub(crate) committed: Committed,
    pub(crate) write: WriteComparison,
}

/// What changed in a text since it was committed.
///
/// # Errors
/// Where there is no such text, or no committed version of it.
pub(crate) fn compared(state: &mut State, uri: Url) -> Answer<Result<String>> {
    let versions = state.versions();
    Answer::aside(move |desk, _| versions.compared(desk, &uri))
}

impl Versions {
    fn compared(&self, desk: &mut Desk, uri: &Url) -> Result<String> {
        let path = path(uri);
        let new = desk.page_of(&path).ok_or_else(|| refused("There is no such text."))?;
        let before = (self.committed)(&path).ok_or_else(|| {
            refused("There is no committed version of this file to compare with: it was never committed, or git is not there.")
        })?;
        // Each version sees the files around it as they are now.
        desk.open(&path, before);
        let old = desk.page(&path);
        desk.close(&path);
        let old = old.ok_or_else(|| refused("The committed version could not be read."))?;
        Ok((self.write)(&old, &new))
    }

    /// The lines above the formulas of a text that has a committed version.
    pub(super) fn lenses(&self, page: &Page, facts: Facts, uri: &Url) -> Vec<CodeLens> {
        let Some(before) = (self.committed)(&path(uri)) else { return Vec::new() };
        let lens = |(span, since)| {
            let command = match since {
                Since::Same => Command { title: "as committed".to_owned(), ..Command::default() },
                Since::Changed => compare("compare with the committed version".to_owned(), uri),
                Since::New => compare("new since the last commit".to_owned(), uri),
            };
            CodeLens { range: range(page, span, facts.encoding), command: Some(command), data: None }
        };
        page.since(&before).into_iter().map(lens).collect()
    }
}
