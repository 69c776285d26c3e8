//! What is told of which text, and when.

use super::*;

const OPEN_SUM: &str =
    "product cream, leave-on, face\n\nphase A water\n  50 % purified water\n  20 % glycerin\n\n";

#[test]
fn a_finding_names_its_rule_and_links_to_its_page() {
    let mut session = Session::begun(&[]);
    session.open(CREAM, &format!("formula A\n{OPEN_SUM}"));
    let shown = session.findings(CREAM, 1);
    let found = shown["params"]["diagnostics"].as_array().unwrap();
    let sum = found.iter().find(|found| found["code"] == "total-not-100").unwrap();
    assert_eq!(sum["codeDescription"]["href"], "file:///pages/total-not-100.md");
    assert_eq!(sum["source"], "levigate");
    assert_eq!(session.end(), 0);
}

#[test]
fn no_more_than_two_hundred_are_shown_and_the_rest_is_counted() {
    let mut session = Session::begun(&[]);
    let text = format!("formula Cream\n{OPEN_SUM}").repeat(250);
    session.open(CREAM, &text);
    let shown = session.findings(CREAM, 1);
    let found = shown["params"]["diagnostics"].as_array().unwrap();
    assert_eq!(found.len(), 201);
    let levels: Vec<i64> = found.iter().map(|found| found["severity"].as_i64().unwrap()).collect();
    assert!(levels[..200].is_sorted(), "{levels:?}");
    let last = &found[200];
    assert_eq!((&last["severity"], &last["range"]["start"]["line"]), (&json!(3), &json!(0)));
    let more: i64 = last["message"].as_str().unwrap().split(' ').next().unwrap().parse().unwrap();
    assert!(more >= 50, "{last}");
    assert_eq!(session.end(), 0);
}

#[test]
fn a_text_that_reads_another_is_told_of_when_that_changes_and_only_then() {
    const BASE: &str = "file:///w/base.formula";
    const OTHER: &str = "file:///w/other.formula";
    let mut session = Session::begun(&[]);
    let published = |session: &mut Session| {
        session.until(|message| message["params"]["uri"] == CREAM && message["params"]["version"] == 1)
    };
    session.open(CREAM, "formula A\ninclude base.formula as Soft base\nphase A oil\n  100 % Soft base\n");
    let alone = published(&mut session);
    session.open(BASE, "formula Soft base\nphase A oil\n  100 % shea butter\n");
    let together = published(&mut session);
    assert_ne!(alone["params"]["diagnostics"], together["params"]["diagnostics"]);
    session.tell("textDocument/didClose", json!({ "textDocument": { "uri": BASE } }));
    assert_eq!(published(&mut session), alone);

    session.open(OTHER, "formula Other\n");
    session.tell("workspace/didChangeWatchedFiles", json!({ "changes": [] }));
    let _ = session.ask("shutdown", Value::Null);
    session.tell("exit", Value::Null);
    let late = session.rest();
    assert!(late.iter().all(|message| message["params"]["uri"] != CREAM), "{late:?}");
    assert_eq!(session.status(), 0);
}
