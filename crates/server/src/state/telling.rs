//! What is told of the findings, and when: of open texts, and of files that are not open.

use super::State;
use crate::address::{address, path};
use crate::scan::Seen;
use crate::to_lsp::{diagnostics, remark};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::sync::Arc;
use tower_lsp::lsp_types::notification::PublishDiagnostics;
use tower_lsp::lsp_types::{Diagnostic, PublishDiagnosticsParams, Url};

impl State {
    /// Looks at the next text that is due; false when none is.
    pub(super) fn look_safely(&mut self) -> bool {
        let changed = self.changed.pop_front();
        let sure = changed.is_some();
        let Some(path) = changed.or_else(|| self.unsure.pop_front()) else { return false };
        let looked = catch_unwind(AssertUnwindSafe(|| self.look_at(&path, sure)));
        if let (Err(fault), Some(document)) = (looked, self.documents.get_mut(&path)) {
            document.shown = None;
            let (uri, version) = (document.uri.clone(), document.version);
            self.log_fault(uri.as_str(), fault.as_ref());
            let words = "This text could not be checked: a fault of levigate, not of the formula. The log of the \
                         language server tells more.";
            self.show(uri, vec![remark(words.to_owned())], Some(version));
        }
        true
    }

    /// Tells what is found in a text. One that is not sure to have changed is told of only when the findings have.
    fn look_at(&mut self, path: &Path, sure: bool) {
        let Some(document) = self.documents.get_mut(path) else { return };
        let Some(page) = (self.look)(&mut self.desk, path) else { return };
        let before = document.shown.take();
        let same_page = before.as_ref().is_some_and(|(_, before)| Arc::ptr_eq(before, &page));
        let found = match &before {
            Some((found, _)) if same_page => found.clone(),
            _ => diagnostics(&page, &document.uri, self.facts, &self.pages, true),
        };
        let news = sure || before.is_none_or(|(before, _)| before != found);
        document.shown = Some((found.clone(), page));
        let (uri, version) = (document.uri.clone(), document.version);
        if news {
            // An editor that asks asks of its own about the text that has changed; of others it must hear.
            if !sure && self.facts.pulls {
                self.ask_again();
            }
            self.show(uri, found, Some(version));
        }
    }

    /// The findings of an open text, as they are now, for an editor that asks.
    pub(crate) fn found_in(&mut self, uri: &Url) -> Option<Vec<Diagnostic>> {
        let path = path(uri);
        self.changed.retain(|changed| *changed != path);
        self.unsure.retain(|unsure| *unsure != path);
        let page = (self.look)(&mut self.desk, &path)?;
        let document = self.documents.get_mut(&path)?;
        let found = match document.shown.take() {
            Some((found, before)) if Arc::ptr_eq(&before, &page) => found,
            _ => diagnostics(&page, &document.uri, self.facts, &self.pages, true),
        };
        document.shown = Some((found.clone(), page));
        document.told = Some(found.clone());
        Some(found)
    }

    /// The findings of other open texts that are not what the editor was told of them.
    pub(crate) fn found_elsewhere(&mut self, uri: &Url) -> Vec<(Url, Vec<Diagnostic>)> {
        let own = path(uri);
        let others =
            self.documents.iter().filter(|(path, document)| **path != own && document.told.is_some());
        let others: Vec<(Url, Option<Vec<Diagnostic>>)> =
            others.map(|(_, document)| (document.uri.clone(), document.told.clone())).collect();
        let news = others.into_iter().filter_map(|(uri, told)| {
            let found = self.found_in(&uri)?;
            (Some(&found) != told.as_ref()).then_some((uri, found))
        });
        news.collect()
    }

    pub(super) fn tell_of(&mut self, seen: &Seen) {
        if self.documents.contains_key(&seen.path) || !self.options.workspace {
            return;
        }
        let Some(uri) = address(&seen.path) else { return };
        let found = seen.page.as_ref();
        let found =
            found.map(|page| diagnostics(page, &uri, self.facts, &self.pages, false)).unwrap_or_default();
        if !found.is_empty() || self.elsewhere.contains(&seen.path) {
            self.show_elsewhere(&seen.path, found);
        }
    }

    /// Shows what is found in a file that is not open.
    pub(super) fn show_elsewhere(&mut self, path: &Path, found: Vec<Diagnostic>) {
        let _ = if found.is_empty() {
            self.elsewhere.remove(path)
        } else {
            self.elsewhere.insert(path.to_owned())
        };
        if !self.documents.contains_key(path)
            && let Some(uri) = address(path)
        {
            self.show(uri, found, None);
        }
    }

    pub(super) fn show(&self, uri: Url, diagnostics: Vec<Diagnostic>, version: Option<i32>) {
        if self.facts.pulls {
            return;
        }
        self.outbox.notify::<PublishDiagnostics>(PublishDiagnosticsParams::new(uri, diagnostics, version));
    }
}
