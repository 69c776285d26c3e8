//! The body of a formula as written, and what a variant makes of it: lines, not yet looked up or added up.

use crate::formula::{Gap, GapKind};
use notation::{
    Block, Change, ChangeKind, Clause, Fact, Form, ItemLine, PhaseLine, Quantity, Span, VariantLine, fold,
};

/// A formula's lines.
#[derive(Clone, Debug, Default)]
pub(crate) struct Draft<'b> {
    pub(crate) facts: Vec<(&'b Fact, Span)>,
    pub(crate) phases: Vec<&'b PhaseLine>,
    pub(crate) items: Vec<DraftItem>,
    pub(crate) steps: Vec<Span>,
    pub(crate) gaps: Vec<Gap>,
    pub(crate) unfinished: bool,
    pub(crate) broken: bool,
    /// Name of what a variant replaced or omitted → name of what stands in its place.
    pub(crate) renamed: Vec<(String, Option<String>)>,
}

/// An ingredient line, of the parent or put there by a variant.
#[derive(Clone, Debug)]
pub(crate) struct DraftItem {
    pub(crate) span: Span,
    pub(crate) name: Span,
    pub(crate) quoted: bool,
    pub(crate) quantity: Quantity,
    pub(crate) clauses: Vec<Clause>,
    pub(crate) phase: Option<usize>,
    pub(crate) changed: bool,
}

/// A variant with its changes.
#[derive(Clone, Debug)]
pub(crate) struct Variant<'b> {
    pub(crate) line: &'b VariantLine,
    pub(crate) span: Span,
    pub(crate) changes: Vec<(&'b Change, Span)>,
}

/// Collects the lines of a block: the parent's, and the variants.
pub(crate) fn draft(block: &Block) -> (Draft<'_>, Vec<Variant<'_>>) {
    let mut draft = Draft::default();
    let mut variants: Vec<Variant<'_>> = Vec::new();
    let mut phase = None;
    let mut named = false;
    let mut last_reads = true;
    for line in &block.lines {
        let span = content(block, line.span, line.comment);
        match &line.form {
            Form::Blank | Form::Comment => continue,
            Form::Open(_) | Form::Step(_) | Form::Variant(_) | Form::Phase(_) | Form::Fact(_) => {
                last_reads = true;
            }
            Form::Item(item) => {
                named = true;
                last_reads = !matches!(item.quantity, Quantity::Unread(_));
            }
            Form::Change(_) => last_reads = true,
            Form::Broken => last_reads = false,
        }
        match &line.form {
            Form::Fact(fact) => draft.facts.push((fact, span)),
            Form::Phase(line) => {
                phase = Some(draft.phases.len());
                draft.phases.push(line);
            }
            Form::Item(item) => draft.items.push(DraftItem::of(item, span, phase)),
            Form::Step(words) => draft.steps.push(*words),
            Form::Variant(line) => {
                phase = None;
                variants.push(Variant { line, span, changes: Vec::new() });
            }
            Form::Change(change) => {
                if let Some(variant) = variants.last_mut() {
                    variant.changes.push((change, span));
                }
            }
            Form::Broken => draft.broken = true,
            Form::Open(_) | Form::Blank | Form::Comment => {}
        }
    }
    draft.unfinished = !named || !last_reads;
    draft.broken |= draft.items.iter().any(|item| matches!(item.quantity, Quantity::Unread(_)));
    (draft, variants)
}

fn content(block: &Block, span: Span, comment: Option<Span>) -> Span {
    let end = comment.map_or(span.end, |comment| comment.start);
    Span::new(span.start, end.max(span.start)).trimmed(&block.text)
}

impl DraftItem {
    fn of(item: &ItemLine, span: Span, phase: Option<usize>) -> DraftItem {
        DraftItem {
            span,
            name: item.name.span,
            quoted: item.name.quoted,
            quantity: item.quantity.clone(),
            clauses: item.clauses.clone(),
            phase,
            changed: false,
        }
    }
}

/// A change that a part of a combined variant has made.
struct Done<'c, 'b> {
    part: &'c Variant<'b>,
    change: &'b Change,
    span: Span,
}

/// The line of the parent that a change is about, and its phase where one is said.
fn target_of(change: &Change) -> Option<(Span, Option<Span>)> {
    match &change.kind {
        ChangeKind::Omit { old, phase }
        | ChangeKind::Replace { old, phase, .. }
        | ChangeKind::Amount { old, phase, .. } => Some((old.span, *phase)),
        ChangeKind::Add { .. } | ChangeKind::Header(_) => None,
    }
}

fn alike(block: &Block, one: Span, other: Span, same: Same<'_>) -> bool {
    fold(block.at(one)) == fold(block.at(other)) || same(block.at(one), block.at(other))
}

/// Whether two changes are about the same line, or the same fact of which there is one.
fn collide(block: &Block, one: &Change, other: &Change, same: Same<'_>) -> bool {
    if let (ChangeKind::Header(one), ChangeKind::Header(other)) = (&one.kind, &other.kind) {
        return one.word == other.word && !one.word.repeats();
    }
    let (Some((one, here)), Some((other, there))) = (target_of(one), target_of(other)) else { return false };
    let apart = here.zip(there).is_some_and(|(here, there)| fold(block.at(here)) != fold(block.at(there)));
    !apart && alike(block, one, other, same)
}

/// Whether a later change is about what an earlier one has put in place of something.
fn renames_to(block: &Block, earlier: &Change, later: &Change, same: Same<'_>) -> bool {
    match (&earlier.kind, target_of(later)) {
        (ChangeKind::Replace { new, .. }, Some((target, _))) => alike(block, new.span, target, same),
        _ => false,
    }
}

/// How two written names are told to be the same thing.
pub(crate) type Same<'a> = &'a dyn Fn(&str, &str) -> bool;

impl<'b> Draft<'b> {
    /// The draft that a variant makes of this one. `all` are the block's variants, for those that put others
    /// together.
    pub(crate) fn varied(
        &self,
        block: &Block,
        variant: &Variant<'b>,
        all: &[Variant<'b>],
        same: Same<'_>,
    ) -> Draft<'b> {
        let mut draft = Draft { gaps: Vec::new(), ..self.clone() };
        let mut done: Vec<Done<'_, 'b>> = Vec::new();
        for part in &variant.line.parts {
            let wanted = fold(block.at(*part));
            let found = all.iter().find(|other| {
                fold(block.at(other.line.name)) == wanted
                    && other.span != variant.span
                    && other.line.parts.is_empty()
            });
            match found {
                Some(other) => {
                    let changes = draft.unlike(block, other, &variant.changes, &mut done, same);
                    draft.change(block, &changes, same);
                }
                None => draft
                    .gaps
                    .push(Gap { kind: GapKind::VariantPart(block.at(*part).to_owned()), span: *part }),
            }
        }
        draft.change(block, &variant.changes, same);
        draft
    }

    /// The changes of a part of a combined variant that can be made on top of those of earlier parts. What two parts
    /// change in different ways is a gap, unless the combined variant itself says what becomes of it.
    fn unlike<'c>(
        &mut self,
        block: &Block,
        part: &'c Variant<'b>,
        own: &[(&'b Change, Span)],
        done: &mut Vec<Done<'c, 'b>>,
        same: Same<'_>,
    ) -> Vec<(&'b Change, Span)> {
        let earlier = done.len();
        let mut kept = Vec::new();
        for (change, span) in &part.changes {
            let before = done.iter().take(earlier);
            let other = before.into_iter().find(|done| collide(block, done.change, change, same));
            let Some(other) = other else {
                done.push(Done { part, change, span: *span });
                kept.push((*change, *span));
                continue;
            };
            let settled = own.iter().any(|(own, _)| {
                collide(block, own, change, same) || renames_to(block, other.change, own, same)
            });
            if fold(block.at(other.span)) != fold(block.at(*span)) && !settled {
                self.gaps.push(Gap {
                    kind: GapKind::VariantClash {
                        first: (block.at(other.part.line.name).to_owned(), other.span),
                        second: (block.at(part.line.name).to_owned(), *span),
                    },
                    span: *span,
                });
            }
            // Read from top to bottom, the later of two settings stands.
            if matches!(
                (&other.change.kind, &change.kind),
                (ChangeKind::Amount { .. }, ChangeKind::Amount { .. })
                    | (ChangeKind::Header(_), ChangeKind::Header(_))
            ) {
                kept.push((*change, *span));
            }
        }
        kept
    }

    fn change(&mut self, block: &Block, changes: &[(&'b Change, Span)], same: Same<'_>) {
        for (change, span) in changes {
            match &change.kind {
                ChangeKind::Header(fact) => self.facts.push((fact, *span)),
                ChangeKind::Omit { old, phase } => {
                    let Some(places) = self.target(block, old.span, *phase, same) else { continue };
                    self.renamed.push((block.at(old.span).to_owned(), None));
                    for at in places.into_iter().rev() {
                        self.items.remove(at);
                    }
                }
                ChangeKind::Replace { old, phase, quantity, new } => {
                    let Some(places) = self.target(block, old.span, *phase, same) else { continue };
                    self.renamed.push((block.at(old.span).to_owned(), Some(block.at(new.span).to_owned())));
                    for at in places {
                        let Some(item) = self.items.get_mut(at) else { continue };
                        item.span = *span;
                        item.name = new.span;
                        item.quoted = new.quoted;
                        item.clauses.clone_from(&change.clauses);
                        item.changed = true;
                        if !matches!(quantity, Quantity::Missing) {
                            item.quantity = quantity.clone();
                        }
                    }
                }
                ChangeKind::Amount { old, phase, quantity } => {
                    let Some(places) = self.target(block, old.span, *phase, same) else { continue };
                    for at in places {
                        let Some(item) = self.items.get_mut(at) else { continue };
                        item.span = *span;
                        item.quantity = quantity.clone();
                        item.changed = true;
                    }
                }
                ChangeKind::Add { quantity, new, phase } => {
                    let to = phase.and_then(|label| self.phase_at(block, label));
                    let added = DraftItem {
                        span: *span,
                        name: new.span,
                        quoted: new.quoted,
                        quantity: quantity.clone(),
                        clauses: change.clauses.clone(),
                        phase: to,
                        changed: true,
                    };
                    let after = self
                        .items
                        .iter()
                        .rposition(|item| item.phase == to)
                        .map_or(self.items.len(), |at| at + 1);
                    self.items.insert(after, added);
                }
            }
        }
    }

    fn phase_at(&mut self, block: &Block, label: Span) -> Option<usize> {
        let wanted = fold(block.at(label));
        let at = self.phases.iter().position(|phase| fold(block.at(phase.label)) == wanted);
        if at.is_none() {
            self.gaps.push(Gap { kind: GapKind::VariantPhase(block.at(label).to_owned()), span: label });
        }
        at
    }

    /// The lines that a change means; a gap where there are none.
    fn target(
        &mut self,
        block: &Block,
        name: Span,
        phase: Option<Span>,
        same: Same<'_>,
    ) -> Option<Vec<usize>> {
        let inside = match phase {
            Some(label) => Some(self.phase_at(block, label)?),
            None => None,
        };
        let wanted = block.at(name);
        let here = |item: &&DraftItem| inside.is_none() || item.phase == inside;
        let matching = |test: &dyn Fn(&str) -> bool| -> Vec<usize> {
            let found =
                self.items.iter().enumerate().filter(|(_, item)| here(item) && test(block.at(item.name)));
            found.map(|(at, _)| at).collect()
        };
        let mut places = matching(&|written| fold(written) == fold(wanted));
        if places.is_empty() {
            places = matching(&|written| same(written, wanted));
        }
        if places.is_empty() {
            self.gaps.push(Gap { kind: GapKind::VariantTarget(wanted.to_owned()), span: name });
            return None;
        }
        Some(places)
    }
}
