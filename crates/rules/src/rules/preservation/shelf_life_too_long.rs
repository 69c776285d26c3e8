use crate::Level;
use crate::card::rule;
use crate::case::Case;
use crate::changes::shelf_life;
use crate::findings::Findings;
use crate::words;
use formula::keeping::{first_to_expire, fresh_food, has_antioxidant, shortest_lived};
use formula::{Exact, Formula, Item, Occasion, Source, Standing, Test};
use notation::Word;

rule! {
    /// Nothing in the product bears out its shelf life.
    ///
    /// ## Why
    /// A product keeps no longer than what is in it. And that a watery product stays free of microbes and does not
    /// separate for more than some months is known only from a test of this very version.
    /// ## Fires
    /// ```formula
    /// formula Hand lotion
    /// version 2
    /// product lotion, hands
    /// pH 5.0 to 5.5
    /// shelf life 12 months
    ///   to  100     %     purified water
    ///        15     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// An oil that is rancid long before:
    /// ```formula
    /// formula Rosehip face oil
    /// product face oil, face
    /// shelf life 24 months
    ///        70     %     jojoba oil
    ///        30     %     rosehip oil
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Hand lotion
    /// version 2
    /// product lotion, hands
    /// pH 5.0 to 5.5
    /// shelf life 12 months
    /// tested stability on 2026-05-04; version 2; result no change in 12 weeks at 40 °C
    ///   to  100     %     purified water
    ///        15     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// Up to three months need no test, and an antioxidant lets an oil live longer than the tables say:
    /// ```formula
    /// formula Hand lotion
    /// product lotion, hands
    /// pH 5.0 to 5.5
    /// shelf life 3 months
    ///   to  100     %     purified water
    ///        15     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    ///
    /// formula Rosehip face oil
    /// product face oil, face
    /// shelf life 12 months
    ///        69.5   %     jojoba oil
    ///        30     %     rosehip oil
    ///         0.5   %     tocopherol
    /// ```
    /// ## Fix
    /// Shortens the shelf life to what is known. A matter of judgement: a test could show more.
    /// ## Sources
    /// - three months without a test: common practice
    /// - lives of oils: the `shelf life` lines; the catalogue's are tables of suppliers and give a note at most,
    ///   the maker's own count in full
    name: "shelf-life-too-long",
    group: Preservation,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

/// What ends the shelf life before its time.
struct End {
    days: Exact,
    why: String,
    /// What the fix writes.
    life: String,
    level: Level,
    source: Source,
    item: Option<usize>,
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    let Some((days, span)) = &formula.header.shelf_life_days else { return };
    if formula.broken {
        return;
    }
    let mut ends: Vec<End> =
        [lot(case, days), oil(case, days), untested(case, days)].into_iter().flatten().collect();
    ends.sort_by(|a, b| b.level.cmp(&a.level).then_with(|| a.days.cmp(&b.days)));
    let Some(first) = ends.first() else { return };
    let written = match case.block.facts(Word::ShelfLife).last().and_then(|(_, fact)| fact.measure) {
        Some(measure) if case.is_parent() => case.at(measure.span).to_owned(),
        _ => format!("{} days", days.shown(0)),
    };
    let mut adding = out
        .add(*span, format!("{written} of shelf life, but {}", first.why))
        .level(first.level)
        .help(
            "Shorten it to what is known, or show by a challenge and a stability test of this version that \
             it keeps longer.",
        )
        .source(first.source.text.to_string())
        .subject("shelf life")
        .lines(tests_of_keeping(formula).map(|test| test.span));
    for end in &ends {
        if let Some(item) = end.item.and_then(|at| formula.items.get(at)) {
            adding = adding.related(item.name_span, end.why.clone()).lines([item.span]);
        }
    }
    let shortest = ends.iter().min_by(|a, b| a.days.cmp(&b.days));
    if let Some(shortest) = shortest
        && let Some(edits) = shelf_life(case, &shortest.life)
    {
        adding = adding.judgement_fix(format!("Shorten the shelf life to {}", shortest.life), edits);
    }
    let _ = adding;
}

/// A watery product for more than three months, and no test of this version.
fn untested(case: &Case<'_>, days: &Exact) -> Option<End> {
    let formula = case.formula;
    let three = Exact::fraction(365, 4);
    if *days <= three || !case.needs_preserving() || formula.tested(&["challenge", "stability"]) {
        return None;
    }
    // What nothing preserves, or what is fresh food, is told as that.
    if case.preservatives().is_empty() || !fresh_food(formula).is_empty() {
        return None;
    }
    // A test of another version says so by its number.
    let other = tests_of_keeping(formula).next();
    let why = match other.and_then(|test| test.version.as_ref()) {
        Some(version) => format!(
            "the test is of version {version}, and no challenge or stability test of this one shows more \
             than 3 months"
        ),
        None => "no challenge or stability test of this version shows that this watery product keeps more \
            than 3 months"
            .to_owned(),
    };
    let private = formula.header.occasion == Occasion::Private;
    Some(End {
        days: three,
        why,
        life: "3 months".to_owned(),
        level: if private { Level::Note } else { Level::Warning },
        source: plain("common practice", Standing::CommonPractice),
        item: None,
    })
}

/// Tests of any version that show how long it keeps.
fn tests_of_keeping(formula: &Formula) -> impl Iterator<Item = &Test> {
    let keeping = |test: &&Test| test.what.contains("challenge") || test.what.contains("stability");
    formula.header.tests.iter().filter(keeping)
}

/// A material that does not keep as long.
fn oil(case: &Case<'_>, days: &Exact) -> Option<End> {
    let formula = case.formula;
    let (held, figure) = shortest_lived(formula)?;
    let own = figure.source.own;
    if *days <= figure.value || (!own && has_antioxidant(formula)) {
        return None;
    }
    let item = held.items.first().copied();
    let name = item
        .and_then(|at| formula.items.get(at))
        .map_or(held.material.name.as_str(), |item: &Item| item.name.as_str());
    let life = whole(&figure.value);
    let about = if own { "" } else { "about " };
    Some(End {
        why: format!("{name} {} keeps {about}{life}", words::percent(&held.share)),
        life,
        level: if own { Level::Warning } else { Level::Note },
        days: figure.value,
        source: figure.source,
        item,
    })
}

/// A material whose last lot expires before.
fn lot(case: &Case<'_>, days: &Exact) -> Option<End> {
    let formula = case.formula;
    let today = case.law_day;
    let (held, number, day) = first_to_expire(formula, today)?;
    let left = day.days() - today.days();
    let item = held.items.first().copied();
    let left = Exact::whole(left);
    if *days <= left {
        return None;
    }
    let name = item
        .and_then(|at| formula.items.get(at))
        .map_or(held.material.name.as_str(), |item| item.name.as_str());
    Some(End {
        why: format!("the last lot of {name}, {number}, expires on {day}: {} from {today}", whole(&left)),
        life: whole(&left),
        days: left,
        level: Level::Warning,
        source: plain("your own ingredient block", Standing::Read),
        item,
    })
}

fn plain(text: &str, standing: Standing) -> Source {
    Source { text: text.into(), standing, own: standing == Standing::Read }
}

/// `6 months`, rounded down; days where it is less than two months.
fn whole(days: &Exact) -> String {
    let fit = |numerator: i128, denominator: i128| {
        (1..4000).take_while(|count| Exact::fraction(numerator * count, denominator) <= *days).count()
    };
    match (fit(365, 12), fit(1, 1)) {
        (0 | 1, 1) => "1 day".to_owned(),
        (0 | 1, days) => format!("{days} days"),
        (months, _) => format!("{months} months"),
    }
}
