//! The actor: owns the desk, works off one queue in order, and decides what is told when.
//!
//! Nothing waits for the hands to stop: a text is looked at as soon as no newer one lies in the queue. In a burst the
//! texts between are skipped, not told late.

use crate::address::path;
use crate::capabilities::{Facts, watch_files};
use crate::from_lsp::Step;
use crate::to_lsp::{Pages, diagnostics, remark};
use crate::voice::Saying;
use crate::{KeepPage, Look};
use desk::{Date, Desk, Page, Shelf};
use std::any::Any;
use std::collections::{BTreeMap, VecDeque};
use std::fmt;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, TryRecvError};
use tokio::sync::{mpsc, oneshot};
use tower_lsp::lsp_types::{Diagnostic, MessageType, PublishDiagnosticsParams, SemanticToken, Url};

/// Notes that are taken in a row before a text that is due is looked at all the same, so that an endless stream of
/// changes cannot keep findings back for good.
const MOST_IN_A_ROW: usize = 256;

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
}

impl Question {
    /// A question that is looked for beside the actor, on a desk of its own, since it reads the whole workspace.
    pub(crate) fn aside<T: Send + 'static>(
        reply: oneshot::Sender<T>,
        find: impl FnOnce(&mut Desk, Facts) -> T + Send + 'static,
    ) -> Question {
        Question(Box::new(move |state| {
            let (mut desk, facts) = (state.desk.aside(), state.facts);
            // A thread that stumbles drops the reply, which is told as a fault of ours. So does one that the machine
            // refuses.
            let _ = std::thread::Builder::new().name("search".to_owned()).spawn(move || {
                if !reply.is_closed() {
                    let _ = reply.send(find(&mut desk, facts));
                }
            });
        }))
    }
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
    /// Files on disk have changed.
    FilesChanged,
    /// A question about a text.
    Ask { uri: Url, question: Question },
    /// Tell when all before is done.
    Rest(oneshot::Sender<()>),
}

impl Note {
    /// What the note is about, for the log.
    fn about(&self) -> String {
        match self {
            Note::Opened { uri, .. }
            | Note::Changed { uri, .. }
            | Note::Closed { uri }
            | Note::Ask { uri, .. } => uri.to_string(),
            Note::Editor(..) | Note::Ready | Note::FilesChanged | Note::Rest(_) => {
                "the open files".to_owned()
            }
        }
    }
}

/// An open text.
struct Document {
    /// As the editor writes it.
    uri: Url,
    version: i32,
    /// What was last shown, and the page it was made from.
    shown: Option<(Vec<Diagnostic>, Arc<Page>)>,
    /// The colours that were sent last, with their number.
    colours: Option<(u64, Vec<SemanticToken>)>,
}

/// The desk with all that belongs to a session.
pub(crate) struct State {
    desk: Desk,
    look: Look,
    pages: Pages,
    say: mpsc::Sender<Saying>,
    facts: Facts,
    documents: BTreeMap<PathBuf, Document>,
    /// Texts that have changed, and that no newer findings were told for.
    changed: VecDeque<PathBuf>,
    /// Texts that may see other files than before.
    unsure: VecDeque<PathBuf>,
}

impl State {
    pub(crate) fn new(
        shelf: Arc<dyn Shelf>,
        law_day: Date,
        keep_page: KeepPage,
        look: Look,
        say: mpsc::Sender<Saying>,
    ) -> State {
        State {
            desk: Desk::new(shelf, law_day),
            look,
            pages: Pages::new(keep_page),
            say,
            facts: Facts::default(),
            documents: BTreeMap::new(),
            changed: VecDeque::new(),
            unsure: VecDeque::new(),
        }
    }

    /// Works until nobody can send notes any more.
    pub(crate) fn work(mut self, queue: &Receiver<Note>) {
        let mut in_a_row = 0;
        loop {
            let due = !self.changed.is_empty() || !self.unsure.is_empty();
            let note = match (due, in_a_row < MOST_IN_A_ROW) {
                (false, _) => queue.recv().map_err(|_| TryRecvError::Disconnected),
                (true, true) => queue.try_recv(),
                (true, false) => Err(TryRecvError::Empty),
            };
            match note {
                Ok(note) => {
                    in_a_row += 1;
                    self.take_safely(note);
                }
                Err(TryRecvError::Empty) => {
                    in_a_row = 0;
                    self.look_safely();
                }
                Err(TryRecvError::Disconnected) => return,
            }
        }
    }

    /// Takes a note. A fault of ours costs the answer to this note, and is logged.
    fn take_safely(&mut self, note: Note) {
        let about = note.about();
        if let Err(fault) = catch_unwind(AssertUnwindSafe(|| self.take(note))) {
            self.log_fault(&about, fault.as_ref());
        }
    }

    fn take(&mut self, note: Note) {
        match note {
            Note::Editor(facts, roots) => {
                self.facts = facts;
                self.desk.set_roots(roots);
            }
            Note::Ready => {
                if self.facts.watches {
                    self.say(Saying::Register(watch_files()));
                }
            }
            Note::Opened { uri, version, text } => {
                let path = path(&uri);
                let _ = self
                    .documents
                    .insert(path.clone(), Document { uri, version, shown: None, colours: None });
                self.desk.open(&path, text);
                self.is_due(path);
            }
            Note::Changed { uri, version, steps } => self.change(&uri, version, steps),
            Note::Closed { uri } => {
                let path = path(&uri);
                if self.documents.remove(&path).is_some() {
                    self.desk.close(&path);
                    self.show(uri, Vec::new(), None);
                    self.others_are_unsure(&path);
                }
            }
            Note::FilesChanged => {
                self.desk.forget_files();
                self.others_are_unsure(Path::new(""));
            }
            Note::Ask { question: Question(find), .. } => find(self),
            Note::Rest(reply) => {
                while self.look_safely() {}
                self.say(Saying::Said(reply));
            }
        }
    }

    fn change(&mut self, uri: &Url, version: i32, steps: Vec<Step>) {
        let path = path(uri);
        let Some(document) = self.documents.get_mut(&path) else {
            return self
                .say(Saying::Log(MessageType::WARNING, format!("A change of {uri}, which is not open")));
        };
        document.version = version;
        self.is_due(path.clone());
        for step in steps {
            match step {
                Step::Whole(text) => self.desk.open(&path, text),
                Step::Part { from, to, text } => self.desk.edit(&path, from, to, self.facts.encoding, &text),
            }
        }
    }

    /// A snapshot of an open text.
    pub(crate) fn page(&mut self, uri: &Url) -> Option<Arc<Page>> {
        (self.look)(&mut self.desk, &path(uri))
    }

    /// The desk itself.
    pub(crate) fn desk(&mut self) -> &mut Desk {
        &mut self.desk
    }

    /// The page of a rule, where the editor can open it.
    pub(crate) fn rule_page(&mut self, name: &str) -> Option<Url> {
        let rule = desk::rule(name)?;
        self.pages.of(rule.name)
    }

    /// Keeps the colours that are sent for a text, and names them.
    pub(crate) fn keep_colours(&mut self, uri: &Url, colours: Vec<SemanticToken>) -> Option<String> {
        let document = self.documents.get_mut(&path(uri))?;
        let number = document.colours.as_ref().map_or(0, |(number, _)| number + 1);
        document.colours = Some((number, colours));
        Some(number.to_string())
    }

    /// The colours that were sent for a text under a name, where they are still the last.
    pub(crate) fn kept_colours(&mut self, uri: &Url, name: &str) -> Option<Vec<SemanticToken>> {
        let kept = self.documents.get_mut(&path(uri))?.colours.take();
        kept.filter(|(number, _)| number.to_string() == name).map(|(_, colours)| colours)
    }

    /// What we know of the editor.
    pub(crate) fn facts(&self) -> Facts {
        self.facts
    }

    /// The text at `path` has changed; others may have read it.
    fn is_due(&mut self, path: PathBuf) {
        self.others_are_unsure(&path);
        self.unsure.retain(|unsure| *unsure != path);
        if !self.changed.contains(&path) {
            self.changed.push_back(path);
        }
    }

    fn others_are_unsure(&mut self, path: &Path) {
        for other in self.documents.keys() {
            if other != path && !self.changed.contains(other) && !self.unsure.contains(other) {
                self.unsure.push_back(other.clone());
            }
        }
    }

    /// Looks at the next text that is due; false when none is.
    fn look_safely(&mut self) -> bool {
        let changed = self.changed.pop_front();
        let sure = changed.is_some();
        let Some(path) = changed.or_else(|| self.unsure.pop_front()) else { return false };
        let looked = catch_unwind(AssertUnwindSafe(|| self.look_at(&path, sure)));
        if let (Err(fault), Some(document)) = (looked, self.documents.get_mut(&path)) {
            document.shown = None;
            let (uri, version) = (document.uri.clone(), document.version);
            self.log_fault(uri.as_str(), fault.as_ref());
            let words = "This text could not be checked: a fault of levigate, not of the formula. The log of the \
                         language server tells more.";
            self.show(uri, vec![remark(words.to_owned())], Some(version));
        }
        true
    }

    /// Tells what is found in a text. One that is not sure to have changed is told of only when the findings have.
    fn look_at(&mut self, path: &Path, sure: bool) {
        let Some(document) = self.documents.get_mut(path) else { return };
        let Some(page) = (self.look)(&mut self.desk, path) else { return };
        let before = document.shown.take();
        let same_page = before.as_ref().is_some_and(|(_, before)| Arc::ptr_eq(before, &page));
        let found = match &before {
            Some((found, _)) if same_page => found.clone(),
            _ => diagnostics(&page, &document.uri, self.facts, &mut self.pages),
        };
        let news = sure || before.is_none_or(|(before, _)| before != found);
        document.shown = Some((found.clone(), page));
        let (uri, version) = (document.uri.clone(), document.version);
        if news {
            self.show(uri, found, Some(version));
        }
    }

    fn show(&self, uri: Url, diagnostics: Vec<Diagnostic>, version: Option<i32>) {
        self.say(Saying::Findings(PublishDiagnosticsParams::new(uri, diagnostics, version)));
    }

    fn log_fault(&self, about: &str, fault: &(dyn Any + Send)) {
        let words = fault.downcast_ref::<&str>().copied();
        let words = words.or_else(|| fault.downcast_ref::<String>().map(String::as_str)).unwrap_or("unknown");
        self.say(Saying::Log(MessageType::ERROR, format!("A fault of levigate over {about}: {words}")));
    }

    /// Waits while too much is still to be said; nobody listens only when the session is over.
    fn say(&self, saying: Saying) {
        let _ = self.say.blocking_send(saying);
    }
}
