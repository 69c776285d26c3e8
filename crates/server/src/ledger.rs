//! What the door knows of the session: which requests wait for their answers, and what is still on its way out.

use std::collections::HashSet;
use tokio::sync::watch;
use tower_lsp::jsonrpc::Id;

/// What has gone in and out.
#[derive(Debug, Default)]
pub(crate) struct Entries {
    unanswered: HashSet<Id>,
    /// Messages of our own (not answers) that were given to tower-lsp, and those that have come out of it.
    given: u64,
    out: u64,
    shutdown: bool,
    ended: bool,
    parent: Option<u32>,
}

impl Entries {
    pub(crate) fn waits(&self, id: &Id) -> bool {
        self.unanswered.contains(id)
    }

    /// Whether nothing is owed to the editor.
    pub(crate) fn settled(&self) -> bool {
        self.unanswered.is_empty() && self.out >= self.given
    }

    pub(crate) fn ended(&self) -> bool {
        self.ended
    }

    pub(crate) fn parent(&self) -> Option<u32> {
        self.parent
    }
}

/// The entries, shared by the threads and tasks of the door; one can wait for a state of them.
#[derive(Debug, Default)]
pub(crate) struct Ledger(watch::Sender<Entries>);

impl Ledger {
    /// A request goes in.
    pub(crate) fn asked(&self, id: Id) {
        self.0.send_if_modified(|entries| {
            let _ = entries.unanswered.insert(id);
            false
        });
    }

    /// An answer has gone out.
    pub(crate) fn answered(&self, id: &Id) {
        self.0.send_modify(|entries| {
            let _ = entries.unanswered.remove(id);
        });
    }

    /// A message of our own is about to be given to tower-lsp.
    pub(crate) fn given(&self) {
        self.0.send_if_modified(|entries| {
            entries.given += 1;
            false
        });
    }

    /// A message of our own has gone out. Nobody waits for that before the end.
    pub(crate) fn out(&self) {
        self.0.send_if_modified(|entries| {
            entries.out += 1;
            entries.ended
        });
    }

    /// `shutdown` has come.
    pub(crate) fn shut_down(&self) {
        self.0.send_modify(|entries| entries.shutdown = true);
    }

    /// The editor's process is known.
    pub(crate) fn child_of(&self, parent: u32) {
        self.0.send_modify(|entries| entries.parent = Some(parent));
    }

    /// No more will come in.
    pub(crate) fn end(&self) {
        self.0.send_modify(|entries| entries.ended = true);
    }

    /// The exit status that the protocol asks for.
    pub(crate) fn status(&self) -> u8 {
        u8::from(!self.0.borrow().shutdown)
    }

    /// The editor's process, as far as it is known.
    pub(crate) fn parent(&self) -> Option<u32> {
        self.0.borrow().parent()
    }

    /// Waits until the entries are so.
    pub(crate) async fn until(&self, so: impl FnMut(&Entries) -> bool) {
        // An error would say that the sender has gone; we hold it.
        let _ = self.0.subscribe().wait_for(so).await;
    }
}
