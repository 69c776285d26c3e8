use crate::from_lsp::place;
use crate::options::Options;
use crate::state::State;
use desk::{HintKind, Span};
use tower_lsp::lsp_types::{InlayHint, InlayHintLabel, InlayHintParams, InlayHintTooltip, Position};

/// The small figures of a part of a text, those that are switched on.
pub(crate) fn hints(state: &mut State, params: &InlayHintParams) -> Option<Vec<InlayHint>> {
    let page = state.page(&params.text_document.uri)?;
    let (encoding, options) = (state.facts().encoding, state.options());
    let offset = |position| page.offset(place(position), encoding);
    let within = Span::new(offset(params.range.start), offset(params.range.end));
    let shown = page.hints(within).into_iter().filter(|hint| is_on(options, hint.kind)).map(|hint| {
        let place = page.place(hint.at, encoding);
        InlayHint {
            position: Position::new(place.line, place.column),
            label: InlayHintLabel::String(hint.text),
            kind: None,
            text_edits: None,
            tooltip: (!hint.tip.is_empty()).then_some(InlayHintTooltip::String(hint.tip)),
            padding_left: Some(true),
            padding_right: None,
            data: None,
        }
    });
    Some(shown.collect())
}

fn is_on(options: Options, kind: HintKind) -> bool {
    match kind {
        HintKind::Amount => options.amounts,
        HintKind::Total => options.totals,
        HintKind::Balance => options.balance,
        HintKind::Hlb => options.hlb,
        HintKind::Acid => options.acids,
    }
}
