use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::people::{is_for, is_rinsed, tell_kept_from};

rule! {
    /// A product for pregnancy holds something that the trade keeps away from it.
    ///
    /// ## Why
    /// Some substances are advised against while a child is carried, on the skin too, because they may pass into
    /// the blood and little is known of what they do there. The advice is cautious, and not all sources agree.
    /// ## Fires
    /// ```formula
    /// formula Belly oil
    /// product body oil
    /// for pregnancy
    ///   to  100     %     jojoba oil
    ///         0.5   %     sage oil
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Belly oil
    /// product body oil
    /// for pregnancy
    ///   to  100     %     jojoba oil
    ///        20     %     sunflower oil
    ///         0.5   %     tocopherol
    /// ```
    /// Nobody said that it is for pregnancy:
    /// ```formula
    /// formula Night drops
    /// product oil serum, face, night
    ///   to  100     %     squalane
    ///         0.2   %     retinol
    /// ```
    /// ## Fix
    /// Takes the lines out where a `to 100` line takes up what they leave.
    /// ## Sources
    /// - retinoids: common practice; oils rich in thujone and camphor: safety page of the National Association for
    ///   Holistic Aromatherapy after Tisserand and Balacs, as quoted; others from memory, and told as notes
    name: "not-in-pregnancy",
    group: People,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    if !is_for(case, &["pregnan", "expecting", "mothers-to-be"]) {
        return;
    }
    let rinsed = is_rinsed(case);
    let Some(adding) = tell_kept_from(case, out, "pregnancy", "in a product for pregnancy", |_| rinsed)
    else {
        return;
    };
    let _ = adding.help(
        "Leave it out, and let a doctor or midwife say what suits. A product that names pregnancy needs an \
         assessment that names it too.",
    );
}
