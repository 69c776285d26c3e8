//! Slips that only show in the order of the lines: repeated lines, repeated and empty phases, lines out of place.

use crate::fold::fold;
use crate::line::{BlockKind, Fact, Form, Line};
use crate::slip::{Slip, SlipKind};
use crate::text::Span;
use crate::word::Word;

pub(super) fn check(text: &str, kind: BlockKind, lines: &[Line], slips: &mut Vec<Slip>) {
    repeated_facts(lines, slips);
    if kind == BlockKind::Formula {
        phases(text, lines, slips);
    }
}

fn repeated_facts(lines: &[Line], slips: &mut Vec<Slip>) {
    let mut seen: Vec<(Word, Span)> = Vec::new();
    for line in lines {
        let Form::Fact(Fact { word, word_span, .. }) = &line.form else { continue };
        if word.repeats() {
            continue;
        }
        match seen.iter().find(|(other, _)| other == word) {
            Some((_, first)) => slips.push(Slip { kind: SlipKind::Repeated(*first), span: *word_span }),
            None => seen.push((*word, *word_span)),
        }
    }
}

fn phases(text: &str, lines: &[Line], slips: &mut Vec<Slip>) {
    let mut seen: Vec<(String, Span)> = Vec::new();
    let mut open: Option<(Span, bool)> = None;
    let close = |open: &mut Option<(Span, bool)>, slips: &mut Vec<Slip>| {
        if let Some((label, false)) = open.take() {
            slips.push(Slip { kind: SlipKind::PhaseEmpty, span: label });
        }
    };
    let mut in_variant = false;
    for line in lines {
        match &line.form {
            Form::Phase(phase) => {
                close(&mut open, slips);
                open = Some((phase.label, false));
                let label = fold(phase.label.of(text));
                match seen.iter().find(|(other, _)| *other == label) {
                    Some((_, first)) => {
                        slips.push(Slip { kind: SlipKind::PhaseRepeated(*first), span: phase.label });
                    }
                    None => seen.push((label, phase.label)),
                }
                if in_variant {
                    slips.push(Slip { kind: SlipKind::Misplaced, span: phase.label });
                }
            }
            Form::Item(_) | Form::Broken => {
                if let Some((_, filled)) = &mut open {
                    *filled = true;
                }
            }
            Form::Variant(_) => {
                close(&mut open, slips);
                in_variant = true;
            }
            _ => {}
        }
    }
    close(&mut open, slips);
}
