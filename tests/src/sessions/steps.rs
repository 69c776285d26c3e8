//! What can be done in a session. `tests/sessions/README.md` tells it to those who write one.

use super::asks::{Asked, CHOICE, MOVING, QUESTIONS, chosen};
use super::script::{Step, drawn_edits, find};
use super::{World, abilities, address, changes, draw, text_edits};
use crate::editor::Disk;
use serde_json::{Value, json};
use std::sync::Arc;

/// What an editor can be said to do: the word, the place among the capabilities, and what stands there. **A new
/// ability is a row.**
pub(super) const ABILITIES: &[(&str, &str, &str)] = &[
    ("asks for findings", "/textDocument/diagnostic", r#"{ "relatedDocumentSupport": true }"#),
    ("asks again", "/workspace/diagnostics", r#"{ "refreshSupport": true }"#),
    ("asks again for hints", "/workspace/inlayHint", r#"{ "refreshSupport": true }"#),
    ("asks again for colours", "/workspace/semanticTokens", r#"{ "refreshSupport": true }"#),
    ("shows related places", "/textDocument/publishDiagnostics", r#"{ "relatedInformation": true }"#),
    (
        "fades what does nothing",
        "/textDocument/publishDiagnostics",
        r#"{ "tagSupport": { "valueSet": [1] } }"#,
    ),
    ("shows Markdown", "/textDocument/hover", r#"{ "contentFormat": ["markdown", "plaintext"] }"#),
    ("shows trees", "/textDocument/documentSymbol", r#"{ "hierarchicalDocumentSymbolSupport": true }"#),
    ("shows documents", "/window/showDocument", r#"{ "support": true }"#),
    ("shows progress", "/window", r#"{ "workDoneProgress": true }"#),
    (
        "inserts or replaces",
        "/textDocument/completion",
        r#"{ "completionItem": { "insertReplaceSupport": true } }"#,
    ),
    ("asks before renaming", "/textDocument/rename", r#"{ "prepareSupport": true }"#),
    ("watches files", "/workspace/didChangeWatchedFiles", r#"{ "dynamicRegistration": true }"#),
    ("has settings", "/workspace/configuration", "true"),
];

type Came = Result<Option<Vec<String>>, String>;

/// Does a step. The value is what came, where the step itself waits for it.
pub(super) fn take(disk: &Arc<Disk>, world: &mut Option<World>, step: &Step) -> Came {
    let (verb, rest) = step.words.split_once(' ').unwrap_or((&step.words, ""));
    let whole = || step.text.iter().flat_map(|line| [line.as_str(), "\n"]).collect::<String>();
    match (verb, &mut *world) {
        ("file", None) => disk.write(rest, Some(whole())),
        ("copies", None) => copies(disk, rest)?,
        ("slow", _) => disk.hold(true),
        ("commit", _) if !disk.commit(rest) => return Err("no such file".to_owned()),
        ("commit", _) => {}
        ("editor", None) => *world = Some(editor(disk, rest, None)?),
        ("hasty", None) => *world = Some(editor(disk, rest, Some(Vec::new()))?),
        ("end" | "exit" | "hang", Some(_)) => return Ok(world.take().map(|world| finish(world, verb))),
        (_, Some(world)) => go_on(world, verb, rest, step, whole())?,
        (_, None) => return Err("there is no such step before an editor".to_owned()),
    }
    Ok(None)
}

/// `12 of some.formula`: copies of a file beside it.
fn copies(disk: &Disk, words: &str) -> Result<(), String> {
    let (number, name) = words.split_once(" of ").ok_or("copies of what?")?;
    let text = disk.text(name).ok_or("no such file")?;
    for at in 0..number.parse::<usize>().map_err(|fault| fault.to_string())? {
        disk.write(&format!("copy-{at:03}.formula"), Some(text.clone()));
    }
    Ok(())
}

/// An editor that begins; a hasty one says more than `initialize` before it has heard anything.
fn editor(disk: &Arc<Disk>, words: &str, held: Option<Vec<u8>>) -> Result<World, String> {
    let mut world = World::start(disk);
    let (can, counting) = abilities(words)?;
    world.editor.counting = counting;
    world.editor.held = held;
    world.watches = words.contains("watches files");
    let folder = crate::editor::FOLDER.trim_end_matches('/');
    let params = json!({ "processId": null, "rootUri": folder, "capabilities": can,
        "workspaceFolders": [{ "uri": folder, "name": "w" }] });
    let asked = Asked { with: "initialize".to_owned(), ..Asked::default() };
    world.ask(None, "initialize", params, asked);
    world.editor.tell("initialized", json!({}));
    Ok(world)
}

fn finish(mut world: World, how: &str) -> Vec<String> {
    match how {
        "end" => {
            let id = world.editor.ask("shutdown", Value::Null);
            world.editor.tell("exit", Value::Null);
            if let Some(held) = world.editor.held.take() {
                world.editor.write(&held);
            }
            let mut news = world.finish();
            // That `shutdown` is answered goes without saying.
            if news.said.iter().filter(|said| said.contains(&format!("\"id\":{id}"))).count() == 1 {
                news.said.retain(|said| !said.contains(&format!("\"id\":{id}")));
            } else {
                news.said.push("shutdown is not answered".to_owned());
            }
            news.lines()
        }
        "exit" => {
            world.editor.tell("exit", Value::Null);
            world.finish().lines()
        }
        _ => {
            world.editor.hang_up();
            world.finish().lines()
        }
    }
}

fn go_on(world: &mut World, verb: &str, rest: &str, step: &Step, whole: String) -> Result<(), String> {
    let uri = address(rest);
    match verb {
        "open" => {
            let text =
                if step.text.is_empty() { world.disk.text(rest).ok_or("no such file")? } else { whole };
            world.editor.open(&uri, &text);
        }
        "add" => {
            for line in &step.text {
                let end = world.editor.text(&uri).ok_or("not open")?.len();
                world.editor.edit(&uri, &vec![(end..end, format!("{line}\n"))]);
            }
        }
        "type" => {
            let text = world.editor.text(&uri).ok_or("not open")?.to_owned();
            let (lines, mut edits) = drawn_edits(&step.text.join("\n"));
            let at = find(&text, &lines)?;
            for (bytes, _) in &mut edits {
                *bytes = bytes.start + at..bytes.end + at;
            }
            world.editor.edit(&uri, &edits);
        }
        "undo" => {
            if !world.editor.undo(&uri) {
                return Err("nothing to take back".to_owned());
            }
        }
        "close" => world.editor.close(&uri),
        "save" => {
            let text = world.editor.text(&uri).ok_or("not open")?.to_owned();
            world.disk.write(rest, Some(text));
            world.editor.tell("textDocument/didSave", json!({ "textDocument": { "uri": uri } }));
            tell_files(world, &[(rest.to_owned(), 2)]);
        }
        "elsewhere" => {
            let text = if step.text.is_empty() { None } else { Some(whole) };
            let kind = if text.is_some() { 2 } else { 3 };
            world.disk.write(rest, text);
            tell_files(world, &[(rest.to_owned(), kind)]);
        }
        "ask" => ask(world, rest, step)?,
        "accept" => accept(world),
        "choose" => choose(world, rest)?,
        "move" => {
            let (from, to) = rest.split_once(" to ").ok_or("move where?")?;
            let params = json!({ "files": [{ "oldUri": address(from), "newUri": address(to) }] });
            world.ask(Some(&MOVING), MOVING.method, params, Asked::default());
        }
        "moved" => {
            let (from, to) = rest.split_once(" to ").ok_or("moved where?")?;
            let text = world.disk.text(from);
            world.disk.write(from, None);
            world.disk.write(to, text);
            tell_files(world, &[(from.to_owned(), 3), (to.to_owned(), 1)]);
        }
        "settings" => {
            let said: Value = serde_json::from_str(&whole).map_err(|fault| fault.to_string())?;
            world.editor.settings = said.clone();
            world
                .editor
                .tell("workspace/didChangeConfiguration", json!({ "settings": { "levigate": said } }));
        }
        "hold" => world.editor.held = Some(Vec::new()),
        "send" => {
            let held = world.editor.held.take().ok_or("nothing is held")?;
            world.editor.write(&held);
        }
        "shutdown" => {
            world.ask(None, "shutdown", Value::Null, Asked::default());
        }
        "tell" => {
            let params = serde_json::from_str(&whole).map_err(|fault| fault.to_string())?;
            world.editor.tell(rest, params);
        }
        _ => return Err("there is no such step".to_owned()),
    }
    Ok(())
}

/// Tells of changed files, where the editor was asked to.
fn tell_files(world: &mut World, files: &[(String, u32)]) {
    if world.watches {
        let change = |(name, kind): &(String, u32)| json!({ "uri": address(name), "type": kind });
        let changes: Vec<Value> = files.iter().map(change).collect();
        world.editor.tell("workspace/didChangeWatchedFiles", json!({ "changes": changes }));
    }
}

/// `QUESTION in FILE with WORDS`; the text under it draws `|` where it is asked.
fn ask(world: &mut World, words: &str, step: &Step) -> Result<(), String> {
    let (words, with) = words.split_once(" with ").unwrap_or((words, ""));
    let (words, file) = words.split_once(" in ").unwrap_or((words, ""));
    let uri = address(file);
    let mut asked = Asked { uri, at: Vec::new(), with: with.to_owned() };
    let drawn = step.text.join("\n");
    if drawn.contains('|') {
        let text = world.text(&asked.uri).ok_or("no such text")?;
        let start = find(&text, &drawn.replace('|', ""))?;
        let cursors = drawn.match_indices('|').enumerate();
        asked.at = cursors.map(|(before, (at, _))| start + at - before).collect();
    }
    match QUESTIONS.iter().find(|kind| kind.words == words) {
        Some(kind) => {
            let params = kind.params(world, &asked);
            world.ask(Some(kind), kind.method, params, asked);
        }
        None if words.contains('/') => {
            let mut params = match asked.at[..] {
                [] => serde_json::from_str(&drawn).unwrap_or(json!({})),
                [at, ..] => {
                    let text = world.text(&asked.uri).ok_or("no such text")?;
                    json!({ "position": world.editor.counting.place(&text, at) })
                }
            };
            params["textDocument"] = json!({ "uri": asked.uri });
            world.ask(None, words, params, Asked::default());
        }
        None => {
            let known: Vec<&str> = QUESTIONS.iter().map(|kind| kind.words).collect();
            return Err(format!("nobody can ask that; known are a method and {}", known.join(", ")));
        }
    }
    Ok(())
}

/// Takes an action by its title, and asks what it changes where that was not said at once.
fn choose(world: &mut World, title: &str) -> Result<(), String> {
    let action = world.offers.iter().find(|action| action["title"] == title).cloned().ok_or("not offered")?;
    if action["edit"].is_null() {
        world.ask(Some(&CHOICE), CHOICE.method, action, Asked::default());
    } else {
        let lines = chosen(world, &Asked::default(), &action);
        let _ = world.news.answers.insert(0, lines);
    }
    Ok(())
}

/// Makes the edit that was offered last.
fn accept(world: &mut World) {
    let edit = std::mem::take(&mut world.edit);
    assert!(!edit.is_null(), "nothing was offered");
    let mut files = Vec::new();
    for (uri, edits) in changes(&edit) {
        let text = world.text(&uri).unwrap_or_default();
        let edits = text_edits(world, &text, &edits);
        if world.editor.text(&uri).is_some() {
            world.editor.edit(&uri, &edits);
        } else {
            let name = draw::name(&json!(uri));
            world.disk.write(&name, Some(crate::editor::apply(&text, &edits)));
            files.push((name, 2));
        }
    }
    if !files.is_empty() {
        tell_files(world, &files);
    }
}
