use crate::card::rule;
use crate::case::Case;
use crate::changes::{has_balance, with_number};
use crate::findings::{Adding, Findings};
use crate::words;
use formula::reckon::{Undissolved, undissolved};
use formula::{Item, Source, Written};
use notation::Unit;

rule! {
    /// There is more of something than the water holds once it has cooled.
    ///
    /// ## Why
    /// Hot water takes up more than cold water holds. What is too much for the cold water comes back as crystals:
    /// sand in a cream, needles in a gel. A preservative that falls out of an acid gel preserves nothing.
    /// ## Fires
    /// ```formula
    /// formula Comfrey hand gel
    /// product gel, hands
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///         4     %     glycerin
    ///         0.8   %     hydroxyethylcellulose; wetted in glycerin
    ///         1.5   %     allantoin
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// The water that the line names is all that it has:
    /// ```formula
    /// formula Comfrey hand gel
    /// product gel, hands
    /// pH 5.0 to 5.5
    ///   to  100     %     rose hydrosol
    ///         8     %     purified water
    ///         0.8   %     hydroxyethylcellulose
    ///         0.3   %     allantoin; dissolved in purified water
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// A salt turns into its acid where the pH is low, and the acid falls out:
    /// ```formula
    /// formula Sorrel toner
    /// product toner, face
    /// pH 4.0 to 4.5
    ///   to  100     %     purified water
    ///         3     %     glycerin
    ///         0.8   %     potassium sorbate
    ///         0.3   %     sodium benzoate
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Comfrey hand gel
    /// product gel, hands
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///         4     %     glycerin
    ///         0.8   %     hydroxyethylcellulose; wetted in glycerin
    ///         0.4   %     allantoin
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// A powder that is meant to stay one:
    /// ```formula
    /// formula Azelaic paste
    /// product cream, face
    /// pH 4.5 to 5.0
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        12     %     caprylic/capric triglyceride
    ///         6     %     cetearyl alcohol (and) ceteareth-20
    ///        10     %     azelaic acid; dispersed in caprylic/capric triglyceride
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// Glycols, alcohol and solubilisers carry salicylic acid:
    /// ```formula
    /// formula Willow serum
    /// product serum, face
    /// pH 3.8 to 4.2
    ///   to  100     %     purified water
    ///        10     %     propanediol
    ///         1.5   %     salicylic acid
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Fix
    /// Where the line is a percent and another line is the balance: writes the most that dissolves. A matter of
    /// judgement.
    /// ## Sources
    /// - the `solubility` lines of the ingredient at 15 to 25 °C; the finding names where they come from and is no
    ///   louder than the best of them allows. Published figures differ by about 15 %; so much more is no finding
    /// - weak acids: S = S0 (1 + 10^(pH − pKa)) and its turning point pKa + log10(S/S0 − 1), A. Martin, Physical
    ///   Pharmacy; judged at the upper end of the pH
    /// - what solvents, solubilisers and oils may carry of something that dissolves in them: half their weight, a
    ///   generous bound of common practice
    name: "will-not-dissolve",
    group: Dissolving,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    for found in undissolved(case.formula) {
        let Some(item) = case.formula.items.get(found.item) else { continue };
        let mut adding = out.add(item.name_span, message(item, &found)).help(help(&found));
        let sources: Vec<&Source> = std::iter::once(&found.figure.source).chain(&found.others).collect();
        // More than the highest figure is more than any: the best founded of them decides.
        if let Some(best) = sources.iter().max_by_key(|source| source.standing) {
            adding = adding.standing(best.standing);
        }
        for source in sources {
            adding = adding.source(source.text.to_string());
        }
        if let Some(pka) = &found.pka {
            adding = adding
                .standing(pka.source.standing)
                .source(format!("pKa {}: {}", pka.value, pka.source.text));
        }
        for at in found.lines.iter().filter(|at| **at != found.item) {
            let Some(other) = case.formula.items.get(*at) else { continue };
            adding = adding.related(other.name_span, format!("{} brings some of it", other.name));
        }
        let _ = with_less(case, item, &found, adding).subject(item.key());
    }
}

fn message(item: &Item, found: &Undissolved) -> String {
    let amount = item.mid().map(words::percent).unwrap_or_default();
    let name = &item.name;
    let acid = &found.material.name;
    let at = found.ph.as_ref().map(|ph| format!("at pH {ph} ")).unwrap_or_default();
    let rest = match (found.from_salt, found.is_liquid()) {
        (true, _) => "the rest falls out",
        (false, true) => "the rest separates",
        (false, false) => "the rest comes back as crystals",
    };
    let what = if found.from_salt {
        format!("{name} {amount} is {} {acid} in acid water; ", shown(found.percent))
    } else if found.lines.len() > 1 {
        format!("{acid} {} in all; ", shown(found.percent))
    } else {
        format!("{name} {amount}: ")
    };
    let per_100 = format!("{} g in 100 mL", found.figure.value);
    let solvent = match &found.named {
        Some(solvent) => format!("the {} {solvent} that it is dissolved in", shown(found.solvent)),
        None if found.carried > 0.0 => {
            format!("the {} of water here, with what the other liquids may carry,", shown(found.solvent))
        }
        None => format!("the {} of water here", shown(found.solvent)),
    };
    let counted = if found.ph.is_some() && found.pka.is_some() {
        format!(
            "{per_100} of the free acid, pKa {}",
            found.pka.as_ref().map(|p| p.value.text()).unwrap_or_default()
        )
    } else {
        per_100
    };
    let most = shown(found.most);
    format!("{what}{at}{solvent} can hold {most} of it at room temperature ({counted}), {rest}")
}

fn help(found: &Undissolved) -> String {
    let most = shown(found.most);
    if found.from_salt {
        let turn = found
            .falls_out_below
            .map(|ph| format!(" It begins to fall out below pH {ph:.1}."))
            .unwrap_or_default();
        return format!("Use less of it, or keep the pH higher as far as it still preserves there.{turn}");
    }
    if found.pka.is_some() {
        return format!(
            "Use at most {most}, keep the pH higher, or dissolve it in a glycol or alcohol first. If it is \
             meant to stay a fine powder, write `dispersed in` and the liquid behind its name."
        );
    }
    format!(
        "Use at most {most}, or give it more water; heat helps only until it cools. If it is meant to stay \
         a fine powder, write `dispersed in` and the liquid behind its name."
    )
}

/// `0.31 %`, `8 %`: two significant digits, for what is an estimate.
fn shown(percent: f64) -> String {
    let places = if percent >= 10.0 {
        0
    } else if percent >= 1.0 {
        1
    } else if percent >= 0.095 {
        2
    } else {
        3
    };
    let text = format!("{percent:.places$}");
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    format!("{text} %")
}

/// Offers the most that dissolves, rounded down.
fn with_less<'a>(case: &Case<'_>, item: &Item, found: &Undissolved, adding: Adding<'a>) -> Adding<'a> {
    let plain = item.written == Written::Amount(Unit::Percent) && item.strength.is_none() && !item.is_range;
    if found.from_salt || found.lines.len() > 1 || !plain || !has_balance(case) {
        return adding;
    }
    let Some(less) = found.rounded_down() else { return adding };
    match with_number(case, item, &less.text()) {
        Some(edits) => adding.judgement_fix(format!("Use {less} % {}", item.name), edits),
        None => adding,
    }
}
