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
