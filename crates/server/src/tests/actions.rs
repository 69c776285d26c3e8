//! Changes that stand ready, with and without an editor that asks for their edits later.

use super::*;

const SHORT: &str =
    "# µ½\nformula A\nversion 1\nversion 1\nbatch 200 g\n  2.5 % glycerin\n  to 100 % water\n";

/// A session with an editor that takes what it is given here.
fn begin(files: &[(&str, &str)], resolves: bool) -> Session {
    let mut session =
        Session::start_with(Setup { shelf: Arc::new(MemoryShelf::new(files.to_vec())), ..setup() });
    let mut params = initialize(&["utf-16"]);
    params["rootUri"] = json!("file:///w");
    let mut takes = json!({ "codeActionLiteralSupport": { "codeActionKind": { "valueSet": [] } } });
    if resolves {
        takes["dataSupport"] = json!(true);
        takes["resolveSupport"] = json!({ "properties": ["edit"] });
        params["capabilities"]["workspace"] =
            json!({ "workspaceEdit": { "documentChanges": true, "resourceOperations": ["create"] } });
    }
    params["capabilities"]["textDocument"]["codeAction"] = takes;
    let offered = session.ask("initialize", params)["result"]["capabilities"]["codeActionProvider"].clone();
    assert_eq!(offered["resolveProvider"], resolves);
    session.tell("initialized", json!({}));
    session
}

fn asking(line: u32, context: Value) -> Value {
    let place = |character| json!({ "line": line, "character": character });
    let mut whole = json!({ "diagnostics": [] });
    for (word, value) in context.as_object().unwrap() {
        whole[word] = value.clone();
    }
    json!({ "textDocument": { "uri": CREAM }, "range": { "start": place(4), "end": place(4) }, "context": whole })
}

fn ask(session: &mut Session, line: u32, context: Value) -> Vec<Value> {
    session.ask("textDocument/codeAction", asking(line, context))["result"].as_array().unwrap().clone()
}

fn titles(actions: &[Value]) -> Vec<&str> {
    actions.iter().map(|action| action["title"].as_str().unwrap()).collect()
}

fn starting<'a>(actions: &'a [Value], title: &str) -> &'a Value {
    let found = actions.iter().find(|action| action["title"].as_str().unwrap().starts_with(title));
    found.unwrap_or_else(|| panic!("no `{title}` among {:?}", titles(actions)))
}

#[test]
fn edits_come_at_once_or_when_they_are_asked_for() {
    let mut session = begin(&[], false);
    session.open(CREAM, SHORT);
    let grams = ask(&mut session, 5, json!({ "only": ["refactor"] }));
    let edits = &starting(&grams, "Write 2.5 % as 5 g")["edit"]["changes"][CREAM];
    assert_eq!(edits[0]["range"]["start"]["line"], 5, "{grams:?}");
    assert!(grams.iter().all(|action| action["kind"].as_str().unwrap().starts_with("refactor.")));
    assert_eq!(session.end(), 0);

    let mut session = begin(&[], true);
    session.open(CREAM, SHORT);
    let fixes = ask(&mut session, 3, json!({ "only": ["quickfix"] }));
    let fix = &fixes[0];
    assert_eq!(
        (&fix["isPreferred"], &fix["diagnostics"][0]["code"]),
        (&json!(true), &json!("line-repeated"))
    );
    assert_eq!(fix["edit"], Value::Null);
    let made = session.ask("codeAction/resolve", fix.clone())["result"]["edit"].clone();
    let change = &made["documentChanges"][0];
    assert_eq!(change["textDocument"], json!({ "uri": CREAM, "version": 1 }));
    assert_eq!(change["edits"].as_array().unwrap().len(), 1, "{made}");
    let allow = starting(&fixes, "Allow `line-repeated`");
    assert!(allow.get("isPreferred").is_none());
    // A text that has changed since gets no edits that were counted in the old one.
    session.change(CREAM, 2, json!([{ "text": format!("\n{SHORT}") }]));
    assert_eq!(session.ask("codeAction/resolve", fix.clone())["error"]["code"], -32801);
    assert_eq!(session.end(), 0);
}

#[test]
fn all_safe_fixes_are_made_at_once() {
    let only = json!({ "only": ["source.fixAll"] });
    for resolves in [false, true] {
        let mut session = begin(&[], resolves);
        session.open(CREAM, SHORT);
        let all = ask(&mut session, 0, only.clone());
        assert_eq!(titles(&all), ["Make all safe fixes"]);
        assert_eq!(all[0]["kind"], "source.fixAll.levigate");
        let edits = if resolves {
            &all[0]["edit"]["documentChanges"][0]["edits"]
        } else {
            &all[0]["edit"]["changes"][CREAM]
        };
        assert_eq!(edits.as_array().unwrap().len(), 1, "{all:?}");
        assert_eq!(edits[0]["newText"], "");
        if resolves {
            let later = ask(&mut session, 0, json!({}));
            let later = starting(&later, "Make all safe fixes").clone();
            assert_eq!(session.ask("codeAction/resolve", later)["result"]["edit"], all[0]["edit"]);
        }
        session.change(CREAM, 2, json!([{ "text": "formula A\n100 % jojoba oil\n" }]));
        assert_eq!(ask(&mut session, 0, only.clone()), [Value::Null; 0], "nothing is left to be fixed");
        assert_eq!(session.end(), 0);
    }
}

#[test]
fn what_is_asked_for_decides_what_is_offered() {
    let mut session = begin(&[], true);
    session.open(CREAM, SHORT);
    let by_hand = ask(&mut session, 5, json!({ "triggerKind": 1 }));
    assert!(titles(&by_hand).iter().any(|title| title.starts_with("Turn percents")), "{by_hand:?}");
    let moving = ask(&mut session, 5, json!({ "triggerKind": 2 }));
    assert!(moving.iter().all(|action| action["kind"] == "quickfix"), "{moving:?}");
    let extract = ask(&mut session, 5, json!({ "only": ["refactor.extract"] }));
    assert_eq!(titles(&extract), ["Make a variant without glycerin"]);
    assert_eq!(ask(&mut session, 5, json!({ "only": ["refactor.inline"] })), [Value::Null; 0]);
    assert_eq!(session.end(), 0);
}

#[test]
fn an_ingredient_is_described_in_a_file_that_is_made_for_it() {
    let files = [("/w/workshop.formula", "workshop Ours\nstock stock.formula\n")];
    let mut session = begin(&files, true);
    session.open(CREAM, "formula A\n  5 % Kitchen well water\n  to 100 % water\n");
    let actions = ask(&mut session, 1, json!({ "only": ["refactor.extract"] }));
    let describe = starting(&actions, "Describe Kitchen well water in a new file stock.formula").clone();
    let made = session.ask("codeAction/resolve", describe)["result"]["edit"]["documentChanges"].clone();
    assert_eq!((&made[0]["kind"], &made[0]["uri"]), (&json!("create"), &json!("file:///w/stock.formula")));
    assert_eq!(made[1]["textDocument"]["uri"], "file:///w/stock.formula");
    assert!(made[1]["edits"][0]["newText"].as_str().unwrap().starts_with("ingredient Kitchen well water\n"));
    assert_eq!(session.end(), 0);
    // An editor that makes no files is offered none.
    let mut session = begin(&files, false);
    session.open(CREAM, "formula A\n  5 % Kitchen well water\n");
    assert!(!titles(&ask(&mut session, 1, json!({}))).iter().any(|title| title.contains("new file")));
    assert_eq!(session.end(), 0);
}
