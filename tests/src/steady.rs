//! Over the wire: whatever was edited and taken back, the answers are those of a fresh open, in all three countings.

use crate::editor::{Counting, Disk, Editor, uri};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use serde_json::{Value, json};
use std::sync::Arc;

const START: &str = "# Crème de l'atelier 🧴\nformula Crème légère\nproduct cream, face\nbatch 200 g\npH 5.0 to 5.5\n\nphase A water; heat to 75 °C # ½ 🧴\n  to  100     %     purified water\n        5     %     glycerin\n\nphase B oil; heat to 75 °C\n       10     %     jojoba oil; \"½ 🧴\"\n        3     %     cetyl alcohol\n\nphase C\n        0.5   %     benzyl alcohol\nstep stir glycerin into A at 40 °C\n\nvariant léger\nomit jojoba oil\n\nformula Second\nproduct balm\n       60     %     huile d'été 🌞\n       40     %     shea butter\n\nrecord 26-1\nof Second version 2\nbatch 100 g\nweighed 70 g huile d'été 🌞; lot H-1\n";

/// One thing that a hand does.
#[derive(Clone, Debug)]
enum Hand {
    /// From a share of the text, over some characters, new text: shares of a thousand.
    Types(usize, usize, String),
    /// Two places at once, as a replacement of a word does.
    TypesTwice(usize, usize, String),
    Undoes,
}

fn piece() -> impl Strategy<Value = String> {
    prop_oneof![
        Just(String::new()),
        Just("\n".to_owned()),
        Just("\r\n".to_owned()),
        Just("𝛽".to_owned()),
        Just("½ 🧴".to_owned()),
        Just("\nformula Neu\n".to_owned()),
        Just("\nphase D; heat to 80 °C\n 5 % µ-crystals ½\n".to_owned()),
        Just("  20 % shea butter # 🧴\n".to_owned()),
        Just("#".to_owned()),
        "[a-z0-9 %;,\n\"é🌞]{0,8}",
    ]
}

fn hand() -> impl Strategy<Value = Hand> {
    prop_oneof![
        4 => (0..1000usize, 0..30usize, piece()).prop_map(|(at, over, new)| Hand::Types(at, over, new)),
        1 => (0..1000usize, 0..1000usize, piece()).prop_map(|(at, other, new)| Hand::TypesTwice(at, other, new)),
        2 => Just(Hand::Undoes),
    ]
}

/// The byte at a share of a text.
fn byte(text: &str, share: usize) -> usize {
    text.floor_char_boundary(text.len() * share / 1000)
}

fn do_it(editor: &mut Editor, uri: &str, hand: &Hand) {
    let text = editor.text(uri).expect("an open text").to_owned();
    match hand {
        Hand::Types(at, over, new) => {
            let at = byte(&text, *at);
            let end = text[at..].char_indices().nth(*over).map_or(text.len(), |(end, _)| at + end);
            editor.edit(uri, &vec![(at..end, new.clone())]);
        }
        Hand::TypesTwice(one, other, new) => {
            let (one, other) = (byte(&text, *one.min(other)), byte(&text, *one.max(other)));
            let edits = [one..one, other..other].map(|bytes| (bytes, new.clone())).to_vec();
            editor.edit(uri, &if one == other { edits[..1].to_vec() } else { edits });
        }
        Hand::Undoes => {
            let _ = editor.undo(uri);
        }
    }
}

/// What is shown of a text: its findings, hints and colours, and its tidy form.
fn shown(editor: &mut Editor, uri: &str) -> Vec<Value> {
    let version = editor.version(uri).expect("an open text");
    let about = json!({ "uri": uri });
    let text = editor.text(uri).expect("an open text").to_owned();
    let range = editor.counting.range(&text, &(0..text.len()));
    let findings = editor.until(|message| {
        message["method"] == "textDocument/publishDiagnostics"
            && message["params"]["uri"] == *uri
            && message["params"]["version"] == version
    });
    let mut ask = |method: &str, mut params: Value| {
        params["textDocument"] = about.clone();
        editor.asked(method, params)
    };
    vec![
        findings["params"]["diagnostics"].clone(),
        ask("textDocument/inlayHint", json!({ "range": range })),
        ask("textDocument/semanticTokens/full", json!({}))["data"].clone(),
        ask("textDocument/documentSymbol", json!({})),
        ask("textDocument/formatting", json!({ "options": { "tabSize": 2, "insertSpaces": true } })),
    ]
}

/// The colours after the edits of a delta.
fn apply_delta(data: &mut Vec<Value>, delta: &Value) {
    if let Some(all) = delta["data"].as_array() {
        *data = all.clone();
        return;
    }
    let number = |value: &Value| value.as_u64().expect("a number") as usize;
    for edit in delta["edits"].as_array().expect("edits").iter().rev() {
        let start = number(&edit["start"]);
        let new = edit["data"].as_array().cloned().unwrap_or_default();
        let _ = data.splice(start..start + number(&edit["deleteCount"]), new);
    }
}

/// After all that the hands did in one session, everything is as if the last text had been opened in another.
fn hands_leave_no_trace(counting: Counting, hands: &[Hand]) -> Result<(), TestCaseError> {
    let worked = uri("worked.formula");
    let mut editor = Editor::begun(counting);
    editor.open(&worked, START);
    let about = json!({ "textDocument": { "uri": worked } });
    let first = editor.asked("textDocument/semanticTokens/full", about.clone());
    let mut colours = first["data"].as_array().cloned().expect("colours");
    let mut known = first["resultId"].clone();
    for (at, hand) in hands.iter().enumerate() {
        do_it(&mut editor, &worked, hand);
        // Looking now and then keeps what was found, and must not keep too much.
        if at % 3 == 2 {
            let mut params = about.clone();
            params["previousResultId"] = known;
            let delta = editor.asked("textDocument/semanticTokens/full/delta", params);
            known = delta["resultId"].clone();
            apply_delta(&mut colours, &delta);
        }
    }
    let mut params = about.clone();
    params["previousResultId"] = known;
    let delta = editor.asked("textDocument/semanticTokens/full/delta", params);
    apply_delta(&mut colours, &delta);
    // The findings of the last version are shown once; a version that nobody has heard of makes sure of that.
    let end = editor.text(&worked).expect("an open text").len();
    editor.edit(&worked, &vec![(end..end, "\n".to_owned())]);
    let _ = editor.undo(&worked);
    let text = editor.text(&worked).expect("an open text").to_owned();
    let by_hand = shown(&mut editor, &worked);
    prop_assert_eq!(editor.end(), 0);

    let mut fresh = Editor::begun(counting);
    fresh.open(&worked, &text);
    let expected = shown(&mut fresh, &worked);
    prop_assert_eq!(fresh.end(), 0);
    prop_assert_eq!(&Value::Array(colours), &expected[2], "colours by their differences");
    for (by_hand, expected) in by_hand.iter().zip(&expected) {
        prop_assert_eq!(by_hand, expected, "{:?} of\n{}", counting, text);
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, rng_seed: RngSeed::Fixed(20_261_124), ..ProptestConfig::default() })]

    #[test]
    fn what_was_edited_is_as_if_opened_afresh(hands in prop::collection::vec(hand(), 1..12), counting in 0..3usize) {
        hands_leave_no_trace(Counting::ALL[counting], &hands)?;
    }
}

/// An editor that asks for findings: its files are not looked through, so none of them is known yet.
fn unaware(disk: &Arc<Disk>) -> Editor {
    let mut editor = Editor::start(Arc::clone(disk));
    let can = json!({ "textDocument": { "diagnostic": {} } });
    let _ =
        editor.asked("initialize", json!({ "processId": null, "rootUri": "file:///w", "capabilities": can }));
    editor.tell("initialized", json!({}));
    editor
}

/// Questions that wait for a slow disk hold nothing up, and each can be called off.
#[test]
fn what_takes_long_holds_nothing_up_and_can_be_called_off() {
    let disk = Arc::new(Disk::default());
    disk.write("far.formula", Some("formula Far\nphase A\n 100 % shea butter\n".to_owned()));
    let near = uri("near.formula");
    let mut editor = unaware(&disk);
    editor.open(&near, "formula Near\nphase A\n 90 % shea butter\n");
    let about = json!({ "textDocument": { "uri": near } });
    let before = editor.asked("textDocument/diagnostic", about.clone());
    disk.hold(true);
    let place = json!({ "line": 2, "character": 8 });
    let slow: Vec<i64> = (0..40)
        .map(|_| {
            let context = json!({ "includeDeclaration": true });
            editor.ask(
                "textDocument/references",
                json!({ "textDocument": { "uri": near }, "position": place, "context": context }),
            )
        })
        .collect();
    let nine = editor.text(&near).and_then(|text| text.find('9')).expect("a nine");
    editor.edit(&near, &vec![(nine..nine + 2, "100".to_owned())]);
    let after = editor.asked("textDocument/diagnostic", about);
    assert_ne!(before["items"], after["items"]);
    let (called_off, rest) = slow.split_at(30);
    for id in called_off {
        editor.tell("$/cancelRequest", json!({ "id": id }));
        let answer = editor.until(|message| message["id"] == *id && message.get("method").is_none());
        assert_eq!(answer["error"]["code"], -32800, "{answer}");
    }
    disk.hold(false);
    let mut answered = 0;
    while answered < rest.len() {
        let answer = editor.until(|message| message.get("method").is_none());
        assert!(rest.contains(&answer["id"].as_i64().expect("a number")), "{answer}");
        assert_eq!(answer["result"].as_array().map(Vec::len), Some(2), "{answer}");
        answered += 1;
    }
    assert_eq!(editor.end(), 0);
}

/// A folder of many files is walked beside the actor: while the walk takes its time, typing goes on.
#[test]
fn the_first_name_of_a_file_holds_no_typing_up() {
    let disk = Arc::new(Disk::default());
    for number in 0..10_000 {
        disk.write(&format!("base-{number:04}.formula"), Some(format!("formula Base {number}\n")));
    }
    let near = uri("near.formula");
    let mut editor = unaware(&disk);
    let text = "formula Near\nphase A\n 90 % shea butter\n\nformula Other\ninclude \n";
    editor.open(&near, text);
    let about = json!({ "textDocument": { "uri": near } });
    let before = editor.asked("textDocument/diagnostic", about.clone());
    disk.hold_walks(true);
    let place = json!({ "line": 5, "character": 8 });
    let asking = json!({ "textDocument": { "uri": near }, "position": place });
    let names = editor.ask("textDocument/completion", asking.clone());
    let again = editor.ask("textDocument/completion", asking);
    let nine = editor.text(&near).and_then(|text| text.find('9')).expect("a nine");
    editor.edit(&near, &vec![(nine..nine + 2, "100".to_owned())]);
    let after = editor.asked("textDocument/diagnostic", about);
    assert_ne!(before["items"], after["items"]);
    // What the text alone tells is offered at once.
    let units = json!({ "textDocument": { "uri": near }, "position": { "line": 2, "character": 5 } });
    let offered = editor.asked("textDocument/completion", units);
    assert_eq!(offered["items"][0]["label"], "%");
    disk.hold_walks(false);
    let mut waiting = vec![names, again];
    while !waiting.is_empty() {
        let answer = editor.until(|message| message.get("method").is_none());
        let (first, asked) = (waiting.len(), answer["id"].as_i64());
        waiting.retain(|id| asked != Some(*id));
        assert_eq!(waiting.len(), first - 1, "{answer}");
        let found = &answer["result"];
        assert_eq!(found["items"][0]["label"], "base-0000.formula", "{answer}");
        assert_eq!(
            (found["items"].as_array().map(Vec::len), &found["isIncomplete"]),
            (Some(100), &json!(true))
        );
    }
    assert_eq!(editor.end(), 0);
}
