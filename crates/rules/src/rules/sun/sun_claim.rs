use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::wording::{self, Place, SUN, Said, said, tokens};
use formula::is_sun_product;
use notation::{Word, fold};

rule! {
    /// A claim promises about the sun what no product can keep.
    ///
    /// ## Why
    /// “Sunblock”, “waterproof”, “all day” and “plant oils with SPF 40” let people stay in the sun for longer than
    /// any product carries. The authorities ask makers not to use such words; oils filter hardly anything.
    /// ## Fires
    /// ```formula
    /// formula Harbour cream
    /// version 2
    /// product sun cream, body
    /// claim SPF 20, UVA, waterproof
    /// tested SPF by ISO 24444 on 2026-05-02; version 2; report 41
    /// pH 6.5 to 7.5
    ///   to  100     %     purified water
    ///        20     %     jojoba oil
    ///         6     %     cetearyl alcohol (and) ceteareth-20
    ///        18     %     zinc oxide; coated; non-nano
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// An oil taken for a filter:
    /// ```formula
    /// formula Garden oil
    /// product body oil
    /// note Raspberry seed oil brings an SPF of 30 to 50.
    ///    60     %     jojoba oil
    ///    40     %     raspberry seed oil
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Harbour cream
    /// version 2
    /// product sun cream, body
    /// claim SPF 20, UVA, water resistant
    /// tested SPF by ISO 24444 on 2026-05-02; version 2; report 41
    /// tested water resistance on 2026-05-09; version 2; report 43
    /// pH 6.5 to 7.5
    ///   to  100     %     purified water
    ///        20     %     jojoba oil
    ///         6     %     cetearyl alcohol (and) ceteareth-20
    ///        18     %     zinc oxide; coated; non-nano
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// The words, but not about the sun:
    /// ```formula
    /// formula All-day hand balm
    /// product balm, hands
    /// note Raspberry seed oil is not a sunscreen.
    ///    20     %     beeswax
    ///    49.7   %     jojoba oil
    ///    30     %     raspberry seed oil
    ///     0.3   %     tocopherol
    /// ```
    /// ## Fix
    /// Takes the word out of the `claim` line.
    /// ## Sources
    /// - Commission Recommendation 2006/647/EC on the efficacy of sunscreen products and the claims made relating
    ///   thereto
    /// - 21 CFR 201.327 (water resistance by test)
    /// - Cole, Shyr, Ou-Yang 2016: zinc oxide and titanium dioxide reflect 4 to 5 % of UV, the rest is absorbed
    /// - CHOICE (Australia) on home-made sunscreen: raspberry seed and carrot seed oil
    name: "sun-claim",
    group: Sun,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    if case.formula.is_premix() {
        return;
    }
    let mut texts = said(case);
    let directions = wording::written(case, Word::Directions, Place::Directions);
    let notes = wording::written(case, Word::Note, Place::Note);
    let for_the_sun = is_sun_product(&case.formula.header.product) || !wording::sun_promises(case).is_empty();
    let all: Vec<Said> = texts.iter().chain(&directions).cloned().collect();
    for fault in wording::faults(case, SUN, &all) {
        // Some words speak of the sun by themselves; `all day` and `waterproof` only in a product for it.
        if for_the_sun || fault.phrase.contains("sun") || fault.phrase.contains("uv") {
            let _ = fault.tell(case, "", out).at_most(fault.row.most).standing(fault.row.standing);
        }
    }
    texts.extend(directions);
    texts.extend(notes);
    for said in texts.iter().filter(|said| said.place != Place::Name) {
        oil_as_filter(case, said, out);
    }
}

/// `raspberry seed oil SPF 40`: a number, and the name of an oil that is in the formula and filters nothing.
fn oil_as_filter(case: &Case<'_>, said: &Said, out: &mut Findings<'_>) {
    const DOUBTS: &[&str] =
        &["no", "not", "never", "nor", "without", "myth", "untrue", "false", "only", "isn", "doesn"];
    let words = &said.words;
    let number = words.iter().any(|word| word.starts_with("spf"));
    if !number || words.iter().any(|word| DOUBTS.contains(&word.as_str())) {
        return;
    }
    let text = format!(" {} ", words.join(" "));
    let oil = case.formula.items.iter().find(|item| {
        let oily = (item.does("oil") || item.does("butter")) && !item.does("UV filter");
        let named = |name: &str| text.contains(&format!(" {} ", tokens(name).join(" ")));
        let known = item.material.as_ref().is_some_and(|material| material.names().any(named));
        oily && (named(&fold(&item.name)) || known)
    });
    let Some(oil) = oil else { return };
    let adding = out
        .add(
            said.span,
            format!("{} is taken for a sun filter here; plant oils filter next to nothing", oil.name),
        )
        .help(
            "Take it out: who believes it burns. Filters are substances of the lists for that (Annex VI in \
             the EU).",
        )
        .source("CHOICE (Australia), the dangers of home-made sunscreen; Reg. (EC) 1223/2009 Annex VI")
        .subject(oil.key())
        .related(oil.name_span, "this oil");
    let _ = wording::without(case, said, adding);
}
