//! Commands, and what the editor is asked to do for them.

use super::*;

const TWO: &str =
    "formula A\nbatch 200 g\n  100 g water\n  100 g glycerin\n\nformula B, light\n  100 % water\n";

fn begin(window: Value, workspace: Value) -> (Session, Vec<String>) {
    let mut session = Session::start();
    let mut params = initialize(&["utf-8"]);
    params["capabilities"]["window"] = window;
    params["capabilities"]["workspace"] = workspace;
    let offered =
        session.ask("initialize", params)["result"]["capabilities"]["executeCommandProvider"].clone();
    let commands =
        offered["commands"].as_array().unwrap().iter().map(|name| name.as_str().unwrap().to_owned());
    let commands = commands.collect();
    session.tell("initialized", json!({}));
    session.open(CREAM, TWO);
    (session, commands)
}

fn run(session: &mut Session, command: &str, arguments: Value) -> Value {
    session.ask("workspace/executeCommand", json!({ "command": command, "arguments": arguments }))
}

/// Runs a command that makes the server ask something: the answer, and what is asked, whichever comes first.
fn run_asking(session: &mut Session, command: &str, arguments: Value, method: &str) -> (Value, Value) {
    session.next += 1;
    let id = session.next;
    let params = json!({ "command": command, "arguments": arguments });
    session.write(&request(id, "workspace/executeCommand", params));
    let (mut answer, mut asked) = (Value::Null, Value::Null);
    while answer.is_null() || asked.is_null() {
        let message = session.read().expect("a message");
        if message["method"] == method {
            asked = message;
        } else if message["id"] == id && message.get("method").is_none() {
            answer = message;
        }
    }
    (answer, asked)
}

#[test]
fn a_sheet_is_shown_as_a_document_or_told() {
    let (mut session, _) = begin(json!({}), json!({}));
    let told = run(&mut session, "levigate.showSheet", json!([CREAM]));
    assert_eq!(told["result"], "sheet of A, B, light");
    let told = run(&mut session, "levigate.showSheet", json!([CREAM, "B, light"]));
    assert_eq!(told["result"], "sheet of B, light");
    for (arguments, code) in
        [(json!([CREAM, "C"]), -32803), (json!([]), -32602), (json!(["file:///none.formula"]), -32803)]
    {
        assert_eq!(run(&mut session, "levigate.showSheet", arguments)["error"]["code"], code);
    }
    assert_eq!(run(&mut session, "levigate.weather", json!([CREAM]))["error"]["code"], -32602);
    assert_eq!(session.end(), 0);

    let (mut session, _) = begin(json!({ "showDocument": { "support": true } }), json!({}));
    // The editor is asked beside the answer, which waits for nothing.
    let show = |session: &mut Session| {
        run_asking(session, "levigate.showSheet", json!([CREAM, "B, light"]), "window/showDocument")
    };
    let (told, first) = show(&mut session);
    assert_eq!(told["result"], Value::Null);
    let kept = first["params"]["uri"].as_str().unwrap();
    assert!(kept.starts_with("file:///sheets/B--light-") && first["params"]["external"] == false, "{kept}");
    session.answer(&first, json!({ "success": true }));
    // The next sheet of the same formula lies in the same place.
    let (_, again) = show(&mut session);
    assert_eq!(again["params"]["uri"], kept);
    session.answer(&again, json!({ "success": false }));
    let log = session.until(|message| message["method"] == "window/logMessage");
    assert!(log["params"]["message"].as_str().unwrap().contains(kept));
    assert_eq!(session.end(), 0);
}

#[test]
fn a_label_is_shown_as_a_sheet_is() {
    let (mut session, _) = begin(json!({}), json!({}));
    let told = run(&mut session, "levigate.showLabel", json!([CREAM, "B, light"]));
    assert_eq!(told["result"], "label of B, light");
    assert_eq!(run(&mut session, "levigate.showLabel", json!([CREAM, "C"]))["error"]["code"], -32803);
    assert_eq!(session.end(), 0);

    let (mut session, _) = begin(json!({ "showDocument": { "support": true } }), json!({}));
    let show = |session: &mut Session, command: &str| {
        let (_, asked) = run_asking(session, command, json!([CREAM, "A"]), "window/showDocument");
        session.answer(&asked, json!({ "success": true }));
        asked["params"]["uri"].as_str().unwrap().to_owned()
    };
    let label = show(&mut session, "levigate.showLabel");
    assert!(label.starts_with("file:///labels/A-"), "{label}");
    // Sheet and label of one formula lie beside each other.
    assert_eq!(show(&mut session, "levigate.showSheet"), label.replace("labels", "sheets"));
    assert_eq!(session.end(), 0);
}

#[test]
fn lenses_tell_sums_and_how_often_an_ingredient_is_used() {
    let stock = "ingredient Oat milk\nphase water\n\nformula Thin\n  5 % oat milk\n  95 % Oat milk\n";
    let cream = "# ½\nformula Cream\nbatch 200 g\nphase A water\n  to 100 % Oat milk\nphase B oil\n  12 % squalane\nvariant plain\nomit squalane\n";
    let files = [
        ("/w/stock.formula", stock),
        ("/w/cream.formula", cream),
        ("/w/workshop.formula", "workshop W\nstock stock.formula\n"),
    ];
    let mut session = Session::start_with(Setup { shelf: Arc::new(MemoryShelf::new(files)), ..setup() });
    let mut params = initialize(&["utf-16"]);
    params["rootUri"] = json!("file:///w");
    let _ = session.ask("initialize", params);
    session.tell("initialized", json!({}));
    session.open(CREAM, cream);
    let told = |lenses: &Value| -> Vec<(u64, String)> {
        let lens = |lens: &Value| {
            let title = lens["command"]["title"].as_str().unwrap_or_default().to_owned();
            (lens["range"]["start"]["line"].as_u64().unwrap(), title)
        };
        lenses.as_array().unwrap().iter().map(lens).collect()
    };
    let about = |uri: &str| json!({ "textDocument": { "uri": uri } });
    let lenses = session.ask("textDocument/codeLens", about(CREAM))["result"].clone();
    let expected = [
        (1, "total 100 % = 200 g"),
        (1, "variants: 1"),
        (1, "weigh out"),
        (1, "label"),
        (3, "88 % = 176 g"),
        (5, "12 % = 24 g"),
    ];
    assert_eq!(told(&lenses), expected.map(|(line, title)| (line, title.to_owned())));
    let command = &lenses[0]["command"];
    assert_eq!(command["command"], "levigate.showSheet");
    assert_eq!(
        run(&mut session, "levigate.showSheet", command["arguments"].clone())["result"],
        "sheet of Cream"
    );
    let command = &lenses[3]["command"];
    assert_eq!(command["command"], "levigate.showLabel");
    assert_eq!(command["arguments"], json!([CREAM, "Cream"]));
    session.open("file:///w/stock.formula", stock);
    let lenses = session.ask("textDocument/codeLens", about("file:///w/stock.formula"))["result"].clone();
    assert_eq!(lenses[0]["command"], Value::Null);
    let used = session.ask("codeLens/resolve", lenses[0].clone())["result"]["command"].clone();
    assert_eq!(used["title"], "used in 2 formulas");
    assert_eq!(run(&mut session, used["command"].as_str().unwrap(), json!([]))["result"], Value::Null);
    let off = json!({ "settings": { "levigate": { "lenses": false } } });
    session.tell("workspace/didChangeConfiguration", off);
    assert_eq!(session.ask("textDocument/codeLens", about(CREAM))["result"], json!([]));
    assert_eq!(session.end(), 0);
}

#[test]
fn a_text_is_held_against_its_committed_version() {
    let committed = |path: &std::path::Path| {
        (path == std::path::Path::new("/w/cream.formula")).then(|| TWO.replace("batch 200", "batch 100"))
    };
    let setup = Setup { committed: Arc::new(committed), ..setup() };
    let mut session = Session::start_with(setup);
    let _ = session.ask("initialize", initialize(&["utf-8"]));
    session.tell("initialized", json!({}));
    session.open(CREAM, TWO);
    session.open("file:///w/other.formula", TWO);
    let about = |uri: &str| json!({ "textDocument": { "uri": uri } });
    let titles = |session: &mut Session, uri: &str| -> Vec<String> {
        let lenses = session.ask("textDocument/codeLens", about(uri))["result"].clone();
        let title = |lens: &Value| lens["command"]["title"].as_str().unwrap().to_owned();
        let all = lenses.as_array().unwrap().iter().map(title);
        all.filter(|title| title.contains("commit")).collect()
    };
    assert_eq!(titles(&mut session, CREAM), ["compare with the committed version", "as committed"]);
    assert_eq!(titles(&mut session, "file:///w/other.formula"), [""; 0]);
    let told = run(&mut session, "levigate.compare", json!([CREAM]))["result"].clone();
    let expected = format!("from {:?} to {TWO:?}", TWO.replace("batch 200", "batch 100"));
    assert_eq!(told, expected);
    // The open text is as it was, and its findings go on.
    session.change(CREAM, 2, json!([{ "text": TWO.replace("formula A", "formula C") }]));
    assert_eq!(titles(&mut session, CREAM), ["new since the last commit", "as committed"]);
    let refused = run(&mut session, "levigate.compare", json!(["file:///w/other.formula"]))["error"].clone();
    assert_eq!(refused["code"], -32803);
    assert!(refused["message"].as_str().unwrap().contains("no committed version"), "{refused}");
    assert_eq!(run(&mut session, "levigate.compare", json!([]))["error"]["code"], -32602);
    assert_eq!(session.end(), 0);

    // An editor that can show texts is asked to.
    let committed = |_: &std::path::Path| Some(TWO.to_owned());
    let mut session = Session::start_with(Setup { committed: Arc::new(committed), ..self::setup() });
    let mut params = initialize(&["utf-8"]);
    params["capabilities"]["window"] = json!({ "showDocument": { "support": true } });
    let _ = session.ask("initialize", params);
    session.tell("initialized", json!({}));
    session.open(CREAM, TWO);
    let (told, asked) = run_asking(&mut session, "levigate.compare", json!([CREAM]), "window/showDocument");
    assert_eq!(told["result"], Value::Null);
    let kept = asked["params"]["uri"].as_str().unwrap();
    assert!(kept.starts_with("file:///comparisons/cream-since-the-last-commit-"), "{kept}");
    session.answer(&asked, json!({ "success": true }));
    assert_eq!(session.end(), 0);
}

#[test]
fn a_slow_version_keeper_holds_nothing_else_up() {
    let (open, gate) = std::sync::mpsc::channel::<()>();
    let gate = std::sync::Mutex::new(gate);
    let committed = move |_: &std::path::Path| {
        let _ = gate.lock().unwrap().recv();
        None
    };
    let mut session = Session::start_with(Setup { committed: Arc::new(committed), ..setup() });
    let _ = session.ask("initialize", initialize(&["utf-8"]));
    session.tell("initialized", json!({}));
    session.open(CREAM, TWO);
    session.next += 1;
    let waiting = session.next;
    session.write(&request(waiting, "textDocument/codeLens", json!({ "textDocument": { "uri": CREAM } })));
    let outline = session.ask("textDocument/documentSymbol", json!({ "textDocument": { "uri": CREAM } }));
    assert!(outline["result"].is_array(), "{outline}");
    drop(open);
    let lenses = session.until(|message| message["id"] == waiting);
    assert!(lenses["result"].as_array().is_some_and(|lenses| !lenses.is_empty()), "{lenses}");
    assert_eq!(session.end(), 0);
}

#[test]
fn a_formula_is_scaled_by_edits_that_the_editor_makes() {
    let (session, commands) = begin(json!({}), json!({}));
    assert_eq!(commands, ["levigate.showSheet", "levigate.showLabel", "levigate.compare"]);
    assert_eq!(session.end(), 0);

    let edits = json!({ "applyEdit": true, "workspaceEdit": { "documentChanges": true } });
    let (mut session, commands) = begin(json!({}), edits);
    assert_eq!(commands, ["levigate.showSheet", "levigate.showLabel", "levigate.compare", "levigate.scale"]);
    let (told, asked) =
        run_asking(&mut session, "levigate.scale", json!([CREAM, "A", "1 kg"]), "workspace/applyEdit");
    assert_eq!(told["result"], Value::Null);
    assert_eq!(asked["params"]["label"], "Scale to 1 kg");
    let change = &asked["params"]["edit"]["documentChanges"][0];
    assert_eq!(change["textDocument"], json!({ "uri": CREAM, "version": 1 }));
    assert_eq!(change["edits"].as_array().unwrap().len(), 3, "{change}");
    session.answer(&asked, json!({ "applied": false, "failureReason": "the text is locked" }));
    let told = session.until(|message| message["method"] == "window/showMessage");
    assert_eq!(told["params"]["message"], "Scale to 1 kg: the text is locked");
    // What has to be rounded is told.
    session.change(CREAM, 2, json!([{ "text": "formula A\n  10 g water\n  20 g glycerin\n" }]));
    let (told, asked) =
        run_asking(&mut session, "levigate.scale", json!([CREAM, null, "100 g"]), "workspace/applyEdit");
    assert_eq!(told["result"], "2 amounts were rounded.");
    assert!(asked["params"]["edit"].to_string().contains("33.333 g"), "{asked}");
    for arguments in [json!([CREAM, "A", "a lot"]), json!([CREAM, "A"]), json!([CREAM, "C", "1 kg"])] {
        assert!(run(&mut session, "levigate.scale", arguments.clone())["error"].is_object(), "{arguments}");
    }
    assert_eq!(session.end(), 0);
}
