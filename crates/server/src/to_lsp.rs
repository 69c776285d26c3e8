//! From our words to the protocol's.

use crate::KeepPage;
use crate::address::address;
use crate::capabilities::Facts;
use desk::{Desk, Edits, Encoding, Finding, Level, LineIndex, Page, Span};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};
use tower_lsp::lsp_types::{
    CodeDescription, Diagnostic, DiagnosticRelatedInformation, DiagnosticSeverity, DiagnosticTag, Location,
    NumberOrString, Position, Range, TextEdit, Url,
};

/// Who says it, beside each finding.
const SOURCE: &str = "levigate";
/// The most findings that are shown for one text; editors slow down with more, and nobody reads them.
pub(crate) const MOST: usize = 200;

/// The pages of rules, kept where the editor can open them; each is kept when it is first needed. All clones are one.
#[derive(Clone)]
pub(crate) struct Pages(Arc<Mutex<Kept>>);

struct Kept {
    keep: KeepPage,
    kept: BTreeMap<&'static str, Option<Url>>,
}

impl Pages {
    pub(crate) fn new(keep: KeepPage) -> Pages {
        Pages(Arc::new(Mutex::new(Kept { keep, kept: BTreeMap::new() })))
    }

    pub(crate) fn of(&self, rule: &'static str) -> Option<Url> {
        let mut own = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let Kept { keep, kept } = &mut *own;
        kept.entry(rule)
            .or_insert_with(|| {
                desk::rule_page(rule).and_then(|page| keep(rule, &page)).as_deref().and_then(address)
            })
            .clone()
    }
}

/// What is shown for a page, the most serious first. Hints are for texts that are open.
pub(crate) fn diagnostics(
    page: &Page,
    uri: &Url,
    facts: Facts,
    pages: &Pages,
    open: bool,
) -> Vec<Diagnostic> {
    let least = if open { Level::Hint } else { Level::Note };
    let (findings, all) = page.gravest(MOST, least);
    let mut shown: Vec<Diagnostic> = findings
        .iter()
        .map(|(start, finding)| diagnostic(finding, *start, page, uri, facts, pages.of(finding.rule)))
        .collect();
    shown.extend(and_more(all.saturating_sub(findings.len())));
    shown
}

/// A finding whose spans count from the byte `start` of the page.
pub(crate) fn diagnostic(
    finding: &Finding,
    start: u32,
    page: &Page,
    uri: &Url,
    facts: Facts,
    href: Option<Url>,
) -> Diagnostic {
    let related = finding.related.iter().map(|related| DiagnosticRelatedInformation {
        location: Location::new(uri.clone(), range(page, related.span.shifted(start), facts.encoding)),
        message: related.message.clone(),
    });
    Diagnostic {
        range: range(page, finding.span.shifted(start), facts.encoding),
        severity: Some(severity(finding.level)),
        code: Some(NumberOrString::String(finding.rule.to_owned())),
        code_description: href.map(|href| CodeDescription { href }),
        source: Some(SOURCE.to_owned()),
        message: match &finding.help {
            Some(help) => format!("{}\n{help}", finding.message),
            None => finding.message.clone(),
        },
        tags: (facts.fades && finding.is_idle()).then(|| vec![DiagnosticTag::UNNECESSARY]),
        related_information: (facts.related && !finding.related.is_empty()).then(|| related.collect()),
        ..Diagnostic::default()
    }
}

fn severity(level: Level) -> DiagnosticSeverity {
    match level {
        Level::Error => DiagnosticSeverity::ERROR,
        Level::Warning => DiagnosticSeverity::WARNING,
        Level::Note => DiagnosticSeverity::INFORMATION,
        Level::Hint => DiagnosticSeverity::HINT,
    }
}

/// Tells how many findings are not shown.
fn and_more(more: usize) -> Option<Diagnostic> {
    let message = match more {
        0 => return None,
        1 => "1 more finding is not shown here; `levigate check` lists it".to_owned(),
        _ => format!("{more} more findings are not shown here; `levigate check` lists them"),
    };
    Some(remark(message))
}

/// Something to be said about a text as a whole.
pub(crate) fn remark(message: String) -> Diagnostic {
    Diagnostic {
        severity: Some(DiagnosticSeverity::INFORMATION),
        source: Some(SOURCE.to_owned()),
        message,
        ..Diagnostic::default()
    }
}

/// The edits of a page.
pub(crate) fn text_edits(edits: &Edits, page: &Page, encoding: Encoding) -> Vec<TextEdit> {
    edits.iter().map(|edit| TextEdit::new(range(page, edit.span, encoding), edit.text.clone())).collect()
}

pub(crate) fn range(page: &Page, span: Span, encoding: Encoding) -> Range {
    Range::new(position(page, span.start, encoding), position(page, span.end, encoding))
}

/// Counts places in files that may not be open.
pub(crate) struct Spots<'d> {
    desk: &'d mut Desk,
    encoding: Encoding,
    /// Texts that are not open, each with its lines.
    read: BTreeMap<PathBuf, Option<(String, LineIndex)>>,
}

impl<'d> Spots<'d> {
    pub(crate) fn new(desk: &'d mut Desk, encoding: Encoding) -> Spots<'d> {
        Spots { desk, encoding, read: BTreeMap::new() }
    }

    /// Where a span of a file stands; none where the file cannot be read.
    pub(crate) fn range(&mut self, path: &Path, span: Span) -> Option<Range> {
        let read = self.read.entry(path.to_owned()).or_insert_with(|| {
            let text = self.desk.text_of(path)?;
            let index = LineIndex::new(&text);
            Some((text, index))
        });
        let (text, index) = read.as_ref()?;
        let at = |byte| {
            let place = index.place(text, byte, self.encoding);
            Position::new(place.line, place.column)
        };
        Some(Range::new(at(span.start), at(span.end)))
    }
}

fn position(page: &Page, at: u32, encoding: Encoding) -> Position {
    let place = page.place(at, encoding);
    Position::new(place.line, place.column)
}

#[cfg(test)]
mod tests {
    use super::*;
    use desk::{Date, MemoryShelf, Related};

    fn page(text: &str) -> Arc<Page> {
        let day = Date::read("2026-11-24").unwrap();
        let mut desk = Desk::new(Arc::new(MemoryShelf::default()), day);
        desk.open(Path::new("/a.formula"), text.to_owned());
        desk.page(Path::new("/a.formula")).unwrap()
    }

    fn finding(level: Level, span: Span) -> Finding {
        Finding {
            rule: "total-not-100",
            level,
            span,
            message: "what".into(),
            help: Some("do".into()),
            sources: Vec::new(),
            related: vec![Related { span, message: "there".into() }],
            fixes: Vec::new(),
            block: String::new(),
            formula: None,
            variant: None,
            law: false,
            allowed: None,
        }
    }

    #[test]
    fn a_finding_becomes_a_diagnostic() {
        let page = page("# µ½𝛽 x\n# y\n");
        let uri = Url::parse("file:///a.formula").unwrap();
        let at = page.text().find('x').unwrap() as u32;
        for (encoding, column) in [(Encoding::Utf8, 11), (Encoding::Utf16, 7), (Encoding::Utf32, 6)] {
            let facts = Facts { encoding, related: true, ..Facts::default() };
            let href = Url::parse("file:///pages/x.md").unwrap();
            let made = diagnostic(
                &finding(Level::Note, Span::new(at, at + 1)),
                0,
                &page,
                &uri,
                facts,
                Some(href.clone()),
            );
            assert_eq!(made.range, Range::new(Position::new(0, column), Position::new(0, column + 1)));
            assert_eq!(made.severity, Some(DiagnosticSeverity::INFORMATION));
            assert_eq!(made.message, "what\ndo");
            assert_eq!(made.code_description.unwrap().href, href);
            assert_eq!(made.related_information.unwrap()[0].location.uri, uri);
        }
        let plain = diagnostic(&finding(Level::Hint, Span::at(0)), 0, &page, &uri, Facts::default(), None);
        assert_eq!((plain.related_information, plain.code_description), (None, None));
        assert_eq!(plain.severity, Some(DiagnosticSeverity::HINT));
    }

    #[test]
    fn a_page_is_kept_once_and_its_link_is_an_address() {
        let times = Arc::new(std::sync::atomic::AtomicUsize::new(0));
        let count = Arc::clone(&times);
        let pages = Pages::new(Box::new(move |rule, _| {
            let _ = count.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
            Some(Path::new("/some where").join(rule))
        }));
        let rule = desk::RULES.iter().map(|rule| rule.name).next().unwrap();
        for _ in 0..2 {
            assert_eq!(pages.of(rule).unwrap().as_str(), format!("file:///some%20where/{rule}"));
        }
        assert_eq!(times.load(std::sync::atomic::Ordering::Relaxed), 1);
        assert_eq!(pages.of("no such rule"), None);
    }

    #[test]
    fn what_is_not_shown_is_told() {
        assert_eq!(and_more(0), None);
        let more = and_more(3).unwrap();
        assert!(more.message.starts_with("3 more"));
        assert_eq!(more.range, Range::default());
    }
}
