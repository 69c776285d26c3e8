//! Where names are declared and used, and what a rename changes.

use super::spot;
use crate::address::{address, path};
use crate::capabilities::Facts;
use crate::from_lsp::place;
use crate::state::State;
use crate::to_lsp::{Spots, range};
use desk::{Desk, Target};
use std::collections::HashMap;
use tower_lsp::jsonrpc::{Error, ErrorCode, Result};
use tower_lsp::lsp_types::{
    DocumentHighlight, DocumentHighlightKind, DocumentHighlightParams, GotoDefinitionParams,
    GotoDefinitionResponse, Location, PrepareRenameResponse, Range, ReferenceParams, RenameParams,
    TextDocumentPositionParams, TextEdit, WorkspaceEdit,
};

/// The same name elsewhere in its block.
pub(crate) fn highlights(
    state: &mut State,
    params: &DocumentHighlightParams,
) -> Option<Vec<DocumentHighlight>> {
    let (page, at) = spot(state, &params.text_document_position_params)?;
    let encoding = state.facts().encoding;
    let found = page.highlights(at).into_iter().map(|found| DocumentHighlight {
        range: range(&page, found.span, encoding),
        kind: Some(if found.declares { DocumentHighlightKind::WRITE } else { DocumentHighlightKind::READ }),
    });
    Some(found.collect())
}

/// Where a name is declared; for a rule, its page.
pub(crate) fn definition(state: &mut State, params: &GotoDefinitionParams) -> Option<GotoDefinitionResponse> {
    let (page, at) = spot(state, &params.text_document_position_params)?;
    if let Some(rule) = page.rule_at(at) {
        let page = state.rule_page(&rule)?;
        return Some(GotoDefinitionResponse::Scalar(Location::new(page, Range::default())));
    }
    let facts = state.facts();
    let path = path(&params.text_document_position_params.text_document.uri);
    let found = state.desk().definition(&path, at);
    Some(GotoDefinitionResponse::Array(locations(state.desk(), found, facts)))
}

/// Places in files as the protocol counts them.
pub(crate) fn locations(desk: &mut Desk, found: Vec<Target>, facts: Facts) -> Vec<Location> {
    let mut spots = Spots::new(desk, facts.encoding);
    let located = found.into_iter().filter_map(|target| {
        let uri = address(&target.path)?;
        Some(Location::new(uri, spots.range(&target.path, target.name)?))
    });
    located.collect()
}

/// Everywhere that a name is used. Looks through the whole workspace, so it does not run on the actor's own desk.
pub(crate) fn references(desk: &mut Desk, facts: Facts, params: &ReferenceParams) -> Option<Vec<Location>> {
    let at = &params.text_document_position;
    let path = path(&at.text_document.uri);
    let page = desk.page_of(&path)?;
    let offset = page.offset(place(at.position), facts.encoding);
    let found = desk.references(&path, offset, params.context.include_declaration);
    Some(locations(desk, found, facts))
}

/// Whether the name at a place can be changed.
pub(crate) fn can_rename(
    state: &mut State,
    at: &TextDocumentPositionParams,
) -> Result<Option<PrepareRenameResponse>> {
    let Some((page, offset)) = spot(state, at) else { return Ok(None) };
    let path = path(&at.text_document.uri);
    let encoding = state.facts().encoding;
    let (span, placeholder) = state.desk().can_rename(&path, offset).map_err(refused)?;
    let range = range(&page, span, encoding);
    Ok(Some(PrepareRenameResponse::RangeWithPlaceholder { range, placeholder }))
}

fn refused(why: String) -> Error {
    Error { code: ErrorCode::ServerError(-32803), message: why.into(), data: None }
}

/// Changes a name wherever it stands.
pub(crate) fn rename(desk: &mut Desk, facts: Facts, params: &RenameParams) -> Result<Option<WorkspaceEdit>> {
    let at = &params.text_document_position;
    let path = path(&at.text_document.uri);
    let Some(page) = desk.page_of(&path) else { return Ok(None) };
    let offset = page.offset(place(at.position), facts.encoding);
    let files = desk.rename(&path, offset, &params.new_name).map_err(refused)?;
    let mut spots = Spots::new(desk, facts.encoding);
    let mut changes = HashMap::new();
    for (file, edits) in files {
        let Some(uri) = address(&file)
            .filter(|_| file != path)
            .or_else(|| Some(at.text_document.uri.clone()).filter(|_| file == path))
        else {
            continue;
        };
        let edits = edits
            .iter()
            .filter_map(|edit| Some(TextEdit::new(spots.range(&file, edit.span)?, edit.text.clone())));
        let _ = changes.insert(uri, edits.collect());
    }
    Ok(Some(WorkspaceEdit { changes: Some(changes), ..WorkspaceEdit::default() }))
}
