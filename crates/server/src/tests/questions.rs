//! Questions and their answers.

use super::*;

const WATERY: &str =
    "formula Crème ½\nbatch 200 g\nphase A water\n  to 100 % water # 60 °C\n  3 % glycerin\n";

fn at(line: u32, character: u32) -> Value {
    json!({ "textDocument": { "uri": CREAM }, "position": { "line": line, "character": character } })
}

#[test]
fn a_card_is_told_in_the_editors_own_form() {
    let mut session = Session::start();
    let mut words = initialize(&["utf-16"]);
    words["capabilities"]["textDocument"]["hover"] = json!({ "contentFormat": ["markdown", "plaintext"] });
    let _ = session.ask("initialize", words);
    session.tell("initialized", json!({}));
    session.open(CREAM, WATERY);
    let card = &session.ask("textDocument/hover", at(4, 8))["result"];
    assert_eq!(card["contents"]["kind"], "markdown");
    assert!(card["contents"]["value"].as_str().unwrap().contains("**Here** 3 % = 6 g of 200 g"), "{card}");
    assert_eq!(card["range"]["start"], json!({ "line": 4, "character": 6 }));
    // In a comment, and in a text that is not open.
    assert_eq!(session.ask("textDocument/hover", at(3, 22))["result"], Value::Null);
    let elsewhere = json!({ "textDocument": { "uri": "file:///w/none.formula" }, "position": { "line": 0, "character": 0 } });
    assert_eq!(session.ask("textDocument/hover", elsewhere)["result"], Value::Null);
    assert_eq!(session.end(), 0);

    let mut session = Session::begun(&["utf-8"]);
    session.open(CREAM, WATERY);
    let card = &session.ask("textDocument/hover", at(0, 10))["result"];
    assert_eq!(card["contents"]["kind"], "plaintext");
    assert_eq!(card["range"]["end"], json!({ "line": 0, "character": 17 }));
    assert!(!card["contents"]["value"].as_str().unwrap().contains('*'), "{card}");
    assert_eq!(session.end(), 0);
}

/// What an editor can do with candidates, told at the start of a session.
fn begin(can: Value) -> Session {
    let mut session = Session::start();
    let mut words = initialize(&["utf-16"]);
    words["capabilities"]["textDocument"]["completion"] = json!({ "completionItem": can });
    let offered = session.ask("initialize", words)["result"]["capabilities"]["completionProvider"].clone();
    assert_eq!(offered["resolveProvider"], true);
    assert!(offered["triggerCharacters"].as_array().unwrap().contains(&json!(" ")), "{offered}");
    session.tell("initialized", json!({}));
    session
}

fn typing(line: u32, character: u32, why: Value) -> Value {
    let mut params = at(line, character);
    params["context"] = why;
    params
}

#[test]
fn candidates_are_offered_and_told_of_when_they_are_looked_at() {
    let text = "formula Crème 𝛽½\nphase A oil\n  5 % 𝛽 shea\n  5 % butyros\nnote the she\nph";
    let mut session = begin(json!({
        "snippetSupport": true, "labelDetailsSupport": true, "documentationFormat": ["markdown"] }));
    session.open(CREAM, text);
    let found = session.ask("textDocument/completion", at(3, 13))["result"].clone();
    assert_eq!(found["isIncomplete"], true);
    let first = found["items"][0].clone();
    assert_eq!((&first["label"], &first["sortText"]), (&json!("shea butter"), &json!("0000")));
    assert_eq!(first["filterText"], "Butyrospermum Parkii Butter");
    assert_eq!(first["labelDetails"]["description"], "Butyrospermum Parkii Butter");
    assert_eq!((first.get("detail"), first.get("documentation")), (None, None));
    let place = |character| json!({ "line": 3, "character": character });
    let edit = json!({ "newText": "shea butter", "range": { "start": place(6), "end": place(13) } });
    assert_eq!(first["textEdit"], edit);
    let told = session.ask("completionItem/resolve", first.clone())["result"].clone();
    assert_eq!(told["documentation"]["kind"], "markdown");
    assert!(told["documentation"]["value"].as_str().unwrap().contains("**shea butter**"), "{told}");
    assert_eq!(told["textEdit"], edit);
    // Blocks bring places to fill in.
    let found = session.ask("textDocument/completion", at(5, 2))["result"].clone();
    let phase = found["items"].as_array().unwrap().iter().find(|item| item["label"] == "phase").unwrap();
    assert_eq!(phase["insertTextFormat"], 2);
    assert!(phase["textEdit"]["newText"].as_str().unwrap().contains("${1|"), "{phase}");
    // A blank in a note, and a text that is not open.
    let blank = json!({ "triggerKind": 2, "triggerCharacter": " " });
    let note = session.ask("textDocument/completion", typing(4, 9, blank))["result"].clone();
    assert_eq!(note["items"], json!([]));
    let mut elsewhere = at(0, 0);
    elsewhere["textDocument"]["uri"] = json!("file:///w/none.formula");
    assert_eq!(session.ask("textDocument/completion", elsewhere)["result"], Value::Null);
    // A candidate of someone else comes back as it was.
    for odd in [json!({ "label": "x" }), json!({ "label": "x", "data": { "uri": 7, "key": [] } })] {
        assert_eq!(session.ask("completionItem/resolve", odd.clone())["result"], odd);
    }
    assert_eq!(session.end(), 0);
}

#[test]
fn an_editor_that_can_chooses_to_insert_or_to_replace() {
    let text = "formula A\nphase A oil\n  5 % 𝛽 jojo\n  5 % jojoba oil\n  5 % jojoba";
    let mut session = begin(json!({ "insertReplaceSupport": true }));
    session.open(CREAM, text);
    let place = |character| json!({ "line": 3, "character": character });
    let span = |start, end| json!({ "start": place(start), "end": place(end) });
    // In the middle of a word, at its beginning, and at its end.
    for (cursor, insert, replace) in
        [(10, span(6, 10), span(6, 12)), (6, span(6, 6), span(6, 6)), (12, span(6, 12), span(6, 12))]
    {
        let mut asked = at(3, cursor);
        asked["context"] = json!({ "triggerKind": 1 });
        let found = session.ask("textDocument/completion", asked)["result"].clone();
        let items = found["items"].as_array().unwrap();
        assert!(!items.is_empty(), "{cursor}");
        for item in items {
            let edit = &item["textEdit"];
            assert_eq!((&edit["insert"], &edit["replace"]), (&insert, &replace), "{cursor}: {item}");
            assert_eq!((edit.get("range"), edit["newText"].is_string()), (None, true), "{item}");
        }
    }
    assert_eq!(session.end(), 0);
    // One that cannot: the whole word.
    let mut session = begin(json!({}));
    session.open(CREAM, text);
    let found = session.ask("textDocument/completion", at(3, 10))["result"]["items"][0]["textEdit"].clone();
    assert_eq!(found, json!({ "newText": "jojoba oil", "range": span(6, 12) }));
    assert_eq!(session.end(), 0);
}

#[test]
fn a_plain_editor_gets_plain_candidates() {
    let mut session = begin(json!({}));
    session.open(CREAM, "formula A\nphase A oil\n  5 % shea bu\nph");
    let found = session.ask("textDocument/completion", at(3, 2))["result"].clone();
    let items = found["items"].as_array().unwrap();
    let phase = items.iter().find(|item| item["label"] == "phase").unwrap();
    assert_eq!((&phase["insertTextFormat"], &phase["textEdit"]["newText"]), (&json!(1), &json!("phase B")));
    assert_eq!(phase["detail"], "phase A water; heat to 75 °C");
    let first = session.ask("textDocument/completion", at(2, 13))["result"]["items"][0].clone();
    let told = session.ask("completionItem/resolve", first)["result"]["documentation"].clone();
    let words = told.as_str().unwrap();
    assert!(words.contains("INCI Butyrospermum Parkii Butter") && !words.contains(['*', '`']), "{words}");
    assert_eq!(session.end(), 0);
}
