//! What lies in the actor's queue: notes of what has happened, and questions with the way back to who asks.

use crate::capabilities::Facts;
use crate::from_lsp::Step;
use crate::scan::Seen;
use crate::state::State;
use desk::Desk;
use serde_json::Value;
use std::fmt;
use std::path::PathBuf;
use tokio::sync::oneshot;
use tower_lsp::lsp_types::Url;

/// An answer, or the search for it.
pub(crate) enum Answer<T> {
    /// What was found.
    Here(T),
    /// What takes long to find: the whole workspace has to be read, or another program asked.
    Aside(Search<T>),
}

impl<T> Answer<T> {
    /// An answer that a search beside the actor will find.
    pub(crate) fn aside(search: impl FnOnce(&mut Desk, Facts) -> T + Send + 'static) -> Answer<T> {
        Answer::Aside(Box::new(search))
    }
}

/// A search on a desk of its own.
type Search<T> = Box<dyn FnOnce(&mut Desk, Facts) -> T + Send>;

/// Finds an answer and sends it to the one who waits for it.
pub(crate) struct Question(Box<dyn FnOnce(&mut State) + Send>);

impl Question {
    /// A question whose answer goes to `reply`: at once, or by a search beside the actor. Nobody looks for an answer that
    /// nobody waits for any more.
    pub(crate) fn new<T: Send + 'static>(
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

    /// Looks for the answer.
    pub(crate) fn answer(self, state: &mut State) {
        let Question(find) = self;
        find(state);
    }
}

/// Looks for an answer on a thread of its own. A thread that stumbles drops the reply, which is told as a fault of ours.
/// So does one that the machine refuses.
fn beside<T: Send + 'static>(mut desk: Desk, facts: Facts, reply: oneshot::Sender<T>, find: Search<T>) {
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
