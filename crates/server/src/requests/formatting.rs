use crate::from_lsp::place;
use crate::state::State;
use crate::to_lsp::text_edits;
use desk::{Edits, Page, Place};
use tower_lsp::lsp_types::{
    DocumentFormattingParams, DocumentOnTypeFormattingParams, DocumentRangeFormattingParams, TextEdit, Url,
};

/// What would bring a text into its canonical form.
pub(crate) fn formatting(state: &mut State, params: &DocumentFormattingParams) -> Option<Vec<TextEdit>> {
    let page = state.page(&params.text_document.uri)?;
    Some(text_edits(&page.tidy(), &page, state.facts().encoding))
}

/// What would bring the lines of a range into their canonical form.
pub(crate) fn lines_formatting(
    state: &mut State,
    params: &DocumentRangeFormattingParams,
) -> Option<Vec<TextEdit>> {
    let (start, end) = (place(params.range.start), place(params.range.end));
    // A range that ends before the first column does not mean that line.
    let last = if end.column == 0 && end.line > start.line { end.line - 1 } else { end.line };
    between(state, &params.text_document.uri, start.line, last)
}

/// What would bring the line into its canonical form that was just finished.
pub(crate) fn line_formatting(
    state: &mut State,
    params: &DocumentOnTypeFormattingParams,
) -> Option<Vec<TextEdit>> {
    let at = &params.text_document_position;
    let line = at.position.line.checked_sub(1)?;
    between(state, &at.text_document.uri, line, line)
}

fn between(state: &mut State, uri: &Url, first: u32, last: u32) -> Option<Vec<TextEdit>> {
    let page = state.page(uri)?;
    let encoding = state.facts().encoding;
    let start = page.offset(Place { line: first, column: 0 }, encoding);
    let end = page.offset(Place { line: last, column: u32::MAX }, encoding);
    Some(text_edits(&within(&page, start, end), &page, encoding))
}

/// The edits that lie between two bytes.
fn within(page: &Page, start: u32, end: u32) -> Edits {
    let inside =
        page.tidy().iter().filter(|edit| start <= edit.span.start && edit.span.end <= end).cloned().collect();
    // A part of edits that lie apart lie apart.
    Edits::new(inside).unwrap_or_default()
}
