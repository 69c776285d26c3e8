use crate::state::State;
use crate::to_lsp::text_edits;
use tower_lsp::lsp_types::{DocumentFormattingParams, TextEdit};

/// What would bring a text into its canonical form.
pub(crate) fn formatting(state: &mut State, params: &DocumentFormattingParams) -> Option<Vec<TextEdit>> {
    let page = state.page(&params.text_document.uri)?;
    Some(text_edits(&page.tidy(), &page, state.facts().encoding))
}
