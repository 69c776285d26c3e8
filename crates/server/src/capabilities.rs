//! What the editor can do, and what we offer.

use crate::requests::{commands, kinds, legend};
use crate::voice::Refresh;
use desk::Encoding;
use tower_lsp::lsp_types::{
    CallHierarchyServerCapability, CodeActionOptions, CodeActionProviderCapability, CodeLensOptions,
    CompletionOptions, CompletionOptionsCompletionItem, DiagnosticOptions, DiagnosticServerCapabilities,
    DiagnosticTag, DidChangeWatchedFilesRegistrationOptions, DocumentLinkOptions,
    DocumentOnTypeFormattingOptions, ExecuteCommandOptions, FileOperationFilter, FileOperationPattern,
    FileOperationPatternKind, FileOperationRegistrationOptions, FileSystemWatcher,
    FoldingRangeProviderCapability, GlobPattern, HoverProviderCapability, InitializeParams, InitializeResult,
    MarkupKind, OneOf, PositionEncodingKind, Registration, RenameOptions, ResourceOperationKind, SaveOptions,
    SelectionRangeProviderCapability, SemanticTokensFullOptions, SemanticTokensOptions, ServerCapabilities,
    ServerInfo, TextDocumentSyncCapability, TextDocumentSyncKind, TextDocumentSyncOptions,
    TextDocumentSyncSaveOptions, WorkDoneProgressOptions, WorkspaceFileOperationsServerCapabilities,
    WorkspaceFoldersServerCapabilities, WorkspaceServerCapabilities,
};

/// What we need to know of the editor.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
#[expect(clippy::struct_excessive_bools, reason = "each is a thing that an editor can do or cannot")]
pub(crate) struct Facts {
    /// How columns are counted.
    pub(crate) encoding: Encoding,
    /// Whether it shows other places that belong to a finding.
    pub(crate) related: bool,
    /// Whether it fades what does nothing.
    pub(crate) fades: bool,
    /// Whether it can be asked to tell of changed files.
    pub(crate) watches: bool,
    /// Whether cards may be written in Markdown.
    pub(crate) markdown: bool,
    /// Whether an outline may be a tree.
    pub(crate) nested_outline: bool,
    /// Whether it asks, before a rename, what can be renamed.
    pub(crate) prepares_rename: bool,
    /// Whether it asks for findings; then none are sent without being asked for.
    pub(crate) pulls: bool,
    /// Whether an answer about one text may tell of others.
    pub(crate) related_documents: bool,
    /// What it can be asked to ask for again.
    pub(crate) refresh: Refresh,
    /// Whether it shows how far long work is.
    pub(crate) progress: bool,
    /// Whether it can be asked for its settings.
    pub(crate) configures: bool,
    /// Whether a candidate may bring places to fill in.
    pub(crate) snippets: bool,
    /// Whether it lets the user choose if a candidate takes the place of the word behind the cursor, too.
    pub(crate) insert_or_replace: bool,
    /// Whether it shows something beside a candidate's name.
    pub(crate) label_details: bool,
    /// Whether what is told of a candidate may be written in Markdown.
    pub(crate) candidate_markdown: bool,
    /// Whether it takes changes that stand ready, and not only commands.
    pub(crate) takes_actions: bool,
    /// Whether it asks for the edits of a change when they are wanted.
    pub(crate) resolves_edits: bool,
    /// Whether edits may name the version that they are counted in.
    pub(crate) versioned_edits: bool,
    /// Whether edits may make a new file.
    pub(crate) creates_files: bool,
    /// Whether it makes edits that it is asked to make.
    pub(crate) applies_edits: bool,
    /// Whether it opens a text that it is asked to open.
    pub(crate) shows_documents: bool,
}

impl Default for Facts {
    fn default() -> Facts {
        Facts {
            encoding: Encoding::Utf16,
            related: false,
            fades: false,
            watches: false,
            markdown: false,
            nested_outline: false,
            prepares_rename: false,
            pulls: false,
            related_documents: false,
            refresh: Refresh::default(),
            progress: false,
            configures: false,
            snippets: false,
            insert_or_replace: false,
            label_details: false,
            candidate_markdown: false,
            takes_actions: false,
            resolves_edits: false,
            versioned_edits: false,
            creates_files: false,
            applies_edits: false,
            shows_documents: false,
        }
    }
}

impl Facts {
    pub(crate) fn of(params: &InitializeParams) -> Facts {
        let can = &params.capabilities;
        let offered = can.general.as_ref().and_then(|general| general.position_encodings.as_deref());
        let shows = can.text_document.as_ref().and_then(|texts| texts.publish_diagnostics.as_ref());
        let watching = can.workspace.as_ref().and_then(|workspace| workspace.did_change_watched_files);
        let hover = can.text_document.as_ref().and_then(|texts| texts.hover.as_ref());
        let formats = hover.and_then(|hover| hover.content_format.as_deref()).unwrap_or_default();
        let texts = can.text_document.as_ref();
        let symbols = texts.and_then(|texts| texts.document_symbol.as_ref());
        let rename = texts.and_then(|texts| texts.rename.as_ref());
        let pull = texts.and_then(|texts| texts.diagnostic.as_ref());
        let space = can.workspace.as_ref();
        let candidate = texts
            .and_then(|texts| texts.completion.as_ref())
            .and_then(|completion| completion.completion_item.as_ref());
        let refresh = Refresh {
            findings: space
                .and_then(|space| space.diagnostic.as_ref())
                .and_then(|can| can.refresh_support)
                .unwrap_or(false),
            hints: space
                .and_then(|space| space.inlay_hint.as_ref())
                .and_then(|can| can.refresh_support)
                .unwrap_or(false),
            lenses: space
                .and_then(|space| space.code_lens.as_ref())
                .and_then(|can| can.refresh_support)
                .unwrap_or(false),
            colours: space
                .and_then(|space| space.semantic_tokens.as_ref())
                .and_then(|can| can.refresh_support)
                .unwrap_or(false),
        };
        let actions = texts.and_then(|texts| texts.code_action.as_ref());
        let resolves = actions.and_then(|actions| actions.resolve_support.as_ref());
        let keeps_data = actions.and_then(|actions| actions.data_support).unwrap_or(false);
        let edits = space.and_then(|space| space.workspace_edit.as_ref());
        let versioned_edits = edits.and_then(|edits| edits.document_changes).unwrap_or(false);
        let operations = edits.and_then(|edits| edits.resource_operations.as_deref()).unwrap_or_default();
        let window = can.window.as_ref();
        Facts {
            takes_actions: actions.is_some_and(|actions| actions.code_action_literal_support.is_some()),
            resolves_edits: keeps_data
                && resolves.is_some_and(|can| can.properties.iter().any(|property| property == "edit")),
            versioned_edits,
            creates_files: versioned_edits && operations.contains(&ResourceOperationKind::Create),
            applies_edits: space.and_then(|space| space.apply_edit).unwrap_or(false),
            shows_documents: window
                .and_then(|window| window.show_document.as_ref())
                .is_some_and(|show| show.support),
            pulls: pull.is_some(),
            related_documents: pull.and_then(|pull| pull.related_document_support).unwrap_or(false),
            refresh,
            progress: can.window.as_ref().and_then(|window| window.work_done_progress).unwrap_or(false),
            configures: space.and_then(|space| space.configuration).unwrap_or(false),
            snippets: candidate.and_then(|candidate| candidate.snippet_support).unwrap_or(false),
            insert_or_replace: candidate
                .and_then(|candidate| candidate.insert_replace_support)
                .unwrap_or(false),
            label_details: candidate.and_then(|candidate| candidate.label_details_support).unwrap_or(false),
            candidate_markdown: candidate
                .and_then(|candidate| candidate.documentation_format.as_ref())
                .is_some_and(|formats| formats.contains(&MarkupKind::Markdown)),
            nested_outline: symbols
                .and_then(|symbols| symbols.hierarchical_document_symbol_support)
                .unwrap_or(false),
            prepares_rename: rename.and_then(|rename| rename.prepare_support).unwrap_or(false),
            markdown: formats.contains(&MarkupKind::Markdown),
            encoding: choose(offered.unwrap_or_default()),
            related: shows.and_then(|shows| shows.related_information).unwrap_or(false),
            fades: shows
                .and_then(|shows| shows.tag_support.as_ref())
                .is_some_and(|tags| tags.value_set.contains(&DiagnosticTag::UNNECESSARY)),
            watches: watching.and_then(|watching| watching.dynamic_registration).unwrap_or(false),
        }
    }
}

/// UTF-8 if it is offered, since texts are kept in it; else what every editor must know, unless it says that it does
/// not.
fn choose(offered: &[PositionEncodingKind]) -> Encoding {
    if offered.contains(&PositionEncodingKind::UTF8) {
        Encoding::Utf8
    } else if offered.contains(&PositionEncodingKind::UTF32)
        && !offered.contains(&PositionEncodingKind::UTF16)
    {
        Encoding::Utf32
    } else {
        Encoding::Utf16
    }
}

/// The answer to `initialize`. Only what works is offered.
pub(crate) fn offer(facts: Facts) -> InitializeResult {
    let encoding = match facts.encoding {
        Encoding::Utf8 => PositionEncodingKind::UTF8,
        Encoding::Utf16 => PositionEncodingKind::UTF16,
        Encoding::Utf32 => PositionEncodingKind::UTF32,
    };
    // An editor that watches files tells of saved ones anyway.
    let save = (!facts.watches)
        .then_some(TextDocumentSyncSaveOptions::SaveOptions(SaveOptions { include_text: Some(false) }));
    InitializeResult {
        capabilities: ServerCapabilities {
            position_encoding: Some(encoding),
            text_document_sync: Some(TextDocumentSyncCapability::Options(TextDocumentSyncOptions {
                open_close: Some(true),
                change: Some(TextDocumentSyncKind::INCREMENTAL),
                save,
                ..TextDocumentSyncOptions::default()
            })),
            hover_provider: Some(HoverProviderCapability::Simple(true)),
            diagnostic_provider: facts.pulls.then(|| {
                DiagnosticServerCapabilities::Options(DiagnosticOptions {
                    identifier: Some("levigate".to_owned()),
                    inter_file_dependencies: true,
                    workspace_diagnostics: true,
                    work_done_progress_options: WorkDoneProgressOptions::default(),
                })
            }),
            workspace: Some(WorkspaceServerCapabilities {
                workspace_folders: Some(WorkspaceFoldersServerCapabilities {
                    supported: Some(true),
                    change_notifications: Some(OneOf::Left(true)),
                }),
                file_operations: Some(WorkspaceFileOperationsServerCapabilities {
                    will_rename: Some(moved_files()),
                    ..WorkspaceFileOperationsServerCapabilities::default()
                }),
            }),
            code_action_provider: facts.takes_actions.then(|| {
                CodeActionProviderCapability::Options(CodeActionOptions {
                    code_action_kinds: Some(kinds()),
                    resolve_provider: Some(facts.resolves_edits),
                    work_done_progress_options: WorkDoneProgressOptions::default(),
                })
            }),
            code_lens_provider: Some(CodeLensOptions { resolve_provider: Some(true) }),
            execute_command_provider: Some(ExecuteCommandOptions {
                commands: commands(facts),
                work_done_progress_options: WorkDoneProgressOptions::default(),
            }),
            inlay_hint_provider: Some(OneOf::Left(true)),
            completion_provider: Some(CompletionOptions {
                resolve_provider: Some(true),
                // What follows a blank, a `;`, or a part of a path is often one of a few words.
                trigger_characters: Some([" ", ";", "/", "#"].map(str::to_owned).to_vec()),
                completion_item: Some(CompletionOptionsCompletionItem { label_details_support: Some(true) }),
                ..CompletionOptions::default()
            }),
            document_symbol_provider: Some(OneOf::Left(true)),
            folding_range_provider: Some(FoldingRangeProviderCapability::Simple(true)),
            selection_range_provider: Some(SelectionRangeProviderCapability::Simple(true)),
            document_link_provider: Some(DocumentLinkOptions {
                resolve_provider: Some(false),
                work_done_progress_options: WorkDoneProgressOptions::default(),
            }),
            semantic_tokens_provider: Some(
                SemanticTokensOptions {
                    legend: legend(),
                    range: Some(true),
                    full: Some(SemanticTokensFullOptions::Delta { delta: Some(true) }),
                    ..SemanticTokensOptions::default()
                }
                .into(),
            ),
            document_highlight_provider: Some(OneOf::Left(true)),
            definition_provider: Some(OneOf::Left(true)),
            references_provider: Some(OneOf::Left(true)),
            rename_provider: Some(if facts.prepares_rename {
                OneOf::Right(RenameOptions {
                    prepare_provider: Some(true),
                    work_done_progress_options: WorkDoneProgressOptions::default(),
                })
            } else {
                OneOf::Left(true)
            }),
            document_formatting_provider: Some(OneOf::Left(true)),
            document_range_formatting_provider: Some(OneOf::Left(true)),
            document_on_type_formatting_provider: Some(DocumentOnTypeFormattingOptions {
                first_trigger_character: "\n".to_owned(),
                more_trigger_character: None,
            }),
            workspace_symbol_provider: Some(OneOf::Left(true)),
            call_hierarchy_provider: Some(CallHierarchyServerCapability::Simple(true)),
            ..ServerCapabilities::default()
        },
        server_info: Some(ServerInfo {
            name: "levigate".to_owned(),
            version: Some(env!("CARGO_PKG_VERSION").to_owned()),
        }),
    }
}

/// Files and folders whose new names other files may have to be told.
fn moved_files() -> FileOperationRegistrationOptions {
    let filter = |glob: &str, matches| FileOperationFilter {
        scheme: Some("file".to_owned()),
        pattern: FileOperationPattern { glob: glob.to_owned(), matches: Some(matches), options: None },
    };
    FileOperationRegistrationOptions {
        filters: vec![
            filter("**/*.formula", FileOperationPatternKind::File),
            filter("**", FileOperationPatternKind::Folder),
        ],
    }
}

/// The request to be told of changed files: workshops, includes and stock files are formula files too.
pub(crate) fn watch_files() -> Vec<Registration> {
    let watcher =
        FileSystemWatcher { glob_pattern: GlobPattern::String("**/*.formula".to_owned()), kind: None };
    let options = DidChangeWatchedFilesRegistrationOptions { watchers: vec![watcher] };
    vec![Registration {
        id: "formula-files".to_owned(),
        method: "workspace/didChangeWatchedFiles".to_owned(),
        register_options: serde_json::to_value(options).ok(),
    }]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn encodings() {
        let kinds = |names: &[&str]| names.iter().map(|name| (*name).to_owned().into()).collect::<Vec<_>>();
        for (offered, expected) in [
            (&[][..], Encoding::Utf16),
            (&["utf-16", "utf-8"], Encoding::Utf8),
            (&["utf-32", "utf-8"], Encoding::Utf8),
            (&["utf-32", "utf-16"], Encoding::Utf16),
            (&["utf-32"], Encoding::Utf32),
            (&["utf-7"], Encoding::Utf16),
        ] {
            assert_eq!(choose(&kinds(offered)), expected, "{offered:?}");
        }
    }
}
