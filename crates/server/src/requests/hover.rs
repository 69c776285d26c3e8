use super::spot;
use crate::state::State;
use crate::to_lsp::range;
use tower_lsp::lsp_types::{Hover, HoverContents, HoverParams, MarkupContent, MarkupKind};

/// The card of what stands at a place.
pub(crate) fn hover(state: &mut State, params: &HoverParams) -> Option<Hover> {
    let (page, at) = spot(state, &params.text_document_position_params)?;
    let card = page.hover(at)?;
    let facts = state.facts();
    let (kind, value) = if facts.markdown {
        (MarkupKind::Markdown, card.text)
    } else {
        (MarkupKind::PlainText, card.text.replace("**", "").replace('*', ""))
    };
    Some(Hover {
        contents: HoverContents::Markup(MarkupContent { kind, value }),
        range: Some(range(&page, card.span, facts.encoding)),
    })
}
