use crate::Level;
use crate::card::rule;
use crate::case::Case;
use crate::changes::take_out;
use crate::findings::Findings;
use formula::preservation::share_of;
use formula::{Exact, Fit, Formula};
use notation::Span;

rule! {
    /// A pH is planned for a product that has none to measure.
    ///
    /// ## Why
    /// pH is a property of water. A balm, a butter or an oil has none; what a strip shows in it is chance. In a
    /// water-in-oil cream the water lies inside drops that no electrode reaches.
    /// ## Fires
    /// ```formula
    /// formula Cocoa body butter
    /// product body butter, body
    /// pH 5.5
    ///        60     %     shea butter
    ///        20     %     cocoa butter
    ///        20     %     jojoba oil
    /// ```
    /// ```formula
    /// formula Winter cold cream
    /// product cream, face, W/O
    /// pH 5 to 5.5
    ///        30     %     jojoba oil
    ///        12     %     beeswax
    ///         4     %     sorbitan oleate
    ///   to  100     %     purified water
    ///         0.7   %     magnesium sulfate
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Cocoa body butter
    /// product body butter, body
    ///        60     %     shea butter
    ///        20     %     cocoa butter
    ///        20     %     jojoba oil
    /// ```
    /// Bars, salts and powders have the pH of the water that they are dissolved in:
    /// ```formula
    /// formula Soft wash bar
    /// product cleansing bar, body
    /// pH 5 to 6
    ///        60     %     sodium cocoyl isethionate
    ///        20     %     cetyl alcohol
    ///        20     %     corn starch
    /// ```
    /// ## Fix
    /// Takes the pH line out. A matter of judgement, where the pH of a water phase was meant.
    name: "ph-without-water",
    group: Ph,
    level: Note,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if formula.broken || formula.is_premix() {
        return;
    }
    let inside = formula.header.product.says("W/O");
    if !inside && !is_fat(formula) {
        return;
    }
    let (message, help) = if inside {
        (
            "is planned, but this is a water-in-oil product: its water lies inside the drops, where no \
             electrode or strip reaches it",
            "Say in a step which pH the water phase is brought to before it goes into the oil.",
        )
    } else {
        (
            "is planned, but there is no water in this to have one",
            "Take it out; what is dissolved in oil has no pH.",
        )
    };
    if let Some((window, span)) = &formula.header.ph {
        let mut adding = out
            .add(*span, format!("pH {} {message}", window.text()))
            .level(Level::Note)
            .help(help)
            .subject("pH");
        if case.is_parent() {
            let edits = take_out(&case.block.text, Span::at(span.start));
            adding = adding.judgement_fix("Take the pH line out", edits);
        }
        let _ = adding;
        return;
    }
    // In a water-in-oil product an adjuster may stand in the water phase.
    if inside {
        return;
    }
    for item in &formula.items {
        let Some(window) = &item.to_ph else { continue };
        let _ = out
            .add(item.name_span, format!("pH {} {message}", window.text()))
            .level(Level::Note)
            .help(help)
            .subject(item.key())
            .lines([item.span]);
    }
}

/// Whether it is a fatty product that stays on the skin, with no water as far as all lines are known.
fn is_fat(formula: &Formula) -> bool {
    let product = &formula.header.product;
    let dry = ["loose powder", "pressed powder", "powder"].iter().any(|form| product.is(form) == Fit::Yes);
    let open = formula.items.iter().any(|item| {
        item.share.is_none() || !item.is_known() || (item.material.is_none() && item.premix.is_none())
    });
    product.is("leave-on") == Fit::Yes
        && !dry
        && !open
        && formula.is_water_free()
        && share_of(formula, "surfactant") < Exact::fraction(5, 100)
        && formula.oils() >= Exact::fraction(1, 2)
}
