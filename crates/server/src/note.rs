//! What lies in the actor's queue: notes of what has happened, and questions with the way back to who asks.

use crate::capabilities::Facts;
use crate::from_lsp::Step;
use crate::requests::{Versions, all_findings, lenses};
use crate::scan::Seen;
use crate::state::State;
use desk::Desk;
use serde_json::Value;
use std::fmt;
use std::path::PathBuf;
use tokio::sync::oneshot;
use tower_lsp::lsp_types::{
    CodeLens, CodeLensParams, Url, WorkspaceDiagnosticParams, WorkspaceDiagnosticReport,
};

/// An answer, or the search for it.
pub(crate) enum Answer<T> {
    /// What was found.
    Here(T),
    /// What takes long to find.
    Aside(Search<T>),
}

/// A search on a desk of its own.
type Search<T> = Box<dyn FnOnce(&mut Desk, Facts) -> T + Send>;

/// Finds an answer and sends it to the one who waits for it.
pub(crate) struct Question(Box<dyn FnOnce(&mut State) + Send>);

impl Question {
    /// A question whose answer goes to `reply`. Nobody looks for an answer that nobody waits for any more.
    pub(crate) fn new<T: Send + 'static>(
        reply: oneshot::Sender<T>,
        find: impl FnOnce(&mut State) -> T + Send + 'static,
    ) -> Question {
        Question(Box::new(move |state| {
            if !reply.is_closed() {
                let _ = reply.send(find(state));
            }
        }))
    }

    /// A question that is looked for beside the actor, on a desk of its own, since it reads the whole workspace.
    pub(crate) fn aside<T: Send + 'static>(
        reply: oneshot::Sender<T>,
        find: impl FnOnce(&mut Desk, Facts) -> T + Send + 'static,
    ) -> Question {
        Question(Box::new(move |state| beside(state.aside(), state.facts(), reply, find)))
    }

    /// A question that is answered at once where that is quick, and else looked for like [`Question::aside`].
    pub(crate) fn quick_or_aside<T: Send + 'static>(
        reply: oneshot::Sender<T>,
        find: impl FnOnce(&mut State) -> Answer<T> + Send + 'static,
    ) -> Question {
        Question(Box::new(move |state| {
            if reply.is_closed() {
                return;
            }
            match find(state) {
                Answer::Here(answer) => {
                    let _ = reply.send(answer);
                }
                Answer::Aside(search) => beside(state.aside(), state.facts(), reply, search),
            }
        }))
    }

    /// Like [`Question::aside`], about a text as it is now: its version goes with it.
    pub(crate) fn aside_of<T: Send + 'static>(
        uri: Url,
        reply: oneshot::Sender<T>,
        find: impl FnOnce(&mut Desk, Facts, Option<i32>) -> T + Send + 'static,
    ) -> Question {
        Question(Box::new(move |state| {
            let version = state.version(&uri);
            beside(state.aside(), state.facts(), reply, move |desk, facts| find(desk, facts, version));
        }))
    }

    /// Like [`Question::aside`], about a text and its committed version.
    pub(crate) fn versions<T: Send + 'static>(
        reply: oneshot::Sender<T>,
        find: impl FnOnce(&mut Desk, &Versions) -> T + Send + 'static,
    ) -> Question {
        Question(Box::new(move |state| {
            let versions = state.versions();
            beside(state.aside(), state.facts(), reply, move |desk, _| find(desk, &versions));
        }))
    }

    /// The lines above a text. Those about its committed version are looked for like [`Question::aside`].
    pub(crate) fn lenses(reply: oneshot::Sender<Option<Vec<CodeLens>>>, params: CodeLensParams) -> Question {
        Question(Box::new(move |state| {
            let uri = params.text_document.uri.clone();
            let shown = lenses(state, &params);
            let page = state.page(&uri).filter(|_| state.options().lenses);
            let (Some(mut shown), Some(page)) = (shown.clone(), page) else {
                let _ = reply.send(shown);
                return;
            };
            let versions = state.versions();
            beside(state.aside(), state.facts(), reply, move |_, facts| {
                shown.extend(versions.lenses(&page, facts, &uri));
                Some(shown)
            });
        }))
    }

    /// All findings of the workspace, looked for like [`Question::aside`].
    pub(crate) fn findings(
        reply: oneshot::Sender<WorkspaceDiagnosticReport>,
        params: WorkspaceDiagnosticParams,
    ) -> Question {
        Question(Box::new(move |state| {
            let (open, pages) = (state.open_texts(), state.pages().clone());
            beside(state.aside(), state.facts(), reply, move |desk, facts| {
                all_findings(desk, facts, &open, &pages, params)
            });
        }))
    }

    /// Looks for the answer.
    pub(crate) fn answer(self, state: &mut State) {
        let Question(find) = self;
        find(state);
    }
}

/// Looks for an answer on a thread of its own. A thread that stumbles drops the reply, which is told as a fault of ours.
/// So does one that the machine refuses.
fn beside<T: Send + 'static>(
    mut desk: Desk,
    facts: Facts,
    reply: oneshot::Sender<T>,
    find: impl FnOnce(&mut Desk, Facts) -> T + Send + 'static,
) {
    let _ = std::thread::Builder::new().name("search".to_owned()).spawn(move || {
        if !reply.is_closed() {
            let _ = reply.send(find(&mut desk, facts));
        }
    });
}

impl fmt::Debug for Question {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Question")
    }
}

/// A note in the actor's queue.
#[derive(Debug)]
pub(crate) enum Note {
    /// What the editor can do, and the folders that are worked in.
    Editor(Facts, Vec<PathBuf>),
    /// The session has begun.
    Ready,
    /// A text was opened.
    Opened { uri: Url, version: i32, text: String },
    /// A text has changed.
    Changed { uri: Url, version: i32, steps: Vec<Step> },
    /// A text was closed.
    Closed { uri: Url },
    /// Files on disk have changed: these, or nobody says which.
    FilesChanged(Vec<PathBuf>),
    /// Folders were added to those that are worked in, or taken away.
    Folders { added: Vec<PathBuf>, removed: Vec<PathBuf> },
    /// The settings of our section.
    Options(Value),
    /// The settings have changed, and nobody says how.
    AskOptions,
    /// A file that is not open was looked at.
    Seen(Seen),
    /// All files of the workspace have been looked at: these.
    Scanned(Vec<PathBuf>),
    /// The editor wants a long piece of work to end.
    Stop(i32),
    /// A question about a text, or about all of them.
    Ask { uri: Option<Url>, question: Question },
    /// Tell when all before is done.
    Rest(oneshot::Sender<()>),
}

impl Note {
    /// What the note is about, for the log.
    pub(crate) fn about(&self) -> String {
        match self {
            Note::Opened { uri, .. }
            | Note::Changed { uri, .. }
            | Note::Closed { uri }
            | Note::Ask { uri: Some(uri), .. } => uri.to_string(),
            Note::Seen(seen) => seen.path.display().to_string(),
            Note::Ask { uri: None, .. }
            | Note::Editor(..)
            | Note::Ready
            | Note::FilesChanged(_)
            | Note::Folders { .. }
            | Note::Options(_)
            | Note::AskOptions
            | Note::Scanned(_)
            | Note::Stop(_)
            | Note::Rest(_) => "the open files".to_owned(),
        }
    }
}
