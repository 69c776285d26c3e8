//! What the server asks the editor, and how far its long work is. One task says it all, in the order in which the actor
//! thought of it. What needs no answer (findings, the log) goes out by the `outbox` itself.

use crate::ledger::Ledger;
use crate::note::Note;
use crate::options::SECTION;
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Duration;
use tokio::sync::{mpsc, oneshot};
use tokio::time::timeout;
use tower_lsp::Client;
use tower_lsp::jsonrpc::Result;
use tower_lsp::lsp_types::notification::Progress as ProgressNotification;
use tower_lsp::lsp_types::request::{ApplyWorkspaceEdit, WorkDoneProgressCreate};
use tower_lsp::lsp_types::{
    ApplyWorkspaceEditParams, ConfigurationItem, MessageType, NumberOrString, ProgressParams,
    ProgressParamsValue, Registration, ShowDocumentParams, Url, WorkDoneProgress, WorkDoneProgressBegin,
    WorkDoneProgressCreateParams, WorkDoneProgressEnd, WorkDoneProgressReport, WorkspaceEdit,
};

/// How long an editor may take over a request of ours before we note that it did not answer.
const PATIENCE: Duration = Duration::from_secs(30);

/// Something to say.
#[derive(Debug)]
pub(crate) enum Saying {
    /// Please tell us of these things.
    Register(Vec<Registration>),
    /// Please ask again: what you were told may not hold any more.
    Refresh(Refresh),
    /// What are the settings of our section?
    AskOptions(std::sync::mpsc::Sender<Note>),
    /// How far a long piece of work is.
    Progress(Progress),
    /// Please show this text to the user.
    Show(Url),
    /// Please make these changes; what they are for.
    Apply(String, WorkspaceEdit),
    /// All before has been said.
    Said(oneshot::Sender<()>),
}

/// What an editor can be asked to ask for again.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
#[expect(clippy::struct_excessive_bools, reason = "each is a question of its own")]
pub(crate) struct Refresh {
    pub(crate) findings: bool,
    pub(crate) hints: bool,
    pub(crate) lenses: bool,
    pub(crate) colours: bool,
}

/// How far a long piece of work is; a token names it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) enum Progress {
    Begin { token: i32, title: String },
    Report { token: i32, percent: u32, message: String },
    End { token: i32 },
}

/// Work that the editor shows, by its token: false until it has agreed to show it.
type Shown = Arc<Mutex<BTreeMap<i32, bool>>>;

/// Says it all.
pub(crate) async fn speak(client: Client, mut sayings: mpsc::Receiver<Saying>, ledger: Arc<Ledger>) {
    let shown = Shown::default();
    while let Some(saying) = sayings.recv().await {
        match saying {
            Saying::Refresh(wanted) => {
                refresh(&client, wanted, &ledger);
            }
            Saying::AskOptions(queue) => {
                ledger.given();
                tokio::spawn(ask_options(client.clone(), queue));
            }
            Saying::Progress(progress) => tell_progress(&client, progress, &shown, &ledger).await,
            Saying::Register(wanted) => {
                ledger.given();
                tokio::spawn(register(client.clone(), wanted, Arc::clone(&ledger)));
            }
            Saying::Show(address) => {
                ledger.given();
                tokio::spawn(show(client.clone(), address, Arc::clone(&ledger)));
            }
            Saying::Apply(what, edit) => {
                ledger.given();
                tokio::spawn(apply(client.clone(), what, edit, Arc::clone(&ledger)));
            }
            Saying::Said(tell) => {
                let _ = tell.send(());
            }
        }
    }
}

/// Asks the editor to ask again. Its answers say nothing, so nobody waits for them.
fn refresh(client: &Client, wanted: Refresh, ledger: &Ledger) {
    let ask = |wanted: bool| {
        if wanted {
            ledger.given();
        }
        wanted.then(|| client.clone())
    };
    if let Some(client) = ask(wanted.findings) {
        tokio::spawn(async move { client.workspace_diagnostic_refresh().await });
    }
    if let Some(client) = ask(wanted.hints) {
        tokio::spawn(async move { client.inlay_hint_refresh().await });
    }
    if let Some(client) = ask(wanted.lenses) {
        tokio::spawn(async move { client.code_lens_refresh().await });
    }
    if let Some(client) = ask(wanted.colours) {
        tokio::spawn(async move { client.semantic_tokens_refresh().await });
    }
}

/// Asks for the settings of our section; the answer goes to the actor.
async fn ask_options(client: Client, queue: std::sync::mpsc::Sender<Note>) {
    let item = ConfigurationItem { scope_uri: None, section: Some(SECTION.to_owned()) };
    if let Ok(values) = client.configuration(vec![item]).await
        && let Some(value) = values.into_iter().next().filter(|value| !value.is_null())
    {
        let _ = queue.send(Note::Options(value));
    }
}

/// Tells how far work is, once the editor has agreed to show it.
async fn tell_progress(client: &Client, progress: Progress, shown: &Shown, ledger: &Arc<Ledger>) {
    let agreed = |token: i32| lock(shown).get(&token) == Some(&true);
    match progress {
        Progress::Begin { token, title } => {
            let _ = lock(shown).insert(token, false);
            ledger.given();
            tokio::spawn(begin(client.clone(), token, title, Arc::clone(shown), Arc::clone(ledger)));
        }
        Progress::Report { token, percent, message } => {
            if agreed(token) {
                let report = WorkDoneProgressReport {
                    cancellable: Some(true),
                    message: Some(message),
                    percentage: Some(percent),
                };
                notify(client, token, WorkDoneProgress::Report(report), ledger).await;
            }
        }
        Progress::End { token } => {
            let was = lock(shown).remove(&token);
            if was == Some(true) {
                notify(client, token, WorkDoneProgress::End(WorkDoneProgressEnd { message: None }), ledger)
                    .await;
            }
        }
    }
}

async fn begin(client: Client, token: i32, title: String, shown: Shown, ledger: Arc<Ledger>) {
    let params = WorkDoneProgressCreateParams { token: NumberOrString::Number(token) };
    if client.send_request::<WorkDoneProgressCreate>(params).await.is_err() {
        return;
    }
    // Work that was done before the editor agreed is not shown any more.
    if !lock(&shown).contains_key(&token) {
        return;
    }
    let begin = WorkDoneProgressBegin { title, cancellable: Some(true), message: None, percentage: Some(0) };
    notify(&client, token, WorkDoneProgress::Begin(begin), &ledger).await;
    let over = match lock(&shown).get_mut(&token) {
        Some(agreed) => {
            *agreed = true;
            false
        }
        None => true,
    };
    if over {
        notify(&client, token, WorkDoneProgress::End(WorkDoneProgressEnd { message: None }), &ledger).await;
    }
}

async fn notify(client: &Client, token: i32, progress: WorkDoneProgress, ledger: &Arc<Ledger>) {
    ledger.given();
    let value = ProgressParamsValue::WorkDone(progress);
    let params = ProgressParams { token: NumberOrString::Number(token), value };
    client.send_notification::<ProgressNotification>(params).await;
}

fn lock(shown: &Shown) -> MutexGuard<'_, BTreeMap<i32, bool>> {
    shown.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Asks the editor to show a text. One that will not is told where it lies.
async fn show(client: Client, address: Url, ledger: Arc<Ledger>) {
    let asking = client.clone();
    let params = ShowDocumentParams {
        uri: address.clone(),
        external: Some(false),
        take_focus: Some(true),
        selection: None,
    };
    let shown = asked(async move { asking.show_document(params).await }).await;
    if !matches!(shown, Ok(true)) {
        ledger.given();
        client.log_message(MessageType::INFO, format!("The editor did not show {address}")).await;
    }
}

/// Asks the editor to make changes. That it did not is worth telling: the user has asked for them.
async fn apply(client: Client, what: String, edit: WorkspaceEdit, ledger: Arc<Ledger>) {
    let asking = client.clone();
    let params = ApplyWorkspaceEditParams { label: Some(what.clone()), edit };
    let made = asked(async move { asking.send_request::<ApplyWorkspaceEdit>(params).await }).await;
    let trouble = match made {
        Ok(answer) if answer.applied => return,
        Ok(answer) => {
            answer.failure_reason.unwrap_or_else(|| "the editor did not make the changes".to_owned())
        }
        Err(trouble) => trouble,
    };
    ledger.given();
    client.show_message(MessageType::WARNING, format!("{what}: {trouble}")).await;
}

/// The answer to a request of ours, or why there is none. The request itself is never dropped: tower-lsp 0.20 panics at
/// an answer that nobody waits for any more.
async fn asked<T: Send + 'static>(
    request: impl Future<Output = Result<T>> + Send + 'static,
) -> std::result::Result<T, String> {
    match timeout(PATIENCE, tokio::spawn(request)).await {
        Ok(Ok(Ok(answer))) => Ok(answer),
        Ok(Ok(Err(error))) => Err(error.to_string()),
        Ok(Err(error)) => Err(error.to_string()),
        Err(_) => Err("no answer".to_owned()),
    }
}

async fn register(client: Client, wanted: Vec<Registration>, ledger: Arc<Ledger>) {
    let asking = client.clone();
    let Err(trouble) = asked(async move { asking.register_capability(wanted).await }).await else { return };
    ledger.given();
    client.log_message(MessageType::WARNING, format!("Changed files are not told of: {trouble}")).await;
}
