//! Findings that are not what they were.

use super::Choice;
use crate::look::counted;
pub(crate) use desk::News;
use desk::{BlockKind, Comparison, Encoding, Finding, FindingChange, Level, Page};

/// A finding that is told.
pub(crate) struct Shown<'a> {
    pub(crate) news: News,
    /// As it is, or was where it went.
    pub(crate) finding: &'a Finding,
    /// Its line in the text that it stands in, from 1.
    line: u32,
    /// The formula that it is about, where the texts hold several.
    formula: Option<&'a str>,
    /// What else is to be known of it.
    pub(crate) remark: Option<String>,
    was: Option<Level>,
}

/// Whether a finding that came, or became louder, is at or above a level.
pub(crate) fn fails(comparison: &Comparison, level: Level) -> bool {
    comparison.findings.iter().any(|change| match (change.news(), &change.before, &change.after) {
        (Some(News::Came), _, Some(after)) => after.level >= level,
        (Some(News::Level), Some(before), Some(after)) => after.level >= level && before.level < level,
        _ => false,
    })
}

/// What is told: no hints unless they are wanted, and other figures only of what has to be done something about.
pub(crate) fn shown<'a>(comparison: &'a Comparison, pages: (&Page, &Page), choice: Choice) -> Vec<Shown<'a>> {
    let formulas = comparison.blocks.iter().filter(|block| block.kind == BlockKind::Formula);
    let several = formulas.count() > 1;
    let found = comparison.findings.iter();
    let mut shown: Vec<Shown<'_>> = found.filter_map(|change| one(change, pages, choice, several)).collect();
    let rank = |news: News| match news {
        News::Came => 0,
        News::Level => 1,
        News::Figures => 2,
        News::Allowed => 3,
        News::Went => 4,
    };
    shown.sort_by_key(|one| rank(one.news));
    shown
}

fn one<'a>(
    change: &'a FindingChange,
    pages: (&Page, &Page),
    choice: Choice,
    several: bool,
) -> Option<Shown<'a>> {
    let news = change.news()?;
    let finding = change.last()?;
    let loudest = change.before.iter().chain(&change.after).map(|one| one.level).max()?;
    let quiet = news == News::Figures && loudest < Level::Warning;
    if (loudest == Level::Hint && !choice.hints) || quiet {
        return None;
    }
    let page = if change.after.is_some() { pages.1 } else { pages.0 };
    let line = page.place(finding.span.start, Encoding::Utf8).line + 1;
    let remark = match (news, &change.before, &change.after) {
        (News::Figures, Some(before), _) => Some(format!("before: {}", before.message)),
        (News::Allowed, _, Some(after)) => {
            after.allowed.as_ref().map(|reason| format!("allowed because {reason}"))
        }
        (News::Came, Some(_), _) => Some("it was allowed before".to_owned()),
        _ => None,
    };
    let formula = finding.formula.as_deref().filter(|_| several);
    Some(Shown { news, finding, line, formula, remark, was: change.before.as_ref().map(|one| one.level) })
}

impl Shown<'_> {
    /// `came: error[over-limit], line 16`
    pub(crate) fn heading(&self) -> String {
        let (lead, tail) = self.around();
        format!("{lead}: {}[{}]{tail}", self.finding.level.word(), self.finding.rule)
    }

    /// What stands before and behind level and rule.
    pub(crate) fn around(&self) -> (&'static str, String) {
        let Shown { finding, line, .. } = self;
        let (lead, was) = match (self.news, self.was) {
            (News::Came, _) => ("came", String::new()),
            (News::Went, _) => ("went", String::new()),
            (News::Allowed, _) => ("allowed", String::new()),
            (News::Figures, _) => ("still there, now", String::new()),
            (News::Level, was) => {
                ("still there", was.map(|was| format!(", was {}", was.word())).unwrap_or_default())
            }
        };
        let variant = finding.variant.as_ref().map(|name| format!(", variant {name}")).unwrap_or_default();
        let line = if self.news == News::Went { String::new() } else { format!(", line {line}") };
        let formula = self.formula.map(|name| format!(", {name}")).unwrap_or_default();
        (lead, format!("{was}{line}{formula}{variant}"))
    }
}

/// `2 findings came, 1 went`
pub(crate) fn counts_line(news: &[Shown<'_>]) -> String {
    let count = |of: &[News]| news.iter().filter(|one| of.contains(&one.news)).count();
    let parts = [
        (count(&[News::Came]), "came"),
        (count(&[News::Level, News::Figures]), "changed"),
        (count(&[News::Allowed]), "allowed"),
        (count(&[News::Went]), "went"),
    ];
    let told: Vec<String> = parts
        .into_iter()
        .filter(|(count, _)| *count > 0)
        .enumerate()
        .map(|(at, (count, word))| match at {
            0 => format!("{} {word}", counted(count, "finding")),
            _ => format!("{count} {word}"),
        })
        .collect();
    told.join(", ")
}
