//! Lines above blocks and phases.

use super::commands::show;
use crate::Paper;
use crate::address::path;
use crate::capabilities::Facts;
use crate::note::Answer;
use crate::state::State;
use crate::to_lsp::range;
use desk::{Desk, LensKind, Page};
use serde_json::{Value, json};
use tower_lsp::lsp_types::{CodeLens, CodeLensParams, Command, Url};

/// The lines above a text's blocks and phases; those that have to be looked for say where, and get their words later.
/// Whether there is a committed version is asked beside the actor.
pub(crate) fn lenses(state: &mut State, params: CodeLensParams) -> Answer<Option<Vec<CodeLens>>> {
    let uri = params.text_document.uri;
    if !state.options().lenses {
        return Answer::Here(Some(Vec::new()));
    }
    let Some(page) = state.page(&uri) else { return Answer::Here(None) };
    let versions = state.versions();
    Answer::aside(move |_, facts| {
        let mut shown = own(&page, facts, &uri);
        shown.extend(versions.lenses(&page, facts, &uri));
        Some(shown)
    })
}

/// What the text itself tells.
fn own(page: &Page, facts: Facts, uri: &Url) -> Vec<CodeLens> {
    let shown = page.lenses().into_iter().map(|lens| {
        let range = range(page, lens.span, facts.encoding);
        match lens.about {
            LensKind::Formula { name, text } => {
                CodeLens { range, command: Some(show(Paper::Sheet, text, uri, &name)), data: None }
            }
            LensKind::Label(name) => {
                let title = "label".to_owned();
                CodeLens { range, command: Some(show(Paper::Label, title, uri, &name)), data: None }
            }
            LensKind::Ingredient(at) => {
                CodeLens { range, command: None, data: Some(json!({ "uri": uri, "at": at })) }
            }
        }
    });
    shown.collect()
}

/// The text that a line is about whose words have to be looked for.
pub(crate) fn lens_text(lens: &CodeLens) -> Option<Url> {
    Url::parse(lens.data.as_ref()?.get("uri")?.as_str()?).ok()
}

/// Tells how often an ingredient is used. Looks through the whole workspace.
pub(crate) fn resolved_lens(desk: &mut Desk, _: Facts, lens: CodeLens) -> CodeLens {
    let at = lens.data.as_ref().and_then(|data| data.get("at")).and_then(Value::as_u64);
    let (Some(uri), Some(at)) = (lens_text(&lens), at.and_then(|at| u32::try_from(at).ok())) else {
        return lens;
    };
    let title = match desk.formulas_with(&path(&uri), at) {
        0 => "used in no formula".to_owned(),
        1 => "used in 1 formula".to_owned(),
        more => format!("used in {more} formulas"),
    };
    CodeLens { command: Some(Command { title, command: String::new(), arguments: None }), ..lens }
}
