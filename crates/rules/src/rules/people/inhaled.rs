use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::people::{by_occasion, tell_kept_from};
use crate::{Level, law};
use formula::preservation::is_watery;
use formula::{Condition, Rank};
use notation::fold;

rule! {
    /// A spray or a dust is breathed in, and nothing is said of it.
    ///
    /// ## Why
    /// Fine drops and fine dust go deep into the lungs, which cannot clean themselves of oil or mineral powder.
    /// What is harmless on the skin is not judged for that. Loose powders of talc, mica, silica and titanium
    /// dioxide raise such dust at every use.
    /// ## Fires
    /// ```formula
    /// formula Feather powder
    /// product loose powder, body
    ///   60          %     corn starch
    ///   40          %     talc
    /// ```
    /// Under pressure:
    /// ```formula
    /// formula Shine spray
    /// product body oil, aerosol
    ///  100          %     jojoba oil
    /// ```
    /// ## Quiet
    /// Said on the label:
    /// ```formula
    /// formula Feather powder
    /// product loose powder, body
    /// caution Keep away from nose and mouth; do not breathe the dust.
    ///   60          %     corn starch
    ///   40          %     talc
    /// ```
    /// Pressed:
    /// ```formula
    /// formula Feather compact
    /// product pressed powder, face
    ///   55          %     corn starch
    ///   35          %     talc
    ///   10          %     jojoba oil
    /// ```
    /// A mask that is mixed with water:
    /// ```formula
    /// formula Clay mask powder
    /// product mask, face
    ///   80          %     kaolin
    ///   20          %     silica
    /// ```
    /// ## Fix
    /// None: pressed, as a cream, or in a pump instead is another product; the caution is yours to word.
    /// ## Sources
    /// - principles of judging inhaled cosmetic powders, 2018 (PubMed 30125618) and a study of eyebrow powder, 2020
    ///   (PubMed 33208837), abstracts; common practice for how much of it counts
    /// - what the law bars where it can be breathed in is told by `not-allowed-here`
    name: "inhaled",
    group: People,
    level: Warning,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    let product = &formula.header.product;
    if formula.is_premix() || speaks_of_breath(&formula.header.label_words()) {
        return;
    }
    let loose = product.says("loose powder") || product.says("powder");
    if product.says("aerosol") {
        let span = product.span.unwrap_or(formula.name_span);
        let _ = out
            .add(span, "an aerosol is breathed in, and none of these lines is judged for that here")
            .level(by_occasion(case, Level::Warning))
            .help(
                "A pump, a cream or a stick does without the fine mist. Filling under pressure is a \
                 licensed trade with rules of its own, and a spray needs an assessment of what is \
                 breathed; write the caution on the label.",
            )
            .source("common practice")
            .subject("aerosol");
        return;
    }
    let what = if loose { "loose powder" } else { "pump spray" };
    if !loose && !product.says("pump spray") {
        return;
    }
    let place = if loose { "in a loose powder" } else { "in a spray" };
    if let Some(adding) = tell_kept_from(case, out, what, place, |_| false) {
        let adding = adding.lines(barred(case));
        let _ = adding.help(
            "Press it, or make a cream of it; else say on the label to keep it away from nose and mouth, \
             and wear a dust mask (P2 or FFP2) when you make it.",
        );
        return;
    }
    if !loose && is_watery(formula) {
        let span = product.span.unwrap_or(formula.name_span);
        let _ = out
            .add(
                span,
                "a spray is breathed in a little at every use, and nothing here says to keep it from mouth \
                 and eyes",
            )
            .level(Level::Hint)
            .help(
                "Choose a nozzle with coarse drops, and write a caution: spray away from the face, do not \
                 breathe it in.",
            )
            .source("common practice")
            .subject("spray");
    }
}

/// The lines that a law bars where they can be breathed in: the same cause, told there.
fn barred(case: &Case<'_>) -> Vec<notation::Span> {
    law::breaches(case)
        .iter()
        .filter(|breach| {
            breach.limit.force.rank == Rank::Law && breach.limit.conditions.contains(&Condition::Inhalable)
        })
        .flat_map(|breach| &breach.items)
        .filter_map(|at| case.formula.items.get(*at).map(|item| item.span))
        .collect()
}

/// Whether the words for the label say something of breathing.
fn speaks_of_breath(texts: &[String]) -> bool {
    const WORDS: &[&str] =
        &["breath", "inhal", "nose", "mouth", "lungs", "from the face", "from your face", "dust mask"];
    texts.iter().map(|text| fold(text)).any(|text| WORDS.iter().any(|word| text.contains(word)))
}
