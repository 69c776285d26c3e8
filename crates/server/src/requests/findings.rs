//! Findings for editors that ask for them: of one text, and of the whole workspace.

use crate::address::{address, path};
use crate::capabilities::Facts;
use crate::note::Answer;
use crate::state::State;
use crate::to_lsp::{Pages, diagnostics};
use desk::Desk;
use std::collections::{BTreeMap, HashMap};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::PathBuf;
use tower_lsp::lsp_types::{
    Diagnostic, DocumentDiagnosticParams, DocumentDiagnosticReport, DocumentDiagnosticReportKind,
    DocumentDiagnosticReportResult, FullDocumentDiagnosticReport, RelatedFullDocumentDiagnosticReport,
    RelatedUnchangedDocumentDiagnosticReport, UnchangedDocumentDiagnosticReport, Url,
    WorkspaceDiagnosticParams, WorkspaceDiagnosticReport, WorkspaceDocumentDiagnosticReport,
    WorkspaceFullDocumentDiagnosticReport, WorkspaceUnchangedDocumentDiagnosticReport,
};

/// The name of some findings: the same for the same findings, whoever asks when.
fn name(found: &[Diagnostic]) -> String {
    let mut hasher = DefaultHasher::new();
    // What is sent is what counts.
    serde_json::to_string(found).unwrap_or_default().hash(&mut hasher);
    format!("{:016x}", hasher.finish())
}

fn full(items: Vec<Diagnostic>) -> FullDocumentDiagnosticReport {
    FullDocumentDiagnosticReport { result_id: Some(name(&items)), items }
}

/// The findings of a text, and of the other open texts that read it and are told differently since.
pub(crate) fn findings(
    state: &mut State,
    params: &DocumentDiagnosticParams,
) -> DocumentDiagnosticReportResult {
    let uri = &params.text_document.uri;
    let found = state.found_in(uri).unwrap_or_default();
    let related: HashMap<Url, DocumentDiagnosticReportKind> = if state.facts().related_documents {
        let others = state.found_elsewhere(uri).into_iter();
        others.map(|(uri, found)| (uri, DocumentDiagnosticReportKind::Full(full(found)))).collect()
    } else {
        HashMap::new()
    };
    let related_documents = (!related.is_empty()).then_some(related);
    let report = full(found);
    let known = params.previous_result_id.is_some() && params.previous_result_id == report.result_id;
    let report = if known {
        DocumentDiagnosticReport::Unchanged(RelatedUnchangedDocumentDiagnosticReport {
            related_documents,
            unchanged_document_diagnostic_report: UnchangedDocumentDiagnosticReport {
                result_id: report.result_id.unwrap_or_default(),
            },
        })
    } else {
        DocumentDiagnosticReport::Full(RelatedFullDocumentDiagnosticReport {
            related_documents,
            full_document_diagnostic_report: report,
        })
    };
    DocumentDiagnosticReportResult::Report(report)
}

/// The findings of every file of the workspace; hints only of open texts.
pub(crate) fn all_findings(
    state: &mut State,
    params: WorkspaceDiagnosticParams,
) -> Answer<WorkspaceDiagnosticReport> {
    let (open, pages) = (state.open_texts(), state.pages().clone());
    Answer::aside(move |desk, facts| of_all(desk, facts, &open, &pages, params))
}

fn of_all(
    desk: &mut Desk,
    facts: Facts,
    open: &HashMap<PathBuf, (Url, i32)>,
    pages: &Pages,
    params: WorkspaceDiagnosticParams,
) -> WorkspaceDiagnosticReport {
    let known: BTreeMap<Url, String> =
        params.previous_result_ids.into_iter().map(|known| (known.uri, known.value)).collect();
    let mut items = Vec::new();
    for file in desk.workspace_files() {
        let (uri, version) = match open.get(&file) {
            Some((uri, version)) => (uri.clone(), Some(i64::from(*version))),
            None => match address(&file) {
                Some(uri) => (uri, None),
                None => continue,
            },
        };
        let Some(page) = desk.page_of(&file) else { continue };
        let found = diagnostics(&page, &uri, facts, pages, version.is_some());
        let report = full(found);
        let unchanged = known.get(&uri).is_some_and(|before| Some(before) == report.result_id.as_ref());
        items.push(if unchanged {
            WorkspaceDocumentDiagnosticReport::Unchanged(WorkspaceUnchangedDocumentDiagnosticReport {
                uri,
                version,
                unchanged_document_diagnostic_report: UnchangedDocumentDiagnosticReport {
                    result_id: report.result_id.unwrap_or_default(),
                },
            })
        } else {
            WorkspaceDocumentDiagnosticReport::Full(WorkspaceFullDocumentDiagnosticReport {
                uri,
                version,
                full_document_diagnostic_report: report,
            })
        });
    }
    // A file that is gone has nothing to be told of.
    for (uri, _) in known {
        let gone = desk.text_of(&path(&uri)).is_none();
        if gone {
            items.push(WorkspaceDocumentDiagnosticReport::Full(WorkspaceFullDocumentDiagnosticReport {
                uri,
                version: None,
                full_document_diagnostic_report: full(Vec::new()),
            }));
        }
    }
    WorkspaceDiagnosticReport { items }
}
