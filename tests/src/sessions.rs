//! Whole sessions, told as stories: `tests/sessions/*.txt`, the server behind pipes, and an editor that does what a
//! file says. What came back stands in the file behind `>` and has to come again. `SESSIONS=write` writes it anew.
//!
//! `tests/sessions/README.md` lists the steps.

mod asks;
mod draw;
mod script;
mod steps;

use crate::editor::{Disk, Editor, PATIENCE, TextEdits, uri};
use asks::{Asked, Kind, bare};
use script::Script;
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::RecvTimeoutError;
use std::time::{Duration, Instant};

/// How long nothing may come before what has come is written down. Only for writing: reading waits for what is told.
const SILENCE: Duration = Duration::from_millis(700);

/// What a session knows while it goes on.
pub(crate) struct World {
    disk: Arc<Disk>,
    editor: Editor,
    /// Whether the editor tells of changed files.
    watches: bool,
    /// The names of the colours.
    legend: Vec<String>,
    /// The names of the findings that were told last, of each file.
    known: BTreeMap<String, String>,
    /// The last formula that was asked about.
    item: Value,
    /// The last edit that was offered.
    edit: Value,
    /// The actions that were offered last.
    offers: Vec<Value>,
    /// What waits for an answer.
    waiting: BTreeMap<i64, (Option<&'static Kind>, Asked)>,
    news: News,
    /// What is shown of each file.
    shown: BTreeMap<String, Vec<String>>,
}

/// What has come since a step began.
#[derive(Default)]
struct News {
    answers: BTreeMap<i64, Vec<String>>,
    findings: BTreeMap<String, Vec<String>>,
    asked: BTreeSet<String>,
    said: Vec<String>,
    changes: Vec<String>,
    progress: Vec<String>,
    ended: Option<u8>,
}

impl News {
    fn lines(&self) -> Vec<String> {
        let answers = self.answers.values().chain(self.findings.values()).flatten().cloned();
        let asked = self.asked.iter().map(|asked| format!("asks: {asked}"));
        let said = self.said.iter().map(|said| format!("says: {said}"));
        let ended = self.ended.iter().map(|status| format!("ends with {status}"));
        let asked = asked.chain(self.changes.iter().cloned());
        answers.chain(asked).chain(said).chain(self.progress.iter().cloned()).chain(ended).collect()
    }
}

impl World {
    fn start(disk: &Arc<Disk>) -> World {
        World {
            disk: Arc::clone(disk),
            editor: Editor::start(Arc::clone(disk)),
            watches: false,
            legend: Vec::new(),
            known: BTreeMap::new(),
            item: Value::Null,
            edit: Value::Null,
            offers: Vec::new(),
            waiting: BTreeMap::new(),
            news: News::default(),
            shown: BTreeMap::new(),
        }
    }

    /// A text as it stands in the editor, else on the disk.
    fn text(&self, uri: &str) -> Option<String> {
        let name = uri.strip_prefix(crate::editor::FOLDER);
        self.editor.text(uri).map(str::to_owned).or_else(|| self.disk.text(name?))
    }

    fn ask(&mut self, kind: Option<&'static Kind>, method: &str, params: Value, asked: Asked) {
        let id = self.editor.ask(method, params);
        let _ = self.waiting.insert(id, (kind, asked));
    }

    fn take(&mut self, message: &Value) {
        match message["method"].as_str() {
            None => self.take_answer(message),
            Some("textDocument/publishDiagnostics") => self.take_findings(&message["params"]),
            Some("$/progress") => self.take_progress(&message["params"]["value"]),
            Some("window/logMessage" | "window/showMessage") => {
                self.news.said.push(message["params"]["message"].as_str().unwrap_or_default().to_owned());
            }
            Some("workspace/applyEdit") => {
                self.edit = message["params"]["edit"].clone();
                let lines = draw::workspace_edit(self, &self.edit);
                self.news.changes.push("asks for this change, to be made by `accept`:".to_owned());
                self.news.changes.extend(lines);
            }
            Some("client/registerCapability") => {
                for wanted in message["params"]["registrations"].as_array().into_iter().flatten() {
                    let method = wanted["method"].as_str().unwrap_or_default();
                    let _ = self.news.asked.insert(format!("tell me of {method}"));
                }
            }
            Some(method) => {
                let _ = self.news.asked.insert(method.to_owned());
            }
        }
    }

    fn take_answer(&mut self, message: &Value) {
        let id = message["id"].as_i64().unwrap_or_default();
        let Some((kind, asked)) = self.waiting.remove(&id) else {
            return self.news.said.push(format!("an answer to nothing: {message}"));
        };
        let lines = match (message.get("error"), kind) {
            (Some(error), _) => {
                vec![format!("refused, {}: {}", error["code"], error["message"].as_str().unwrap_or_default())]
            }
            (None, Some(kind)) => (kind.draw)(self, &asked, &message["result"]),
            (None, None) if asked.with == "initialize" => self.begun(&message["result"]["capabilities"]),
            (None, None) => bare(&message["result"]),
        };
        let _ = self.news.answers.insert(id, lines);
    }

    /// What the server offers. Only what sessions differ in is told.
    fn begun(&mut self, offered: &Value) -> Vec<String> {
        let legend = offered["semanticTokensProvider"]["legend"]["tokenTypes"].as_array();
        self.legend = legend.into_iter().flatten().filter_map(Value::as_str).map(str::to_owned).collect();
        let counts = offered["positionEncoding"].as_str().unwrap_or("utf-16").to_owned();
        assert_eq!(counts, self.editor.counting.name(), "the server counts what the editor does not");
        let pulled = if offered["diagnosticProvider"].is_object() { "when asked" } else { "unasked" };
        vec![format!("counts in {counts}, tells findings {pulled}")]
    }

    fn take_findings(&mut self, params: &Value) {
        let uri = params["uri"].as_str().unwrap_or_default().to_owned();
        let version = params["version"].as_i64();
        let open = self.editor.version(&uri).map(i64::from);
        let standing = version.map_or("on the disk".to_owned(), |version| format!("version {version}"));
        let heading = format!("{} ({standing})", draw::name(&params["uri"]));
        // An older text is not ours any more: its places mean nothing here.
        let current = version == open;
        let lines =
            draw::under(heading, draw::findings(self, &params["uri"], &params["diagnostics"], current));
        if self.shown.get(&uri) == Some(&lines) {
            return;
        }
        let _ = self.shown.insert(uri.clone(), lines.clone());
        let _ = self.news.findings.insert(uri, lines);
    }

    /// The first of a piece of work, the last report, and the end.
    fn take_progress(&mut self, value: &Value) {
        let line = match value["kind"].as_str() {
            Some("begin") => format!("begins: {}", value["title"].as_str().unwrap_or_default()),
            Some("report") => {
                format!("  {} %: {}", value["percentage"], value["message"].as_str().unwrap_or_default())
            }
            _ => "  done".to_owned(),
        };
        // Once the editor shows it, the work may go on.
        self.disk.hold(false);
        if value["kind"] == "report" && self.news.progress.last().is_some_and(|last| last.contains(" %")) {
            let _ = self.news.progress.pop();
        }
        self.news.progress.push(line);
    }

    /// Waits for what a step is said to bring; without that, until nothing more comes.
    fn settle(&mut self, expected: Option<&[String]>) {
        let deadline = Instant::now() + PATIENCE;
        while self.editor.held.is_none() {
            let patience = match expected {
                Some(expected) if self.waiting.is_empty() && self.news.lines() == expected => return,
                Some(_) => deadline.saturating_duration_since(Instant::now()),
                None if self.waiting.is_empty() => SILENCE,
                None => PATIENCE,
            };
            match self.editor.message(patience) {
                Ok(message) => self.take(&message),
                Err(RecvTimeoutError::Timeout | RecvTimeoutError::Disconnected) => return,
            }
        }
    }

    /// All that still comes up to the end, and the exit status.
    fn finish(mut self) -> News {
        while let Ok(message) = self.editor.message(PATIENCE) {
            self.take(&message);
        }
        let mut news = self.news;
        news.ended = Some(self.editor.status());
        news
    }
}

/// The edits of an answer, in bytes of the text, in order.
fn text_edits(world: &World, text: &str, edits: &Value) -> TextEdits {
    let counting = world.editor.counting;
    let edit = |edit: &Value| {
        (counting.bytes(text, &edit["range"]), edit["newText"].as_str().unwrap_or_default().to_owned())
    };
    let mut edits: TextEdits = edits.as_array().into_iter().flatten().map(edit).collect();
    edits.sort_by_key(|(bytes, _)| (bytes.start, bytes.end));
    edits
}

/// The text edits of a workspace edit, by address, whichever way it tells them.
fn changes(edit: &Value) -> BTreeMap<String, Value> {
    let mut changes: BTreeMap<String, Value> = BTreeMap::new();
    for (uri, edits) in edit["changes"].as_object().into_iter().flatten() {
        let _ = changes.insert(uri.clone(), edits.clone());
    }
    for change in edit["documentChanges"].as_array().into_iter().flatten() {
        if let Some(uri) = change["textDocument"]["uri"].as_str() {
            let _ = changes.insert(uri.to_owned(), change["edits"].clone());
        }
    }
    changes
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("sessions")
}

/// Plays a session; the value is the file with what came back.
fn play(script: &Script, write: bool) -> Vec<Vec<String>> {
    let disk = Arc::new(Disk::default());
    let mut world: Option<World> = None;
    let mut answers = Vec::new();
    for step in script.steps() {
        if let Some(world) = &mut world {
            world.news = News::default();
        }
        let came = steps::take(&disk, &mut world, step)
            .unwrap_or_else(|fault| panic!("line {}, `{}`: {fault}", step.line, step.words));
        let came = came.unwrap_or_else(|| match &mut world {
            Some(world) => {
                world.settle((!write).then_some(&step.answer));
                world.news.lines()
            }
            None => Vec::new(),
        });
        if !write {
            assert_eq!(came.join("\n"), step.answer.join("\n"), "line {}, `{}`", step.line, step.words);
        }
        answers.push(came);
    }
    assert!(world.is_none(), "the session does not end");
    answers
}

#[test]
fn sessions_go_as_they_are_told() {
    let write = std::env::var("SESSIONS").is_ok_and(|word| word == "write");
    let mut paths: Vec<PathBuf> =
        std::fs::read_dir(folder()).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.retain(|path| path.extension().is_some_and(|end| end == "txt"));
    paths.sort();
    assert!(paths.len() >= 10, "{paths:?}");
    let failed: Vec<String> = std::thread::scope(|scope| {
        let played: Vec<_> = paths
            .iter()
            .map(|path| {
                let name = path.file_name().unwrap().to_string_lossy().into_owned();
                let played = std::thread::Builder::new().name(name.clone()).spawn_scoped(scope, move || {
                    let file = std::fs::read_to_string(path).unwrap();
                    let script = Script::read(&file);
                    let written = script.written(&play(&script, write));
                    if write && written != file {
                        std::fs::write(path, written).unwrap();
                    }
                });
                (name, played.unwrap())
            })
            .collect();
        played.into_iter().filter_map(|(name, played)| played.join().err().map(|_| name)).collect()
    });
    assert!(failed.is_empty(), "these go otherwise; see above: {failed:?}");
}

/// A session that is told wrongly fails.
#[test]
fn what_is_told_wrongly_is_found_out() {
    let told = "editor\n> counts in utf-16, tells findings unasked\nopen a.formula\n    # nothing\n> a.formula (version 1): nothing\nend\n> ends with 1\n";
    let played = std::panic::catch_unwind(|| play(&Script::read(told), false));
    assert!(played.is_err());
    let right = told.replace("ends with 1", "ends with 0");
    let script = Script::read(&right);
    assert_eq!(script.written(&play(&script, false)), right);
    assert_eq!(script.written(&play(&script, true)), right);
}

#[test]
fn edits_are_drawn_in_the_text() {
    let (before, edits) = script::drawn_edits("a {-b-}{+c\nd+} e{-f-}{+g+}");
    assert_eq!(before, "a b ef");
    assert_eq!(edits, [(2..3, "c\nd".to_owned()), (5..6, "g".to_owned())]);
    assert_eq!(script::find("x\na b ef\ny\n", &before), Ok(2));
    assert!(script::find("a b ef\na b ef\n", &before).is_err());
    assert!(script::find("a b efg\n", &before).is_err());
}

/// The address of a file that a step names.
fn address(name: &str) -> String {
    uri(name)
}

/// What an editor says of itself, by the words of a session.
fn abilities(words: &str) -> Result<(Value, crate::editor::Counting), String> {
    use crate::editor::Counting;
    let mut can = json!({});
    let mut counting = Counting::Utf16;
    for word in words.split(',').map(str::trim).filter(|word| !word.is_empty()) {
        if let Some(found) = Counting::ALL.into_iter().find(|counting| counting.name() == word) {
            counting = found;
            can["general"] = json!({ "positionEncodings": [word] });
            continue;
        }
        let Some((_, pointer, value)) = steps::ABILITIES.iter().find(|(name, ..)| *name == word) else {
            let known: Vec<&str> = steps::ABILITIES.iter().map(|(name, ..)| *name).collect();
            return Err(format!(
                "no editor can `{word}`; known are utf-8, utf-16, utf-32, {}",
                known.join(", ")
            ));
        };
        let (path, key) = pointer.rsplit_once('/').unwrap_or(("", pointer));
        let mut at = &mut can;
        for part in path.split('/').filter(|part| !part.is_empty()) {
            at = &mut at[part];
        }
        at[key] = serde_json::from_str(value).map_err(|fault| fault.to_string())?;
    }
    Ok((can, counting))
}
