//! Whole sessions, in this process: the same threads, door and actor as in the binary, on pipes.

mod actions;
mod commands;
mod ending;
mod findings;
mod order;
mod questions;
mod workspace;

use crate::{Look, Setup, door};
use desk::{Date, Desk, MemoryShelf};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::io::{PipeReader, PipeWriter, Read, Write, pipe};
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::sync::{Arc, Mutex};
use std::thread::{self, JoinHandle};
use std::time::Duration;

const CREAM: &str = "file:///w/cream.formula";

/// How long a message may take on a busy machine before a test fails.
const PATIENCE: Duration = Duration::from_secs(20);

/// The texts that the server has looked at, the last of each path.
type Seen = Arc<Mutex<BTreeMap<PathBuf, String>>>;

struct Session {
    input: Option<PipeWriter>,
    output: Receiver<Value>,
    server: JoinHandle<u8>,
    seen: Seen,
    next: i64,
}

fn setup() -> Setup {
    Setup {
        shelf: Arc::new(MemoryShelf::default()),
        law_day: Date::read("2026-11-24").unwrap(),
        keep_page: Box::new(|rule, _| Some(PathBuf::from(format!("/pages/{rule}.md")))),
        write_paper: Box::new(|paper, page, _, name| {
            let named = |one: &&desk::Formula| name.is_none_or(|name| one.name == name);
            let names: Vec<String> =
                page.formulas().map(|one| &one.formula).filter(named).map(|one| one.name.clone()).collect();
            (!names.is_empty()).then(|| format!("{} of {}", paper.word(), names.join(", ")))
        }),
        keep_paper: Box::new(|kind, name, text| {
            Some(PathBuf::from(format!("/{kind}s/{name}.{}", text.len())))
        }),
        committed: Arc::new(|_| None),
        write_comparison: Arc::new(|old, new| format!("from {:?} to {:?}", old.text(), new.text())),
        is_alive: |_| true,
    }
}

/// Looks like the server does, and remembers; stumbles over paths that say so.
fn look(seen: &Seen) -> Look {
    let seen = Arc::clone(seen);
    Box::new(move |desk: &mut Desk, path| {
        let page = desk.page(path)?;
        assert!(!page.text().contains("stumble"), "planted");
        let _ = seen.lock().unwrap().insert(path.to_owned(), page.text());
        Some(page)
    })
}

impl Session {
    fn start() -> Session {
        Session::start_with(setup())
    }

    fn start_with(setup: Setup) -> Session {
        let seen = Seen::default();
        let look = look(&seen);
        let (from_client, input) = pipe().unwrap();
        let (output, to_client) = pipe().unwrap();
        let server = thread::spawn(move || door::run(setup, look, from_client, to_client).unwrap());
        let (heard, messages) = channel();
        let _ = thread::spawn(move || hear(output, &heard));
        Session { input: Some(input), output: messages, server, seen, next: 0 }
    }

    /// A session past `initialized`.
    fn begun(encodings: &[&str]) -> Session {
        let mut session = Session::start();
        let answer = session.ask("initialize", initialize(encodings));
        assert_eq!(answer["result"]["serverInfo"]["name"], "levigate");
        session.tell("initialized", json!({}));
        session
    }

    fn write(&mut self, bytes: &[u8]) {
        self.input.as_mut().unwrap().write_all(bytes).unwrap();
    }

    fn tell(&mut self, method: &str, params: Value) {
        self.write(&notice(method, params));
    }

    fn ask(&mut self, method: &str, params: Value) -> Value {
        self.next += 1;
        let id = self.next;
        self.write(&request(id, method, params));
        self.until(|message| message["id"] == id && message.get("method").is_none())
    }

    fn open(&mut self, uri: &str, text: &str) {
        let document = json!({ "uri": uri, "languageId": "levigate", "version": 1, "text": text });
        self.tell("textDocument/didOpen", json!({ "textDocument": document }));
    }

    fn change(&mut self, uri: &str, version: i32, changes: Value) {
        self.write(&change(uri, version, changes));
    }

    fn findings(&mut self, uri: &str, version: i32) -> Value {
        self.until(|message| {
            message["method"] == "textDocument/publishDiagnostics"
                && message["params"]["uri"] == uri
                && message["params"]["version"] == version
        })
    }

    /// The next message that is so; those before are passed over.
    fn until(&mut self, so: impl Fn(&Value) -> bool) -> Value {
        loop {
            let message = self.read().expect("the stream ended before the message came");
            if so(&message) {
                return message;
            }
        }
    }

    /// The next message; none at the end of the stream.
    fn read(&mut self) -> Option<Value> {
        match self.output.recv_timeout(PATIENCE) {
            Ok(message) => Some(message),
            Err(RecvTimeoutError::Disconnected) => None,
            Err(RecvTimeoutError::Timeout) => panic!("no message came"),
        }
    }

    /// All messages up to the end of the stream.
    fn rest(&mut self) -> Vec<Value> {
        std::iter::from_fn(|| self.read()).collect()
    }

    fn text(&self, path: &str) -> String {
        self.seen.lock().unwrap().get(&PathBuf::from(path)).cloned().unwrap_or_default()
    }

    /// Ends the session as an editor does.
    fn end(mut self) -> u8 {
        assert_eq!(self.ask("shutdown", Value::Null)["result"], Value::Null);
        self.tell("exit", Value::Null);
        self.status()
    }

    /// Answers a request of the server's own.
    fn answer(&mut self, asked: &Value, result: Value) {
        self.write(&framed(&json!({ "jsonrpc": "2.0", "id": asked["id"], "result": result })));
    }

    /// The exit status of a server that is about to end.
    fn status(self) -> u8 {
        for _ in 0..PATIENCE.as_millis() {
            if self.server.is_finished() {
                return self.server.join().unwrap();
            }
            thread::sleep(Duration::from_millis(1));
        }
        panic!("the server does not end");
    }
}

/// Cuts what the server writes into messages.
fn hear(mut output: PipeReader, heard: &Sender<Value>) {
    loop {
        let mut header = Vec::new();
        while !header.ends_with(b"\r\n\r\n") {
            let mut byte = [0];
            if output.read(&mut byte).unwrap() == 0 {
                return;
            }
            header.push(byte[0]);
        }
        let header = String::from_utf8(header).unwrap();
        let length = header.trim().strip_prefix("Content-Length: ").unwrap().parse().unwrap();
        let mut body = vec![0; length];
        output.read_exact(&mut body).unwrap();
        let _ = heard.send(serde_json::from_slice(&body).unwrap());
    }
}

fn initialize(encodings: &[&str]) -> Value {
    json!({ "processId": null, "rootUri": null, "capabilities": {
        "general": { "positionEncodings": encodings },
        "textDocument": { "publishDiagnostics": { "relatedInformation": true } } } })
}

fn framed(message: &Value) -> Vec<u8> {
    let body = message.to_string();
    format!("Content-Length: {}\r\n\r\n{body}", body.len()).into_bytes()
}

fn request(id: i64, method: &str, params: Value) -> Vec<u8> {
    framed(&json!({ "jsonrpc": "2.0", "id": id, "method": method, "params": params }))
}

fn notice(method: &str, params: Value) -> Vec<u8> {
    framed(&json!({ "jsonrpc": "2.0", "method": method, "params": params }))
}

fn change(uri: &str, version: i32, changes: Value) -> Vec<u8> {
    let document = json!({ "uri": uri, "version": version });
    notice("textDocument/didChange", json!({ "textDocument": document, "contentChanges": changes }))
}

fn replaced(from: (u64, u64), to: (u64, u64), text: &str) -> Value {
    let place = |(line, character)| json!({ "line": line, "character": character });
    json!({ "range": { "start": place(from), "end": place(to) }, "text": text })
}
