use crate::card::rule;
use crate::case::Case;
use crate::changes::line_below;
use crate::findings::Findings;
use crate::labels::first_lines;
use crate::people::by_occasion;
use crate::{Level, words};
use formula::labels::label_duties;
use formula::{Fit, Item};
use notation::fold;

rule! {
    /// Fruit acids stay on the skin, and nothing is said about the sun.
    ///
    /// ## Why
    /// Alpha hydroxy acids thin the horny layer: skin burns faster, for as long as they are used and for a week
    /// after. Who is not told goes out without protection.
    /// ## Fires
    /// ```formula
    /// formula Renewing night gel
    /// product gel, face, night
    /// pH 3.6 to 4.0
    ///   to  100     %     purified water
    ///         5     %     glycolic acid
    ///         1     %     hydroxyethylcellulose
    ///         0.8   %     sodium benzoate (and) potassium sorbate
    ///      q.s.           sodium hydroxide; to pH 3.8
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Renewing night gel
    /// product gel, face, night
    /// pH 3.6 to 4.0
    /// caution Skin may burn more easily: protect it from the sun while you use it and for a week after.
    ///   to  100     %     purified water
    ///         5     %     glycolic acid
    ///         1     %     hydroxyethylcellulose
    ///         0.8   %     sodium benzoate (and) potassium sorbate
    ///      q.s.           sodium hydroxide; to pH 3.8
    /// ```
    /// A little acid that sets the pH:
    /// ```formula
    /// formula Rose toner
    /// product toner, face
    /// pH 4.5 to 5
    ///   to  100     %     purified water
    ///         3     %     glycerin
    ///         0.8   %     sodium benzoate (and) potassium sorbate
    ///      q.s.           lactic acid 80 %; to pH 4.8
    /// ```
    /// ## Fix
    /// Writes the caution as a line for the label.
    /// ## Sources
    /// - FDA, Guidance for industry: labelling for cosmetics containing alpha hydroxy acids, 2005 (“Sunburn
    ///   alert”); Cosmetic Ingredient Review on alpha hydroxy acids (directions for use with sun protection)
    name: "sunburn-alert",
    group: Sun,
    level: Note,
    since: "0.1.0",
    fixes: Always,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if formula.is_premix() || speaks_of_sun(&formula.header.label_words()) {
        return;
    }
    // The advice is one market's; that the skin burns is everyone's.
    let alert = label_duties(formula, "US", case.law_day, false)
        .into_iter()
        .find(|due| fold(&due.text).starts_with("sunburn") && due.fit == Fit::Yes);
    let Some(due) = alert else { return };
    let lines: Vec<&Item> =
        first_lines(formula, &due).into_iter().filter(|item| item.to_ph.is_none()).collect();
    let Some(main) = lines.first() else { return };
    let named: Vec<String> = lines
        .iter()
        .map(|item| format!("{} {}", item.name, item.mid().map(words::percent).unwrap_or_default()))
        .collect();
    let line = format!("caution {}", due.text);
    let after = formula.header.product.span.unwrap_or(formula.name_span);
    let mut adding = out
        .add(
            main.name_span,
            format!(
                "{} stays on the skin and lets it burn more easily; nothing here says so",
                words::list(&named)
            ),
        )
        .level(by_occasion(case, Level::Note))
        .help("Say on the label: protect the skin from the sun during use and for a week afterwards.")
        .founded_on(&due.source)
        .subject("sunburn")
        .lines(lines.iter().map(|item| item.span))
        .judgement_fix(format!("Write `{line}`"), line_below(&case.block.text, after, &line));
    for item in lines.iter().skip(1) {
        adding = adding.related(item.name_span, format!("{} too", item.name));
    }
}

/// Whether the words for the label say something of the sun.
fn speaks_of_sun(texts: &[String]) -> bool {
    texts.iter().any(|text| {
        let folded = fold(text);
        let mut words = folded.split(|c: char| !c.is_alphanumeric());
        words.any(|word| word.starts_with("sun") || word == "uv" || word == "spf")
    })
}
