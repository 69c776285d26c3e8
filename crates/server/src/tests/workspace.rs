//! Findings of many files: asked for, or told of while a scan goes through them.

use super::*;

const BASE: &str = "file:///w/base.formula";
const USES_BASE: &str =
    "formula A\nbatch 100 g\ninclude base.formula as Soft base\nphase A oil\n  100 % Soft base\n";
const SHORT: &str = "formula Short\nphase A oil\n  30 % shea butter\n  20 % olive oil\n  10 % jojoba oil\n";

fn setup_with(files: &[(&str, &str)]) -> Setup {
    Setup { shelf: Arc::new(MemoryShelf::new(files.to_vec())), ..setup() }
}

fn begin(setup: Setup, change: impl FnOnce(&mut Value)) -> (Session, Value) {
    let mut session = Session::start_with(setup);
    let mut params = initialize(&["utf-8"]);
    params["rootUri"] = json!("file:///w");
    change(&mut params);
    let offered = session.ask("initialize", params)["result"]["capabilities"].clone();
    session.tell("initialized", json!({}));
    (session, offered)
}

fn asking(params: &mut Value) {
    params["capabilities"]["textDocument"]["diagnostic"] = json!({ "relatedDocumentSupport": true });
    params["capabilities"]["workspace"]["diagnostics"] = json!({ "refreshSupport": true });
}

fn about(uri: &str, before: Option<&Value>) -> Value {
    json!({ "textDocument": { "uri": uri }, "previousResultId": before.cloned().unwrap_or(Value::Null) })
}

#[test]
fn an_editor_that_asks_is_told_nothing_unasked() {
    let files = [("/w/base.formula", "formula Soft base\nbatch 10 g\nphase A oil\n  100 % shea butter\n")];
    let (mut session, offered) = begin(setup_with(&files), asking);
    assert_eq!(offered["diagnosticProvider"]["workspaceDiagnostics"], true);
    session.open(CREAM, USES_BASE);
    session.open(BASE, files[0].1);
    let first = session.ask("textDocument/diagnostic", about(CREAM, None))["result"].clone();
    assert_eq!(first["kind"], "full");
    let again =
        session.ask("textDocument/diagnostic", about(CREAM, Some(&first["resultId"])))["result"].clone();
    assert_eq!(again, json!({ "kind": "unchanged", "resultId": first["resultId"] }));
    // The base loses its formula: asked about the base, the answer tells of the cream, too.
    let _ = session.ask("textDocument/diagnostic", about(BASE, None));
    session.change(BASE, 2, json!([{ "text": "# nothing any more\n" }]));
    let base = session.ask("textDocument/diagnostic", about(BASE, None))["result"].clone();
    let cream = &base["relatedDocuments"][CREAM];
    assert_eq!(cream["kind"], "full", "{base}");
    assert!(cream["items"].to_string().contains("premix-missing"), "{cream}");
    session.tell("workspace/didChangeWatchedFiles", json!({ "changes": [{ "uri": BASE, "type": 2 }] }));
    let asked = session.until(|message| message["method"] == "workspace/diagnostic/refresh");
    session.answer(&asked, Value::Null);
    let _ = session.ask("shutdown", Value::Null);
    session.tell("exit", Value::Null);
    let rest = session.rest();
    assert!(rest.iter().all(|message| message["method"] != "textDocument/publishDiagnostics"), "{rest:?}");
    assert_eq!(session.status(), 0);
}

#[test]
fn all_files_are_told_of_when_the_workspace_is_asked_about() {
    let files = [("/w/short.formula", SHORT), ("/w/deep/fine.formula", "formula Fine\n100 % shea butter\n")];
    let (mut session, _) = begin(setup_with(&files), asking);
    session.open(CREAM, SHORT);
    let all = session.ask("workspace/diagnostic", json!({ "previousResultIds": [] }))["result"].clone();
    let items = all["items"].as_array().unwrap();
    let uris: Vec<&str> = items.iter().map(|item| item["uri"].as_str().unwrap()).collect();
    assert_eq!(uris, [CREAM, "file:///w/deep/fine.formula", "file:///w/short.formula"]);
    assert_eq!((&items[0]["version"], &items[2]["version"]), (&json!(1), &Value::Null));
    assert!(items[2]["items"].to_string().contains("total-not-100"));
    assert!(items[2]["items"].as_array().unwrap().iter().all(|found| found["severity"] != 4));
    let known: Vec<Value> =
        items.iter().map(|item| json!({ "uri": item["uri"], "value": item["resultId"] })).collect();
    let again = session.ask("workspace/diagnostic", json!({ "previousResultIds": known }))["result"].clone();
    assert!(again["items"].as_array().unwrap().iter().all(|item| item["kind"] == "unchanged"), "{again}");
    assert_eq!(session.end(), 0);
}

#[test]
fn files_that_are_not_open_are_told_of_and_taken_back() {
    let short = "file:///w/short.formula";
    let (mut session, _) = begin(setup_with(&[("/w/short.formula", SHORT)]), |_| {});
    let told = |session: &mut Session| {
        session.until(|m| m["method"] == "textDocument/publishDiagnostics" && m["params"]["uri"] == short)
    };
    let found = told(&mut session);
    assert_eq!(found["params"].get("version"), None);
    assert!(found["params"]["diagnostics"].to_string().contains("total-not-100"));
    // Open, it is told of as it is being written; closed, as it lies on the disk.
    session.open(short, "formula Short\n100 % shea butter\n");
    assert_eq!(told(&mut session)["params"]["version"], 1);
    session.tell("textDocument/didClose", json!({ "textDocument": { "uri": short } }));
    assert_eq!(told(&mut session)["params"]["diagnostics"], json!([]));
    assert_eq!(told(&mut session)["params"]["diagnostics"], found["params"]["diagnostics"]);
    session.tell(
        "workspace/didChangeConfiguration",
        json!({ "settings": { "levigate": { "workspaceFindings": false } } }),
    );
    assert_eq!(told(&mut session)["params"]["diagnostics"], json!([]));
    assert_eq!(session.end(), 0);
}

#[test]
fn a_long_scan_shows_how_far_it_is_and_can_be_ended() {
    let names: Vec<String> = (0..400).map(|number| format!("/w/{number:03}.formula")).collect();
    let files: Vec<(&str, &str)> = names.iter().map(|name| (name.as_str(), SHORT)).collect();
    let (mut session, _) = begin(setup_with(&files), |params| {
        params["capabilities"]["window"] = json!({ "workDoneProgress": true });
    });
    let asked = session.until(|message| message["method"] == "window/workDoneProgress/create");
    session.answer(&asked, Value::Null);
    let first = session.until(|message| message["method"] == "$/progress");
    assert_eq!(first["params"]["value"]["kind"], "begin");
    assert_eq!(first["params"]["value"]["cancellable"], true);
    session.tell("window/workDoneProgress/cancel", json!({ "token": asked["params"]["token"] }));
    let end = session.until(|m| m["method"] == "$/progress" && m["params"]["value"]["kind"] == "end");
    assert_eq!(end["params"]["token"], asked["params"]["token"]);
    // An open text is answered whatever the scan does.
    session.open(CREAM, SHORT);
    let _ = session.findings(CREAM, 1);
    assert_eq!(session.end(), 0);
}

#[test]
fn settings_are_asked_for_and_folders_come_and_go() {
    let files = [("/x/short.formula", SHORT)];
    let (mut session, _) = begin(setup_with(&files), |params| {
        params["capabilities"]["workspace"]["configuration"] = json!(true);
    });
    let asked = session.until(|message| message["method"] == "workspace/configuration");
    assert_eq!(asked["params"]["items"][0]["section"], "levigate");
    session.answer(&asked, json!([{ "weather": true, "hints": { "amounts": false } }]));
    let log = session.until(|message| message["method"] == "window/logMessage");
    assert!(log["params"]["message"].as_str().unwrap().contains("weather"));
    session.open(CREAM, "formula A\nbatch 100 g\n  5 % glycerin\n  to 100 % water\n");
    let range = json!({ "start": { "line": 0, "character": 0 }, "end": { "line": 9, "character": 0 } });
    let hints =
        session.ask("textDocument/inlayHint", json!({ "textDocument": { "uri": CREAM }, "range": range }));
    let hints = hints["result"].as_array().unwrap();
    assert_eq!(hints.len(), 1, "{hints:?}");
    assert_eq!(hints[0]["label"], "= 95 % = 95 g");
    session.tell(
        "workspace/didChangeWorkspaceFolders",
        json!({ "event": { "added": [{ "uri": "file:///x", "name": "x" }], "removed": [] } }),
    );
    let found = session.until(|m| m["params"]["uri"] == "file:///x/short.formula");
    assert!(!found["params"]["diagnostics"].as_array().unwrap().is_empty());
    assert_eq!(session.end(), 0);
}
