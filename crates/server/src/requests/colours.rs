//! Colours for what each piece of a text is. What was sent last is kept, so that an edit sends only what differs.

use crate::from_lsp::place;
use crate::state::State;
use crate::to_lsp::range;
use desk::{Colour, Coloured, Encoding, Page, Span};
use tower_lsp::lsp_types::{
    SemanticToken, SemanticTokenModifier, SemanticTokenType, SemanticTokens, SemanticTokensDelta,
    SemanticTokensDeltaParams, SemanticTokensEdit, SemanticTokensFullDeltaResult, SemanticTokensLegend,
    SemanticTokensParams, SemanticTokensRangeParams, SemanticTokensRangeResult, SemanticTokensResult, Url,
};

/// The names for our colours, in the order of their numbers; editors know how to paint these.
pub(crate) fn legend() -> SemanticTokensLegend {
    SemanticTokensLegend {
        token_types: vec![
            SemanticTokenType::KEYWORD,
            SemanticTokenType::NUMBER,
            SemanticTokenType::TYPE,
            SemanticTokenType::VARIABLE,
            SemanticTokenType::NAMESPACE,
            SemanticTokenType::INTERFACE,
            SemanticTokenType::CLASS,
            SemanticTokenType::DECORATOR,
            SemanticTokenType::PROPERTY,
            SemanticTokenType::ENUM_MEMBER,
            SemanticTokenType::STRING,
            SemanticTokenType::COMMENT,
        ],
        token_modifiers: vec![SemanticTokenModifier::DECLARATION],
    }
}

fn number(colour: Colour) -> u32 {
    match colour {
        Colour::Word => 0,
        Colour::Number => 1,
        Colour::Unit => 2,
        Colour::Ingredient => 3,
        Colour::Phase => 4,
        Colour::Variant => 5,
        Colour::Block => 6,
        Colour::Rule => 7,
        Colour::Qualifier => 8,
        Colour::Listed => 9,
        Colour::Text => 10,
        Colour::Comment => 11,
    }
}

/// Pieces as the protocol counts them: each from the one before.
fn tokens(page: &Page, pieces: &[Coloured], encoding: Encoding) -> Vec<SemanticToken> {
    let (mut line, mut column) = (0, 0);
    pieces
        .iter()
        .map(|piece| {
            let found = range(page, piece.span, encoding);
            let start = found.start;
            let token = SemanticToken {
                delta_line: start.line - line,
                delta_start: if start.line == line { start.character - column } else { start.character },
                length: found.end.character.saturating_sub(start.character),
                token_type: number(piece.colour),
                token_modifiers_bitset: u32::from(piece.declares),
            };
            (line, column) = (start.line, start.character);
            token
        })
        .collect()
}

fn whole(state: &mut State, uri: &Url) -> Option<Vec<SemanticToken>> {
    let page = state.page(uri)?;
    Some(tokens(&page, &page.colours(Span::new(0, u32::MAX)), state.facts().encoding))
}

/// All colours of a text.
pub(crate) fn colours(state: &mut State, params: &SemanticTokensParams) -> Option<SemanticTokensResult> {
    let uri = &params.text_document.uri;
    let data = whole(state, uri)?;
    let result_id = state.keep_colours(uri, data.clone());
    Some(SemanticTokensResult::Tokens(SemanticTokens { result_id, data }))
}

/// The colours of a part of a text.
pub(crate) fn colours_between(
    state: &mut State,
    params: &SemanticTokensRangeParams,
) -> Option<SemanticTokensRangeResult> {
    let page = state.page(&params.text_document.uri)?;
    let encoding = state.facts().encoding;
    let offset = |position| page.offset(place(position), encoding);
    let within = Span::new(offset(params.range.start), offset(params.range.end));
    let data = tokens(&page, &page.colours(within), encoding);
    Some(SemanticTokensRangeResult::Tokens(SemanticTokens { result_id: None, data }))
}

/// What differs from the colours that were sent last; all of them where those are not known any more.
pub(crate) fn colours_since(
    state: &mut State,
    params: &SemanticTokensDeltaParams,
) -> Option<SemanticTokensFullDeltaResult> {
    let uri = &params.text_document.uri;
    let data = whole(state, uri)?;
    let before = state.kept_colours(uri, &params.previous_result_id);
    let edits = before.map(|before| difference(&before, &data));
    let result_id = state.keep_colours(uri, data.clone());
    Some(match edits {
        Some(edits) => SemanticTokensFullDeltaResult::TokensDelta(SemanticTokensDelta { result_id, edits }),
        None => SemanticTokensFullDeltaResult::Tokens(SemanticTokens { result_id, data }),
    })
}

/// One edit: what lies between what is the same at the start and what is the same at the end. A token is five numbers.
fn difference(before: &[SemanticToken], after: &[SemanticToken]) -> Vec<SemanticTokensEdit> {
    let head = before.iter().zip(after).take_while(|(a, b)| a == b).count();
    let most = before.len().min(after.len()) - head;
    let tail = before.iter().rev().zip(after.iter().rev()).take(most).take_while(|(a, b)| a == b).count();
    let gone = before.len() - head - tail;
    let new: Vec<SemanticToken> = after.iter().skip(head).take(after.len() - head - tail).copied().collect();
    if gone == 0 && new.is_empty() {
        return Vec::new();
    }
    vec![SemanticTokensEdit { start: 5 * head as u32, delete_count: 5 * gone as u32, data: Some(new) }]
}
