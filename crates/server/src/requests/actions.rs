//! Changes that stand ready: fixes, suppressions, rewritings, and all safe fixes at once.

use super::edits::{Changed, workspace_edit};
use crate::address::{address, path};
use crate::capabilities::Facts;
use crate::from_lsp::place;
use crate::state::State;
use crate::to_lsp::{Spots, diagnostic, text_edits};
use desk::{Action, ActionKind, Desk, Page, Span, line_edits, safe};
use serde_json::{Value, json};
use tower_lsp::jsonrpc::{Error, ErrorCode, Result};
use tower_lsp::lsp_types::{
    CodeAction, CodeActionContext, CodeActionKind, CodeActionOrCommand, CodeActionParams,
    CodeActionTriggerKind, Url, WorkspaceEdit,
};

/// The kind of all safe fixes at once.
const FIX_ALL: &str = "source.fixAll.levigate";
/// The kind of lines that go elsewhere.
const MOVE: &str = "refactor.move";

/// The kinds of changes that are offered.
pub(crate) fn kinds() -> Vec<CodeActionKind> {
    let own = [CodeActionKind::new(MOVE), CodeActionKind::new(FIX_ALL)];
    [CodeActionKind::QUICKFIX, CodeActionKind::REFACTOR_REWRITE, CodeActionKind::REFACTOR_EXTRACT]
        .into_iter()
        .chain(own)
        .collect()
}

fn kind(of: ActionKind) -> CodeActionKind {
    match of {
        ActionKind::Fix | ActionKind::Allow => CodeActionKind::QUICKFIX,
        ActionKind::Rewrite | ActionKind::Swap => CodeActionKind::REFACTOR_REWRITE,
        ActionKind::Extract => CodeActionKind::REFACTOR_EXTRACT,
        ActionKind::Move => CodeActionKind::new(MOVE),
    }
}

/// Whether a kind is asked for: by its own name or that of a kind which holds it.
fn is_asked(context: &CodeActionContext, kind: &str) -> bool {
    let holds = |asked: &CodeActionKind| {
        let asked = asked.as_str();
        asked.is_empty()
            || kind.strip_prefix(asked).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
    };
    context.only.as_ref().is_none_or(|only| only.iter().any(holds))
}

/// Whether nothing but kinds are asked for that change the text as a whole: the answer then holds the edits.
pub(crate) fn asks_for_all(params: &CodeActionParams) -> bool {
    params.context.only.is_some() && is_asked(&params.context, FIX_ALL)
}

/// The changes that stand ready in a range.
pub(crate) fn actions(state: &mut State, params: &CodeActionParams) -> Option<Vec<CodeActionOrCommand>> {
    let uri = &params.text_document.uri;
    let page = state.page(uri)?;
    let (facts, context) = (state.facts(), &params.context);
    let offset = |position| page.offset(place(position), facts.encoding);
    let within = Span::new(offset(params.range.start), offset(params.range.end));
    // Who only moves the cursor is not asked whether the line should be another.
    let asked = context.only.is_some() || context.trigger_kind != Some(CodeActionTriggerKind::AUTOMATIC);
    let mut offered = Vec::new();
    for action in all(state, uri, &page, within, asked) {
        if is_asked(context, kind(action.kind).as_str()) {
            offered.push(CodeActionOrCommand::CodeAction(offer(state, uri, &page, within, action)));
        }
    }
    let later = facts.resolves_edits && context.only.is_none() && asked;
    if later && page.can_mend() {
        let data = json!({ "uri": uri, "version": state.version(uri), "all": true });
        let action = CodeAction { data: Some(data), ..all_fixes_action(None) };
        offered.push(CodeActionOrCommand::CodeAction(action));
    }
    Some(offered)
}

fn all(state: &mut State, uri: &Url, page: &Page, within: Span, rewritings: bool) -> Vec<Action> {
    let mut actions = page.fixes(within);
    if rewritings {
        let (path, creates) = (path(uri), state.facts().creates_files);
        actions.extend(state.desk().describing(&path, within, creates));
        actions.extend(page.rewritings(within));
        actions.extend(state.desk().swaps(&path, within));
    }
    actions
}

/// A change in the protocol's words; its edits at once, or later where the editor asks for them.
fn offer(state: &mut State, uri: &Url, page: &Page, within: Span, action: Action) -> CodeAction {
    let facts = state.facts();
    let diagnostics = action.finding.as_ref().map(|finding| {
        let href = state.rule_page(finding.rule);
        vec![diagnostic(finding, 0, page, uri, facts, href)]
    });
    let mut made = CodeAction {
        title: action.title.clone(),
        kind: Some(kind(action.kind)),
        diagnostics,
        is_preferred: action.preferred.then_some(true),
        ..CodeAction::default()
    };
    if facts.resolves_edits {
        let version = state.version(uri);
        let within = [within.start, within.end];
        made.data = Some(json!({ "uri": uri, "version": version, "within": within }));
    } else {
        made.edit = Some(edit(state, uri, page, &action));
    }
    made
}

fn edit(state: &mut State, uri: &Url, page: &Page, action: &Action) -> WorkspaceEdit {
    let facts = state.facts();
    let mut files = Vec::new();
    if let Some(file) = &action.file {
        let open = state.open_texts().remove(&file.path);
        let address = open.as_ref().map(|(uri, _)| uri.clone()).or_else(|| address(&file.path));
        let mut spots = Spots::new(state.desk(), facts.encoding);
        let mut edits = Vec::new();
        for edit in file.edits.iter() {
            // A file that is not there yet begins and ends at its first place.
            let range = spots.range(&file.path, edit.span).unwrap_or_default();
            edits.push(tower_lsp::lsp_types::TextEdit::new(range, edit.text.clone()));
        }
        if let Some(uri) = address {
            files.push(Changed {
                uri,
                version: open.map(|(_, version)| version),
                creates: file.creates,
                edits,
            });
        }
    }
    if !action.edits.is_empty() {
        let edits = text_edits(&action.edits, page, facts.encoding);
        files.push(Changed { uri: uri.clone(), version: state.version(uri), creates: false, edits });
    }
    workspace_edit(facts, files)
}

/// What the editor gives back of a change that it wants the edits of.
struct Wanted {
    uri: Url,
    version: Option<i32>,
    within: Option<Span>,
}

fn wanted(data: Option<&Value>) -> Option<Wanted> {
    let data = data?;
    let byte = |at: usize| data.get("within")?.get(at)?.as_u64().and_then(|byte| u32::try_from(byte).ok());
    Some(Wanted {
        uri: Url::parse(data.get("uri")?.as_str()?).ok()?,
        version: data.get("version").and_then(Value::as_i64).and_then(|version| i32::try_from(version).ok()),
        within: byte(0).zip(byte(1)).map(|(start, end)| Span::new(start, end)),
    })
}

/// The text that all safe fixes are wanted of, where a change is of that kind.
pub(crate) fn mends(action: &CodeAction) -> Option<Url> {
    let all = action.data.as_ref().and_then(|data| data.get("all")) == Some(&Value::Bool(true));
    wanted(action.data.as_ref()).filter(|_| all).map(|wanted| wanted.uri)
}

/// A change with its edits.
///
/// # Errors
/// Where the text has changed since it was offered.
pub(crate) fn resolved(state: &mut State, action: CodeAction) -> Result<CodeAction> {
    let Some(Wanted { uri, version, within: Some(within) }) = wanted(action.data.as_ref()) else {
        return Ok(action);
    };
    let page = state.page(&uri).filter(|_| state.version(&uri) == version).ok_or_else(outdated)?;
    let found = all(state, &uri, &page, within, true)
        .into_iter()
        .find(|own| own.title == action.title && Some(kind(own.kind)) == action.kind);
    let own = found.ok_or_else(outdated)?;
    Ok(CodeAction { edit: Some(edit(state, &uri, &page, &own)), ..action })
}

fn outdated() -> Error {
    let message = "The text has changed since this was offered.".into();
    Error { code: ErrorCode::ContentModified, message, data: None }
}

fn all_fixes_action(edit: Option<WorkspaceEdit>) -> CodeAction {
    CodeAction {
        title: "Make all safe fixes".to_owned(),
        kind: Some(CodeActionKind::new(FIX_ALL)),
        edit,
        ..CodeAction::default()
    }
}

/// All safe fixes of a text, made until none is left. None where nothing changes.
pub(crate) fn all_fixes(
    desk: &mut Desk,
    facts: Facts,
    uri: &Url,
    version: Option<i32>,
) -> Option<CodeAction> {
    let path = path(uri);
    let text = desk.text_of(&path)?;
    // This desk only sees the open texts; what is mended is laid on it.
    desk.open(&path, text.clone());
    let page = desk.page(&path)?;
    let mended = desk.mended(&path, |_, finding| safe(finding))?;
    if mended.text == text {
        return None;
    }
    let edits = text_edits(&line_edits(&text, &mended.text), &page, facts.encoding);
    let changed = Changed { uri: uri.clone(), version, creates: false, edits };
    Some(all_fixes_action(Some(workspace_edit(facts, vec![changed]))))
}

/// All safe fixes, as the only change that is asked for.
pub(crate) fn only_all_fixes(
    desk: &mut Desk,
    facts: Facts,
    uri: &Url,
    version: Option<i32>,
) -> Vec<CodeActionOrCommand> {
    all_fixes(desk, facts, uri, version).map(CodeActionOrCommand::CodeAction).into_iter().collect()
}

/// A change that was offered as all safe fixes, with its edits.
///
/// # Errors
/// Where the text has changed since it was offered.
pub(crate) fn all_fixes_resolved(
    desk: &mut Desk,
    facts: Facts,
    action: CodeAction,
    version: Option<i32>,
) -> Result<CodeAction> {
    let wanted =
        wanted(action.data.as_ref()).filter(|wanted| wanted.version == version).ok_or_else(outdated)?;
    let made = all_fixes(desk, facts, &wanted.uri, version);
    Ok(CodeAction { edit: made.and_then(|made| made.edit), ..action })
}
