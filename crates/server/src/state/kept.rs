//! What is written for the editor, and kept for it: papers as files, the colours that were sent last.

use super::State;
use crate::Paper;
use crate::address::path;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::PathBuf;
use tower_lsp::lsp_types::{SemanticToken, Url};

impl State {
    /// A paper of a formula of an open text, or of all of them; none where there is no such formula.
    pub(crate) fn paper(&mut self, paper: Paper, uri: &Url, formula: Option<&str>) -> Option<String> {
        let page = self.page(uri)?;
        let settings = self.desk.settings(&path(uri)).unwrap_or_default();
        (self.write_paper)(paper, &page, &settings, formula)
    }

    /// Keeps a paper where the editor can open it; the same place for the same formula of the same text.
    pub(crate) fn keep_paper(
        &mut self,
        kind: &str,
        uri: &Url,
        formula: Option<&str>,
        text: &str,
    ) -> Option<PathBuf> {
        let mut hasher = DefaultHasher::new();
        (uri, formula).hash(&mut hasher);
        let stem = path(uri).file_stem().map(|stem| stem.to_string_lossy().into_owned());
        let name = formula.map(str::to_owned).or(stem).unwrap_or_default();
        let plain = name.chars().map(|c| if c.is_alphanumeric() { c } else { '-' });
        // File systems take names of 255 bytes; four bytes are the most of a letter.
        let plain: String = plain.take(48).collect();
        (self.keep_paper)(kind, &format!("{plain}-{:08x}", hasher.finish() as u32), text)
    }

    /// Keeps the colours that are sent for a text, and names them.
    pub(crate) fn keep_colours(&mut self, uri: &Url, colours: Vec<SemanticToken>) -> Option<String> {
        let document = self.documents.get_mut(&path(uri))?;
        let number = document.colours.as_ref().map_or(0, |(number, _)| number + 1);
        document.colours = Some((number, colours));
        Some(number.to_string())
    }

    /// The colours that were sent for a text under a name, where they are still the last.
    pub(crate) fn kept_colours(&mut self, uri: &Url, name: &str) -> Option<Vec<SemanticToken>> {
        let kept = self.documents.get_mut(&path(uri))?.colours.take();
        kept.filter(|(number, _)| number.to_string() == name).map(|(_, colours)| colours)
    }
}
