//! Changes of files in the form that an editor takes.

use crate::capabilities::Facts;
use std::collections::HashMap;
use tower_lsp::lsp_types::{
    CreateFile, CreateFileOptions, DocumentChangeOperation, DocumentChanges, OneOf,
    OptionalVersionedTextDocumentIdentifier, ResourceOp, TextDocumentEdit, TextEdit, Url, WorkspaceEdit,
};

/// What changes in one file.
pub(crate) struct Changed {
    pub(crate) uri: Url,
    /// The version that the changes are counted in; none for files that are not open.
    pub(crate) version: Option<i32>,
    /// Whether the file has to be made first.
    pub(crate) creates: bool,
    pub(crate) edits: Vec<TextEdit>,
}

/// The changes of several files: with their versions, for an editor that takes those.
pub(crate) fn workspace_edit(facts: Facts, files: Vec<Changed>) -> WorkspaceEdit {
    if !facts.versioned_edits {
        let mut changes: HashMap<Url, Vec<TextEdit>> = HashMap::new();
        for file in files {
            changes.entry(file.uri).or_default().extend(file.edits);
        }
        return WorkspaceEdit { changes: Some(changes), ..WorkspaceEdit::default() };
    }
    let mut operations = Vec::new();
    for file in files {
        if file.creates {
            let options = CreateFileOptions { overwrite: Some(false), ignore_if_exists: Some(true) };
            operations.push(DocumentChangeOperation::Op(ResourceOp::Create(CreateFile {
                uri: file.uri.clone(),
                options: Some(options),
                annotation_id: None,
            })));
        }
        operations.push(DocumentChangeOperation::Edit(TextDocumentEdit {
            text_document: OptionalVersionedTextDocumentIdentifier { uri: file.uri, version: file.version },
            edits: file.edits.into_iter().map(OneOf::Left).collect(),
        }));
    }
    WorkspaceEdit {
        document_changes: Some(DocumentChanges::Operations(operations)),
        ..WorkspaceEdit::default()
    }
}
