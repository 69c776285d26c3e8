//! Looks through the files of the workspace that are not open, beside the actor and without holding it up.

use crate::note::Note;
use crate::voice::{Progress, Saying};
use desk::{Desk, Page};
use std::fmt;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::Sender;
use std::sync::{Arc, Condvar, Mutex, PoisonError};
use tokio::sync::mpsc;

/// Pages that may wait for the actor at a time; more are not made before it has taken one.
const WAITING: usize = 8;
/// Files from which on progress is worth showing.
const WORTH_SHOWING: usize = 50;

/// What to look through.
#[derive(Clone, Debug)]
pub(crate) enum Scope {
    /// Every file.
    All,
    /// Files that have changed, and those that read them.
    Changed(Vec<PathBuf>),
}

/// Room for one page that waits for the actor; given back when the page has been taken.
#[derive(Debug)]
pub(crate) struct Place(Arc<Room>);

#[derive(Debug, Default)]
struct Room {
    taken: Mutex<usize>,
    freed: Condvar,
}

impl Room {
    fn take(self: &Arc<Room>) -> Place {
        let mut taken = self.taken.lock().unwrap_or_else(PoisonError::into_inner);
        while *taken >= WAITING {
            taken = self.freed.wait(taken).unwrap_or_else(PoisonError::into_inner);
        }
        *taken += 1;
        Place(Arc::clone(self))
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        *self.0.taken.lock().unwrap_or_else(PoisonError::into_inner) -= 1;
        self.0.freed.notify_one();
    }
}

/// A file that was looked at.
pub(crate) struct Seen {
    pub(crate) path: PathBuf,
    /// None where the file cannot be read any more.
    pub(crate) page: Option<Arc<Page>>,
    /// Kept until the actor has taken it.
    pub(crate) _place: Place,
}

impl fmt::Debug for Seen {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Seen").field("path", &self.path).finish_non_exhaustive()
    }
}

/// A scan that is going on.
pub(crate) struct Scan {
    pub(crate) desk: Desk,
    pub(crate) scope: Scope,
    pub(crate) queue: Sender<Note>,
    pub(crate) say: mpsc::Sender<Saying>,
    /// Set when the scan shall end early.
    pub(crate) stop: Arc<AtomicBool>,
    /// The number under which its progress is told; none where the editor shows none.
    pub(crate) token: Option<i32>,
}

impl Scan {
    /// Starts it on a thread of its own.
    pub(crate) fn start(self) {
        // A machine that refuses a thread costs the findings of files that are not open, no more.
        let _ = std::thread::Builder::new().name("scan".to_owned()).spawn(move || self.run());
    }

    fn run(mut self) {
        let (files, whole) = self.files();
        let room = Arc::new(Room::default());
        let token = self.token.filter(|_| files.len() >= WORTH_SHOWING);
        if let Some(token) = token {
            self.tell(Progress::Begin { token, title: "Looking through the formulas".to_owned() });
        }
        let mut shown = 0;
        for (at, path) in files.iter().enumerate() {
            if self.stop.load(Ordering::Relaxed) {
                break;
            }
            // What is open is told of as it is there; if it is closed meanwhile, it is looked at for that.
            if self.desk.has_open(path) {
                continue;
            }
            let place = room.take();
            let page = self.desk.page_of(path);
            let seen = Seen { path: path.clone(), page, _place: place };
            if self.queue.send(Note::Seen(seen)).is_err() {
                return;
            }
            let percent = (100 * (at + 1) / files.len()) as u32;
            if let Some(token) = token.filter(|_| percent >= shown + 5) {
                shown = percent;
                let message = format!("{} of {}", at + 1, files.len());
                self.tell(Progress::Report { token, percent, message });
            }
        }
        if let Some(token) = token {
            self.tell(Progress::End { token });
        }
        if whole && !self.stop.load(Ordering::Relaxed) {
            let _ = self.queue.send(Note::Scanned(files));
        }
    }

    fn tell(&self, progress: Progress) {
        let _ = self.say.blocking_send(Saying::Progress(progress));
    }

    /// The files to look at, and whether those are all.
    fn files(&self) -> (Vec<PathBuf>, bool) {
        let Scope::Changed(changed) = &self.scope else { return (self.desk.workspace_files(), true) };
        if changed.iter().any(|path| self.is_seen_by_many(path)) {
            return (self.desk.workspace_files(), true);
        }
        let names: Vec<String> = changed
            .iter()
            .filter_map(|path| Some(path.file_name()?.to_string_lossy().into_owned()))
            .collect();
        let mut files = changed.clone();
        for file in self.desk.workspace_files() {
            let reads_one = || {
                self.desk
                    .text_of(&file)
                    .is_some_and(|text| names.iter().any(|name| text.contains(name.as_str())))
            };
            if !files.contains(&file) && reads_one() {
                files.push(file);
            }
        }
        (files, false)
    }

    /// Whether a file says things that formulas see without naming it.
    fn is_seen_by_many(&self, path: &Path) -> bool {
        let opens = |line: &str| {
            let line = line.trim_start().to_lowercase();
            line.starts_with("ingredient") || line.starts_with("workshop")
        };
        path.file_name().is_some_and(|name| name == "workshop.formula")
            || self.desk.text_of(path).is_none_or(|text| text.lines().any(opens))
    }
}
