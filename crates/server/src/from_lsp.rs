//! From the protocol's words to ours.

use desk::Place;
use std::path::PathBuf;
use tower_lsp::lsp_types::{InitializeParams, Position, TextDocumentContentChangeEvent};

/// One step from an older text to a newer one.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) enum Step {
    /// All of the text is new.
    Whole(String),
    /// What stands between two places is replaced.
    Part {
        /// The earlier place.
        from: Place,
        /// The later place.
        to: Place,
        /// What stands there afterwards.
        text: String,
    },
}

/// The step that a change tells of. Ends in the wrong order are put right; the desk clamps places outside.
pub(crate) fn step(change: TextDocumentContentChangeEvent) -> Step {
    let Some(range) = change.range else { return Step::Whole(change.text) };
    let (start, end) = (place(range.start), place(range.end));
    Step::Part { from: start.min(end), to: start.max(end), text: change.text }
}

/// The folders that an editor works in; the older forms count where the newer is not said.
pub(crate) fn folders(params: &InitializeParams) -> Vec<PathBuf> {
    let named = params.workspace_folders.iter().flatten().map(|folder| folder.uri.clone());
    let mut folders: Vec<PathBuf> = named.filter_map(|uri| uri.to_file_path().ok()).collect();
    let older = params.root_uri.as_ref().and_then(|uri| uri.to_file_path().ok());
    if folders.is_empty() {
        folders.extend(older);
    }
    folders
}

/// A place in our words.
pub(crate) fn place(position: Position) -> Place {
    Place { line: position.line, column: position.character }
}

#[cfg(test)]
mod tests {
    use super::*;
    use tower_lsp::lsp_types::Range;

    #[test]
    fn ends_in_the_wrong_order_are_put_right() {
        let range = Range::new(Position::new(2, 1), Position::new(1, 9));
        let change =
            TextDocumentContentChangeEvent { range: Some(range), range_length: None, text: "x".into() };
        let expected = Step::Part {
            from: Place { line: 1, column: 9 },
            to: Place { line: 2, column: 1 },
            text: "x".into(),
        };
        assert_eq!(step(change), expected);
    }
}
