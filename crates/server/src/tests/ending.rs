//! How sessions begin and end, and what must not end them.

use super::*;
use std::sync::atomic::{AtomicBool, Ordering};

#[test]
fn a_whole_session_in_one_write() {
    let mut session = Session::start();
    let all = [
        request(1, "initialize", initialize(&[])),
        notice("initialized", json!({})),
        request(2, "shutdown", Value::Null),
        notice("exit", Value::Null),
    ];
    session.write(&all.concat());
    let answers = session.rest();
    assert_eq!(answers.len(), 2, "{answers:?}");
    assert_eq!(answers[0]["result"]["capabilities"]["positionEncoding"], "utf-16");
    assert_eq!(answers[1], json!({ "jsonrpc": "2.0", "result": null, "id": 2 }));
    assert_eq!(session.status(), 0);
}

#[test]
fn findings_come_out_before_the_answer_to_shutdown() {
    let mut session = Session::start();
    let document = json!({ "uri": CREAM, "languageId": "levigate", "version": 7, "text": "formula A\n" });
    let all = [
        request(1, "initialize", initialize(&[])),
        notice("initialized", json!({})),
        notice("textDocument/didOpen", json!({ "textDocument": document })),
        request(2, "shutdown", Value::Null),
        notice("exit", Value::Null),
    ];
    session.write(&all.concat());
    let answers = session.rest();
    assert!(answers.iter().any(|message| message["params"]["version"] == 7), "{answers:?}");
    assert_eq!(session.status(), 0);
}

#[test]
fn exit_without_shutdown_is_told_apart() {
    let mut session = Session::begun(&[]);
    session.tell("exit", Value::Null);
    assert_eq!(session.status(), 1);
    let mut session = Session::start();
    session.tell("exit", Value::Null);
    assert_eq!(session.status(), 1);
}

#[test]
fn an_editor_that_hangs_up_ends_the_session() {
    for (shutdown, status) in [(false, 1), (true, 0)] {
        let mut session = Session::begun(&[]);
        if shutdown {
            let _ = session.ask("shutdown", Value::Null);
        }
        session.input = None;
        assert_eq!(session.status(), status);
    }
}

#[test]
fn shutdown_with_any_params() {
    for params in [Value::Null, json!({}), json!([])] {
        let mut session = Session::begun(&[]);
        assert_eq!(session.ask("shutdown", params)["result"], Value::Null);
        session.tell("exit", Value::Null);
        assert_eq!(session.status(), 0);
    }
}

#[test]
fn nothing_is_served_after_shutdown() {
    let mut session = Session::begun(&[]);
    let _ = session.ask("shutdown", Value::Null);
    let params =
        json!({ "textDocument": { "uri": CREAM }, "options": { "tabSize": 1, "insertSpaces": true } });
    assert_eq!(session.ask("textDocument/formatting", params)["error"]["code"], -32600);
    session.tell("exit", Value::Null);
    assert_eq!(session.status(), 0);
}

#[test]
fn odd_headers_and_bad_bodies_are_survived() {
    let mut session = Session::begun(&[]);
    for (bytes, code) in [
        ("content-length: 1\r\n\r\n{", -32700),
        ("Content-Type: text/plain\r\nX-A: 1\r\nX-B: 2\r\nContent-Length: 2\r\n\r\n[]", -32600),
        ("Content-Length: many\r\n\r\n", -32700),
        ("Content-Length: 4\r\n\r\n\u{fffd}x", -32700),
    ] {
        session.write(bytes.as_bytes());
        let answer = session.until(|message| message.get("error").is_some());
        assert_eq!(
            (answer["id"].clone(), answer["error"]["code"].clone()),
            (Value::Null, json!(code)),
            "{bytes:?}"
        );
    }
    assert_eq!(session.ask("no/such", json!({}))["error"]["code"], -32601);
    session.tell("$/setTrace", json!({ "value": "off" }));
    session.write(&framed(&json!({ "jsonrpc": "2.0", "id": 99, "result": null })));
    assert_eq!(session.end(), 0);
}

#[test]
fn a_server_whose_editor_has_died_ends() {
    static ALIVE: AtomicBool = AtomicBool::new(true);
    let mut session = Session::start_with(Setup { is_alive: |_| ALIVE.load(Ordering::Relaxed), ..setup() });
    let mut params = initialize(&[]);
    params["processId"] = json!(4711);
    let _ = session.ask("initialize", params);
    ALIVE.store(false, Ordering::Relaxed);
    assert_eq!(session.status(), 1);
}

#[test]
fn an_editor_that_cannot_be_seen_is_not_watched() {
    let mut session = Session::start_with(Setup { is_alive: |_| false, ..setup() });
    let mut params = initialize(&[]);
    params["processId"] = json!(4711);
    let _ = session.ask("initialize", params);
    thread::sleep(std::time::Duration::from_millis(1500));
    assert_eq!(session.end(), 0);
}

#[test]
fn only_what_works_is_offered() {
    let mut session = Session::start();
    let mut params = initialize(&["utf-8", "utf-16"]);
    params["capabilities"]["workspace"] = json!({ "didChangeWatchedFiles": { "dynamicRegistration": true } });
    params["capabilities"]["textDocument"]["codeAction"] =
        json!({ "codeActionLiteralSupport": { "codeActionKind": { "valueSet": [] } } });
    let answer = session.ask("initialize", params);
    let offered = &answer["result"]["capabilities"];
    assert_eq!(offered["positionEncoding"], "utf-8");
    assert_eq!(offered["textDocumentSync"], json!({ "openClose": true, "change": 2 }));
    session.tell("initialized", json!({}));
    let asked = session.until(|message| message["method"] == "client/registerCapability");
    assert_eq!(asked["params"]["registrations"][0]["method"], "workspace/didChangeWatchedFiles");
    // Never answered: it must hold nothing up.
    session.open(CREAM, "formula A\n");
    let _ = session.findings(CREAM, 1);
    // Whatever is offered is answered. A new provider needs a row here.
    for name in offered.as_object().unwrap().keys().filter(|name| name.ends_with("Provider")) {
        let place = json!({ "line": 0, "character": 8 });
        let here = json!({ "position": place });
        let (method, params) = match name.as_str() {
            "documentFormattingProvider" => {
                ("formatting", json!({ "options": { "tabSize": 2, "insertSpaces": true } }))
            }
            "inlayHintProvider" => {
                let end = json!({ "line": 9, "character": 0 });
                ("inlayHint", json!({ "range": { "start": { "line": 0, "character": 0 }, "end": end } }))
            }
            "documentRangeFormattingProvider" => {
                let range = json!({ "start": { "line": 0, "character": 0 }, "end": place });
                (
                    "rangeFormatting",
                    json!({ "range": range, "options": { "tabSize": 2, "insertSpaces": true } }),
                )
            }
            "documentOnTypeFormattingProvider" => (
                "onTypeFormatting",
                json!({ "position": { "line": 1, "character": 0 }, "ch": "\n", "options": { "tabSize": 2, "insertSpaces": true } }),
            ),
            "codeActionProvider" => {
                let range = json!({ "start": place, "end": place });
                ("codeAction", json!({ "range": range, "context": { "diagnostics": [] } }))
            }
            "codeLensProvider" => ("codeLens", json!({})),
            "executeCommandProvider" => {
                let commands = json!(["levigate.showSheet", "levigate.showLabel", "levigate.compare"]);
                assert_eq!(offered[name]["commands"], commands);
                (
                    "/workspace/executeCommand",
                    json!({ "command": "levigate.showSheet", "arguments": [CREAM] }),
                )
            }
            "workspaceSymbolProvider" => ("/workspace/symbol", json!({ "query": "" })),
            "callHierarchyProvider" => ("prepareCallHierarchy", here),
            "hoverProvider" => ("hover", here),
            "completionProvider" => ("completion", here),
            "documentSymbolProvider" => ("documentSymbol", json!({})),
            "foldingRangeProvider" => ("foldingRange", json!({})),
            "selectionRangeProvider" => ("selectionRange", json!({ "positions": [place] })),
            "documentLinkProvider" => ("documentLink", json!({})),
            "semanticTokensProvider" => ("semanticTokens/full", json!({})),
            "documentHighlightProvider" => ("documentHighlight", here),
            "definitionProvider" => ("definition", here),
            "referencesProvider" => {
                ("references", json!({ "position": place, "context": { "includeDeclaration": true } }))
            }
            "renameProvider" => ("rename", json!({ "position": place, "newName": "B" })),
            _ => panic!("nobody asks {name}"),
        };
        let mut params = params;
        params["textDocument"] = json!({ "uri": CREAM });
        let method = method.strip_prefix('/').map_or_else(|| format!("textDocument/{method}"), str::to_owned);
        let answer = session.ask(&method, params);
        assert!(answer.get("result").is_some(), "{name}: {answer}");
    }
    assert_eq!(session.end(), 0);
}
