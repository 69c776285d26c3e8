//! The actor: owns the desk, works off one queue in order, and decides what is told when.
//!
//! Nothing waits for the hands to stop: a text is looked at as soon as no newer one lies in the queue. In a burst the
//! texts between are skipped, not told late.

mod kept;
mod telling;

use crate::address::path;
use crate::capabilities::{Facts, watch_files};
use crate::from_lsp::Step;
use crate::note::Note;
use crate::options::Options;
use crate::outbox::Outbox;
use crate::requests::Versions;
use crate::scan::{Scan, Scope};
use crate::to_lsp::Pages;
use crate::voice::{Refresh, Saying};
use crate::{KeepPaper, Look, Setup, WritePaper};
use desk::{Desk, Page};
use serde_json::Value;
use std::any::Any;
use std::collections::{BTreeMap, BTreeSet, HashMap, VecDeque};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, Sender, TryRecvError};
use std::sync::{Arc, Weak};
use tokio::sync::mpsc;
use tower_lsp::lsp_types::notification::LogMessage;
use tower_lsp::lsp_types::{Diagnostic, LogMessageParams, MessageType, SemanticToken, Url};

/// Notes that are taken in a row before a text that is due is looked at all the same, so that an endless stream of
/// changes cannot keep findings back for good.
const MOST_IN_A_ROW: usize = 256;

/// An open text.
struct Document {
    /// As the editor writes it.
    uri: Url,
    version: i32,
    /// What was last shown, and the page it was made from.
    shown: Option<(Vec<Diagnostic>, Arc<Page>)>,
    /// What an editor that asks was told last.
    told: Option<Vec<Diagnostic>>,
    /// The colours that were sent last, with their number.
    colours: Option<(u64, Vec<SemanticToken>)>,
}

/// The desk with all that belongs to a session.
pub(crate) struct State {
    desk: Desk,
    look: Look,
    pages: Pages,
    write_paper: WritePaper,
    keep_paper: KeepPaper,
    versions: Versions,
    say: mpsc::Sender<Saying>,
    outbox: Outbox,
    facts: Facts,
    documents: BTreeMap<PathBuf, Document>,
    /// Texts that have changed, and that no newer findings were told for.
    changed: VecDeque<PathBuf>,
    /// Texts that may see other files than before.
    unsure: VecDeque<PathBuf>,
    options: Options,
    /// The way into our own queue; gone when the session is over.
    queue: Weak<Sender<Note>>,
    /// Files that are not open and that something was told of.
    elsewhere: BTreeSet<PathBuf>,
    /// The scan that is going on: its number, and the switch that ends it.
    scan: (i32, Arc<AtomicBool>),
}

impl State {
    pub(crate) fn new(
        setup: Setup,
        look: Look,
        say: mpsc::Sender<Saying>,
        outbox: Outbox,
        queue: Weak<Sender<Note>>,
    ) -> State {
        State {
            desk: Desk::new(setup.shelf, setup.law_day),
            look,
            pages: Pages::new(setup.keep_page),
            write_paper: setup.write_paper,
            keep_paper: setup.keep_paper,
            versions: Versions { committed: setup.committed, write: setup.write_comparison },
            say,
            outbox,
            facts: Facts::default(),
            documents: BTreeMap::new(),
            changed: VecDeque::new(),
            unsure: VecDeque::new(),
            options: Options::default(),
            queue,
            elsewhere: BTreeSet::new(),
            scan: (0, Arc::default()),
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
                self.ask_options();
                self.scan(Scope::All);
            }
            Note::Opened { uri, version, text } => {
                let path = path(&uri);
                let _ = self.elsewhere.remove(&path);
                let _ = self
                    .documents
                    .insert(path.clone(), Document { uri, version, shown: None, told: None, colours: None });
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
                    // What stands on the disk counts again.
                    self.scan(Scope::Changed(vec![path]));
                }
            }
            Note::FilesChanged(paths) => {
                self.desk.forget_files();
                self.others_are_unsure(Path::new(""));
                self.ask_again();
                self.scan(if paths.is_empty() { Scope::All } else { Scope::Changed(paths) });
            }
            Note::Folders { added, removed } => {
                let mut roots = self.desk.roots().to_vec();
                roots.retain(|root| !removed.contains(root));
                roots.extend(added);
                self.desk.set_roots(roots);
                self.others_are_unsure(Path::new(""));
                self.scan(Scope::All);
            }
            Note::Options(value) => self.set_options(&value),
            Note::AskOptions => self.ask_options(),
            Note::Seen(seen) => self.tell_of(&seen),
            Note::Scanned(files) => {
                let gone: Vec<PathBuf> =
                    self.elsewhere.iter().filter(|path| !files.contains(path)).cloned().collect();
                for path in gone {
                    self.show_elsewhere(&path, Vec::new());
                }
            }
            Note::Stop(number) => {
                if self.scan.0 == number {
                    self.scan.1.store(true, Ordering::Relaxed);
                }
            }
            Note::Ask { question, .. } => question.answer(self),
            Note::Rest(reply) => {
                while self.look_safely() {}
                self.say(Saying::Said(reply));
            }
        }
    }

    fn change(&mut self, uri: &Url, version: i32, steps: Vec<Step>) {
        let path = path(uri);
        let Some(document) = self.documents.get_mut(&path) else {
            return self.log(MessageType::WARNING, format!("A change of {uri}, which is not open"));
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

    /// A desk of its own for a long search.
    pub(crate) fn aside(&self) -> Desk {
        self.desk.aside()
    }

    /// The rules' pages that editors can open.
    pub(crate) fn pages(&self) -> &Pages {
        &self.pages
    }

    /// How a text is held against its committed version.
    pub(crate) fn versions(&self) -> Versions {
        self.versions.clone()
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

    /// The version of an open text.
    pub(crate) fn version(&self, uri: &Url) -> Option<i32> {
        self.documents.get(&path(uri)).map(|document| document.version)
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

    /// The open texts, with their addresses and versions.
    pub(crate) fn open_texts(&self) -> HashMap<PathBuf, (Url, i32)> {
        let text = |(path, document): (&PathBuf, &Document)| {
            (path.clone(), (document.uri.clone(), document.version))
        };
        self.documents.iter().map(text).collect()
    }

    /// What the user has switched.
    pub(crate) fn options(&self) -> Options {
        self.options
    }

    fn set_options(&mut self, value: &Value) {
        let (options, unread) = Options::read(value);
        for word in unread {
            let words = format!("The setting `{word}` of levigate says nothing that is understood");
            self.log(MessageType::WARNING, words);
        }
        let before = std::mem::replace(&mut self.options, options);
        if before != options {
            self.ask_again();
        }
        if before.workspace != options.workspace {
            if options.workspace {
                self.scan(Scope::All);
            } else {
                self.scan.1.store(true, Ordering::Relaxed);
                for path in self.elsewhere.clone() {
                    self.show_elsewhere(&path, Vec::new());
                }
            }
        }
    }

    fn ask_options(&self) {
        if self.facts.configures
            && let Some(queue) = self.queue.upgrade()
        {
            self.say(Saying::AskOptions(Sender::clone(&queue)));
        }
    }

    /// Asks the editor to ask again for whatever it shows.
    fn ask_again(&self) {
        let refresh =
            Refresh { findings: self.facts.refresh.findings && self.facts.pulls, ..self.facts.refresh };
        if refresh != Refresh::default() {
            self.say(Saying::Refresh(refresh));
        }
    }

    /// Looks through files that are not open; an editor that asks for findings asks for these, too.
    fn scan(&mut self, scope: Scope) {
        if self.facts.pulls || !self.options.workspace || self.desk.roots().is_empty() {
            return;
        }
        let Some(queue) = self.queue.upgrade() else { return };
        // A scan of everything takes the place of the one before; a few files do not.
        if matches!(scope, Scope::All) {
            self.scan.1.store(true, Ordering::Relaxed);
            self.scan = (self.scan.0 + 1, Arc::default());
        }
        let scan = Scan {
            desk: self.desk.aside(),
            scope,
            queue: Sender::clone(&queue),
            say: self.say.clone(),
            stop: Arc::clone(&self.scan.1),
            token: self.facts.progress.then_some(self.scan.0),
        };
        scan.start();
    }

    /// Something for the editor's log.
    fn log(&self, typ: MessageType, message: String) {
        self.outbox.notify::<LogMessage>(LogMessageParams { typ, message });
    }

    fn log_fault(&self, about: &str, fault: &(dyn Any + Send)) {
        let words = fault.downcast_ref::<&str>().copied();
        let words = words.or_else(|| fault.downcast_ref::<String>().map(String::as_str)).unwrap_or("unknown");
        self.log(MessageType::ERROR, format!("A fault of levigate over {about}: {words}"));
    }

    /// Waits while too much is still to be said; nobody listens only when the session is over.
    pub(crate) fn say(&self, saying: Saying) {
        let _ = self.say.blocking_send(saying);
    }
}
