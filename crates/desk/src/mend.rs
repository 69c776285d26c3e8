//! Making fixes: which, in what order, and when to stop. The terminal and the editor make them by this one way.

use crate::Page;
use notation::{Edit, Edits, LineIndex, Span};
use rules::{Finding, Fix, Safety};
use std::collections::BTreeSet;
use std::sync::Arc;

/// Fixes that overlap wait for each other, and one may make room for the next; more rounds than this nobody needs.
const ROUNDS: usize = 100;

/// What is done about a finding.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Choice {
    /// Makes the fix at this place in its list.
    Make(usize),
    /// Leaves it as it is.
    Leave,
    /// Leaves it, and all that come after it.
    Stop,
}

/// The first safe fix, for those who do not want to be asked.
pub fn safe(finding: &Finding) -> Choice {
    let safe = finding.fixes.iter().position(|fix| fix.safety == Safety::Safe);
    safe.map_or(Choice::Leave, Choice::Make)
}

/// A text with fixes made.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Mended {
    /// The text.
    pub text: String,
    /// What was changed, in the order in which it was done.
    pub changes: Vec<Mending>,
    /// Whether all was done; not so where fixes kept coming for too many rounds.
    pub settled: bool,
}

/// One fix that was made.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Mending {
    /// The rule whose finding it settles.
    pub rule: &'static str,
    /// What it does, in the imperative.
    pub title: String,
    /// Whether it kept the product as it was.
    pub safety: Safety,
    /// The line of the finding in the text as it was at first, from 0.
    pub line: u32,
    /// The pieces that it changes.
    pub hunks: Vec<Hunk>,
}

/// Whole lines that a fix changes, without their ends.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Hunk {
    /// The first of them, from 0; where lines only come, the one before which they stand.
    pub line: u32,
    /// As they were.
    pub before: Vec<String>,
    /// As they are now.
    pub after: Vec<String>,
}

/// Makes the fixes that `choose` takes, until it takes none. `look` gives the page of a text that stands in the place
/// of the first. A fix that leaves the product as it is goes together with the others of its round; after one that does
/// not, all is looked at anew, since the other findings may then say something else. Nobody is asked twice about the
/// same finding.
pub fn mended(
    page: &Arc<Page>,
    mut look: impl FnMut(&str) -> Option<Arc<Page>>,
    mut choose: impl FnMut(&Page, &Finding) -> Choice,
) -> Mended {
    let mut page = Arc::clone(page);
    let mut text = page.text();
    let mut seen = BTreeSet::from([text.clone()]);
    let mut left = BTreeSet::new();
    let mut changes = Vec::new();
    let mut lines = Lines::of(&text);
    for _ in 0..ROUNDS {
        let round = Round::of(&page, &text, &mut left, &mut choose);
        let Some(edits) = round.edits() else { return Mended { text, changes, settled: true } };
        let after = edits.apply(&text);
        changes.extend(round.made.iter().map(|(finding, fix)| mending(finding, fix, &text, &lines)));
        lines.follow(&edits, &text);
        text = after;
        // What leads back to where it was would never end.
        let again = !seen.insert(text.clone());
        let Some(next) = look(&text).filter(|_| !again && !round.stopped) else {
            return Mended { text, changes, settled: !again };
        };
        page = next;
    }
    Mended { text, changes, settled: false }
}

/// The fixes of one round: none of them touches another.
struct Round {
    made: Vec<(Finding, Fix)>,
    stopped: bool,
}

impl Round {
    fn of(
        page: &Page,
        text: &str,
        left: &mut BTreeSet<String>,
        choose: &mut impl FnMut(&Page, &Finding) -> Choice,
    ) -> Round {
        let mut round = Round { made: Vec::new(), stopped: false };
        let mut taken: Vec<Edit> = Vec::new();
        for finding in page.findings() {
            let asked = key(&finding, text);
            if finding.allowed.is_some() || finding.fixes.is_empty() || left.contains(&asked) {
                continue;
            }
            // What touches a change of this round waits for the next; nobody is asked about it before.
            let touches = |edit: &Edit| taken.iter().any(|other| touch(edit.span, other.span));
            if finding.fixes.iter().any(|fix| fix.edits.iter().any(touches)) {
                continue;
            }
            let fix = match choose(page, &finding) {
                Choice::Make(at) => finding.fixes.get(at).cloned(),
                Choice::Leave => None,
                Choice::Stop => {
                    round.stopped = true;
                    break;
                }
            };
            let Some(fix) = fix.filter(|fix| fix.edits.apply(text) != text) else {
                let _ = left.insert(asked);
                continue;
            };
            taken.extend(fix.edits.iter().cloned());
            let alone = fix.safety != Safety::Safe;
            round.made.push((finding, fix));
            if alone {
                break;
            }
        }
        round
    }

    /// All its edits; none where there are none.
    fn edits(&self) -> Option<Edits> {
        let all: Vec<Edit> = self.made.iter().flat_map(|(_, fix)| fix.edits.iter().cloned()).collect();
        Edits::new(all).ok().filter(|edits| edits.iter().next().is_some())
    }
}

/// Whether two changes share a byte; or meet, where one of them only puts something in: what two fixes write at one
/// place has no order.
fn touch(a: Span, b: Span) -> bool {
    if a.is_empty() || b.is_empty() {
        a.start <= b.end && b.start <= a.end
    } else {
        a.start < b.end && b.start < a.end
    }
}

/// A finding, told apart from the others however the text around it moves.
fn key(finding: &Finding, text: &str) -> String {
    let variant = finding.variant.as_deref().unwrap_or("");
    let line = whole_lines(text, finding.span).of(text);
    format!("{}\n{}\n{variant}\n{}\n{line}", finding.rule, finding.block, finding.message)
}

fn mending(finding: &Finding, fix: &Fix, text: &str, lines: &Lines) -> Mending {
    let mut hunks = hunks(&fix.edits, text);
    for hunk in &mut hunks {
        hunk.line = lines.first(hunk.line);
    }
    let line = lines.first(LineIndex::new(text).line_of(finding.span.start));
    Mending { rule: finding.rule, title: fix.title.clone(), safety: fix.safety, line, hunks }
}

/// The whole lines around a span, without the last one's end.
fn whole_lines(text: &str, span: Span) -> Span {
    let before = text.get(..span.start as usize).unwrap_or("");
    let start = before.rfind(['\n', '\r']).map_or(0, |end| end + 1);
    let after = text.get(span.end as usize..).unwrap_or("");
    let end = after.find(['\n', '\r']).map_or(text.len(), |at| span.end as usize + at);
    Span::new(start as u32, end as u32)
}

/// The lines that edits change in a text, before and after; edits of one line are one hunk.
pub fn hunks(edits: &Edits, text: &str) -> Vec<Hunk> {
    let index = LineIndex::new(text);
    let mut groups: Vec<(Span, Vec<Edit>)> = Vec::new();
    for edit in edits.iter() {
        let lines = whole_lines(text, edit.span);
        // A whole line that goes, its end included, does not touch the next.
        let inner = edit.span.of(text).trim_end_matches(['\n', '\r']).len() as u32;
        let own = if edit.text.is_empty() && inner < edit.span.len() && edit.span.start == lines.start {
            edit.span
        } else {
            lines
        };
        match groups.last_mut().filter(|(last, _)| own.start < last.end.max(last.start + 1)) {
            Some((last, of)) => {
                *last = last.join(own);
                of.push(edit.clone());
            }
            None => groups.push((own, vec![edit.clone()])),
        }
    }
    groups.into_iter().map(|(reach, of)| hunk(text, &index, reach, of)).collect()
}

fn hunk(text: &str, index: &LineIndex, reach: Span, edits: Vec<Edit>) -> Hunk {
    let local = |edit: Edit| {
        let (start, end) = (edit.span.start.max(reach.start), edit.span.end.max(reach.start));
        Edit { span: Span::new(start - reach.start, end - reach.start), text: edit.text }
    };
    let before = reach.of(text);
    let after = Edits::new(edits.into_iter().map(local).collect())
        .map_or_else(|_| before.to_owned(), |edits| edits.apply(before));
    let (mut before, mut after) = (split(before), split(&after));
    let mut line = index.line_of(reach.start);
    // What stays as it is is no part of the change.
    while before.first().is_some_and(|line| after.first() == Some(line)) {
        let _ = (before.remove(0), after.remove(0));
        line += 1;
    }
    while before.last().is_some_and(|line| after.last() == Some(line)) {
        let _ = (before.pop(), after.pop());
    }
    Hunk { line, before, after }
}

fn split(text: &str) -> Vec<String> {
    let index = LineIndex::new(text);
    let mut lines: Vec<String> =
        (0..index.lines()).map(|line| index.line_span(text, line).of(text).to_owned()).collect();
    // What stands behind the last line's end is no line.
    let _ = lines.pop_if(|last| last.is_empty());
    lines
}

/// For each line of the text as it is now, the line that it was at first.
struct Lines(Vec<u32>);

impl Lines {
    fn of(text: &str) -> Lines {
        Lines((0..LineIndex::new(text).lines()).collect())
    }

    fn first(&self, now: u32) -> u32 {
        self.0.get(now as usize).or(self.0.last()).copied().unwrap_or(0)
    }

    /// Follows edits of the text as it is now.
    fn follow(&mut self, edits: &Edits, text: &str) {
        let index = LineIndex::new(text);
        let all: Vec<&Edit> = edits.iter().collect();
        for edit in all.into_iter().rev() {
            let (from, to) = (index.line_of(edit.span.start), index.line_of(edit.span.end));
            let at_start = index.start(from) == Some(edit.span.start);
            let more = LineIndex::new(&edit.text).lines() as usize - 1;
            let (first, last) = (self.first(from), self.first(to));
            let rest = if at_start || more > 0 { last } else { first };
            let fresh = std::iter::repeat_n(first, more).chain([rest]);
            let end = (to as usize + 1).min(self.0.len());
            let _ = self.0.splice((from as usize).min(end)..end, fresh);
        }
    }
}
