//! An editor in memory: the server's other end, on pipes. It keeps its own texts and counts its own columns, so that
//! it can tell when the server counts otherwise.

mod disk;

use crate::LAW_DAY;
use desk::{Date, Formula, Market, Page, Settings};
use serde_json::{Value, json};
use server::Paper;
use std::collections::BTreeMap;
use std::io::{BufRead, BufReader, PipeReader, PipeWriter, Read, Write, pipe};
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::thread::{self, JoinHandle};
use std::time::Duration;

pub(crate) use disk::Disk;

/// How long a message may take on a busy machine before a test fails.
pub(crate) const PATIENCE: Duration = Duration::from_secs(20);

/// The folder in which all files of the tests lie.
pub(crate) const FOLDER: &str = "file:///w/";

/// The address of a file in the folder; whole addresses stay as they are.
pub(crate) fn uri(name: &str) -> String {
    if name.contains(':') { name.to_owned() } else { format!("{FOLDER}{name}") }
}

/// What a column counts.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Counting {
    Utf8,
    Utf16,
    Utf32,
}

impl Counting {
    pub(crate) const ALL: [Counting; 3] = [Counting::Utf8, Counting::Utf16, Counting::Utf32];

    pub(crate) fn name(self) -> &'static str {
        match self {
            Counting::Utf8 => "utf-8",
            Counting::Utf16 => "utf-16",
            Counting::Utf32 => "utf-32",
        }
    }

    fn width(self, c: char) -> u64 {
        match self {
            Counting::Utf8 => c.len_utf8() as u64,
            Counting::Utf16 => c.len_utf16() as u64,
            Counting::Utf32 => 1,
        }
    }

    /// Where a byte of a text stands, as the protocol says it.
    pub(crate) fn place(self, text: &str, byte: usize) -> Value {
        let before = &text[..byte];
        let start = before.rfind('\n').map_or(0, |at| at + 1);
        let column: u64 = before[start..].chars().map(|c| self.width(c)).sum();
        json!({ "line": before.matches('\n').count(), "character": column })
    }

    /// The byte at a place of a text. A place that no character begins at is a fault.
    pub(crate) fn byte(self, text: &str, place: &Value) -> usize {
        let number = |name: &str| place[name].as_u64().expect("a number");
        let (line, column) = (number("line"), number("character"));
        let start = match line {
            0 => 0,
            _ => text.match_indices('\n').nth(line as usize - 1).expect("a line of the text").0 + 1,
        };
        let mut at = 0;
        for (byte, c) in text[start..].char_indices() {
            if at == column {
                return start + byte;
            }
            assert!(at < column && c != '\n', "no character of line {line} begins at column {column}");
            at += self.width(c);
        }
        assert_eq!(at, column, "line {line} has no such column");
        text.len()
    }

    pub(crate) fn range(self, text: &str, bytes: &Range<usize>) -> Value {
        json!({ "start": self.place(text, bytes.start), "end": self.place(text, bytes.end) })
    }

    pub(crate) fn bytes(self, text: &str, range: &Value) -> Range<usize> {
        self.byte(text, &range["start"])..self.byte(text, &range["end"])
    }
}

/// Edits of a text, in bytes of it as it stands, apart from each other and in order.
pub(crate) type TextEdits = Vec<(Range<usize>, String)>;

pub(crate) fn apply(text: &str, edits: &TextEdits) -> String {
    let (mut out, mut at) = (String::new(), 0);
    for (bytes, new) in edits {
        out.push_str(&text[at..bytes.start]);
        out.push_str(new);
        at = bytes.end;
    }
    out + &text[at..]
}

/// An open text.
#[derive(Default)]
struct Open {
    version: i32,
    text: String,
    before: Vec<String>,
}

/// Papers are the terminal's to write. Sessions see the block of a label, and that a sheet was asked for.
fn paper(paper: Paper, page: &Page, _: &Settings, name: Option<&str>) -> Option<String> {
    let formulas = page.formulas().map(|one| &one.formula);
    let mut formulas = formulas.filter(|formula| name.is_none_or(|name| formula.name == name));
    let written = |formula: &Formula| match paper {
        Paper::Sheet => format!("sheet of {}", formula.name),
        Paper::Label => page.label(formula, Market::Eu).block().join("\n"),
    };
    formulas.next().map(written)
}

/// One editor and its server.
pub(crate) struct Editor {
    input: Option<PipeWriter>,
    messages: Receiver<Value>,
    server: JoinHandle<u8>,
    next: i64,
    pub(crate) counting: Counting,
    /// Messages that wait to go out in one write.
    pub(crate) held: Option<Vec<u8>>,
    /// The answer to a question for our section of the settings.
    pub(crate) settings: Value,
    open: BTreeMap<String, Open>,
}

impl Editor {
    /// A server that waits for its first message.
    pub(crate) fn start(disk: Arc<Disk>) -> Editor {
        let commits = Arc::clone(&disk);
        let setup = server::Setup {
            shelf: disk,
            law_day: Date::read(LAW_DAY).unwrap(),
            keep_page: Box::new(|rule, _| Some(PathBuf::from(format!("/pages/{rule}.md")))),
            write_paper: Box::new(paper),
            keep_paper: Box::new(|kind, name, _| Some(PathBuf::from(format!("/{kind}s/{name}")))),
            committed: Arc::new(move |path: &Path| commits.committed(path)),
            write_comparison: Arc::new(compared),
            is_alive: |_| true,
        };
        let (from_editor, input) = pipe().unwrap();
        let (output, to_editor) = pipe().unwrap();
        let server = thread::spawn(move || server::serve_on(setup, from_editor, to_editor).unwrap());
        let (heard, messages) = channel();
        let _ = thread::spawn(move || hear(output, &heard));
        Editor {
            input: Some(input),
            messages,
            server,
            next: 0,
            counting: Counting::Utf16,
            held: None,
            settings: Value::Null,
            open: BTreeMap::new(),
        }
    }

    /// A session past `initialized` of an editor that can do little.
    pub(crate) fn begun(counting: Counting) -> Editor {
        let mut editor = Editor::start(Arc::default());
        editor.counting = counting;
        let _ = editor.asked(
            "initialize",
            json!({ "processId": null, "rootUri": null,
                "capabilities": { "general": { "positionEncodings": [counting.name()] } } }),
        );
        editor.tell("initialized", json!({}));
        editor
    }

    fn send(&mut self, message: &Value) {
        let body = message.to_string();
        let bytes = format!("Content-Length: {}\r\n\r\n{body}", body.len()).into_bytes();
        match &mut self.held {
            Some(held) => held.extend(bytes),
            None => self.write(&bytes),
        }
    }

    pub(crate) fn write(&mut self, bytes: &[u8]) {
        self.input.as_mut().expect("a line to the server").write_all(bytes).unwrap();
    }

    pub(crate) fn hang_up(&mut self) {
        self.input = None;
    }

    pub(crate) fn tell(&mut self, method: &str, params: Value) {
        self.send(&json!({ "jsonrpc": "2.0", "method": method, "params": params }));
    }

    /// Asks; the value is the number of the question.
    pub(crate) fn ask(&mut self, method: &str, params: Value) -> i64 {
        self.next += 1;
        self.send(&json!({ "jsonrpc": "2.0", "id": self.next, "method": method, "params": params }));
        self.next
    }

    /// Asks, and waits for the result. Everything else that comes meanwhile is passed over.
    pub(crate) fn asked(&mut self, method: &str, params: Value) -> Value {
        let id = self.ask(method, params);
        let answer = self.until(|message| message["id"] == id && message.get("method").is_none());
        assert!(answer.get("error").is_none(), "{method}: {answer}");
        answer["result"].clone()
    }

    pub(crate) fn until(&mut self, so: impl Fn(&Value) -> bool) -> Value {
        loop {
            let message = self.message(PATIENCE).expect("a message");
            if so(&message) {
                return message;
            }
        }
    }

    /// The next message. Requests of the server's are answered, and handed on.
    pub(crate) fn message(&mut self, patience: Duration) -> Result<Value, RecvTimeoutError> {
        let message = self.messages.recv_timeout(patience)?;
        if let (Some(id), Some(method)) = (message.get("id"), message["method"].as_str()) {
            let result = match method {
                "workspace/configuration" => json!([self.settings]),
                "workspace/applyEdit" => json!({ "applied": true }),
                "window/showDocument" => json!({ "success": true }),
                _ => Value::Null,
            };
            let answer = json!({ "jsonrpc": "2.0", "id": id, "result": result });
            // One that has shut the server down does not listen to its questions any more.
            if self.input.is_some() {
                self.send(&answer);
            }
        }
        Ok(message)
    }

    pub(crate) fn text(&self, uri: &str) -> Option<&str> {
        self.open.get(uri).map(|open| open.text.as_str())
    }

    pub(crate) fn version(&self, uri: &str) -> Option<i32> {
        self.open.get(uri).map(|open| open.version)
    }

    pub(crate) fn open(&mut self, uri: &str, text: &str) {
        let open = Open { version: 1, text: text.to_owned(), before: Vec::new() };
        let _ = self.open.insert(uri.to_owned(), open);
        let document = json!({ "uri": uri, "languageId": "levigate", "version": 1, "text": text });
        self.tell("textDocument/didOpen", json!({ "textDocument": document }));
    }

    pub(crate) fn close(&mut self, uri: &str) {
        let _ = self.open.remove(uri);
        self.tell("textDocument/didClose", json!({ "textDocument": { "uri": uri } }));
    }

    /// Edits an open text, in one message. The last comes first, so that no edit moves the places of another.
    pub(crate) fn edit(&mut self, uri: &str, edits: &TextEdits) {
        let before = self.open[uri].text.clone();
        self.replace(uri, edits);
        let open = self.open.get_mut(uri).expect("an open text");
        open.before.push(before);
        if open.before.len() > 100 {
            let _ = open.before.remove(0);
        }
    }

    fn replace(&mut self, uri: &str, edits: &TextEdits) {
        let counting = self.counting;
        let open = self.open.get_mut(uri).expect("an open text");
        let change = |(bytes, new): &(Range<usize>, String)| json!({ "range": counting.range(&open.text, bytes), "text": new });
        let changes: Vec<Value> = edits.iter().rev().map(change).collect();
        open.text = apply(&open.text, edits);
        open.version += 1;
        let document = json!({ "uri": uri, "version": open.version });
        self.tell("textDocument/didChange", json!({ "textDocument": document, "contentChanges": changes }));
    }

    /// Takes the last edit back; false when there is none.
    pub(crate) fn undo(&mut self, uri: &str) -> bool {
        let Some(open) = self.open.get_mut(uri) else { return false };
        let Some(before) = open.before.pop() else { return false };
        let edit = difference(&open.text, &before);
        self.replace(uri, &vec![edit]);
        true
    }

    /// Ends the session as an editor does; the value is the exit status.
    pub(crate) fn end(mut self) -> u8 {
        assert_eq!(self.asked("shutdown", Value::Null), Value::Null);
        self.tell("exit", Value::Null);
        self.status()
    }

    /// The exit status of a server that is about to end.
    pub(crate) fn status(self) -> u8 {
        for _ in 0..PATIENCE.as_millis() {
            if self.server.is_finished() {
                return self.server.join().unwrap();
            }
            thread::sleep(Duration::from_millis(1));
        }
        panic!("the server does not end");
    }
}

/// Which blocks differ, and what became of findings. How it reads is the terminal's to decide.
fn compared(old: &desk::Page, new: &desk::Page) -> String {
    let comparison = desk::Comparison::of(old, new);
    let changed = comparison.blocks.iter().filter(|block| !block.is_empty());
    let names = changed.filter_map(|block| Some(format!("{} changed", block.name.last()?)));
    let news = comparison
        .findings
        .iter()
        .filter_map(|change| Some(format!("{:?}: {}", change.news()?, change.last()?.rule)));
    names.chain(news).collect::<Vec<_>>().join("\n")
}

/// What has to be replaced in a text to make another of it.
fn difference(text: &str, other: &str) -> (Range<usize>, String) {
    let head: usize =
        text.chars().zip(other.chars()).take_while(|(a, b)| a == b).map(|(a, _)| a.len_utf8()).sum();
    let (rest, new) = (&text[head..], &other[head..]);
    let tail: usize = rest
        .chars()
        .rev()
        .zip(new.chars().rev())
        .take_while(|(a, b)| a == b)
        .map(|(a, _)| a.len_utf8())
        .sum();
    (head..text.len() - tail, new[..new.len() - tail].to_owned())
}

/// Cuts what the server writes into messages.
fn hear(output: PipeReader, heard: &Sender<Value>) {
    let mut output = BufReader::new(output);
    loop {
        let mut length = 0;
        loop {
            let mut line = String::new();
            if output.read_line(&mut line).unwrap() == 0 {
                return;
            }
            match line.trim_end() {
                "" => break,
                line => length = line.strip_prefix("Content-Length: ").expect("a length").parse().unwrap(),
            }
        }
        let mut body = vec![0; length];
        output.read_exact(&mut body).unwrap();
        if heard.send(serde_json::from_slice(&body).unwrap()).is_err() {
            return;
        }
    }
}
