//! What a long session costs. The figures are the kernel's, so that these tests are for Linux alone.

use super::{Bench, json};
use serde_json::{Value, json};
use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::process::{Child, ChildStdin, ChildStdout, Stdio};

/// A server in a process of its own.
struct Server {
    child: Child,
    input: ChildStdin,
    output: BufReader<ChildStdout>,
    asked: u64,
}

impl Server {
    fn start(bench: &Bench) -> Server {
        let mut command = bench.command(&["serve"]);
        let mut child = command.stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().unwrap();
        let (input, output) = (child.stdin.take().unwrap(), child.stdout.take().unwrap());
        Server { child, input, output: BufReader::new(output), asked: 0 }
    }

    fn send(&mut self, message: &Value) {
        let body = message.to_string();
        write!(self.input, "Content-Length: {}\r\n\r\n{body}", body.len()).unwrap();
    }

    fn tell(&mut self, method: &str, params: &Value) {
        self.send(&json!({ "jsonrpc": "2.0", "method": method, "params": params }));
    }

    /// Asks and waits; what comes in between is read and dropped.
    fn ask(&mut self, method: &str, params: &Value) -> Value {
        self.asked += 1;
        let id = self.asked;
        self.send(&json!({ "jsonrpc": "2.0", "id": id, "method": method, "params": params }));
        loop {
            let message = self.read();
            if message.get("id").and_then(Value::as_u64) == Some(id) && message.get("method").is_none() {
                return message;
            }
        }
    }

    fn read(&mut self) -> Value {
        let mut length = 0;
        loop {
            let mut line = String::new();
            assert_ne!(self.output.read_line(&mut line).unwrap(), 0, "the server has hung up");
            match line.trim().split_once(": ") {
                Some(("Content-Length", number)) => length = number.parse().unwrap(),
                Some(_) => {}
                None => break,
            }
        }
        let mut body = vec![0; length];
        self.output.read_exact(&mut body).unwrap();
        json(&String::from_utf8(body).unwrap())
    }

    /// How much of the machine's memory the process holds, in bytes.
    fn memory(&self) -> usize {
        let status = fs::read_to_string(format!("/proc/{}/status", self.child.id())).unwrap();
        let line = status.lines().find(|line| line.starts_with("VmRSS")).unwrap();
        line.split_whitespace().nth(1).and_then(|number| number.parse::<usize>().ok()).unwrap() * 1024
    }
}

/// Edits of a text that is large beside everything else that a session keeps, with all that is shown of it asked for now
/// and then. Were one copy of the text kept for each edit, or for each look at it, the process would grow past the bound.
#[test]
fn memory_stays_bounded_over_many_edits() {
    const EDITS: usize = 600;
    const WARM: usize = 100;
    let comments = "# what was tried, what came of it, and what is left to try: ½ 🧴\n".repeat(1000);
    let text = format!("formula Long\nproduct balm\n60.0000 % shea butter\n40 % jojoba oil\n{comments}");
    let bench = Bench::with(&[]);
    let mut server = Server::start(&bench);
    let about = json!({ "uri": "file:///nowhere/long.formula" });
    let _ = server.ask("initialize", &json!({ "capabilities": {} }));
    server.tell("initialized", &json!({}));
    let opened = json!({ "uri": about["uri"], "languageId": "levigate", "version": 0, "text": text });
    server.tell("textDocument/didOpen", &json!({ "textDocument": opened }));
    let mut warm = 0;
    for round in 1..=EDITS {
        // The text is another one each time, and stays as long as it was.
        let number = format!("60.{round:04}");
        let range = json!({ "start": { "line": 2, "character": 0 }, "end": { "line": 2, "character": 7 } });
        let edited = json!({ "uri": about["uri"], "version": round });
        let change =
            json!({ "textDocument": edited, "contentChanges": [{ "range": range, "text": number }] });
        server.tell("textDocument/didChange", &change);
        if round % 10 == 0 {
            let range =
                json!({ "start": { "line": 0, "character": 0 }, "end": { "line": 4, "character": 0 } });
            let _ = server.ask("textDocument/inlayHint", &json!({ "textDocument": about, "range": range }));
            let outline = server.ask("textDocument/documentSymbol", &json!({ "textDocument": about }));
            assert_ne!(outline["result"], json!([]), "{outline}");
            let colours = json!({ "textDocument": about, "previousResultId": "none" });
            let _ = server.ask("textDocument/semanticTokens/full/delta", &colours);
        }
        if round == WARM {
            warm = server.memory();
        }
    }
    let end = server.memory();
    let copies = text.len() * (EDITS - WARM);
    assert!(
        end.saturating_sub(warm) < copies / 4,
        "{warm} bytes after {WARM} edits, {end} after {EDITS}; a copy of the text each time would be {copies}"
    );
    let _ = server.ask("shutdown", &Value::Null);
    server.tell("exit", &Value::Null);
    assert_eq!(server.child.wait().unwrap().code(), Some(0));
}
