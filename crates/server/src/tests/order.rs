//! Texts stay right, versions never go back, and a fault costs no more than its own answer.

use super::*;
use desk::{Edits, Encoding, LineIndex, Place, Span};

const BASE: &str =
    "formula Crème µ ½ 𝛽\nversion 1\r\nphase A water\n 50 % water\n 20 % glycerin\n# ünë 🧴 end";

/// Small numbers that look random and are the same each time (Knuth's MMIX generator).
fn numbers(mut seed: u64) -> impl FnMut(u64) -> u64 {
    move |below| {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (seed >> 33) % below
    }
}

/// `count` changes of one step each, in one piece of bytes, and the text that they lead to.
fn changes(count: i32, encoding: Encoding, seed: u64) -> (Vec<u8>, String) {
    const PIECES: [&str; 8] = ["a", "", "µ", "𝛽", "\n", "🧴½", "\r\n", "20 % glycerin\n"];
    let mut number = numbers(seed);
    let (mut bytes, mut text) = (Vec::new(), BASE.to_owned());
    for version in 2..count + 2 {
        let index = LineIndex::new(&text);
        let mut place = || {
            let line = number(u64::from(index.lines())) as u32;
            let end = encoding.measure(index.line_span(&text, line).of(&text));
            Place { line, column: number(u64::from(end) + 2) as u32 }
        };
        let (one, other) = (place(), place());
        let (from, mut to) = (one.min(other), one.max(other));
        if to.line > from.line + 1 {
            to = from;
        }
        let piece = PIECES[number(8) as usize];
        let pair = |place: Place| (u64::from(place.line), u64::from(place.column));
        bytes.extend(change(CREAM, version, json!([replaced(pair(from), pair(to), piece)])));
        let span = Span::new(index.offset(&text, from, encoding), index.offset(&text, to, encoding));
        text = Edits::one(span, piece).apply(&text);
    }
    (bytes, text)
}

#[test]
fn three_thousand_changes_in_one_write() {
    for (encoding, name) in
        [(Encoding::Utf8, "utf-8"), (Encoding::Utf16, "utf-16"), (Encoding::Utf32, "utf-32")]
    {
        let mut session = Session::begun(&[name]);
        session.open(CREAM, BASE);
        let (bytes, text) = changes(3000, encoding, 7);
        session.write(&bytes);
        let mut last = 0;
        let mut told = 0;
        while last < 3001 {
            let message = session.until(|message| message["method"] == "textDocument/publishDiagnostics");
            let version = message["params"]["version"].as_i64().unwrap();
            assert!(version > last, "{version} after {last}");
            last = version;
            told += 1;
        }
        assert_eq!(session.text("/w/cream.formula"), text, "{name}");
        assert!(told < 1000, "{told} versions of a burst were told");
        assert_eq!(session.end(), 0);
    }
}

#[test]
fn changed_step_by_step_or_opened_afresh_is_the_same() {
    const FRESH: &str = "file:///w/fresh.formula";
    for (encoding, name) in
        [(Encoding::Utf8, "utf-8"), (Encoding::Utf16, "utf-16"), (Encoding::Utf32, "utf-32")]
    {
        let mut session = Session::begun(&[name]);
        session.open(CREAM, BASE);
        let (bytes, text) = changes(60, encoding, 11);
        session.write(&bytes);
        let by_steps = session.findings(CREAM, 61);
        let tidied = session.ask("textDocument/formatting", formatting(CREAM));
        session.tell("textDocument/didClose", json!({ "textDocument": { "uri": CREAM } }));
        session.open(FRESH, &text);
        let fresh = session.findings(FRESH, 1).to_string().replace("fresh.formula", "cream.formula");
        assert_eq!(
            by_steps["params"]["diagnostics"],
            serde_json::from_str::<Value>(&fresh).unwrap()["params"]["diagnostics"]
        );
        assert_eq!(tidied["result"], session.ask("textDocument/formatting", formatting(FRESH))["result"]);
        assert_eq!(session.end(), 0);
    }
}

#[test]
fn places_outside_are_clamped() {
    let mut session = Session::begun(&[]);
    session.open(CREAM, "ab\ncd\n");
    let steps = json!([
        replaced((0, 99), (0, 99), "1"),
        replaced((99, 0), (4_000_000_000, 5), "2"),
        replaced((1, 1), (0, 1), "-"),
        { "range": { "start": { "line": -3, "character": -1 }, "end": { "line": 0, "character": 0 } }, "text": "0" },
    ]);
    session.change(CREAM, 2, steps);
    let _ = session.findings(CREAM, 2);
    assert_eq!(session.text("/w/cream.formula"), "0a-d\n2");
    session.change(CREAM, 3, json!([{ "text": "all new" }, replaced((0, 0), (0, 3), "quite")]));
    let _ = session.findings(CREAM, 3);
    assert_eq!(session.text("/w/cream.formula"), "quite new");
    assert_eq!(session.end(), 0);
}

/// Half a pair is one unit of UTF-16 and three bytes of UTF-8, in the editor's text as in ours.
#[test]
fn half_a_letter_costs_no_change_and_moves_no_column() {
    for (encoding, after) in [("utf-8", 13), ("utf-16", 11), ("utf-32", 11)] {
        let mut session = Session::begun(&[encoding]);
        session.open(CREAM, "formula A\n");
        let half = change(CREAM, 2, json!([replaced((0, 9), (0, 9), " HALF")]));
        let half = String::from_utf8(half).unwrap().replace(" HALF", r" \ud83e");
        let (_, body) = half.split_once("\r\n\r\n").unwrap();
        session.write(format!("Content-Length: {}\r\n\r\n{body}", body.len()).as_bytes());
        let _ = session.findings(CREAM, 2);
        assert_eq!(session.text("/w/cream.formula"), "formula A \u{fffd}\n", "{encoding}");
        session.change(CREAM, 3, json!([replaced((0, after), (0, after), "z")]));
        let _ = session.findings(CREAM, 3);
        assert_eq!(session.text("/w/cream.formula"), "formula A \u{fffd}z\n", "{encoding}");
        assert_eq!(session.end(), 0);
    }
}

#[test]
fn a_fault_costs_its_own_answer_only() {
    let mut session = Session::begun(&[]);
    session.open(CREAM, "stumble\n");
    let log = session.until(|message| message["method"] == "window/logMessage");
    let words = log["params"]["message"].as_str().unwrap();
    assert!(words.contains(CREAM) && words.contains("planted"), "{words}");
    let shown = session.findings(CREAM, 1);
    assert_eq!(shown["params"]["diagnostics"][0]["severity"], 3);
    assert_eq!(session.ask("textDocument/formatting", formatting(CREAM))["error"]["code"], -32603);
    session.change(CREAM, 2, json!([replaced((0, 0), (0, 7), "formula A")]));
    let shown = session.findings(CREAM, 2);
    let first = shown["params"]["diagnostics"][0]["message"].as_str().unwrap_or_default();
    assert!(!first.contains("could not be checked"), "{shown}");
    assert!(session.ask("textDocument/formatting", formatting(CREAM))["result"].is_array());
    assert_eq!(session.end(), 0);
}

#[test]
fn closing_takes_the_findings_away() {
    let mut session = Session::begun(&[]);
    session.open("untitled:Untitled-1", "formula A\n");
    let _ = session.findings("untitled:Untitled-1", 1);
    session.tell("textDocument/didClose", json!({ "textDocument": { "uri": "untitled:Untitled-1" } }));
    let gone = session.until(|message| message["method"] == "textDocument/publishDiagnostics");
    assert_eq!(gone["params"], json!({ "uri": "untitled:Untitled-1", "diagnostics": [] }));
    assert_eq!(
        session.ask("textDocument/formatting", formatting("untitled:Untitled-1"))["result"],
        Value::Null
    );
    session.change(CREAM, 5, json!([{ "text": "never opened" }]));
    let log = session.until(|message| message["method"] == "window/logMessage");
    assert!(log["params"]["message"].as_str().unwrap().contains("not open"));
    assert_eq!(session.end(), 0);
}

#[test]
fn tidying_leads_to_the_text_that_the_desk_means() {
    let text = "formula Crème 𝛽\nversion 1\nphase A water\n50 %   water # µ 🧴\n20% glycerin\n";
    let mut session = Session::begun(&["utf-16"]);
    session.open(CREAM, text);
    let answer = session.ask("textDocument/formatting", formatting(CREAM));
    let index = LineIndex::new(text);
    let offset = |place: &Value| {
        let number = |name: &str| place[name].as_u64().unwrap() as u32;
        let place = Place { line: number("line"), column: number("character") };
        index.offset(text, place, Encoding::Utf16)
    };
    let edits = answer["result"].as_array().unwrap().iter().map(|edit| desk::Edit {
        span: Span::new(offset(&edit["range"]["start"]), offset(&edit["range"]["end"])),
        text: edit["newText"].as_str().unwrap().to_owned(),
    });
    let tidied = Edits::new(edits.collect()).unwrap().apply(text);
    let meant = desk::tidy(text, &desk::read(text)).apply(text);
    assert_eq!(tidied, meant);
    assert_ne!(tidied, text);
    assert_eq!(session.end(), 0);
}

fn formatting(uri: &str) -> Value {
    json!({ "textDocument": { "uri": uri }, "options": { "tabSize": 4, "insertSpaces": true } })
}
