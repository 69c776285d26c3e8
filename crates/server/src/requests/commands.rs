//! Commands: what an editor can ask to be done.

use super::edits::{Changed, workspace_edit};
use crate::Paper;
use crate::address::{address, path};
use crate::capabilities::Facts;
use crate::state::State;
use crate::to_lsp::text_edits;
use crate::voice::Saying;
use serde_json::{Value, json};
use tower_lsp::jsonrpc::{Error, ErrorCode, Result};
use tower_lsp::lsp_types::{Command, ExecuteCommandParams, Url};

/// Shows a formula with everything worked out: the text's address, and the formula's name (all of the text without).
const SHOW_SHEET: &str = "levigate.showSheet";
/// Shows the words for a formula's label: arguments as above.
const SHOW_LABEL: &str = "levigate.showLabel";
/// Shows what changed since the text was committed: its address.
const COMPARE: &str = "levigate.compare";
/// Scales a formula: the text's address, the formula's name (null for the first), and the new batch, `2 kg`.
const SCALE: &str = "levigate.scale";

/// The commands that work with this editor.
pub(crate) fn commands(facts: Facts) -> Vec<String> {
    let scale = facts.applies_edits.then_some(SCALE);
    [SHOW_SHEET, SHOW_LABEL, COMPARE].into_iter().chain(scale).map(str::to_owned).collect()
}

/// The command that shows a paper of a formula.
pub(crate) fn show(paper: Paper, title: String, uri: &Url, formula: &str) -> Command {
    let command = match paper {
        Paper::Sheet => SHOW_SHEET,
        Paper::Label => SHOW_LABEL,
    };
    Command { title, command: command.to_owned(), arguments: Some(vec![json!(uri), json!(formula)]) }
}

/// The command that shows what changed in a text since it was committed.
pub(crate) fn compare(title: String, uri: &Url) -> Command {
    Command { title, command: COMPARE.to_owned(), arguments: Some(vec![json!(uri)]) }
}

/// The text that a command wants to be compared with its committed version; none for other commands.
///
/// # Errors
/// For arguments that are not understood.
pub(crate) fn compares(params: &ExecuteCommandParams) -> Result<Option<Url>> {
    if params.command == COMPARE { uri(&params.arguments).map(Some) } else { Ok(None) }
}

/// Shows what changed in a text; the value is it itself, for an editor that could not be shown it.
pub(crate) fn show_comparison(state: &mut State, uri: &Url, told: String) -> Option<Value> {
    let stem = path(uri).file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
    show_text(state, "comparison", uri, Some(&format!("{stem} since the last commit")), told)
}

/// Does what a command says; the value is a text for an editor that could not be shown one, or a remark.
///
/// # Errors
/// For commands that are none of ours, arguments that are not understood, and where it cannot be done.
pub(crate) fn execute(state: &mut State, params: &ExecuteCommandParams) -> Result<Option<Value>> {
    match params.command.as_str() {
        // A lens that only tells something.
        "" => Ok(None),
        SHOW_SHEET => paper(state, Paper::Sheet, &params.arguments),
        SHOW_LABEL => paper(state, Paper::Label, &params.arguments),
        SCALE => scale(state, &params.arguments),
        other => Err(Error::invalid_params(format!("There is no command {other}."))),
    }
}

fn text(arguments: &[Value], at: usize) -> Option<&str> {
    arguments.get(at).and_then(Value::as_str)
}

fn uri(arguments: &[Value]) -> Result<Url> {
    let uri = text(arguments, 0).and_then(|uri| Url::parse(uri).ok());
    uri.ok_or_else(|| Error::invalid_params("The first argument is the address of an open text."))
}

pub(super) fn refused(why: impl Into<String>) -> Error {
    Error { code: ErrorCode::ServerError(-32803), message: why.into().into(), data: None }
}

fn paper(state: &mut State, paper: Paper, arguments: &[Value]) -> Result<Option<Value>> {
    let uri = uri(arguments)?;
    let name = text(arguments, 1);
    let text =
        state.paper(paper, &uri, name).ok_or_else(|| refused("There is no such formula in an open text."))?;
    Ok(show_text(state, paper.word(), &uri, name, text))
}

/// Lays a text where the editor can show it, under a name; the value is the text where that is not to be had.
fn show_text(state: &mut State, kind: &str, uri: &Url, name: Option<&str>, text: String) -> Option<Value> {
    let shown = state.facts().shows_documents.then(|| state.keep_paper(kind, uri, name, &text)).flatten();
    match shown.as_deref().and_then(address) {
        Some(kept) => {
            state.say(Saying::Show(kept));
            None
        }
        None => Some(Value::String(text)),
    }
}

fn scale(state: &mut State, arguments: &[Value]) -> Result<Option<Value>> {
    let uri = uri(arguments)?;
    let batch = text(arguments, 2)
        .ok_or_else(|| Error::invalid_params("The third argument is the new batch, such as `2 kg`."))?;
    let facts = state.facts();
    let page = state.page(&uri).ok_or_else(|| refused("The text is not open."))?;
    let scaled = page.scaled(text(arguments, 1), batch).map_err(refused)?;
    let edits = text_edits(&scaled.edits, &page, facts.encoding);
    let changed = Changed { version: state.version(&uri), uri, creates: false, edits };
    state.say(Saying::Apply(format!("Scale to {}", batch.trim()), workspace_edit(facts, vec![changed])));
    let remark = match scaled.rounded {
        0 => return Ok(None),
        1 => "One amount was rounded.".to_owned(),
        more => format!("{more} amounts were rounded."),
    };
    Ok(Some(Value::String(remark)))
}
