//! Small figures shown between the words of a text: what amounts come to, and running totals.

use crate::Page;
use formula::{Exact, Formula, Item, Written, reckon};
use notation::{Dimension, Span};

/// What a hint tells.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum HintKind {
    /// Grams beside a percent, a percent beside grams.
    Amount,
    /// The running total at the end of a phase.
    Total,
    /// What the balance line comes to.
    Balance,
    /// What the oils need and what the emulsifiers give.
    Hlb,
    /// How much of a preserving acid works at the target pH.
    Acid,
}

/// A hint.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Hint {
    /// The byte of the file behind which it is shown.
    pub at: u32,
    /// What is shown.
    pub text: String,
    /// What it tells.
    pub kind: HintKind,
    /// Where the figure comes from.
    pub tip: String,
}

impl Page {
    /// The hints between two bytes, in order. Only of what is written in the formula itself, not in its variants.
    pub fn hints(&self, within: Span) -> Vec<Hint> {
        let mut hints = Vec::new();
        for leaf in self.leaves_in(within) {
            if let Some(resolved) = leaf.resolved() {
                let own = hints_of(&resolved.formula);
                hints.extend(own.into_iter().map(|hint| Hint { at: hint.at + leaf.start, ..hint }));
            }
        }
        hints.retain(|hint| within.start <= hint.at && hint.at <= within.end);
        hints
    }
}

fn hints_of(formula: &Formula) -> Vec<Hint> {
    let mut hints = Vec::new();
    let mut sum = Exact::zero();
    let mut others = hlb(formula).into_iter().chain(acids(formula)).collect::<Vec<_>>();
    others.sort_by_key(|hint| hint.at);
    let mut others = others.into_iter().peekable();
    for (at, item) in formula.items.iter().enumerate() {
        if let Some(share) = item.mid() {
            sum = &sum + share;
            hints.extend(amount(formula, item, share));
        }
        while let Some(hint) = others.next_if(|hint| hint.at <= item.span.end) {
            hints.push(hint);
        }
        let last = formula.items.get(at + 1).is_none_or(|next| next.phase != item.phase);
        if last && formula.phases.len() > 1 && !sum.is_zero() {
            hints.push(Hint {
                at: item.span.end,
                text: format!("so far {}", percent(&sum)),
                kind: HintKind::Total,
                tip: "the sum of all lines up to here that have a weight".to_owned(),
            });
        }
    }
    hints
}

/// What the oils need and what the emulsifiers give, behind the last emulsifier.
fn hlb(formula: &Formula) -> Option<Hint> {
    let own = reckon::hlb(formula)?;
    let last = own
        .emulsifiers
        .iter()
        .filter_map(|term| formula.items.get(term.item))
        .max_by_key(|item| item.span.end)?;
    let shown = |value: Option<&Exact>| value.map(|value| value.shown(1));
    let text = match (shown(own.supplied.as_ref()), shown(own.required.as_ref())) {
        (Some(gives), Some(needs)) => format!("HLB {gives}, oils need about {needs}"),
        (Some(gives), None) => format!("HLB {gives}"),
        (None, Some(needs)) => format!("oils need HLB {needs}"),
        (None, None) => return None,
    };
    let known = match own.unknown().as_slice() {
        [] => String::new(),
        open => format!("; not known of {}", open.join(", ")),
    };
    let tip = format!(
        "for {}, the means by weight of {} emulsifiers and {} oils{known}",
        own.kind.word(),
        own.emulsifiers.len(),
        own.known()
    );
    Some(Hint { at: last.span.end, text, kind: HintKind::Hlb, tip })
}

/// How much of each preserving acid is undissociated, behind the lines that bring it.
fn acids(formula: &Formula) -> Vec<Hint> {
    let mut hints = Vec::new();
    for own in reckon::preserving(formula) {
        let Some((part, ph)) = &own.undissociated else { continue };
        let acid = own
            .acid
            .as_ref()
            .map(|(name, share)| format!("{} of it in the product as {name}; ", percent(share)));
        let tip = format!("{}only the undissociated acid preserves", acid.unwrap_or_default());
        let text = format!("{part} % undissociated at pH {ph}");
        let lines = own.items.iter().filter_map(|at| formula.items.get(*at));
        hints.extend(lines.map(|item| Hint {
            at: item.span.end,
            text: text.clone(),
            kind: HintKind::Acid,
            tip: tip.clone(),
        }));
    }
    hints
}

fn percent(share: &Exact) -> String {
    format!("{} %", share.percent().shown(3))
}

/// What a line comes to in the unit that it is not written in.
fn amount(formula: &Formula, item: &Item, share: &Exact) -> Option<Hint> {
    let grams = formula.batch_grams().map(|batch| format!("{} g", (share * batch).shown(3)));
    let tip =
        formula.batch_grams().map(|batch| format!("of a batch of {} g", batch.shown(3))).unwrap_or_default();
    let (kind, text) = match &item.written {
        Written::Balance => {
            let both = [Some(percent(share)), grams].into_iter().flatten().collect::<Vec<_>>();
            (HintKind::Balance, format!("= {}", both.join(" = ")))
        }
        // A spoon or a drop is told in both: neither is what is written.
        Written::Amount(unit) if !matches!(unit.dimension(), Dimension::Share | Dimension::Mass) => {
            let both = [grams, Some(percent(share))].into_iter().flatten().collect::<Vec<_>>();
            (HintKind::Amount, format!("≈ {}", both.join(" = ")))
        }
        Written::Amount(unit) if unit.dimension() == Dimension::Mass => {
            (HintKind::Amount, format!("= {}", percent(share)))
        }
        Written::Amount(_) | Written::AsNeeded => (HintKind::Amount, format!("= {}", grams?)),
        Written::Missing | Written::Fuzzy | Written::Unread | Written::Both => return None,
    };
    Some(Hint { at: item.span.end, text, kind, tip })
}
