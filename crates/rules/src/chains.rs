//! One cause, one finding: of the rules that one cause could raise, the first speaks; what the others would have
//! said becomes a related line of it.

use crate::finding::{Level, Related};
use crate::findings::Raised;

/// Whether a chain is about the whole formula or about single lines.
enum Scope {
    Formula,
    Line,
}

/// The rules that one cause could raise, the first to speak first.
const CHAINS: &[(Scope, &[&str])] = &[
    (
        Scope::Formula,
        &[
            "percent-base-mixed",
            "units-mixed",
            "nothing-left-to-100",
            "to-100-twice",
            "variant-clash",
            "variant-total",
            "total-not-batch",
            "total-not-100",
        ],
    ),
    (Scope::Formula, &["preservative-unnamed", "not-a-preservative", "no-preservative"]),
    (
        Scope::Line,
        &[
            "preservative-unnamed",
            "not-allowed-here",
            "not-a-preservative",
            "preservative-outside-ph",
            "preservative-short",
            "preservative-narrow",
            "outside-usage",
        ],
    ),
    (
        Scope::Line,
        &[
            "prohibited",
            "not-allowed-here",
            "over-limit",
            "phototoxic-in-sun-product",
            "phototoxic",
            "amount-implausible",
            "outside-usage",
        ],
    ),
    // Oil in water; each takes in the lines of all oils.
    (
        Scope::Line,
        &["no-emulsifier", "not-an-emulsifier", "needs-solubiliser", "wrong-phase", "will-not-dissolve"],
    ),
    (Scope::Formula, &["emulsifier-wrong-type", "hlb-off"]),
    (Scope::Formula, &["emulsifier-wrong-type", "water-in-oil-unstable"]),
    (Scope::Line, &["emulsifier-short", "amount-implausible", "outside-usage"]),
    (Scope::Line, &["preservative-outside-ph", "ph-unreachable", "ph-clash", "incompatible", "ph-unstated"]),
    (Scope::Line, &["ph-clash", "will-not-dissolve"]),
    (Scope::Line, &["preservative-inactivated", "incompatible"]),
    (Scope::Line, &["fresh-food", "no-preservative"]),
    (Scope::Line, &["shelf-life-too-long", "no-antioxidant"]),
    (Scope::Line, &["temperature-contradiction", "too-hot", "step-too-hot", "step-against-phase"]),
    (Scope::Line, &["charge-clash", "salt-thins-gel", "incompatible"]),
    (Scope::Line, &["premix-missing", "ingredient-vague", "ingredient-unknown"]),
    (Scope::Line, &["preservative-unnamed", "amount-missing", "amount-unweighable", "ingredient-vague"]),
    (Scope::Line, &["unit-unknown", "amount-missing"]),
    (Scope::Line, &["number-doubtful", "amount-missing"]),
    (Scope::Line, &["over-limit", "strength-unstated"]),
    (Scope::Line, &["weight-unknown", "drops-not-weight"]),
    (Scope::Line, &["weight-unknown", "volume-not-weight"]),
    (Scope::Line, &["percent-base-mixed", "weight-unknown"]),
    (Scope::Line, &["over-limit", "preservative-unnamed"]),
    (Scope::Line, &["sunburn-alert", "label-warning"]),
    (Scope::Line, &["shelf-life-too-long", "test-outdated"]),
    (Scope::Line, &["spf-untested", "test-outdated"]),
    (
        Scope::Line,
        &[
            "spf-untested",
            "sun-claim",
            "claim-contradicted",
            "claim-medicinal",
            "claim-unproven",
            "claim-barred",
        ],
    ),
    // A law's ban for an age speaks before the advice; the industry code's figure for babies comes after it.
    (Scope::Line, &["prohibited", "not-allowed-here", "over-limit", "not-for-babies"]),
    (Scope::Line, &["not-for-babies", "allergens-to-declare"]),
    (Scope::Line, &["scent-too-strong", "outside-usage"]),
    // Keeping dust from nose and mouth is one matter, whether by advice or on the label.
    (Scope::Line, &["not-allowed-here", "inhaled", "label-warning"]),
    (Scope::Line, &["alkaline-on-skin", "harsh-for-sensitive"]),
    (Scope::Line, &["filter-unstable", "incompatible"]),
    (Scope::Line, &["claim-contradicted", "nut-or-animal"]),
];

/// The totals take in what is said of the lines that have no weight.
const TOTALS: &[&str] = &[
    "nothing-left-to-100",
    "to-100-twice",
    "variant-total",
    "total-not-batch",
    "total-not-100",
    "units-mixed",
];
const TAKEN_IN: &[&str] = &["amount-missing", "amount-unweighable", "drops-not-weight"];

/// Joins the findings of one formula.
pub(crate) fn joined(mut raised: Vec<Raised>) -> Vec<Raised> {
    for (scope, chain) in CHAINS {
        raised = join(raised, scope, chain);
    }
    take_in(raised)
}

fn place(raised: &Raised, chain: &[&str]) -> Option<u8> {
    let at = chain.iter().position(|name| *name == raised.finding.rule)? as u8;
    // Ten places for each rule of the chain, so that a rule can speak at several.
    Some(at * 10 + raised.rank.unwrap_or(0))
}

fn join(raised: Vec<Raised>, scope: &Scope, chain: &[&str]) -> Vec<Raised> {
    // Most chains join nothing.
    if raised.iter().filter(|raised| place(raised, chain).is_some()).nth(1).is_none() {
        return raised;
    }
    let mut kept: Vec<Raised> = Vec::with_capacity(raised.len());
    let mut order: Vec<(usize, Raised)> = raised.into_iter().enumerate().collect();
    order.sort_by_key(|(at, raised)| (place(raised, chain).unwrap_or(u8::MAX), *at));
    let mut out: Vec<(usize, Raised)> = Vec::new();
    for (at, raised) in order {
        let Some(own) = place(&raised, chain) else {
            out.push((at, raised));
            continue;
        };
        let first = out.iter_mut().map(|(_, first)| first).find(|first| {
            let earlier = place(first, chain).is_some_and(|place| place < own)
                && first.finding.rule != raised.finding.rule;
            earlier
                && match scope {
                    Scope::Formula => true,
                    Scope::Line => first.lines.iter().any(|line| {
                        raised.lines.iter().any(|own| {
                            line.start < own.end.max(own.start + 1)
                                && own.start < line.end.max(line.start + 1)
                        })
                    }),
                }
        });
        match first {
            Some(first) => relate(first, raised),
            None => out.push((at, raised)),
        }
    }
    out.sort_by_key(|(at, _)| *at);
    kept.extend(out.into_iter().map(|(_, raised)| raised));
    kept
}

fn relate(first: &mut Raised, other: Raised) {
    first.untold.extend(other.silent());
    show(first, other);
}

/// Shows a finding that is not told as a related line.
fn show(first: &mut Raised, other: Raised) {
    // A quieter voice that only repeats the place adds nothing.
    let same_place = first.finding.span == other.finding.span;
    let silent = other.finding.level == Level::Hint;
    if !same_place
        && !silent
        && !first.finding.related.iter().any(|related| related.span == other.finding.span)
    {
        first.finding.related.push(Related { span: other.finding.span, message: other.finding.message });
    }
}

fn take_in(raised: Vec<Raised>) -> Vec<Raised> {
    let Some(speaker) = raised.iter().position(|raised| TOTALS.contains(&raised.finding.rule)) else {
        return raised;
    };
    let mut kept: Vec<Raised> = Vec::new();
    let mut taken: Vec<Raised> = Vec::new();
    let mut speaks = None;
    for (at, raised) in raised.into_iter().enumerate() {
        if at == speaker {
            speaks = Some(kept.len());
            kept.push(raised);
        } else if TAKEN_IN.contains(&raised.finding.rule) {
            taken.push(raised);
        } else {
            kept.push(raised);
        }
    }
    if let Some(first) = speaks.and_then(|at| kept.get_mut(at)) {
        for other in taken {
            first.untold.extend(other.silent());
            let touches = |related: &&mut Related| {
                related.span.start < other.finding.span.end && other.finding.span.start < related.span.end
            };
            // What is said of the line says more than that it has no weight.
            match first.finding.related.iter_mut().find(touches) {
                Some(known)
                    if other.finding.level > Level::Hint && other.finding.rule == "drops-not-weight" =>
                {
                    known.message = other.finding.message;
                }
                Some(_) => {}
                None => show(first, other),
            }
        }
    }
    kept
}
