//! What could be written at a place.

use super::spot;
use crate::address::path;
use crate::capabilities::Facts;
use crate::note::Answer;
use crate::state::State;
use crate::to_lsp::range;
use desk::{Candidate, CandidateKind, Offer, Page, Span};
use serde_json::{Value, json};
use std::sync::Arc;
use tower_lsp::lsp_types::{
    CompletionItem, CompletionItemKind, CompletionItemLabelDetails, CompletionList, CompletionParams,
    CompletionResponse, CompletionTextEdit, CompletionTriggerKind, Documentation, InsertReplaceEdit,
    InsertTextFormat, MarkupContent, MarkupKind, TextEdit, Url,
};

/// The candidates at a place, the most likely first. Where other files have a say they are looked for beside the actor: a
/// folder of many files takes a while to walk.
pub(crate) fn complete(state: &mut State, params: &CompletionParams) -> Answer<Option<CompletionResponse>> {
    let Some((page, at)) = spot(state, &params.text_document_position) else { return Answer::Here(None) };
    let uri = params.text_document_position.text_document.uri.clone();
    // An editor that says nothing of the occasion was asked.
    let asked =
        params.context.as_ref().is_none_or(|context| context.trigger_kind == CompletionTriggerKind::INVOKED);
    let place = Place { uri, page, at };
    match place.page.complete_alone(at, asked) {
        Some(offer) => Answer::Here(Some(place.list(offer, state.facts()))),
        None => Answer::Aside(Box::new(move |desk, facts| {
            let offer = desk.complete(&path(&place.uri), &place.page, at, asked);
            Some(place.list(offer, facts))
        })),
    }
}

/// Where something is being written.
struct Place {
    uri: Url,
    page: Arc<Page>,
    /// The byte before which the cursor stands.
    at: u32,
}

impl Place {
    fn list(&self, offer: Offer, facts: Facts) -> CompletionResponse {
        let numbered = offer.candidates.into_iter().enumerate();
        let items = numbered.map(|(number, candidate)| item(number, candidate, self, facts)).collect();
        CompletionResponse::List(CompletionList { is_incomplete: offer.partial, items })
    }

    /// What is written in the place of a span. An editor that can takes the choice: to put it before what stands behind the
    /// cursor, or to let it take the place of the whole word; others get the whole word.
    fn edit(&self, span: Span, new_text: String, facts: Facts) -> CompletionTextEdit {
        let at = |span| range(&self.page, span, facts.encoding);
        if facts.insert_or_replace {
            let before = Span::new(span.start, self.at.clamp(span.start, span.end));
            InsertReplaceEdit { new_text, insert: at(before), replace: at(span) }.into()
        } else {
            TextEdit::new(at(span), new_text).into()
        }
    }
}

fn item(number: usize, candidate: Candidate, place: &Place, facts: Facts) -> CompletionItem {
    let uri = &place.uri;
    let Candidate { span, label, text, snippet, filter, kind, detail, key } = candidate;
    let snippet = snippet.filter(|_| facts.snippets);
    let format = if snippet.is_some() { InsertTextFormat::SNIPPET } else { InsertTextFormat::PLAIN_TEXT };
    let edit = place.edit(span, snippet.unwrap_or(text), facts);
    let detail = (!detail.is_empty()).then(|| detail.replace('`', ""));
    let beside = facts.label_details && detail.is_some();
    CompletionItem {
        label,
        label_details: beside
            .then(|| CompletionItemLabelDetails { detail: None, description: detail.clone() }),
        kind: Some(item_kind(kind)),
        detail: detail.filter(|_| !beside),
        // Editors sort by the alphabet: the number keeps the order.
        sort_text: Some(format!("{number:04}")),
        filter_text: filter,
        insert_text_format: Some(format),
        text_edit: Some(edit),
        data: key.map(|key| json!({ "uri": uri, "key": key })),
        ..CompletionItem::default()
    }
}

fn item_kind(kind: CandidateKind) -> CompletionItemKind {
    match kind {
        CandidateKind::LineWord => CompletionItemKind::KEYWORD,
        CandidateKind::Block => CompletionItemKind::SNIPPET,
        CandidateKind::Unit => CompletionItemKind::UNIT,
        CandidateKind::Ingredient => CompletionItemKind::FIELD,
        CandidateKind::OwnIngredient => CompletionItemKind::VARIABLE,
        CandidateKind::Premix => CompletionItemKind::MODULE,
        CandidateKind::Phase => CompletionItemKind::CLASS,
        CandidateKind::Variant => CompletionItemKind::INTERFACE,
        CandidateKind::Qualifier => CompletionItemKind::PROPERTY,
        CandidateKind::Word => CompletionItemKind::ENUM_MEMBER,
        CandidateKind::Rule => CompletionItemKind::CONSTANT,
        CandidateKind::File => CompletionItemKind::FILE,
        CandidateKind::Formula => CompletionItemKind::REFERENCE,
    }
}

/// The text that a candidate was offered for, and what is asked of it; none where the candidate is none of ours.
pub(crate) fn about(item: &CompletionItem) -> Option<(Url, String)> {
    let data = item.data.as_ref()?;
    let word = |name: &str| data.get(name).and_then(Value::as_str);
    Some((Url::parse(word("uri")?).ok()?, word("key")?.to_owned()))
}

/// A candidate with what there is to tell of it.
pub(crate) fn tell(state: &mut State, uri: &Url, key: &str, mut item: CompletionItem) -> CompletionItem {
    let told = state.page(uri).and_then(|page| page.told(key));
    item.documentation = told.map(|value| {
        if state.facts().candidate_markdown {
            Documentation::MarkupContent(MarkupContent { kind: MarkupKind::Markdown, value })
        } else {
            Documentation::String(value.replace("**", "").replace(['*', '`'], ""))
        }
    });
    item
}
