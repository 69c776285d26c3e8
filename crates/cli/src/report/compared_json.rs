//! What changed between two texts, as JSON. Numbers are decimal strings; null is what was not there, or is not known.

use super::json::pretty;
use desk::{
    Amount, BlockChange, Comparison, Date, Encoding, Exact, FactChange, FindingChange, LineChange, News,
    Page, PhaseChange, SumChange, Turn, VariantChange,
};
use serde::Serialize;

#[derive(Serialize)]
struct Report<'a> {
    levigate: &'a str,
    law_as_of: String,
    old: &'a str,
    new: &'a str,
    same_text: bool,
    same: bool,
    blocks: Vec<Block<'a>>,
    findings: Vec<Found<'a>>,
}

#[derive(Serialize)]
struct Both<T> {
    from: Option<T>,
    to: Option<T>,
}

#[derive(Serialize)]
struct Block<'a> {
    kind: &'a str,
    name: Both<&'a str>,
    version: Both<&'a str>,
    facts: Vec<Fact<'a>>,
    phases: Vec<Phase<'a>>,
    steps: Vec<Step<'a>>,
    sums: Vec<Sum<'a>>,
    variants: Vec<Variant<'a>>,
}

#[derive(Serialize)]
struct Fact<'a> {
    word: Option<&'a str>,
    from: Option<&'a str>,
    to: Option<&'a str>,
}

#[derive(Serialize)]
struct Phase<'a> {
    letter: Both<&'a str>,
    words: Vec<Both<&'a str>>,
    lines: Vec<Line<'a>>,
}

#[derive(Serialize)]
struct Line<'a> {
    name: Both<&'a str>,
    written: Both<&'a str>,
    percent: Both<String>,
    points: Option<String>,
    moved_from: Option<&'a str>,
    marks: Vec<Both<&'a str>>,
}

#[derive(Serialize)]
struct Step<'a> {
    number: Both<usize>,
    words: Both<&'a str>,
}

#[derive(Serialize)]
struct Sum<'a> {
    what: &'a str,
    of: Option<&'a str>,
    from: Option<String>,
    to: Option<String>,
}

#[derive(Serialize)]
struct Variant<'a> {
    name: Both<&'a str>,
    written: &'a [String],
    facts: Vec<Fact<'a>>,
    phases: Vec<Phase<'a>>,
    sums: Vec<Sum<'a>>,
}

#[derive(Serialize)]
struct Found<'a> {
    news: &'a str,
    rule: &'a str,
    level: Both<&'a str>,
    block: &'a str,
    variant: Option<&'a str>,
    message: Both<&'a str>,
    line: Both<u32>,
    allowed: Option<&'a str>,
}

/// One object with all that changed; `names` are what the texts are called.
pub(crate) fn text(
    comparison: &Comparison,
    pages: (&Page, &Page),
    names: (&str, &str),
    law_day: Date,
) -> String {
    pretty(&Report {
        levigate: env!("CARGO_PKG_VERSION"),
        law_as_of: law_day.to_string(),
        old: names.0,
        new: names.1,
        same_text: comparison.is_same_text,
        same: comparison.is_empty(),
        blocks: comparison.blocks.iter().filter(|block| !block.is_empty()).map(block).collect(),
        findings: comparison.findings.iter().filter_map(|change| found(change, pages)).collect(),
    })
}

fn words(turn: &Turn<String>) -> Both<&str> {
    Both { from: turn.from.as_deref(), to: turn.to.as_deref() }
}

fn block(change: &BlockChange) -> Block<'_> {
    let step = |change: &desk::StepChange| Both { from: change.number.from, to: change.number.to };
    Block {
        kind: change.kind.spelling(),
        name: words(&change.name),
        version: words(&change.version),
        facts: change.facts.iter().map(fact).collect(),
        phases: change.phases.iter().map(phase).collect(),
        steps: change.steps.iter().map(|one| Step { number: step(one), words: words(&one.words) }).collect(),
        sums: change.sums.iter().map(sum).collect(),
        variants: change.variants.iter().map(variant).collect(),
    }
}

fn fact(change: &FactChange) -> Fact<'_> {
    let Both { from, to } = words(&change.said);
    Fact { word: change.word.map(desk::Word::spelling), from, to }
}

fn phase(change: &PhaseChange) -> Phase<'_> {
    Phase {
        letter: words(&change.label),
        words: change.words.iter().map(words).collect(),
        lines: change.lines.iter().map(line).collect(),
    }
}

fn line(change: &LineChange) -> Line<'_> {
    let percent =
        |amount: &Option<Amount>| amount.as_ref()?.share.as_ref().map(|share| share.mid.percent().data());
    Line {
        name: words(&change.name),
        written: Both {
            from: change.amount.from.as_ref().map(|amount| amount.written.as_str()),
            to: change.amount.to.as_ref().map(|amount| amount.written.as_str()),
        },
        percent: Both { from: percent(&change.amount.from), to: percent(&change.amount.to) },
        points: change.growth().map(|growth| growth.percent().data()),
        moved_from: change.moved_from.as_deref(),
        marks: change.marks.iter().map(words).collect(),
    }
}

fn sum(change: &SumChange) -> Sum<'_> {
    let percents = |turn: &Turn<Exact>| {
        let text = |share: &Option<Exact>| share.as_ref().map(|share| share.percent().data());
        (text(&turn.from), text(&turn.to))
    };
    let (what, of, (from, to)) = match change {
        SumChange::Total(turn) => ("total_percent", None, percents(turn)),
        SumChange::Batch(turn) => {
            let text = |grams: &Option<Exact>| grams.as_ref().map(Exact::data);
            ("batch_grams", None, (text(&turn.from), text(&turn.to)))
        }
        SumChange::Water(turn) => ("free_water_percent", None, percents(turn)),
        SumChange::Oils(turn) => ("oil_percent", None, percents(turn)),
        SumChange::Preservative { name, acid: None, share } => {
            ("preservative_percent", Some(name.as_str()), percents(share))
        }
        SumChange::Preservative { name, acid: Some(_), share } => {
            ("preservative_as_acid_percent", Some(name.as_str()), percents(share))
        }
        SumChange::Undissociated { acid, at } => {
            let text = |at: &Option<(String, Exact)>| at.as_ref().map(|(percent, _)| percent.clone());
            ("undissociated_percent_at_ph", Some(acid.as_str()), (text(&at.from), text(&at.to)))
        }
    };
    Sum { what, of, from, to }
}

fn variant(change: &VariantChange) -> Variant<'_> {
    Variant {
        name: words(&change.name),
        written: &change.written,
        facts: change.facts.iter().map(fact).collect(),
        phases: change.phases.iter().map(phase).collect(),
        sums: change.sums.iter().map(sum).collect(),
    }
}

fn found<'a>(change: &'a FindingChange, pages: (&Page, &Page)) -> Option<Found<'a>> {
    let news = match change.news()? {
        News::Came => "came",
        News::Went => "went",
        News::Allowed => "allowed",
        News::Level => "level",
        News::Figures => "figures",
    };
    let (before, after) = (change.before.as_ref(), change.after.as_ref());
    let line =
        |page: &Page, finding: &desk::Finding| page.place(finding.span.start, Encoding::Utf32).line + 1;
    let last = change.last()?;
    Some(Found {
        news,
        rule: last.rule,
        level: Both { from: before.map(|one| one.level.word()), to: after.map(|one| one.level.word()) },
        block: &last.block,
        variant: last.variant.as_deref(),
        message: Both {
            from: before.map(|one| one.message.as_str()),
            to: after.map(|one| one.message.as_str()),
        },
        line: Both { from: before.map(|one| line(pages.0, one)), to: after.map(|one| line(pages.1, one)) },
        allowed: after.and_then(|one| one.allowed.as_deref()),
    })
}
