//! The shape of a text: what stands in it, what folds, and what a selection grows to.

use crate::Page;
use crate::page::Leaf;
use formula::Exact;
use notation::{Block, BlockKind, ChangeKind, Form, Line, Quantity, Span, in_one_line, lex};

/// What an entry of the outline is.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum EntryKind {
    /// A formula.
    Formula,
    /// An ingredient of the maker's own.
    Ingredient,
    /// A workshop.
    Workshop,
    /// A batch record.
    Record,
    /// A phase of a formula.
    Phase,
    /// An ingredient line.
    Item,
    /// The method.
    Method,
    /// A step of it.
    Step,
    /// A variant.
    Variant,
}

/// An entry of the outline. Spans count from the file's start.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Entry {
    /// How it is called.
    pub name: String,
    /// What is said beside the name: amounts, sums.
    pub detail: String,
    /// What it is.
    pub kind: EntryKind,
    /// All of it.
    pub span: Span,
    /// Its name; lies within `span`.
    pub name_span: Span,
    /// What stands in it.
    pub children: Vec<Entry>,
}

/// Lines from which on a text is a whole book: nobody looks for one of its ingredient lines in an outline, and an editor
/// that were told of all of them would hold hundreds of megabytes.
const BOOK: u32 = 20_000;

impl Page {
    /// The blocks with what stands in them, in order. Of a book, the phases, methods and variants without their lines.
    pub fn outline(&self) -> Vec<Entry> {
        let mut entries: Vec<Entry> = self.leaves().filter_map(entry).collect();
        if self.lines() >= BOOK {
            for entry in entries.iter_mut().flat_map(|entry| &mut entry.children) {
                entry.children = Vec::new();
            }
        }
        entries
    }

    /// Runs of lines that can be folded away, the outer before the inner: blocks, phases, methods, variants, comments.
    pub fn folds(&self) -> Vec<Span> {
        let mut folds: Vec<Span> = Vec::new();
        for leaf in self.leaves() {
            folds.extend(folds_of(leaf.block()).map(|span| span.shifted(leaf.start)));
        }
        folds.sort_by_key(|span| (span.start, std::cmp::Reverse(span.end)));
        folds.dedup();
        folds
    }

    /// What a selection at a byte grows to: the word, the field, the line, the phase or method, the block, the text.
    /// Each lies within the next.
    pub fn selections(&self, at: u32) -> Vec<Span> {
        let whole =
            Span::new(0, self.leaves().last().map_or(0, |leaf| leaf.start + leaf.block().text.len() as u32));
        let mut grown = Vec::new();
        if let Some(leaf) = self.leaf_at(at) {
            let local = at - leaf.start;
            grown = spans_at(leaf.block(), local).into_iter().map(|span| span.shifted(leaf.start)).collect();
        }
        grown.push(whole);
        let mut nested: Vec<Span> = Vec::new();
        grown.sort_by_key(|span| span.len());
        for span in grown {
            let holds = nested.last().is_none_or(|inner| span.start <= inner.start && inner.end <= span.end);
            if holds && nested.last() != Some(&span) {
                nested.push(span);
            }
        }
        nested
    }
}

fn entry(leaf: Leaf<'_>) -> Option<Entry> {
    let block = leaf.block();
    let kind = match block.kind {
        BlockKind::Loose => return None,
        BlockKind::Formula => EntryKind::Formula,
        BlockKind::Ingredient => EntryKind::Ingredient,
        BlockKind::Workshop => EntryKind::Workshop,
        BlockKind::Record => EntryKind::Record,
    };
    let opener = block.opener()?;
    let first = block.lines.iter().find(|line| matches!(line.form, Form::Open(_)))?;
    let name_span = if opener.name.is_empty() { first.span } else { opener.name };
    let name = if opener.name.is_empty() { block.kind.spelling() } else { block.name() };
    let mut entry = Entry {
        name: name.to_owned(),
        detail: block.kind.spelling().to_owned(),
        kind,
        span: Span::new(first.span.start, end_of(block, first.span)),
        name_span,
        children: Vec::new(),
    };
    if kind == EntryKind::Formula {
        entry.children = inside(leaf);
        if let Some(batch) = leaf.resolved().and_then(|resolved| resolved.formula.batch_grams()) {
            entry.detail = format!("formula, {} g", batch.shown(2));
        }
    }
    Some(shifted(entry, leaf.start))
}

/// The end of the last line that says something.
fn end_of(block: &Block, first: Span) -> u32 {
    block
        .lines
        .iter()
        .filter(|line| !matches!(line.form, Form::Blank))
        .map(|line| line.span.end)
        .max()
        .unwrap_or(first.end)
}

fn shifted(mut entry: Entry, by: u32) -> Entry {
    entry.span = entry.span.shifted(by);
    entry.name_span = entry.name_span.shifted(by);
    entry.children = entry.children.into_iter().map(|child| shifted(child, by)).collect();
    entry
}

/// The phases with their lines, the method, the variants.
fn inside(leaf: Leaf<'_>) -> Vec<Entry> {
    let block = leaf.block();
    let mut entries: Vec<Entry> = Vec::new();
    let mut phase = 0;
    for line in &block.lines {
        let (kind, name, detail, name_span) = match &line.form {
            Form::Phase(written) => {
                let label = block.at(written.label).to_owned();
                let sum =
                    leaf.resolved().map(|resolved| phase_sum(&resolved.formula, phase)).unwrap_or_default();
                phase += 1;
                (EntryKind::Phase, format!("phase {label}"), sum, written.label)
            }
            Form::Variant(written) => {
                let name = block.at(written.name).to_owned();
                (EntryKind::Variant, format!("variant {name}"), String::new(), written.name)
            }
            Form::Item(item) => {
                let amount = item.quantity.span().map(|span| block.at(span)).unwrap_or_default();
                let amount = in_one_line(amount);
                (EntryKind::Item, block.at(item.name.span).to_owned(), amount, item.name.span)
            }
            Form::Change(change) => {
                let name = match &change.kind {
                    ChangeKind::Replace { old, .. }
                    | ChangeKind::Omit { old, .. }
                    | ChangeKind::Amount { old, .. } => old.span,
                    ChangeKind::Add { new, .. } => new.span,
                    ChangeKind::Header(fact) => fact.word_span,
                };
                (EntryKind::Item, block.at(line.span).trim().to_owned(), String::new(), name)
            }
            Form::Step(words) => (EntryKind::Step, block.at(*words).to_owned(), String::new(), *words),
            Form::Blank | Form::Comment | Form::Broken | Form::Open(_) | Form::Fact(_) => continue,
        };
        let name_span = if name_span.is_empty() { line.span } else { name_span };
        let name = if name.is_empty() { kind_word(kind).to_owned() } else { name };
        let entry = Entry { name, detail, kind, span: line.span, name_span, children: Vec::new() };
        put(&mut entries, entry);
    }
    entries
}

fn kind_word(kind: EntryKind) -> &'static str {
    match kind {
        EntryKind::Step => "step",
        EntryKind::Variant => "variant",
        EntryKind::Phase => "phase",
        EntryKind::Item => "ingredient",
        EntryKind::Formula
        | EntryKind::Ingredient
        | EntryKind::Workshop
        | EntryKind::Record
        | EntryKind::Method => "",
    }
}

/// Puts an entry where it belongs: lines under their phase or variant, steps under the method.
fn put(entries: &mut Vec<Entry>, entry: Entry) {
    let parent = match entry.kind {
        // A line after the method still belongs to the phase that was opened last.
        EntryKind::Item => {
            entries.iter_mut().rev().find(|e| matches!(e.kind, EntryKind::Phase | EntryKind::Variant))
        }
        EntryKind::Step => {
            if !entries.last().is_some_and(|last| last.kind == EntryKind::Method) {
                entries.push(Entry {
                    name: "method".to_owned(),
                    detail: String::new(),
                    kind: EntryKind::Method,
                    span: entry.span,
                    name_span: entry.name_span,
                    children: Vec::new(),
                });
            }
            entries.last_mut()
        }
        _ => None,
    };
    match parent {
        Some(parent) => {
            // A phase that goes on behind the method would hold that: then it stays as it was.
            if parent.span.end <= entry.span.start {
                parent.span = parent.span.join(entry.span);
            }
            parent.children.push(entry);
        }
        None => entries.push(entry),
    }
}

/// `88 %, 176 g`
pub(crate) fn phase_sum(formula: &formula::Formula, phase: usize) -> String {
    let sum: Exact = formula.items_of(phase).filter_map(|(_, item)| item.mid().cloned()).sum();
    let share = format!("{} %", sum.percent().shown(2));
    match formula.batch_grams() {
        Some(batch) => format!("{share}, {} g", (&sum * batch).shown(2)),
        None => share,
    }
}

/// Groups of lines of a block, each with more than one line.
fn folds_of(block: &Block) -> impl Iterator<Item = Span> {
    let mut groups: Vec<(u8, Span)> = Vec::new();
    let mut spans: Vec<Span> = Vec::new();
    let mut open: Option<(u8, Span)> = None;
    for line in &block.lines {
        let group = match &line.form {
            Form::Phase(_) => 1,
            Form::Variant(_) => 2,
            Form::Step(_) => 3,
            Form::Comment => 4,
            Form::Blank => continue,
            Form::Item(_) | Form::Change(_) | Form::Broken => 0,
            Form::Open(_) | Form::Fact(_) => 5,
        };
        open = match open {
            Some((kind, span)) if group == 0 && matches!(kind, 1 | 2) => Some((kind, span.join(line.span))),
            Some((kind, span)) if group == kind && matches!(kind, 3 | 4) => {
                Some((kind, span.join(line.span)))
            }
            other => {
                groups.extend(other);
                Some((group, line.span))
            }
        };
    }
    groups.extend(open);
    spans.extend(groups.into_iter().filter(|(kind, _)| matches!(kind, 1..=4)).map(|(_, span)| span));
    if block.kind != BlockKind::Loose
        && let Some(first) = block.lines.iter().find(|line| matches!(line.form, Form::Open(_)))
    {
        spans.push(Span::new(first.span.start, end_of(block, first.span)));
    }
    let text = std::sync::Arc::clone(&block.text);
    spans.into_iter().filter(move |span| span.of(&text).contains('\n'))
}

/// Spans of a block that hold a place, in any order.
fn spans_at(block: &Block, at: u32) -> Vec<Span> {
    let mut spans = Vec::new();
    if let Some(line) = block.lines.iter().find(|line| line.span.touches(at)) {
        let word = lex(block.at(line.span))
            .into_iter()
            .map(|token| token.span.shifted(line.span.start))
            .find(|span| span.start <= at && at < span.end && !block.at(*span).trim().is_empty());
        spans.extend(word);
        spans.extend(fields(line).into_iter().filter(|span| span.touches(at)));
        spans.push(line.span.trimmed(&block.text));
        spans.push(line.span);
    }
    spans.extend(folds_of(block).filter(|span| span.touches(at)));
    spans.push(Span::new(0, block.text.len() as u32));
    spans.retain(|span| !span.is_empty() && span.touches(at));
    spans
}

/// The fields of a line: amounts, names, qualifiers.
fn fields(line: &Line) -> Vec<Span> {
    let mut fields = Vec::new();
    match &line.form {
        Form::Item(item) => {
            fields.extend(item.quantity.span());
            if let Quantity::Given(measure) = &item.quantity {
                fields.push(measure.range.span);
            }
            fields.push(item.name.span);
            fields.extend(item.clauses.iter().map(|clause| clause.span));
        }
        Form::Fact(fact) => {
            fields.push(fact.rest);
            fields.extend(fact.measure.map(|measure| measure.span));
            fields.extend(fact.because);
            fields.extend(fact.clauses.iter().map(|clause| clause.span));
        }
        Form::Phase(phase) => fields.extend(phase.clauses.iter().map(|clause| clause.span)),
        Form::Step(words) => fields.push(*words),
        Form::Open(opener) => fields.push(opener.name),
        Form::Variant(variant) => fields.push(variant.name),
        Form::Change(change) => fields.extend(change.clauses.iter().map(|clause| clause.span)),
        Form::Blank | Form::Comment | Form::Broken => {}
    }
    fields
}
