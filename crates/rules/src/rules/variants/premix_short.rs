use crate::amounts::grams;
use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use formula::{Exact, Formula, Item};
use notation::fold;

rule! {
    /// A batch takes more of a premix than is made of it.
    ///
    /// ## Why
    /// At the bench the premix runs out in the middle of the batch, and what is missing is then made up from memory.
    /// ## Fires
    /// ```formula
    /// formula Wax base
    /// product premix
    /// batch 100 g
    ///    40     %     beeswax
    ///    60     %     jojoba oil
    ///
    /// formula Soft balm
    /// product balm, body
    /// batch 300 g
    /// include test.formula#Wax base as wax base
    ///    50     %     wax base
    ///    50     %     jojoba oil
    /// ```
    /// The premix does not say its batch, and its last record says what came out:
    /// ```formula
    /// formula Wax base
    /// product premix
    ///    40     %     beeswax
    ///    60     %     jojoba oil
    ///
    /// formula Soft balm
    /// product balm, body
    /// batch 300 g
    /// include test.formula#Wax base as wax base
    ///    50     %     wax base
    ///    50     %     jojoba oil
    ///
    /// record 26-017
    /// of Wax base
    /// date 2026-05-04
    /// yield 96 g
    /// ```
    /// ## Quiet
    /// As much as is needed:
    /// ```formula
    /// formula Wax base
    /// product premix
    /// batch 150 g
    ///    40     %     beeswax
    ///    60     %     jojoba oil
    ///
    /// formula Soft balm
    /// product balm, body
    /// batch 300 g
    /// include test.formula#Wax base as wax base
    ///    50     %     wax base
    ///    50     %     jojoba oil
    /// ```
    /// How much there is of it is not said:
    /// ```formula
    /// formula Wax base
    /// product premix
    ///    40     %     beeswax
    ///    60     %     jojoba oil
    ///
    /// formula Soft balm
    /// product balm, body
    /// batch 300 g
    /// include test.formula#Wax base as wax base
    ///    50     %     wax base
    ///    50     %     jojoba oil
    /// ```
    /// ## Fix
    /// None: the premix stands in a block of its own, where its `batch` has to grow.
    name: "premix-short",
    group: Variants,
    level: Warning,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    for include in &case.formula.header.includes {
        let Ok(premix) = &include.formula else { continue };
        let of_it = |item: &&Item| item.premix.is_some() && fold(&item.name) == fold(&include.name);
        let lines: Vec<&Item> = case.formula.items.iter().filter(of_it).collect();
        let (Some(first), Some((made, from))) = (lines.first(), made(premix)) else { continue };
        let weights = lines.iter().map(|item| item.grams.as_ref().map(|grams| grams.low.clone()));
        let Some(taken) = weights.sum::<Option<Exact>>().filter(|taken| *taken > made) else { continue };
        let message =
            format!("this batch takes {} of {}, and {from} {}", grams(&taken), include.name, grams(&made));
        let _ = out
            .add(first.name_span, message)
            .help(format!("Make at least {} of it, or make a smaller batch.", grams(&taken)))
            .subject(fold(&include.name));
    }
}

/// How much there is of a premix, and who says so: its own batch, else what came out of the last one made.
fn made(premix: &Formula) -> Option<(Exact, String)> {
    if let Some(grams) = premix.batch_grams() {
        return Some((grams.clone(), "its own sheet makes".to_owned()));
    }
    let made = premix.records.iter().find_map(|record| Some((record, record.yielded.as_ref()?)));
    made.map(|(record, (grams, _))| (grams.clone(), format!("the last batch of it, {}, gave", record.number)))
}
