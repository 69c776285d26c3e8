//! What goes out to the editor, in the order in which it is put here. A thread of its own writes, so that an editor that
//! does not read for a while stops nothing but its own answers.

use crate::frame::framed;
use serde::Serialize;
use std::io::{self, Write};
use std::thread;
use tokio::sync::{mpsc, oneshot};
use tower_lsp::lsp_types::notification::Notification;

/// Frames that may wait to be written; beyond that the actor waits, and newer texts replace older ones.
const WAITING: usize = 16;

/// Something to be written.
enum Parcel {
    Frame(Vec<u8>),
    /// Tell when all before has been written.
    Written(oneshot::Sender<()>),
}

/// The way out, for all who have something to say.
#[derive(Clone)]
pub(crate) struct Outbox(mpsc::Sender<Parcel>);

/// A notification as JSON-RPC writes it.
#[derive(Serialize)]
struct Notice<P> {
    jsonrpc: &'static str,
    method: &'static str,
    params: P,
}

impl Outbox {
    /// Opens the way to a stream.
    pub(crate) fn to(output: impl Write + Send + 'static) -> io::Result<Outbox> {
        let (sender, parcels) = mpsc::channel(WAITING);
        let _ = thread::Builder::new().name("writer".into()).spawn(move || write_all(output, parcels))?;
        Ok(Outbox(sender))
    }

    /// Puts the body of a message; false when nobody takes it any more.
    pub(crate) async fn put(&self, body: &[u8]) -> bool {
        self.0.send(Parcel::Frame(framed(body))).await.is_ok()
    }

    /// Says something from a thread that may wait while too much is still to be written. What is said often goes this
    /// way: by tower-lsp it would pass through two more tasks.
    pub(crate) fn notify<N: Notification>(&self, params: N::Params) {
        let notice = Notice { jsonrpc: "2.0", method: N::METHOD, params };
        // The protocol's own types can all be written; nobody listens only when the session is over.
        if let Ok(body) = serde_json::to_vec(&notice) {
            let _ = self.0.blocking_send(Parcel::Frame(framed(&body)));
        }
    }

    /// Waits until all that was put before has been written.
    pub(crate) async fn written(&self) {
        let (tell, told) = oneshot::channel();
        if self.0.send(Parcel::Written(tell)).await.is_ok() {
            let _ = told.await;
        }
    }
}

/// Writes until nobody sends any more, or the editor has gone.
fn write_all(mut output: impl Write, mut parcels: mpsc::Receiver<Parcel>) {
    while let Some(parcel) = parcels.blocking_recv() {
        match parcel {
            Parcel::Frame(bytes) => {
                if output.write_all(&bytes).and_then(|()| output.flush()).is_err() {
                    return;
                }
            }
            Parcel::Written(tell) => {
                let _ = tell.send(());
            }
        }
    }
}
