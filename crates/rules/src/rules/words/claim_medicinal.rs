use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::wording::{self, MEDICINAL, Place};
use notation::Word;

rule! {
    /// Words make a medicine of a cosmetic.
    ///
    /// ## Why
    /// What is said to treat, heal or prevent an illness is a medicine by its words alone, whatever is in it, and
    /// selling it without the permission for that is an offence nearly everywhere. Who is ill and trusts the words
    /// may go to a doctor too late.
    /// ## Fires
    /// ```formula
    /// formula Meadow balm
    /// product balm, hands
    /// for sale
    /// claim heals cracked skin, soothes dry skin
    ///   to  100     %     sunflower oil
    ///        20     %     beeswax
    /// ```
    /// In the name, for one's own use:
    /// ```formula
    /// formula Eczema cream
    /// product balm, hands
    /// for own use
    ///   to  100     %     sunflower oil
    ///        20     %     beeswax
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Heel balm for acne-prone and eczema-prone skin
    /// product balm, feet
    /// for sale
    /// claim softens cracked heels, soothes dry skin, not for open wounds
    ///   to  100     %     sunflower oil
    ///        20     %     beeswax
    /// ```
    /// A drug claim of another country:
    /// ```formula
    /// formula Birch shampoo
    /// product shampoo
    /// market EU
    /// claim against dandruff
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///        20     %     coco-glucoside; strength 50 %
    ///         1     %     sodium benzoate (and) potassium sorbate
    ///      q.s.           citric acid; to pH 5.2
    /// ```
    /// ## Fix
    /// Takes the claim out of its line.
    /// ## Sources
    /// - EU and UK: Guidelines to Reg. (EU) 655/2013, July 2013 (presentation and purpose decide what is a
    ///   cosmetic); Reg. (EC) 1223/2009 Art. 2 and 20
    /// - US: FD&C Act section 201(g); FDA, Warning letters address drug claims made for products marketed as
    ///   cosmetics; 21 CFR 347
    /// - a name is at most a warning: it need not stand on the jar
    name: "claim-medicinal",
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
    let mut texts = wording::said(case);
    texts.extend(wording::written(case, Word::Directions, Place::Directions));
    for fault in wording::faults(case, MEDICINAL, &texts) {
        let _ = fault.levelled(case, fault.tell(case, "", out));
    }
}
