//! The handlers that tower-lsp calls. It runs them side by side: only what a handler does **before its first await**
//! keeps the order of the messages. So each one pushes a note into the actor's queue, and only then waits.

use crate::address::path;
use crate::capabilities::{Facts, offer};
use crate::from_lsp::{folders, step};
use crate::note::{Answer, Note, Question};
use crate::options::SECTION;
use crate::requests;
use crate::state::State;
use desk::Desk;
use serde_json::Value;
use std::sync::Arc;
use std::sync::mpsc::Sender;
use tokio::sync::oneshot;
use tower_lsp::jsonrpc::{Error, Result};
use tower_lsp::lsp_types::{
    CallHierarchyIncomingCall, CallHierarchyIncomingCallsParams, CallHierarchyItem,
    CallHierarchyOutgoingCall, CallHierarchyOutgoingCallsParams, CallHierarchyPrepareParams, CodeAction,
    CodeActionParams, CodeActionResponse, CodeLens, CodeLensParams, CompletionItem, CompletionParams,
    CompletionResponse, DidChangeConfigurationParams, DidChangeTextDocumentParams,
    DidChangeWatchedFilesParams, DidChangeWorkspaceFoldersParams, DidCloseTextDocumentParams,
    DidOpenTextDocumentParams, DidSaveTextDocumentParams, DocumentDiagnosticParams,
    DocumentDiagnosticReportResult, DocumentFormattingParams, DocumentHighlight, DocumentHighlightParams,
    DocumentLink, DocumentLinkParams, DocumentOnTypeFormattingParams, DocumentRangeFormattingParams,
    DocumentSymbolParams, DocumentSymbolResponse, ExecuteCommandParams, FoldingRange, FoldingRangeParams,
    GotoDefinitionParams, GotoDefinitionResponse, Hover, HoverParams, InitializeParams, InitializeResult,
    InitializedParams, InlayHint, InlayHintParams, Location, NumberOrString, PrepareRenameResponse,
    ReferenceParams, RenameFilesParams, RenameParams, SelectionRange, SelectionRangeParams,
    SemanticTokensDeltaParams, SemanticTokensFullDeltaResult, SemanticTokensParams,
    SemanticTokensRangeParams, SemanticTokensRangeResult, SemanticTokensResult, SymbolInformation,
    TextDocumentPositionParams, TextEdit, Url, WorkDoneProgressCancelParams, WorkspaceDiagnosticParams,
    WorkspaceDiagnosticReportResult, WorkspaceEdit, WorkspaceFolder, WorkspaceSymbolParams,
};
use tower_lsp::{LanguageServer, async_trait};

/// The way to the actor.
pub(crate) struct Wire {
    queue: Arc<Sender<Note>>,
}

impl Wire {
    pub(crate) fn new(queue: Arc<Sender<Note>>) -> Wire {
        Wire { queue }
    }

    /// Lays a note into the queue. Nobody takes it only when the session is over.
    fn push(&self, note: Note) {
        let _ = self.queue.send(note);
    }

    /// The editor wants a long piece of work to end. A token that is not ours means nothing to us.
    #[expect(clippy::unused_async, reason = "tower-lsp asks for it")]
    pub(crate) async fn stop(&self, params: WorkDoneProgressCancelParams) {
        if let NumberOrString::Number(number) = params.token {
            self.push(Note::Stop(number));
        }
    }

    /// Asks something, about a text or about all of them. The note is in the queue before anything is waited for.
    async fn find<T: Send + 'static>(
        &self,
        uri: Option<&Url>,
        find: impl FnOnce(&mut State) -> Answer<T> + Send + 'static,
    ) -> Result<T> {
        let (reply, answer) = oneshot::channel();
        self.push(Note::Ask { uri: uri.cloned(), question: Question::new(reply, find) });
        // A reply that was dropped belongs to a question over which the desk stumbled; the log tells more.
        answer.await.map_err(|_| Error::internal_error())
    }

    /// Asks something that is answered at once about a text.
    async fn ask<T: Send + 'static>(
        &self,
        uri: &Url,
        find: impl FnOnce(&mut State) -> T + Send + 'static,
    ) -> Result<T> {
        self.find(Some(uri), move |state| Answer::Here(find(state))).await
    }

    /// Asks something that names its text itself.
    async fn ask_any<T: Send + 'static>(
        &self,
        find: impl FnOnce(&mut State) -> T + Send + 'static,
    ) -> Result<T> {
        self.find(None, move |state| Answer::Here(find(state))).await
    }

    /// Asks something about a text that takes long, with the version that it has now.
    async fn ask_aside_of<T: Send + 'static>(
        &self,
        uri: &Url,
        find: impl FnOnce(&mut Desk, Facts, Option<i32>) -> T + Send + 'static,
    ) -> Result<T> {
        let text = uri.clone();
        let search = move |state: &mut State| {
            let version = state.version(&text);
            Answer::aside(move |desk, facts| find(desk, facts, version))
        };
        self.find(Some(uri), search).await
    }

    /// Asks something for which the whole workspace has to be read.
    async fn ask_aside<T: Send + 'static>(
        &self,
        uri: Option<&Url>,
        find: impl FnOnce(&mut Desk, Facts) -> T + Send + 'static,
    ) -> Result<T> {
        self.find(uri, move |_| Answer::aside(find)).await
    }
}

#[async_trait]
impl LanguageServer for Wire {
    async fn initialize(&self, params: InitializeParams) -> Result<InitializeResult> {
        let facts = Facts::of(&params);
        self.push(Note::Editor(facts, folders(&params)));
        if let Some(options) = params.initialization_options {
            self.push(Note::Options(options));
        }
        Ok(offer(facts))
    }

    async fn initialized(&self, _: InitializedParams) {
        self.push(Note::Ready);
    }

    async fn did_open(&self, params: DidOpenTextDocumentParams) {
        let document = params.text_document;
        self.push(Note::Opened { uri: document.uri, version: document.version, text: document.text });
    }

    async fn did_change(&self, params: DidChangeTextDocumentParams) {
        let steps = params.content_changes.into_iter().map(step).collect();
        self.push(Note::Changed {
            uri: params.text_document.uri,
            version: params.text_document.version,
            steps,
        });
    }

    async fn did_close(&self, params: DidCloseTextDocumentParams) {
        self.push(Note::Closed { uri: params.text_document.uri });
    }

    async fn did_save(&self, params: DidSaveTextDocumentParams) {
        self.push(Note::FilesChanged(vec![path(&params.text_document.uri)]));
    }

    async fn did_change_watched_files(&self, params: DidChangeWatchedFilesParams) {
        self.push(Note::FilesChanged(params.changes.iter().map(|change| path(&change.uri)).collect()));
    }

    async fn did_change_workspace_folders(&self, params: DidChangeWorkspaceFoldersParams) {
        let paths = |folders: &[WorkspaceFolder]| folders.iter().map(|folder| path(&folder.uri)).collect();
        self.push(Note::Folders { added: paths(&params.event.added), removed: paths(&params.event.removed) });
    }

    async fn did_change_configuration(&self, params: DidChangeConfigurationParams) {
        // An editor that is asked for its settings often says nothing of them here.
        let own = params.settings.get(SECTION).cloned();
        self.push(own.map_or(Note::AskOptions, Note::Options));
    }

    async fn diagnostic(&self, params: DocumentDiagnosticParams) -> Result<DocumentDiagnosticReportResult> {
        let uri = params.text_document.uri.clone();
        self.ask(&uri, move |state| requests::findings(state, &params)).await
    }

    async fn workspace_diagnostic(
        &self,
        params: WorkspaceDiagnosticParams,
    ) -> Result<WorkspaceDiagnosticReportResult> {
        let report = self.find(None, move |state| requests::all_findings(state, params)).await?;
        Ok(WorkspaceDiagnosticReportResult::Report(report))
    }

    async fn code_action(&self, params: CodeActionParams) -> Result<Option<CodeActionResponse>> {
        let uri = params.text_document.uri.clone();
        if requests::asks_for_all(&params) {
            let text = uri.clone();
            return self
                .ask_aside_of(&uri, move |desk, facts, version| {
                    Some(requests::only_all_fixes(desk, facts, &text, version))
                })
                .await;
        }
        self.ask(&uri, move |state| requests::actions(state, &params)).await
    }

    async fn code_action_resolve(&self, action: CodeAction) -> Result<CodeAction> {
        if let Some(uri) = requests::mends(&action) {
            let find = move |desk: &mut Desk, facts, version| {
                requests::all_fixes_resolved(desk, facts, action, version)
            };
            return self.ask_aside_of(&uri, find).await?;
        }
        self.ask_any(move |state| requests::resolved(state, action)).await?
    }

    async fn execute_command(&self, params: ExecuteCommandParams) -> Result<Option<Value>> {
        let Some(uri) = requests::compares(&params)? else {
            return self.ask_any(move |state| requests::execute(state, &params)).await?;
        };
        let text = uri.clone();
        let told = self.find(Some(&uri), move |state| requests::compared(state, text)).await??;
        self.ask(&uri.clone(), move |state| requests::show_comparison(state, &uri, told)).await
    }

    async fn code_lens(&self, params: CodeLensParams) -> Result<Option<Vec<CodeLens>>> {
        let uri = params.text_document.uri.clone();
        self.find(Some(&uri), move |state| requests::lenses(state, params)).await
    }

    async fn code_lens_resolve(&self, lens: CodeLens) -> Result<CodeLens> {
        let Some(uri) = requests::lens_text(&lens) else { return Ok(lens) };
        self.ask_aside(Some(&uri), move |desk, facts| requests::resolved_lens(desk, facts, lens)).await
    }

    async fn formatting(&self, params: DocumentFormattingParams) -> Result<Option<Vec<TextEdit>>> {
        let uri = params.text_document.uri.clone();
        self.ask(&uri, move |state| requests::formatting(state, &params)).await
    }

    async fn hover(&self, params: HoverParams) -> Result<Option<Hover>> {
        let uri = params.text_document_position_params.text_document.uri.clone();
        self.ask(&uri, move |state| requests::hover(state, &params)).await
    }

    async fn completion(&self, params: CompletionParams) -> Result<Option<CompletionResponse>> {
        let uri = params.text_document_position.text_document.uri.clone();
        self.find(Some(&uri), move |state| requests::complete(state, &params)).await
    }

    async fn completion_resolve(&self, item: CompletionItem) -> Result<CompletionItem> {
        let Some((uri, key)) = requests::about(&item) else { return Ok(item) };
        self.ask(&uri.clone(), move |state| requests::tell(state, &uri, &key, item)).await
    }

    async fn document_symbol(&self, params: DocumentSymbolParams) -> Result<Option<DocumentSymbolResponse>> {
        let uri = params.text_document.uri.clone();
        self.ask(&uri, move |state| requests::outline(state, &params)).await
    }

    async fn inlay_hint(&self, params: InlayHintParams) -> Result<Option<Vec<InlayHint>>> {
        let uri = params.text_document.uri.clone();
        self.ask(&uri, move |state| requests::hints(state, &params)).await
    }

    async fn range_formatting(&self, params: DocumentRangeFormattingParams) -> Result<Option<Vec<TextEdit>>> {
        let uri = params.text_document.uri.clone();
        self.ask(&uri, move |state| requests::lines_formatting(state, &params)).await
    }

    async fn on_type_formatting(
        &self,
        params: DocumentOnTypeFormattingParams,
    ) -> Result<Option<Vec<TextEdit>>> {
        let uri = params.text_document_position.text_document.uri.clone();
        self.ask(&uri, move |state| requests::line_formatting(state, &params)).await
    }

    async fn symbol(&self, params: WorkspaceSymbolParams) -> Result<Option<Vec<SymbolInformation>>> {
        self.ask_aside(None, move |desk, facts| Some(requests::symbols(desk, facts, &params))).await
    }

    async fn prepare_call_hierarchy(
        &self,
        params: CallHierarchyPrepareParams,
    ) -> Result<Option<Vec<CallHierarchyItem>>> {
        let at = params.text_document_position_params;
        let uri = at.text_document.uri.clone();
        self.ask_aside(Some(&uri), move |desk, facts| requests::prepare(desk, facts, &at)).await
    }

    async fn incoming_calls(
        &self,
        params: CallHierarchyIncomingCallsParams,
    ) -> Result<Option<Vec<CallHierarchyIncomingCall>>> {
        let uri = params.item.uri.clone();
        self.ask_aside(Some(&uri), move |desk, facts| requests::incoming(desk, facts, &params.item)).await
    }

    async fn outgoing_calls(
        &self,
        params: CallHierarchyOutgoingCallsParams,
    ) -> Result<Option<Vec<CallHierarchyOutgoingCall>>> {
        let uri = params.item.uri.clone();
        self.ask_aside(Some(&uri), move |desk, facts| requests::outgoing(desk, facts, &params.item)).await
    }

    async fn will_rename_files(&self, params: RenameFilesParams) -> Result<Option<WorkspaceEdit>> {
        self.ask_aside(None, move |desk, facts| requests::moved(desk, facts, &params)).await
    }

    async fn folding_range(&self, params: FoldingRangeParams) -> Result<Option<Vec<FoldingRange>>> {
        let uri = params.text_document.uri.clone();
        self.ask(&uri, move |state| requests::folds(state, &params)).await
    }

    async fn selection_range(&self, params: SelectionRangeParams) -> Result<Option<Vec<SelectionRange>>> {
        let uri = params.text_document.uri.clone();
        self.ask(&uri, move |state| requests::selections(state, &params)).await
    }

    async fn document_link(&self, params: DocumentLinkParams) -> Result<Option<Vec<DocumentLink>>> {
        let uri = params.text_document.uri.clone();
        self.ask(&uri, move |state| requests::links(state, &params)).await
    }

    async fn semantic_tokens_full(
        &self,
        params: SemanticTokensParams,
    ) -> Result<Option<SemanticTokensResult>> {
        let uri = params.text_document.uri.clone();
        self.ask(&uri, move |state| requests::colours(state, &params)).await
    }

    async fn semantic_tokens_full_delta(
        &self,
        params: SemanticTokensDeltaParams,
    ) -> Result<Option<SemanticTokensFullDeltaResult>> {
        let uri = params.text_document.uri.clone();
        self.ask(&uri, move |state| requests::colours_since(state, &params)).await
    }

    async fn semantic_tokens_range(
        &self,
        params: SemanticTokensRangeParams,
    ) -> Result<Option<SemanticTokensRangeResult>> {
        let uri = params.text_document.uri.clone();
        self.ask(&uri, move |state| requests::colours_between(state, &params)).await
    }

    async fn document_highlight(
        &self,
        params: DocumentHighlightParams,
    ) -> Result<Option<Vec<DocumentHighlight>>> {
        let uri = params.text_document_position_params.text_document.uri.clone();
        self.ask(&uri, move |state| requests::highlights(state, &params)).await
    }

    async fn goto_definition(&self, params: GotoDefinitionParams) -> Result<Option<GotoDefinitionResponse>> {
        let uri = params.text_document_position_params.text_document.uri.clone();
        self.ask(&uri, move |state| requests::definition(state, &params)).await
    }

    async fn references(&self, params: ReferenceParams) -> Result<Option<Vec<Location>>> {
        let uri = params.text_document_position.text_document.uri.clone();
        self.ask_aside(Some(&uri), move |desk, facts| requests::references(desk, facts, &params)).await
    }

    async fn prepare_rename(
        &self,
        params: TextDocumentPositionParams,
    ) -> Result<Option<PrepareRenameResponse>> {
        let uri = params.text_document.uri.clone();
        self.ask(&uri, move |state| requests::can_rename(state, &params)).await?
    }

    async fn rename(&self, params: RenameParams) -> Result<Option<WorkspaceEdit>> {
        let uri = params.text_document_position.text_document.uri.clone();
        self.ask_aside(Some(&uri), move |desk, facts| requests::rename(desk, facts, &params)).await?
    }

    async fn shutdown(&self) -> Result<()> {
        let (reply, answer) = oneshot::channel();
        self.push(Note::Rest(reply));
        let _ = answer.await;
        Ok(())
    }
}
