//! Steps that are not read again: as long as the phases and lines are called the same, the same words mean the same.

use super::Step;
use super::act::Act;
use crate::formula::{Formula, Item, Phase};
use notation::Span;
use std::sync::Arc;

/// Whether what decides whom a word names is as it was.
pub(super) fn words_mean_the_same(before: &Formula, phases: &[Phase], items: &[Item]) -> bool {
    let same_phase = |a: &Phase, b: &Phase| a.label == b.label && a.kind == b.kind && a.heading == b.heading;
    before.variant.is_none()
        && before.phases.len() == phases.len()
        && before.items.len() == items.len()
        && before.phases.iter().zip(phases).all(|(a, b)| same_phase(a, b))
        && before.items.iter().zip(items).all(|(a, b)| is_called_the_same(a, b))
}

/// Whether steps speak of two lines alike: by their names, and by what they do.
fn is_called_the_same(a: &Item, b: &Item) -> bool {
    let same = |a: &Option<Arc<_>>, b: &Option<Arc<_>>| match (a, b) {
        (None, None) => true,
        (Some(a), Some(b)) => Arc::ptr_eq(a, b),
        _ => false,
    };
    a.name == b.name
        && a.phase == b.phase
        && same(&a.material, &b.material)
        && a.functions == b.functions
        && a.blend.len() == b.blend.len()
        && a.blend.iter().zip(&b.blend).all(|(a, b)| a.0 == b.0 && same(&a.1, &b.1))
        && a.premix.is_some() == b.premix.is_some()
        && a.to_ph.is_some() == b.to_ph.is_some()
}

/// The steps of a formula before a change.
pub(super) struct Kept<'a> {
    /// Each with the breath at which it began, and whether no step before it named anything.
    steps: Vec<(&'a Step, usize, bool)>,
}

impl<'a> Kept<'a> {
    pub(super) fn of(before: Option<&'a Formula>) -> Kept<'a> {
        let (mut breath, mut first) = (0, true);
        let steps = before.into_iter().flat_map(|before| &before.steps).map(|step| {
            let own = (step, breath, first);
            breath = step.acts.last().map_or(breath, |act| act.breath + 1);
            first &= step.items.is_empty() && step.phases.is_empty();
            own
        });
        Kept { steps: steps.collect() }
    }

    /// The step with these words, where it now stands; what it adds unlisted is left open.
    pub(super) fn step(&self, text: &str, span: Span, first: bool, breath: usize) -> Option<Step> {
        let alike = |(step, _, was_first): &&(&Step, usize, bool)| *was_first == first && step.text == text;
        let (step, began, _) = self.steps.iter().find(alike)?;
        let moved = |place: Span| {
            Span::new(place.start - step.span.start, place.end - step.span.start).shifted(span.start)
        };
        let act = |act: &Act| Act {
            span: moved(act.span),
            breath: act.breath - began + breath,
            celsius: act.celsius.as_ref().map(|(value, place)| (value.clone(), moved(*place))),
            ..act.clone()
        };
        Some(Step {
            text: step.text.clone(),
            span,
            phases: step.phases.clone(),
            items: step.items.clone(),
            everything: step.everything,
            acts: step.acts.iter().map(act).collect(),
            unlisted: Vec::new(),
        })
    }
}
