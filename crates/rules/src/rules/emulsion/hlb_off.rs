use crate::card::rule;
use crate::case::Case;
use crate::changes::share_written;
use crate::findings::Findings;
use crate::words;
use formula::reckon::{EmulsionKind, Hlb, Term, hlb};
use formula::{DEFAULT_OF_THE_TABLES, Exact, Standing};
use notation::Edits;

rule! {
    /// The emulsifiers' HLB is far from what the oils need.
    ///
    /// ## Why
    /// HLB says how much an emulsifier loves water, and required HLB at which value an oil is held best. Where they
    /// are far apart even a generous amount of emulsifier leaves the drops half covered. The rule holds for plain
    /// non-ionic emulsifiers alone; ready-made waxes, charged, lamellar and polymeric systems follow other laws and
    /// are not judged.
    /// ## Fires
    /// ```formula
    /// formula Pale lotion
    /// product lotion, body
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        16     %     sunflower oil
    ///         4     %     mango butter
    ///         3.5   %     polysorbate 60
    ///         0.5   %     sorbitan stearate
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// One emulsifier alone:
    /// ```formula
    /// formula Pale lotion
    /// product lotion, body
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        16     %     sunflower oil
    ///         4     %     mango butter
    ///         4     %     polysorbate 60
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Pale lotion
    /// product lotion, body
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        16     %     sunflower oil
    ///         4     %     mango butter
    ///         1.5   %     polysorbate 60
    ///         2.5   %     sorbitan stearate
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// A self-emulsifying wax beside one of them:
    /// ```formula
    /// formula Wax lotion
    /// product lotion, body
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        16     %     sunflower oil
    ///         4     %     glyceryl stearate (and) PEG-100 stearate
    ///         2     %     polysorbate 60
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// Tables disagree on what capric triglyceride needs (5.5 or 11), so a value between is not judged:
    /// ```formula
    /// formula Light lotion
    /// product lotion, body
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        16     %     caprylic/capric triglyceride
    ///         2.5   %     polysorbate 60
    ///         1.5   %     sorbitan stearate
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// A fatty alcohol beside an ethoxylate builds what a ready-made wax is:
    /// ```formula
    /// formula Loose wax lotion
    /// product lotion, body
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        14     %     sunflower oil
    ///         4     %     cetearyl alcohol
    ///         1.5   %     ceteareth-20
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// Where half of the oils are not known, nothing is said:
    /// ```formula
    /// formula Light lotion
    /// product lotion, body
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///         8     %     sunflower oil
    ///         8     %     house oil
    ///         4     %     polysorbate 60
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ingredient house oil
    /// function oil
    /// soluble in oil
    /// ```
    /// ## Fix
    /// With two emulsifiers: the split of the same sum that gives what the oils need, `(R − low) / (high − low)` of
    /// the higher one. A matter of judgement: a trial decides.
    /// ## Sources
    /// - method: W. C. Griffin, J. Soc. Cosmet. Chem. 1 (1949) 311-326; means by weight
    /// - the `required HLB` and `HLB` lines of the ingredients; where tables disagree all of their values count as
    ///   possible, a default may be off by 2, a figure from memory by 1, and an unknown oil may need 5 to 17; fatty
    ///   alcohols may take part as emulsifiers of HLB 1
    /// - 1.5 beyond all that is possible: common practice
    name: "hlb-off",
    group: Emulsion,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if formula.broken {
        return;
    }
    let Some(hlb) = hlb(formula) else { return };
    let (Some(off), Some(required), Some(supplied)) = (hlb.off(), &hlb.required, &hlb.supplied) else {
        return;
    };
    // Three quarters of the oils by weight are the least that a mean can be told of.
    if off.abs() <= Exact::fraction(3, 2) || hlb.known_share() < Exact::fraction(3, 4) {
        return;
    }
    let Some(main) = hlb.emulsifiers.iter().max_by(|a, b| a.share.cmp(&b.share)) else { return };
    let Some(item) = formula.items.get(main.item) else { return };
    let known = if hlb.known() == hlb.oils.len() {
        String::new()
    } else {
        format!(" ({} of {} oils known)", hlb.known(), hlb.oils.len())
    };
    let names: Vec<String> = hlb.emulsifiers.iter().map(|own| own.name.clone()).collect();
    let message = format!(
        "{} {} an HLB of {}; the oils need about {}{known}",
        words::list(&names),
        if names.len() == 1 { "gives" } else { "together give" },
        supplied.shown(1),
        required.shown(1)
    );
    let items = &formula.items;
    let mut adding = out
        .add(item.name_span, message)
        .help(help(&hlb, &off))
        .subject("hlb")
        .source("W. C. Griffin, J. Soc. Cosmet. Chem. 1 (1949) 311-326 (means by weight)")
        .lines(hlb.emulsifiers.iter().filter_map(|own| items.get(own.item)).map(|item| item.span));
    for term in hlb.oils.iter().chain(&hlb.emulsifiers) {
        let document = term.figure.as_ref().map(|figure| &figure.source);
        if let Some(source) = document.filter(|source| {
            source.standing != Standing::FromMemory && &*source.text != DEFAULT_OF_THE_TABLES
        }) {
            adding = adding.source(source.text.to_string());
        }
        if let (Some(line), Some(doubt)) = (items.get(term.item), doubt(term)) {
            adding = adding.related(line.name_span, doubt);
        }
    }
    if let Some((edits, title)) = rewritten(case, &hlb) {
        adding = adding.judgement_fix(title, edits);
    }
    let _ = adding;
}

/// What is weak in a figure: `7 is a rule of thumb`, `tables say 12, 9 and 10; 12 counts here`.
fn doubt(term: &Term) -> Option<String> {
    let name = &term.name;
    let Some(figure) = &term.figure else { return Some(format!("nobody says which HLB {name} needs")) };
    if !term.others.is_empty() {
        let values = std::iter::once(figure).chain(&term.others).map(|figure| figure.value.text());
        let values: Vec<String> = values.collect();
        return Some(format!("for {name} tables say {}; {} counts here", words::list(&values), figure.value));
    }
    match figure.source.standing {
        Standing::Default => Some(format!("{} for {name} is a rule of thumb", figure.value)),
        Standing::FromMemory => Some(format!("{} for {name} is from memory", figure.value)),
        _ => None,
    }
}

fn help(hlb: &Hlb, off: &Exact) -> String {
    let working = |terms: &[Term], mean: &Exact| {
        let known: Vec<&Term> = terms.iter().filter(|term| term.figure.is_some()).collect();
        let sum: Exact = known.iter().map(|term| term.share.clone()).sum();
        let products: Vec<String> = known
            .iter()
            .filter_map(|term| {
                let figure = term.figure.as_ref()?;
                Some(format!("{} × {}", term.share.percent().shown(2), figure.value))
            })
            .collect();
        match products.as_slice() {
            [_] => mean.shown(1),
            several => format!("({}) / {} = {}", several.join(" + "), sum.percent().shown(2), mean.shown(1)),
        }
    };
    let (Some(required), Some(supplied)) = (&hlb.required, &hlb.supplied) else { return String::new() };
    let what = match (hlb.split().is_some(), off.is_negative(), hlb.kind) {
        (true, ..) => split_words(hlb),
        (false, false, _) => "Pair it with an emulsifier of lower HLB.".to_owned(),
        (false, true, EmulsionKind::OilInWater) => "Pair it with an emulsifier of higher HLB.".to_owned(),
        (false, true, EmulsionKind::WaterInOil) => {
            "Take emulsifiers of a higher HLB, still below 7.".to_owned()
        }
    };
    format!(
        "Oils: {}. Emulsifiers: {}. {what}",
        working(&hlb.oils, required),
        working(&hlb.emulsifiers, supplied)
    )
}

fn split_words(hlb: &Hlb) -> String {
    let shares = rounded_split(hlb);
    match (shares, hlb.emulsifiers.as_slice()) {
        (Some([first, second]), [a, b]) => format!(
            "Split as {} {} and {} {} they would meet it; make a trial.",
            a.name,
            words::percent(&first),
            b.name,
            words::percent(&second)
        ),
        _ => "Another split of the two would meet it; make a trial.".to_owned(),
    }
}

/// The split that fits: to a tenth of a percent where that is near enough, else to a hundredth. None where rounding leaves
/// nothing of one of them.
fn rounded_split(hlb: &Hlb) -> Option<[Exact; 2]> {
    let [(_, first), (_, second)] = hlb.split()?;
    let places = if &first + &second < Exact::fraction(2, 100) { 10_000 } else { 1000 };
    let step = Exact::fraction(1, places);
    let rounded = Exact::read(&first.over(&step)?.shown(0))? * step;
    let rest = (first + second) - &rounded;
    (!rounded.is_zero() && !rest.is_negative() && !rest.is_zero()).then_some([rounded, rest])
}

/// The split that fits, written into both lines.
fn rewritten(case: &Case<'_>, hlb: &Hlb) -> Option<(Edits, String)> {
    let [(one, _), (two, _)] = hlb.split()?;
    let [rounded, rest] = rounded_split(hlb)?;
    let (a, b) = (case.formula.items.get(one)?, case.formula.items.get(two)?);
    let (edit_a, amount_a) = share_written(case, a, &rounded)?;
    let (edit_b, amount_b) = share_written(case, b, &rest)?;
    let edits = Edits::new(vec![edit_a, edit_b]).ok()?;
    Some((edits, format!("Split them as {} {amount_a} and {} {amount_b}", a.name, b.name)))
}
