//! Where blank lines stand: one between groups. Inside a group the maker's own single blank lines stay.

use crate::line::{Block, BlockKind, Form, Line};
use crate::text::Span;

/// A line and its place in the whole text.
#[derive(Clone, Copy)]
pub(super) struct Placed<'s> {
    pub(super) block: &'s Block,
    pub(super) line: &'s Line,
    /// The line without its end, counted from the start of the text.
    pub(super) span: Span,
}

/// Blank lines before a line.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Space {
    None,
    One,
    /// One where there are any.
    AsIs,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Group {
    /// The opener and what follows it before the body.
    Header,
    /// A phase and its ingredients, or the ingredients of a formula without phases.
    Phase,
    Steps,
    Variant,
    /// Header lines and notes that stand after the body.
    Notes,
}

/// The blank lines before each line that is not blank itself.
pub(super) fn spaces(placed: &[Placed]) -> Vec<Space> {
    let mut written: Vec<&Placed> = Vec::new();
    // Whether a blank line follows directly.
    let mut parted: Vec<bool> = Vec::new();
    for entry in placed {
        if !matches!(entry.line.form, Form::Blank) {
            written.push(entry);
            parted.push(false);
        } else if let Some(last) = parted.last_mut() {
            *last = true;
        }
    }
    let begins = beginnings(&written);
    let leaders = leaders(&written, &parted);
    let mut spaces = Vec::with_capacity(written.len());
    let mut before: Option<(&Placed, Option<usize>)> = None;
    for (entry, leader) in written.iter().copied().zip(leaders) {
        let fresh = leader.is_some_and(|leader| begins.get(leader) == Some(&true));
        spaces.push(match before {
            None => Space::None,
            Some((_, before)) if fresh && before != leader => Space::One,
            // A heading and what it heads are not parted.
            Some((before, _)) if matches!(before.line.form, Form::Phase(_) | Form::Variant(_)) => Space::None,
            Some(_) => Space::AsIs,
        });
        before = Some((entry, leader));
    }
    spaces
}

/// The line that each line belongs to: a comment to the line that follows it directly, any other to itself.
fn leaders(written: &[&Placed], parted: &[bool]) -> Vec<Option<usize>> {
    let mut leaders = Vec::with_capacity(written.len());
    let mut below = None;
    for (at, (entry, parted)) in written.iter().zip(parted).enumerate().rev() {
        below = match (is_comment(entry), parted) {
            (true, true) => None,
            (true, false) => below,
            (false, _) => Some(at),
        };
        leaders.push(below);
    }
    leaders.reverse();
    leaders
}

fn is_comment(entry: &Placed) -> bool {
    matches!(entry.line.form, Form::Comment)
}

/// For each line, whether it begins a group. Comments and lines that cannot be read begin none.
fn beginnings(written: &[&Placed]) -> Vec<bool> {
    let mut group = Group::Header;
    let mut begins = Vec::with_capacity(written.len());
    let following = following(written);
    for (at, entry) in written.iter().enumerate() {
        let in_formula = entry.block.kind == BlockKind::Formula;
        let (next, fresh) = match &entry.line.form {
            Form::Open(_) => (Group::Header, true),
            Form::Phase(_) => (Group::Phase, true),
            Form::Variant(_) => (Group::Variant, true),
            Form::Item(_) => (Group::Phase, group != Group::Phase),
            Form::Step(_) => (Group::Steps, group != Group::Steps),
            Form::Fact(_) if in_formula && group != Group::Header => {
                // A note among ingredients or steps stays with them.
                let goes_on = following.get(at).is_some_and(|after| *after == Some(group));
                if goes_on { (group, false) } else { (Group::Notes, group != Group::Notes) }
            }
            Form::Fact(_) | Form::Change(_) | Form::Comment | Form::Broken | Form::Blank => (group, false),
        };
        group = next;
        begins.push(fresh);
    }
    begins
}

/// For each line, the group of ingredients or steps that the next ingredient or step after it would go on with;
/// none where something else comes first.
fn following(written: &[&Placed]) -> Vec<Option<Group>> {
    let mut after = None;
    let mut out: Vec<Option<Group>> = Vec::with_capacity(written.len());
    for entry in written.iter().rev() {
        out.push(after);
        after = match &entry.line.form {
            Form::Item(_) => Some(Group::Phase),
            Form::Step(_) => Some(Group::Steps),
            Form::Open(_) | Form::Phase(_) | Form::Variant(_) | Form::Change(_) => None,
            Form::Fact(_) | Form::Comment | Form::Broken | Form::Blank => after,
        };
    }
    out.reverse();
    out
}
