//! Looks at each message before tower-lsp does, since that ends the session over a body it cannot decode, and refuses
//! some spellings that clients really use.

use crate::surrogates::replace_lone;
use serde_json::error::Category;
use serde_json::{Value, json};
use tower_lsp::jsonrpc::{ErrorCode, Id, Request, Response};

/// A message from the editor, looked at.
#[derive(Debug)]
pub(crate) enum Inbound {
    /// To be handed on.
    Message(Message),
    /// The body of the answer to a message that cannot be handed on.
    Refused(Vec<u8>),
    /// `exit`.
    Exit,
}

/// A message that can be handed on.
#[derive(Debug)]
pub(crate) struct Message {
    /// The body.
    pub(crate) body: Vec<u8>,
    /// The number under which a request waits for its answer; none for notifications and answers.
    pub(crate) id: Option<Id>,
    /// What is special about it.
    pub(crate) role: Role,
}

/// Messages that the door itself takes note of.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Role {
    /// The first request, with the number of the editor's process.
    Initialize(Option<u32>),
    /// The last request.
    Shutdown,
    /// Everything else.
    Plain,
}

/// Looks at the body of a message.
pub(crate) fn inspect(mut body: Vec<u8>) -> Inbound {
    replace_lone(&mut body);
    match serde_json::from_slice::<Request>(&body) {
        Ok(request) if !request.method().is_empty() => inspect_request(request, body),
        Err(error) if error.classify() != Category::Data => {
            refusal(ErrorCode::ParseError, &error.to_string())
        }
        _ if serde_json::from_slice::<Response>(&body).is_ok() => {
            Inbound::Message(Message { body, id: None, role: Role::Plain })
        }
        // An error of form can come before an error of writing.
        _ => match serde_json::from_slice::<Value>(&body) {
            Ok(_) => refusal(ErrorCode::InvalidRequest, "neither a request, a notification nor an answer"),
            Err(error) => refusal(ErrorCode::ParseError, &error.to_string()),
        },
    }
}

/// The body of an answer that belongs to no request.
pub(crate) fn refusal(code: ErrorCode, why: &str) -> Inbound {
    let answer = json!({ "jsonrpc": "2.0", "id": null, "error": { "code": code.code(), "message": why } });
    Inbound::Refused(answer.to_string().into_bytes())
}

fn inspect_request(request: Request, body: Vec<u8>) -> Inbound {
    if request.method() == "exit" {
        return Inbound::Exit;
    }
    if request.id() == Some(&Id::Null) {
        return refusal(ErrorCode::InvalidRequest, "a request needs a number or a text as its id");
    }
    let id = request.id().cloned();
    let role = match request.method() {
        "initialize" => Role::Initialize(process_id(request.params())),
        "shutdown" => Role::Shutdown,
        _ => Role::Plain,
    };
    let body = cleaned(request).unwrap_or(body);
    Inbound::Message(Message { body, id, role })
}

fn process_id(params: Option<&Value>) -> Option<u32> {
    params?.get("processId")?.as_u64()?.try_into().ok()
}

/// The message in a form that tower-lsp takes; none where it is well as it stands.
fn cleaned(request: Request) -> Option<Vec<u8>> {
    let ill = match (request.method(), request.params()) {
        (_, None) => false,
        ("shutdown", Some(_)) | (_, Some(Value::Null)) => true,
        ("initialize", Some(params)) => params.pointer(DIAGNOSTICS).is_some(),
        ("textDocument/didChange", Some(params)) => places(params).any(|number| !fits(number)),
        _ => false,
    };
    if !ill {
        return None;
    }
    let (method, id, params) = request.into_parts();
    let mut builder = Request::build(method.clone());
    if let Some(id) = id {
        builder = builder.id(id);
    }
    if let Some(mut params) = params.filter(|params| method != "shutdown" && !params.is_null()) {
        clamp_places(&mut params);
        name_diagnostics(&mut params);
        builder = builder.params(params);
    }
    Some(builder.finish().to_string().into_bytes())
}

/// Where an editor says what it can do about the findings of a workspace.
const DIAGNOSTICS: &str = "/capabilities/workspace/diagnostics";

/// The protocol calls it `diagnostics`, tower-lsp's types `diagnostic`.
fn name_diagnostics(params: &mut Value) {
    let Some(said) = params.pointer(DIAGNOSTICS).cloned() else { return };
    if let Some(Value::Object(workspace)) = params.pointer_mut("/capabilities/workspace") {
        let _ = workspace.entry("diagnostic").or_insert(said);
    }
}

const ENDS: [&str; 2] = ["start", "end"];
const NUMBERS: [&str; 2] = ["line", "character"];

/// The numbers of all places in the params of a `didChange`. A change that is dropped for a number below 0 would leave
/// us with another text than the editor's for the rest of the session.
fn places(params: &Value) -> impl Iterator<Item = &Value> {
    let changes = params.get("contentChanges").and_then(Value::as_array).into_iter().flatten();
    changes
        .filter_map(|change| change.get("range"))
        .flat_map(|range| ENDS.iter().filter_map(move |end| range.get(end)))
        .flat_map(|place| NUMBERS.iter().filter_map(move |number| place.get(number)))
}

fn fits(number: &Value) -> bool {
    number.as_u64().is_some_and(|number| u32::try_from(number).is_ok())
}

fn clamp_places(params: &mut Value) {
    let changes = params.get_mut("contentChanges").and_then(Value::as_array_mut).into_iter().flatten();
    for change in changes {
        for end in ENDS {
            for number in NUMBERS {
                let place = change.get_mut("range").and_then(|range| range.get_mut(end));
                if let Some(number) =
                    place.and_then(|place| place.get_mut(number)).filter(|number| !fits(number))
                {
                    let big = number.as_f64().is_some_and(|number| number >= f64::from(u32::MAX));
                    let within = number.as_f64().filter(|number| *number >= 0.0);
                    *number = match within {
                        _ if big => Value::from(u32::MAX),
                        Some(within) => format!("{within:.0}").parse().map_or(Value::from(0), Value::Number),
                        None => Value::from(0),
                    };
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn handed_on(text: &str) -> Value {
        match inspect(text.as_bytes().to_vec()) {
            Inbound::Message(message) => serde_json::from_slice(&message.body).unwrap(),
            other => panic!("{other:?}"),
        }
    }

    fn refused_with(text: &str) -> i64 {
        match inspect(text.as_bytes().to_vec()) {
            Inbound::Refused(body) => {
                serde_json::from_slice::<Value>(&body).unwrap()["error"]["code"].as_i64().unwrap()
            }
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn empty_params_are_taken_away() {
        for params in ["null", "{}", "[]"] {
            let text = format!(r#"{{"jsonrpc":"2.0","id":"x","method":"shutdown","params":{params}}}"#);
            assert_eq!(handed_on(&text), json!({ "jsonrpc": "2.0", "id": "x", "method": "shutdown" }));
        }
        let text = r#"{"jsonrpc":"2.0","method":"other","params":null}"#;
        assert_eq!(handed_on(text), json!({ "jsonrpc": "2.0", "method": "other" }));
    }

    #[test]
    fn what_would_end_the_session_is_refused() {
        assert_eq!(refused_with("{"), -32700);
        assert_eq!(refused_with(""), -32700);
        assert_eq!(refused_with("\u{feff}{}"), -32700);
        assert_eq!(refused_with("[]"), -32600);
        assert_eq!(refused_with(r#"{"jsonrpc":"1.0","id":1,"method":"x"}"#), -32600);
        assert_eq!(refused_with(r#"{"jsonrpc":"2.0","id":1.5,"method":"x"}"#), -32600);
        assert_eq!(refused_with(r#"{"jsonrpc":"2.0","id":null,"method":"x"}"#), -32600);
        assert_eq!(refused_with(r#"{"jsonrpc":"2.0","id":1,"error":{"code":1}}"#), -32600);
        assert_eq!(refused_with(&"[".repeat(100_000)), -32700);
    }

    #[test]
    fn places_that_are_no_numbers_of_ours_are_clamped() {
        let text = r#"{"jsonrpc":"2.0","method":"textDocument/didChange","params":{"contentChanges":[
            {"range":{"start":{"line":-1,"character":2},"end":{"line":99999999999,"character":1.5}},"text":""}]}}"#;
        let range = handed_on(text)["params"]["contentChanges"][0]["range"].clone();
        assert_eq!(range["start"], json!({ "line": 0, "character": 2 }));
        assert_eq!(range["end"], json!({ "line": u32::MAX, "character": 2 }));
    }

    #[test]
    fn half_a_letter_loses_no_change() {
        let text = r#"{"jsonrpc":"2.0","method":"textDocument/didChange","params":{"contentChanges":[{"text":"\ud83e"}]}}"#;
        assert_eq!(handed_on(text)["params"]["contentChanges"][0]["text"], "\u{fffd}");
    }

    #[test]
    fn good_messages_pass_byte_for_byte() {
        let text = r#"{ "jsonrpc":"2.0", "method":"textDocument/didChange", "params":{"contentChanges":[{"text":"µ"}]}}"#;
        match inspect(text.as_bytes().to_vec()) {
            Inbound::Message(message) => assert_eq!(message.body, text.as_bytes()),
            other => panic!("{other:?}"),
        }
    }
}
