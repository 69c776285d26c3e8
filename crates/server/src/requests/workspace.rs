//! Questions about all files: what they hold, what uses what, and what moves with a moved file.

use super::places::locations;
use super::shape::kind;
use crate::address::{address, path};
use crate::capabilities::Facts;
use crate::from_lsp::place;
use crate::to_lsp::Spots;
use desk::{Desk, Target, UseOf};
use std::collections::HashMap;
use std::path::PathBuf;
use tower_lsp::lsp_types::{
    CallHierarchyIncomingCall, CallHierarchyItem, CallHierarchyOutgoingCall, Position, Range,
    RenameFilesParams, SymbolInformation, SymbolKind, TextDocumentPositionParams, TextEdit, Url,
    WorkspaceEdit, WorkspaceSymbolParams,
};

/// More than this many nobody reads.
const MOST: usize = 500;

/// What has a name like the query.
#[expect(deprecated, reason = "the protocol's own struct has a deprecated field")]
pub(crate) fn symbols(
    desk: &mut Desk,
    facts: Facts,
    params: &WorkspaceSymbolParams,
) -> Vec<SymbolInformation> {
    let found = desk.symbols(&params.query, MOST);
    let mut located = Vec::new();
    for symbol in found {
        let Some(location) = locations(desk, vec![symbol.target], facts).into_iter().next() else { continue };
        located.push(SymbolInformation {
            name: symbol.name,
            kind: kind(symbol.kind),
            tags: None,
            deprecated: None,
            location,
            container_name: (!symbol.within.is_empty()).then_some(symbol.within),
        });
    }
    located
}

/// A formula as a node of what uses what.
fn node(desk: &mut Desk, facts: Facts, name: String, target: &Target) -> Option<CallHierarchyItem> {
    let mut spots = Spots::new(desk, facts.encoding);
    Some(CallHierarchyItem {
        name,
        kind: SymbolKind::CLASS,
        tags: None,
        detail: target.path.file_name().map(|name| name.to_string_lossy().into_owned()),
        uri: address(&target.path)?,
        range: spots.range(&target.path, target.span)?,
        selection_range: spots.range(&target.path, target.name)?,
        data: None,
    })
}

/// The byte of a place in a file, open or not.
fn offset(desk: &mut Desk, facts: Facts, uri: &Url, position: Position) -> Option<(PathBuf, u32)> {
    let path = path(uri);
    let page = desk.page_of(&path)?;
    Some((path, page.offset(place(position), facts.encoding)))
}

/// The formula at a place.
pub(crate) fn prepare(
    desk: &mut Desk,
    facts: Facts,
    at: &TextDocumentPositionParams,
) -> Option<Vec<CallHierarchyItem>> {
    let (path, at) = offset(desk, facts, &at.text_document.uri, at.position)?;
    let (name, target) = desk.formula_at(&path, at)?;
    Some(vec![node(desk, facts, name, &target)?])
}

/// The formulas that use a formula.
pub(crate) fn incoming(
    desk: &mut Desk,
    facts: Facts,
    item: &CallHierarchyItem,
) -> Option<Vec<CallHierarchyIncomingCall>> {
    let (path, at) = offset(desk, facts, &item.uri, item.selection_range.start)?;
    let mut calls = Vec::new();
    for user in desk.users(&path, at) {
        let from_ranges = ranges(desk, facts, &user.formula.path, &user);
        let Some(from) = node(desk, facts, user.name, &user.formula) else { continue };
        calls.push(CallHierarchyIncomingCall { from, from_ranges });
    }
    Some(calls)
}

/// The formulas that a formula uses.
pub(crate) fn outgoing(
    desk: &mut Desk,
    facts: Facts,
    item: &CallHierarchyItem,
) -> Option<Vec<CallHierarchyOutgoingCall>> {
    let (path, at) = offset(desk, facts, &item.uri, item.selection_range.start)?;
    let mut calls = Vec::new();
    for used in desk.used(&path, at) {
        let from_ranges = ranges(desk, facts, &path, &used);
        let Some(to) = node(desk, facts, used.name, &used.formula) else { continue };
        calls.push(CallHierarchyOutgoingCall { to, from_ranges });
    }
    Some(calls)
}

fn ranges(desk: &mut Desk, facts: Facts, path: &std::path::Path, one: &UseOf) -> Vec<Range> {
    let mut spots = Spots::new(desk, facts.encoding);
    one.lines.iter().filter_map(|line| spots.range(path, *line)).collect()
}

/// What has to change when files get other names.
pub(crate) fn moved(desk: &mut Desk, facts: Facts, params: &RenameFilesParams) -> Option<WorkspaceEdit> {
    let moves: Vec<(PathBuf, PathBuf)> = params
        .files
        .iter()
        .filter_map(|file| {
            Some((path(&Url::parse(&file.old_uri).ok()?), path(&Url::parse(&file.new_uri).ok()?)))
        })
        .collect();
    let changed = desk.moved(&moves);
    let mut spots = Spots::new(desk, facts.encoding);
    let mut changes = HashMap::new();
    for (file, edits) in changed {
        let Some(uri) = address(&file) else { continue };
        let edits = edits
            .iter()
            .filter_map(|edit| Some(TextEdit::new(spots.range(&file, edit.span)?, edit.text.clone())));
        let _ = changes.insert(uri, edits.collect());
    }
    (!changes.is_empty()).then(|| WorkspaceEdit { changes: Some(changes), ..WorkspaceEdit::default() })
}
