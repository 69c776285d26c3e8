//! The front door: bytes in, clean messages on, answers out, and the end of the session.
//!
//! A plain thread reads, since a runtime cannot let go of a blocked read; another writes (`outbox`). Between them tower-lsp
//! runs on one thread. Nothing that stands behind `initialize` goes on before its answer has gone out: tower-lsp would
//! refuse it.

use crate::clean::{Inbound, Role, inspect, refusal};
use crate::frame::{Frame, framed, read_frame};
use crate::ledger::{Entries, Ledger};
use crate::outbox::Outbox;
use crate::state::State;
use crate::voice::{Saying, speak};
use crate::wire::Wire;
use crate::{Look, Setup};
use std::io::{self, BufReader, Read, Write};
use std::sync::Arc;
use std::thread;
use std::time::Duration;
use tokio::io::{AsyncBufReadExt, AsyncReadExt, AsyncWriteExt, DuplexStream, duplex};
use tokio::sync::mpsc;
use tokio::time::timeout;
use tower_lsp::jsonrpc::{ErrorCode, Response};
use tower_lsp::{LspService, Server};

/// How long an editor that has said `exit` or hung up is kept waiting for answers that it is owed.
const LAST_ANSWERS: Duration = Duration::from_secs(1);
/// How often we look whether the editor still lives.
const PULSE: Duration = Duration::from_secs(1);
/// Handlers that may wait at the same time. They do nothing but wait for the actor; too few would hold up `cancel`.
const HANDLERS: usize = 64;
/// Room in the pipes to and from tower-lsp.
const PIPE: usize = 1 << 18;
/// Sayings that may wait to be taken; beyond that the actor waits.
const WAITING: usize = 16;

/// Serves one session; the value is the exit status.
pub(crate) fn run(
    setup: Setup,
    look: Look,
    input: impl Read + Send + 'static,
    output: impl Write + Send + 'static,
) -> io::Result<u8> {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_time().build()?;
    let ledger = Arc::new(Ledger::default());
    let is_alive = setup.is_alive;

    let (came_in, inbox) = mpsc::unbounded_channel();
    let reading = Arc::clone(&ledger);
    let _ = thread::Builder::new().name("reader".into()).spawn(move || {
        read_all(input, &came_in);
        reading.end();
    })?;
    let outbox = Outbox::to(output)?;
    let (queue, notes) = std::sync::mpsc::channel();
    let queue = Arc::new(queue);
    let own = Arc::downgrade(&queue);
    let (say, sayings) = mpsc::channel(WAITING);
    let state = State::new(setup, look, say, outbox.clone(), own);
    let _ = thread::Builder::new().name("desk".into()).spawn(move || {
        state.work(&notes);
    })?;

    let session = Session { ledger, is_alive, outbox };
    let status = runtime.block_on(session.run(inbox, Wire::new(queue), sayings));
    runtime.shutdown_background();
    Ok(status)
}

/// Reads messages until `exit` or the end of the stream.
fn read_all(input: impl Read, came_in: &mpsc::UnboundedSender<Inbound>) {
    let mut input = BufReader::with_capacity(1 << 16, input);
    while let Ok(Some(frame)) = read_frame(&mut input) {
        let inbound = match frame {
            Frame::Body(body) => inspect(body),
            Frame::NoLength => refusal(ErrorCode::ParseError, "no Content-Length"),
            Frame::TooLong => refusal(ErrorCode::InvalidRequest, "the message is too long"),
        };
        if matches!(inbound, Inbound::Exit) || came_in.send(inbound).is_err() {
            return;
        }
    }
}

struct Session {
    ledger: Arc<Ledger>,
    is_alive: fn(u32) -> bool,
    outbox: Outbox,
}

impl Session {
    async fn run(
        self,
        inbox: mpsc::UnboundedReceiver<Inbound>,
        wire: Wire,
        sayings: mpsc::Receiver<Saying>,
    ) -> u8 {
        let (mut to_tower, tower_in) = duplex(PIPE);
        let (tower_out, from_tower) = duplex(PIPE);
        let (service, socket) = LspService::build(|client| {
            tokio::spawn(speak(client, sayings, Arc::clone(&self.ledger)));
            wire
        })
        .custom_method("window/workDoneProgress/cancel", Wire::stop)
        .finish();
        let server = Server::new(tower_in, tower_out, socket).concurrency_level(HANDLERS);
        let mut tower = tokio::spawn(server.serve(service));
        let mut answers = tokio::spawn(let_out(from_tower, Arc::clone(&self.ledger), self.outbox.clone()));
        let last_answers = async {
            let let_in = let_in(inbox, &mut to_tower, &self);
            tokio::pin!(let_in);
            let all_in = tokio::select! {
                () = &mut let_in => true,
                () = self.ledger.until(Entries::ended) => false,
            };
            let rest = async {
                if !all_in {
                    let_in.await;
                }
                self.ledger.until(Entries::settled).await;
                self.outbox.written().await;
            };
            let _ = timeout(LAST_ANSWERS, rest).await;
        };
        tokio::select! {
            () = last_answers => {}
            () = self.orphaned() => {}
            // Nobody reads any more; or a fault of ours, told on standard error by the thread that had it.
            _ = &mut answers => {}
            _ = &mut tower => {}
        }
        self.ledger.status()
    }

    /// Takes note of the editor's process. One that we cannot see from the start (it may live in another container)
    /// is not watched.
    fn watch(&self, parent: u32) {
        if (self.is_alive)(parent) {
            self.ledger.child_of(parent);
        }
    }

    /// Waits until the editor's process has gone.
    async fn orphaned(&self) {
        self.ledger.until(|entries| entries.parent().is_some()).await;
        while self.ledger.parent().is_some_and(self.is_alive) {
            tokio::time::sleep(PULSE).await;
        }
    }
}

/// Hands messages to tower-lsp, in order, until no more come in.
async fn let_in(mut inbox: mpsc::UnboundedReceiver<Inbound>, to_tower: &mut DuplexStream, session: &Session) {
    let ledger = &session.ledger;
    while let Some(inbound) = inbox.recv().await {
        let message = match inbound {
            Inbound::Message(message) => message,
            Inbound::Refused(answer) => {
                let _ = session.outbox.put(&answer).await;
                continue;
            }
            Inbound::Exit => return,
        };
        match message.role {
            Role::Initialize(parent) => parent.into_iter().for_each(|parent| session.watch(parent)),
            Role::Shutdown => ledger.shut_down(),
            Role::Plain => {}
        }
        if let Some(id) = &message.id {
            ledger.asked(id.clone());
        }
        if to_tower.write_all(&framed(&message.body)).await.is_err() {
            return;
        }
        if let (Role::Initialize(_), Some(id)) = (message.role, &message.id) {
            ledger.until(|entries| !entries.waits(id)).await;
        }
    }
}

/// Lets out what tower-lsp writes, and notes what has gone.
async fn let_out(from_tower: DuplexStream, ledger: Arc<Ledger>, outbox: Outbox) {
    /// How tower-lsp begins a message that is no answer.
    const OWN: &[u8] = br#"{"jsonrpc":"2.0","method":"#;
    let mut from_tower = tokio::io::BufReader::new(from_tower);
    while let Some(body) = next_body(&mut from_tower).await {
        if !outbox.put(&body).await {
            return;
        }
        if body.starts_with(OWN) {
            ledger.out();
        } else if let Ok(answer) = serde_json::from_slice::<Response>(&body) {
            ledger.answered(answer.id());
        }
    }
}

/// The next body of a stream whose only header is the length, as tower-lsp writes it.
async fn next_body(input: &mut tokio::io::BufReader<DuplexStream>) -> Option<Vec<u8>> {
    let mut header = String::new();
    let mut length = None;
    loop {
        header.clear();
        if input.read_line(&mut header).await.ok()? == 0 {
            return None;
        }
        match header.trim_end() {
            "" => break,
            line => length = line.strip_prefix("Content-Length: ").and_then(|length| length.parse().ok()),
        }
    }
    let mut body = vec![0; length?];
    let _ = input.read_exact(&mut body).await.ok()?;
    Some(body)
}
