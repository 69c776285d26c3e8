use crate::Level;
use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::wording::{self, BARRED, FREE_FROM, FREE_FROM_SOURCE, says_free};
use formula::Standing;

rule! {
    /// A claim uses words that a market does not let a cosmetic use, true or not.
    ///
    /// ## Why
    /// “Chemical-free” and “paraben-free” run down what others lawfully use, “free from lead” boasts of what the
    /// law demands of everyone, “approved by the FDA” is never so. In the EU and the UK such words are not allowed.
    /// ## Fires
    /// ```formula
    /// formula Meadow balm
    /// product balm, hands
    /// for sale
    /// market EU
    /// claim paraben-free, softens dry skin
    ///   to  100     %     sunflower oil
    ///        20     %     beeswax
    /// ```
    /// ```formula
    /// formula Meadow balm
    /// product balm, hands
    /// for sale
    /// market EU
    /// claim chemical-free
    ///   to  100     %     sunflower oil
    ///        20     %     beeswax
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Meadow balm
    /// product balm, hands
    /// for sale
    /// market EU
    /// claim fragrance-free, vegetarian, not tested on animals, free from palm oil
    ///   to  100     %     sunflower oil
    ///        20     %     beeswax
    /// ```
    /// Another market:
    /// ```formula
    /// formula Meadow balm
    /// product balm, hands
    /// for sale
    /// market US
    /// claim paraben-free
    ///   to  100     %     sunflower oil
    ///        20     %     beeswax
    /// ```
    /// ## Fix
    /// Takes the claim out of its line.
    /// ## Sources
    /// - Reg. (EU) 655/2013, Annex (legal compliance, honesty, fairness)
    /// - Technical document on cosmetic claims, 3 July 2017, Annex III (“free from” claims), as summarised by
    ///   cosmeticscare.eu and freyrsolutions.com: at most a warning
    name: "claim-barred",
    group: Words,
    level: Error,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    if case.formula.is_premix() {
        return;
    }
    let texts = wording::said(case);
    for fault in wording::faults(case, BARRED, &texts) {
        let market = if fault.row.markets.is_empty() { String::new() } else { assumed(case) };
        let _ = fault.levelled(case, fault.tell(case, &market, out));
    }
    let european = case.formula.header.markets.iter().any(|market| market == "EU" || market == "UK");
    for said in texts.iter().filter(|_| european) {
        let of = |what: &&wording::FreeFrom| what.of.iter().any(|word| says_free(&said.words, word));
        let Some(what) = FREE_FROM.iter().find(of) else { continue };
        let adding = out
            .add(said.span, format!("“{}” {}{}", said.text, what.why, assumed(case)))
            .level(wording::level(case, said, Level::Warning))
            .standing(Standing::SecondHand)
            .help("Take it out; say what is in it instead (`preserved with sodium benzoate`).")
            .source(FREE_FROM_SOURCE)
            .subject(said.text.clone());
        let _ = wording::without(case, said, adding);
    }
}

/// Whose rule it is, where nobody said a market.
fn assumed(case: &Case<'_>) -> String {
    if case.formula.header.market_assumed {
        " (a rule of the EU, assumed since no market is said)".to_owned()
    } else {
        String::new()
    }
}
