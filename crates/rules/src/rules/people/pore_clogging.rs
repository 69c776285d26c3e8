use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::people::{is_for, is_rinsed};
use crate::{Level, words};
use formula::{Exact, Fit, Item};

rule! {
    /// Something known to clog pores stays on an acne-prone face.
    ///
    /// ## Why
    /// Some fats and esters raised blackheads on rabbits' ears, in tests of the 1970s and 80s. How far that holds
    /// for people's faces is disputed, and the whole product counts more than one line: a hint, no more.
    /// ## Fires
    /// ```formula
    /// formula Clear face cream
    /// product cream, face
    /// for acne-prone skin
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///        10     %     cocoa butter
    ///         6     %     cetearyl alcohol (and) ceteareth-20
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Clear face cream
    /// product cream, face
    /// for acne-prone skin
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///        10     %     squalane
    ///         6     %     cetearyl alcohol (and) ceteareth-20
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// For other skin, and other places:
    /// ```formula
    /// formula Foot cream
    /// product cream, feet
    /// for dry skin
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///        10     %     cocoa butter
    ///         6     %     cetearyl alcohol (and) ceteareth-20
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Fix
    /// None: what takes its place is a choice of feel.
    /// ## Sources
    /// - J. E. Fulton, J. Soc. Cosmet. Chem. 40 (1989) 321-333, rabbit ear, as quoted; W. E. Morris and S. C. Kwan
    ///   1983; some figures from memory. From grade 4 of 5 on
    name: "pore-clogging",
    group: People,
    level: Hint,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

/// From this grade on.
const GRADE: i64 = 4;

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    let face = formula.header.product.is("face") == Fit::Yes;
    if !face || is_rinsed(case) || formula.is_premix() || !is_for(case, &["acne", "blemish", "oily skin"]) {
        return;
    }
    let clogs = |item: &&Item| {
        let grade = item.material.as_ref().and_then(|material| material.pore_clogging.as_ref());
        let enough = item.mid().is_some_and(|share| *share >= Exact::fraction(1, 100));
        enough && grade.is_some_and(|grade| grade.value >= Exact::whole(GRADE))
    };
    let lines: Vec<&Item> = formula.items.iter().filter(clogs).collect();
    let Some(first) = lines.first() else { return };
    let graded = |item: &&Item| {
        let figure = item.material.as_ref().and_then(|material| material.pore_clogging.as_ref())?;
        let amount = item.mid().map(words::percent).unwrap_or_default();
        Some(format!("{} {amount} (grade {} of 5)", item.name, figure.value))
    };
    let named: Vec<String> = lines.iter().filter_map(graded).collect();
    let keys: Vec<String> = lines.iter().map(|item| item.key()).collect();
    let mut adding = out
        .add(
            first.name_span,
            format!(
                "{} clogged pores in tests on rabbits' ears, and this is for skin that tends to it",
                words::list(&named)
            ),
        )
        .level(Level::Hint)
        .help(
            "The evidence is weak for people's faces; if you want to go without, sunflower and safflower \
             oil were graded 0.",
        )
        .subject(keys.join(", "))
        .lines(lines.iter().map(|item| item.span));
    for item in &lines {
        if let Some(figure) = item.material.as_ref().and_then(|material| material.pore_clogging.as_ref()) {
            adding = adding.source(figure.source.text.to_string());
        }
    }
}
