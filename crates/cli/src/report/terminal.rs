//! Findings for the eye: the line that each is about, drawn with ariadne, and what to do under it.

use super::{Choice, Counts, Sheet};
use crate::look::{Ink, Look, columns, counted, harmless};
use ariadne::{Color, Config, IndexType, Label, Report, ReportKind, Source};
use desk::{Finding, Level, Span};
use std::collections::BTreeSet;
use std::fmt::Write;
use std::ops::Range;

/// Stands for the words of a label that has none: ariadne underlines only labels with words.
const NO_WORDS: char = '\u{e000}';

/// All findings that are to be shown, and a line that counts them; nothing where there is nothing to say.
pub(crate) fn text(sheets: &[Sheet], choice: Choice, look: Look) -> String {
    let mut out = String::new();
    let mut told: Vec<&Finding> = Vec::new();
    let mut files = 0;
    for sheet in sheets {
        let shown: Vec<&Finding> =
            sheet.findings.iter().filter(|finding| is_shown(finding, choice)).collect();
        if shown.is_empty() {
            continue;
        }
        files += 1;
        let drawing = Drawing::new(sheet, look);
        for finding in &shown {
            out.push_str(&drawing.finding(finding));
            out.push('\n');
        }
        told.extend(shown);
    }
    if !told.is_empty() {
        out.push_str(&summary(Counts::of(told.into_iter()), files, sheets.len(), look));
    }
    out
}

fn is_shown(finding: &Finding, choice: Choice) -> bool {
    (choice.hints || finding.level > Level::Hint) && (choice.allowed || finding.allowed.is_none())
}

/// `3 errors, 1 warning in 2 of 14 files`
fn summary(counts: Counts, files: usize, of: usize, look: Look) -> String {
    let kinds = [
        (counts.error, "error", Ink::Error),
        (counts.warning, "warning", Ink::Warning),
        (counts.note, "note", Ink::Note),
        (counts.hint, "hint", Ink::Hint),
    ];
    let mut parts: Vec<String> = kinds
        .into_iter()
        .filter(|(count, ..)| *count > 0)
        .map(|(count, word, ink)| look.paint(ink, &counted(count, word)))
        .collect();
    if counts.allowed > 0 {
        parts.push(format!("{} allowed", counts.allowed));
    }
    let place = if of > 1 { format!(" in {files} of {of} files") } else { String::new() };
    format!("{}{place}\n", parts.join(", "))
}

type Place = (String, Range<usize>);

/// One file, ready to be drawn.
struct Drawing<'a> {
    shown: &'a str,
    source: Source<String>,
    look: Look,
}

impl<'a> Drawing<'a> {
    fn new(sheet: &'a Sheet, look: Look) -> Drawing<'a> {
        Drawing { shown: &sheet.shown, source: Source::from(harmless(&sheet.text)), look }
    }

    fn finding(&self, finding: &Finding) -> String {
        let drawn = self.draw(finding);
        // Ariadne's own heading is always in colour; ours is not.
        let mut lines: Vec<&str> = drawn.lines().skip(1).collect();
        let last = lines.pop().unwrap_or("");
        // The frame's lower edge is as long as its margin is wide.
        let margin = last.chars().filter(|c| *c == '─').count();
        let drawing = without_elbow(&lines, self.before(finding));
        let mut out = self.heading(finding) + &self.fitted(&drawing, finding);
        let edge = self.frame(&format!("{:margin$}│", ""));
        let notes = notes(finding);
        if !notes.is_empty() {
            let _ = writeln!(out, "{edge}");
        }
        for (label, text) in notes {
            let hang = label.len() + 2;
            for (at, line) in self.look.wrap(&text, margin + 2 + hang).iter().enumerate() {
                let lead = if at == 0 { format!("{label}: ") } else { " ".repeat(hang) };
                let _ = writeln!(out, "{edge} {}{line}", self.look.paint(Ink::Label, &lead));
            }
        }
        let _ = writeln!(out, "{last}");
        out
    }

    /// `error[over-limit]: what is wrong`
    fn heading(&self, finding: &Finding) -> String {
        let silenced = if finding.allowed.is_some() { ", allowed" } else { "" };
        let kind = format!("{}[{}]{silenced}:", finding.level.word(), finding.rule);
        let message = format!("{kind} {}", harmless(&finding.message));
        let lines = self.look.wrap(&message, 4);
        let text = lines.join("\n    ");
        let ink = ink(finding.level);
        text.strip_prefix(&kind).map_or_else(|| text.clone(), |rest| self.look.paint(ink, &kind) + rest)
            + "\n"
    }

    /// In the grey of ariadne's frames.
    fn frame(&self, text: &str) -> String {
        if self.look.color { format!("\u{1b}[38;5;246m{text}\u{1b}[0m") } else { text.to_owned() }
    }

    fn draw(&self, finding: &Finding) -> String {
        let color = color(finding.level);
        let config = Config::new().with_index_type(IndexType::Byte).with_color(self.look.color);
        let mut labels = vec![(self.first_line(finding.span), NO_WORDS.to_string(), color, 1)];
        for related in &finding.related {
            let place = self.first_line(related.span);
            let words = harmless(&related.message);
            // Of two labels at one place only the words can be seen.
            labels.retain(|(other, words, ..)| *other != place || !words.contains(NO_WORDS));
            labels.push((place, words, Color::Fixed(110), 0));
        }
        labels.sort_by_key(|((_, range), ..)| (range.start, range.end));
        let labels = labels.into_iter().map(|(place, words, color, priority)| {
            Label::new(place).with_message(words).with_color(color).with_priority(priority)
        });
        let report = Report::build(ReportKind::Advice, self.first_line(finding.span))
            .with_config(config)
            .with_labels(labels)
            .finish();
        let mut bytes = Vec::new();
        let _ = report.write_for_stdout((self.shown.to_owned(), &self.source), &mut bytes);
        String::from_utf8_lossy(&bytes).into_owned()
    }

    /// The drawing with the words of its labels wrapped to the terminal.
    fn fitted(&self, drawing: &str, finding: &Finding) -> String {
        let words: Vec<String> = finding.related.iter().map(|related| harmless(&related.message)).collect();
        let mut out = String::new();
        for line in drawing.lines() {
            let label = words.iter().filter(|words| !words.is_empty()).find_map(|words| {
                let lead = line.strip_suffix(words.as_str())?;
                lead.contains('╰').then_some((lead, words))
            });
            let Some((lead, words)) = label else {
                let _ = writeln!(out, "{line}");
                continue;
            };
            let below = under(lead);
            for (at, piece) in self.look.wrap(words, columns(&plain(lead))).iter().enumerate() {
                let _ = writeln!(out, "{}{piece}", if at == 0 { lead } else { &below });
            }
        }
        out
    }

    /// How many labels with words stand before the finding's own place on its line.
    fn before(&self, finding: &Finding) -> usize {
        let own = finding.span;
        let start = self
            .source
            .text()
            .get(..own.start as usize)
            .map_or(0, |text| text.rfind('\n').map_or(0, |at| at + 1));
        let is_before =
            |span: Span| span.start as usize >= start && (span.start, span.end) < (own.start, own.end);
        finding.related.iter().filter(|related| is_before(related.span)).count()
    }

    /// The part of a span that stands on its first line.
    fn first_line(&self, span: Span) -> Place {
        let text = self.source.text();
        let start = (span.start as usize).min(text.len());
        let end = (span.end as usize).min(text.len());
        let first = text.get(start..end).and_then(|inside| inside.find(['\n', '\r']));
        (self.shown.to_owned(), start..first.map_or(end, |at| start + at))
    }
}

fn ink(level: Level) -> Ink {
    match level {
        Level::Error => Ink::Error,
        Level::Warning => Ink::Warning,
        Level::Note => Ink::Note,
        Level::Hint => Ink::Hint,
    }
}

fn color(level: Level) -> Color {
    match level {
        Level::Error => Color::Red,
        Level::Warning => Color::Yellow,
        Level::Note => Color::Cyan,
        Level::Hint => Color::Fixed(249),
    }
}

/// What stands under the drawing: label and words.
fn notes(finding: &Finding) -> Vec<(&'static str, String)> {
    let mut notes = Vec::new();
    if let Some(variant) = &finding.variant {
        notes.push(("variant", harmless(variant)));
    }
    if let Some(help) = &finding.help {
        notes.push(("help", harmless(help)));
    }
    let mut seen = BTreeSet::new();
    for source in finding.sources.iter().filter(|source| seen.insert(source.as_str())) {
        notes.push(("source", harmless(source)));
    }
    if let Some(reason) = &finding.allowed {
        notes.push(("allowed because", harmless(reason)));
    }
    notes
}

/// A text without the codes of its colours.
fn plain(text: &str) -> String {
    let mut pieces = text.split('\u{1b}');
    let first = pieces.next().unwrap_or("").to_owned();
    pieces.fold(first, |all, piece| all + piece.split_once('m').map_or("", |(_, rest)| rest))
}

/// What stands before the second line of a label's words: the upright strokes of its first.
fn under(lead: &str) -> String {
    plain(lead).chars().map(|c| if c == '│' { c } else { ' ' }).collect()
}

/// Takes out the lines that lead from an underline to the label without words, and the joint in the underline.
/// `before` labels with words stand before it on its line.
fn without_elbow(lines: &[&str], before: usize) -> String {
    let elbow = lines.iter().position(|line| line.ends_with(NO_WORDS));
    let joint = elbow.and_then(|elbow| lines.iter().take(elbow).rposition(|line| line.contains('┬')));
    let mut out = String::new();
    for (at, line) in lines.iter().enumerate() {
        // What only leads down to the elbow goes with it.
        let leads_down = elbow == Some(at + 1) && joint != Some(at);
        if elbow == Some(at) || leads_down {
            continue;
        }
        let line = if joint == Some(at) { straightened(line, before) } else { (*line).to_owned() };
        out.push_str(line.trim_end());
        out.push('\n');
    }
    out
}

/// A line with its joint number `at` made straight.
fn straightened(line: &str, at: usize) -> String {
    let joint = line.match_indices('┬').nth(at).map(|(place, _)| place);
    line.char_indices().map(|(place, c)| if Some(place) == joint { '─' } else { c }).collect()
}
