//! What the server says without being asked. One task says it all, in the order in which the actor thought of it.

use crate::ledger::Ledger;
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::{mpsc, oneshot};
use tokio::time::timeout;
use tower_lsp::Client;
use tower_lsp::lsp_types::{MessageType, PublishDiagnosticsParams, Registration};

/// How long an editor may take over a request of ours before we note that it did not answer.
const PATIENCE: Duration = Duration::from_secs(30);

/// Something to say.
#[derive(Debug)]
pub(crate) enum Saying {
    /// What was found in a text.
    Findings(PublishDiagnosticsParams),
    /// Something for the editor's log.
    Log(MessageType, String),
    /// Please tell us of these things.
    Register(Vec<Registration>),
    /// All before has been said.
    Said(oneshot::Sender<()>),
}

/// Says it all.
pub(crate) async fn speak(client: Client, mut sayings: mpsc::Receiver<Saying>, ledger: Arc<Ledger>) {
    while let Some(saying) = sayings.recv().await {
        match saying {
            Saying::Findings(found) => {
                ledger.given();
                client.publish_diagnostics(found.uri, found.diagnostics, found.version).await;
            }
            Saying::Log(kind, text) => {
                ledger.given();
                client.log_message(kind, text).await;
            }
            Saying::Register(wanted) => {
                ledger.given();
                tokio::spawn(register(client.clone(), wanted, Arc::clone(&ledger)));
            }
            Saying::Said(tell) => {
                let _ = tell.send(());
            }
        }
    }
}

async fn register(client: Client, wanted: Vec<Registration>, ledger: Arc<Ledger>) {
    let asking = client.clone();
    // The request itself is never dropped: tower-lsp 0.20 panics at an answer that nobody waits for any more.
    let asked = tokio::spawn(async move { asking.register_capability(wanted).await });
    let trouble = match timeout(PATIENCE, asked).await {
        Ok(Ok(Ok(()))) => return,
        Ok(Ok(Err(error))) => error.to_string(),
        Ok(Err(error)) => error.to_string(),
        Err(_) => "no answer".to_owned(),
    };
    ledger.given();
    client.log_message(MessageType::WARNING, format!("Changed files are not told of: {trouble}")).await;
}
