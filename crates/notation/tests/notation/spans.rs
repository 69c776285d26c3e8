//! Every span that reading gives.

use notation::{Base, Block, ChangeKind, Clause, Fact, Form, Measure, Name, Quantity, Span};

fn fits(text: &str, span: Span) {
    assert!(text.get(span.start as usize..span.end as usize).is_some(), "{span:?} does not fit {text:?}");
}

fn spans_of_measure(measure: &Measure) -> Vec<Span> {
    let mut spans = vec![measure.span, measure.range.span, measure.range.first, measure.range.second];
    spans.extend(measure.unit.map(|unit| unit.span));
    spans.extend(measure.of.map(|of| match of {
        Base::Phase(span) | Base::Oils(span) => span,
    }));
    spans
}

fn spans_of_quantity(quantity: &Quantity) -> Vec<Span> {
    let mut spans: Vec<Span> = quantity.span().into_iter().collect();
    match quantity {
        Quantity::Given(measure) | Quantity::Balance(Some(measure), _) => {
            spans.extend(spans_of_measure(measure));
        }
        Quantity::Both(first, second) => {
            spans.extend(spans_of_measure(first));
            spans.extend(spans_of_measure(second));
        }
        _ => {}
    }
    spans
}

fn spans_of_clauses(clauses: &[Clause]) -> Vec<Span> {
    let measures = clauses.iter().filter_map(|c| c.measure.as_ref()).flat_map(spans_of_measure);
    clauses.iter().flat_map(|c| [c.rest, c.span]).chain(measures).collect()
}

fn spans_of_fact(fact: &Fact) -> Vec<Span> {
    let mut spans = vec![fact.word_span, fact.rest];
    spans.extend(fact.because);
    spans.extend(fact.measure.iter().flat_map(spans_of_measure));
    spans.extend(spans_of_clauses(&fact.clauses));
    spans
}

fn spans_of(form: &Form) -> Vec<Span> {
    let name = |name: &Name| name.span;
    match form {
        Form::Blank | Form::Comment | Form::Broken => Vec::new(),
        Form::Open(opener) => vec![opener.name],
        Form::Phase(phase) => {
            let mut spans = vec![phase.label, phase.heading];
            spans.extend(phase.kind.map(|(_, span)| span));
            spans.extend(spans_of_clauses(&phase.clauses));
            spans
        }
        Form::Item(item) => {
            let mut spans = vec![name(&item.name)];
            spans.extend(spans_of_quantity(&item.quantity));
            spans.extend(spans_of_clauses(&item.clauses));
            spans
        }
        Form::Step(words) => vec![*words],
        Form::Variant(variant) => {
            std::iter::once(variant.name).chain(variant.parts.iter().copied()).collect()
        }
        Form::Change(change) => {
            let mut spans = spans_of_clauses(&change.clauses);
            match &change.kind {
                ChangeKind::Replace { old, phase, quantity, new } => {
                    spans.extend([name(old), name(new)]);
                    spans.extend(*phase);
                    spans.extend(spans_of_quantity(quantity));
                }
                ChangeKind::Omit { old, phase } => spans.extend(std::iter::once(name(old)).chain(*phase)),
                ChangeKind::Add { quantity, new, phase }
                | ChangeKind::Amount { quantity, old: new, phase } => {
                    spans.extend(std::iter::once(name(new)).chain(*phase));
                    spans.extend(spans_of_quantity(quantity));
                }
                ChangeKind::Header(fact) => spans.extend(spans_of_fact(fact)),
            }
            spans
        }
        Form::Fact(fact) => spans_of_fact(fact),
    }
}

/// Every span of a block lies on character borders, and those of a line inside the line.
pub(crate) fn check_spans(block: &Block) {
    for line in &block.lines {
        fits(&block.text, line.span);
        for span in spans_of(&line.form).into_iter().chain(line.comment) {
            fits(&block.text, span);
            let inside = line.span.start <= span.start && span.end <= line.span.end;
            assert!(inside, "{span:?} lies outside {:?} of {:?}", line.span, line.form);
        }
    }
    for slip in &block.slips {
        fits(&block.text, slip.span);
    }
}
