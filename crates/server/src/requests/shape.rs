//! The shape of a text: outline, folds, selections, links.

use crate::address::address;
use crate::from_lsp::place;
use crate::state::State;
use crate::to_lsp::range;
use desk::{Encoding, Entry, EntryKind, LinkTarget, Page};
use std::path::Path;
use tower_lsp::lsp_types::{
    DocumentLink, DocumentLinkParams, DocumentSymbol, DocumentSymbolParams, DocumentSymbolResponse,
    FoldingRange, FoldingRangeParams, Range, SelectionRange, SelectionRangeParams, SymbolInformation,
    SymbolKind, Url,
};

/// What stands in a text.
pub(crate) fn outline(state: &mut State, params: &DocumentSymbolParams) -> Option<DocumentSymbolResponse> {
    let uri = &params.text_document.uri;
    let page = state.page(uri)?;
    let facts = state.facts();
    let entries = page.outline();
    if facts.nested_outline {
        let symbols = entries.iter().map(|entry| symbol(entry, &page, facts.encoding)).collect();
        return Some(DocumentSymbolResponse::Nested(symbols));
    }
    let mut flat = Vec::new();
    for entry in &entries {
        flatten(entry, None, uri, &page, facts.encoding, &mut flat);
    }
    Some(DocumentSymbolResponse::Flat(flat))
}

pub(crate) fn kind(kind: EntryKind) -> SymbolKind {
    match kind {
        EntryKind::Formula => SymbolKind::CLASS,
        EntryKind::Ingredient => SymbolKind::STRUCT,
        EntryKind::Workshop => SymbolKind::PACKAGE,
        EntryKind::Record => SymbolKind::EVENT,
        EntryKind::Phase => SymbolKind::NAMESPACE,
        EntryKind::Item => SymbolKind::FIELD,
        EntryKind::Method => SymbolKind::METHOD,
        EntryKind::Step => SymbolKind::KEY,
        EntryKind::Variant => SymbolKind::INTERFACE,
    }
}

#[expect(deprecated, reason = "the protocol's own struct has a deprecated field")]
fn symbol(entry: &Entry, page: &Page, encoding: Encoding) -> DocumentSymbol {
    let children: Vec<_> = entry.children.iter().map(|child| symbol(child, page, encoding)).collect();
    DocumentSymbol {
        name: entry.name.clone(),
        detail: (!entry.detail.is_empty()).then(|| entry.detail.clone()),
        kind: kind(entry.kind),
        tags: None,
        deprecated: None,
        range: range(page, entry.span, encoding),
        selection_range: range(page, entry.name_span, encoding),
        children: (!children.is_empty()).then_some(children),
    }
}

#[expect(deprecated, reason = "the protocol's own struct has a deprecated field")]
fn flatten(
    entry: &Entry,
    within: Option<&str>,
    uri: &Url,
    page: &Page,
    encoding: Encoding,
    flat: &mut Vec<SymbolInformation>,
) {
    flat.push(SymbolInformation {
        name: entry.name.clone(),
        kind: kind(entry.kind),
        tags: None,
        deprecated: None,
        location: tower_lsp::lsp_types::Location::new(uri.clone(), range(page, entry.span, encoding)),
        container_name: within.map(str::to_owned),
    });
    for child in &entry.children {
        flatten(child, Some(&entry.name), uri, page, encoding, flat);
    }
}

/// What can be folded away.
pub(crate) fn folds(state: &mut State, params: &FoldingRangeParams) -> Option<Vec<FoldingRange>> {
    let page = state.page(&params.text_document.uri)?;
    let encoding = state.facts().encoding;
    let fold = |span| {
        let Range { start, end } = range(&page, span, encoding);
        FoldingRange { start_line: start.line, end_line: end.line, ..FoldingRange::default() }
    };
    Some(page.folds().into_iter().map(fold).collect())
}

/// What each selection grows to.
pub(crate) fn selections(state: &mut State, params: &SelectionRangeParams) -> Option<Vec<SelectionRange>> {
    let page = state.page(&params.text_document.uri)?;
    let encoding = state.facts().encoding;
    let grown = params.positions.iter().map(|position| {
        let at = page.offset(place(*position), encoding);
        let whole = SelectionRange { range: Range::new(*position, *position), parent: None };
        // From the outside in: each one is the parent of the next.
        let nested = page.selections(at).into_iter().rev().fold(None, |parent, span| {
            Some(SelectionRange { range: range(&page, span, encoding), parent: parent.map(Box::new) })
        });
        nested.unwrap_or(whole)
    });
    Some(grown.collect())
}

/// The files and addresses that a text names.
pub(crate) fn links(state: &mut State, params: &DocumentLinkParams) -> Option<Vec<DocumentLink>> {
    let uri = &params.text_document.uri;
    let page = state.page(uri)?;
    let encoding = state.facts().encoding;
    let own = crate::address::path(uri);
    let folder = own.parent().unwrap_or(Path::new("/"));
    let link = |link: desk::Link| {
        let (target, words) = match link.target {
            LinkTarget::File(path) => (address(&desk::plain(&folder.join(path)))?, "open the file"),
            LinkTarget::Address(text) => (Url::parse(&text).ok()?, "open the address"),
        };
        Some(DocumentLink {
            range: range(&page, link.span, encoding),
            target: Some(target),
            tooltip: Some(words.to_owned()),
            data: None,
        })
    };
    Some(page.links().into_iter().filter_map(link).collect())
}
