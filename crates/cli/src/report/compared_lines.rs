//! One change, one line.

use desk::{Amount, Exact, LineChange, StepChange, SumChange, Turn};

/// What a change is for the eye.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Sign {
    Come,
    Gone,
    Other,
}

/// One change: what happened, to what, and how.
pub(crate) struct Entry {
    pub(crate) sign: Sign,
    pub(crate) verb: &'static str,
    pub(crate) what: String,
    pub(crate) detail: String,
    /// As it was, where that needs a line of its own.
    pub(crate) was: Option<String>,
}

impl Entry {
    /// Something said; `what` says of what, and may be empty.
    pub(crate) fn of_turn(turn: &Turn<String>, what: &str) -> Entry {
        let (sign, verb) = match (turn.is_new(), turn.is_gone()) {
            (true, _) => (Sign::Come, "added"),
            (_, true) => (Sign::Gone, "taken out"),
            _ => (Sign::Other, "changed"),
        };
        let detail = match sign {
            Sign::Other => arrow(turn),
            Sign::Come | Sign::Gone => turn.last().cloned().unwrap_or_default(),
        };
        Entry { sign, verb, what: what.to_owned(), detail, was: None }
    }

    pub(crate) fn step(change: &StepChange) -> Entry {
        let number = change.number.last().copied().unwrap_or_default();
        let what = format!("step {number}");
        let words = change.words.last().cloned().unwrap_or_default();
        let (sign, verb, was) = match (&change.number.from, &change.number.to) {
            (None, _) => (Sign::Come, "added", None),
            (_, None) => (Sign::Gone, "taken out", None),
            (Some(old), Some(_)) if change.is_moved() => (Sign::Other, "moved", Some(format!("step {old}"))),
            _ => (Sign::Other, "reworded", change.words.from.clone()),
        };
        Entry { sign, verb, what, detail: words, was }
    }
}

/// So many words at the end of both are not said twice.
const TWICE: usize = 3;

/// `5 → 6`, `6.01 → 6.02 g glycerin; lot 3`
fn arrow(turn: &Turn<String>) -> String {
    let (Some(from), Some(to)) = (&turn.from, &turn.to) else {
        return turned(turn.from.as_deref(), turn.to.as_deref());
    };
    let (old, new): (Vec<&str>, Vec<&str>) = (from.split(' ').collect(), to.split(' ').collect());
    let most = old.len().min(new.len()).saturating_sub(1);
    let same = old.iter().rev().zip(new.iter().rev()).take(most).take_while(|(a, b)| a == b).count();
    if same < TWICE || old.first() == new.first() {
        return format!("{from} → {to}");
    }
    let head = old.get(..old.len() - same).unwrap_or_default();
    format!("{} → {}", head.join(" "), new.join(" "))
}

/// `5 → 6`; one side alone where there is no other.
pub(crate) fn turned(from: Option<&str>, to: Option<&str>) -> String {
    match (from, to) {
        (Some(from), Some(to)) => format!("{from} → {to}"),
        (Some(from), None) => format!("{from} → not known"),
        (None, Some(to)) => format!("not known → {to}"),
        (None, None) => String::new(),
    }
}

/// Decimals that show every amount that is written.
const FINE: u32 = 6;

fn percent(amount: &Amount, decimals: u32) -> Option<String> {
    let share = amount.share.as_ref()?;
    let text = |share: &Exact| share.percent().shown(decimals);
    let lone = share.is_exact();
    Some(if lone {
        format!("{} %", text(&share.mid))
    } else {
        format!("{} to {} %", text(&share.low), text(&share.high))
    })
}

fn amount(amount: &Amount) -> String {
    if amount.is_as_needed {
        return "as much as it takes".to_owned();
    }
    match percent(amount, if amount.grams.is_some() { 2 } else { FINE }) {
        Some(percent) if amount.grams.is_some() => format!("{} ({percent})", amount.written),
        Some(percent) => percent,
        None if amount.written.is_empty() => "no amount".to_owned(),
        None => amount.written.clone(),
    }
}

/// An ingredient: the weightiest thing that happened to it is the verb.
pub(crate) fn line(change: &LineChange) -> Entry {
    let name = change.name.last().cloned().unwrap_or_default();
    let entry = |sign, verb, detail| Entry { sign, verb, what: name.clone(), detail, was: None };
    match (&change.amount.from, &change.amount.to) {
        (None, Some(to)) => return entry(Sign::Come, "added", amount(to)),
        (Some(from), None) => return entry(Sign::Gone, "taken out", amount(from)),
        _ => {}
    }
    let mut verb = "changed";
    let mut details = Vec::new();
    if let Some(label) = &change.moved_from {
        verb = "moved";
        details.push(if label.is_empty() {
            "from no phase".to_owned()
        } else {
            format!("from phase {label}")
        });
    }
    if let Some((resized, detail)) = resized(change) {
        if change.moved_from.is_none() {
            verb = resized;
            details.push(detail);
        } else {
            details.push(format!("{resized}: {detail}"));
        }
    }
    for mark in &change.marks {
        details.push(match (mark.is_new(), mark.is_gone()) {
            (true, _) => format!("now “{}”", mark.last().map_or("", String::as_str)),
            (_, true) => format!("no longer “{}”", mark.last().map_or("", String::as_str)),
            _ => arrow(mark),
        });
    }
    if change.is_renamed() {
        if details.is_empty() {
            verb = "renamed";
        }
        let was = change.name.from.as_deref().unwrap_or_default();
        details.push(format!("it was written “{was}”"));
    }
    entry(Sign::Other, verb, details.join("; "))
}

/// `raised`, `5 % → 7 % (+2 points, 40 % more)`
fn resized(change: &LineChange) -> Option<(&'static str, String)> {
    let (from, to) =
        change.amount.from.as_ref().zip(change.amount.to.as_ref()).filter(|_| change.is_resized())?;
    let shift = format!("{} → {}", amount(from), amount(to));
    if to.is_balance {
        return Some((if from.is_balance { "the rest" } else { "as the rest" }, shift));
    }
    let shift = if from.is_balance { format!("{shift}, and no longer the rest") } else { shift };
    let Some(growth) = change.growth().filter(|growth| !growth.is_zero()) else {
        return Some(("changed", shift));
    };
    let verb = if growth.is_negative() { "lowered" } else { "raised" };
    if from.is_as_needed || to.is_as_needed || change.is_consequence() || to.grams.is_some() {
        return Some((verb, shift));
    }
    let points = growth.percent();
    let sign = if points.is_negative() { "−" } else { "+" };
    let size = points.abs();
    let word = if size == Exact::one() { "point" } else { "points" };
    let more = change.relative_growth().map(|part| (part.percent().abs().shown(0), part.is_negative()));
    let more = more
        .filter(|(part, _)| part != "0")
        .map(|(part, less)| format!(", {part} % {}", if less { "less" } else { "more" }));
    Some((verb, format!("{shift} ({sign}{} {word}{})", size.text(), more.unwrap_or_default())))
}

/// Something that follows.
pub(crate) fn sum(change: &SumChange) -> Entry {
    let percents = |turn: &Turn<Exact>| {
        let text =
            |share: &Option<Exact>| share.as_ref().map(|share| format!("{} %", share.percent().text()));
        turned(text(&turn.from).as_deref(), text(&turn.to).as_deref())
    };
    let (what, detail) = match change {
        SumChange::Total(turn) => ("total".to_owned(), percents(turn)),
        SumChange::Batch(turn) => {
            let text = |grams: &Option<Exact>| grams.as_ref().map(|grams| format!("{} g", grams.text()));
            ("batch".to_owned(), turned(text(&turn.from).as_deref(), text(&turn.to).as_deref()))
        }
        SumChange::Water(turn) => ("free water".to_owned(), percents(turn)),
        SumChange::Oils(turn) => ("oils".to_owned(), percents(turn)),
        SumChange::Preservative { name, acid, share } => {
            let what = acid.as_ref().map_or_else(|| name.clone(), |acid| format!("{name}, as {acid}"));
            // A preservative that is not there is no gap in what is known.
            let zero = |share: &Option<Exact>| Some(share.clone().unwrap_or_default());
            (what, percents(&Turn { from: zero(&share.from), to: zero(&share.to) }))
        }
        SumChange::Undissociated { acid, at } => {
            let text = |at: &Option<(String, Exact)>| {
                at.as_ref().map(|(percent, ph)| format!("{percent} % at pH {}", ph.text()))
            };
            let detail = turned(text(&at.from).as_deref(), text(&at.to).as_deref());
            (format!("undissociated {acid}"), detail)
        }
    };
    Entry { sign: Sign::Other, verb: "", what, detail, was: None }
}
