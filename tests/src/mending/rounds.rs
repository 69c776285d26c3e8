//! The loop that makes fixes: which, in which order, and when it stops.

use super::product::products;
use crate::pages::fires;
use crate::{LAW_DAY, cases, corpus, findings};
use desk::{Choice, Date, Desk, Finding, MemoryShelf, Mended, Safety, safe};
use std::path::Path;
use std::sync::Arc;

fn mended(text: &str, choose: impl FnMut(&Finding) -> Choice) -> Mended {
    let mut choose = choose;
    let mut desk = Desk::new(Arc::new(MemoryShelf::default()), Date::read(LAW_DAY).expect("a day"));
    let path = Path::new("test.formula");
    desk.open(path, text.to_owned());
    let mended = desk.mended(path, |_, finding| choose(finding)).expect("an open text");
    assert_eq!(desk.page(path).expect("a page").text(), text, "the open text stays");
    mended
}

/// Three idle names on one line: the edits share the commas, so they take turns.
#[test]
fn what_overlaps_waits_for_the_next_round() {
    let text = "formula Oil\nallow too-hot, over-limit, prohibited because so\nversion 1\nversion 1\n 100 % jojoba oil\n";
    let mended = mended(text, safe);
    assert!(mended.settled);
    assert_eq!(mended.text, "formula Oil\nversion 1\n 100 % jojoba oil\n");
    assert_eq!(mended.changes.len(), 4);
    assert!(mended.changes.iter().all(|change| change.safety == Safety::Safe));
    let lines: Vec<u32> = mended.changes.iter().map(|change| change.line).collect();
    assert_eq!(lines.iter().filter(|line| **line == 1).count(), 3, "{lines:?}");
    assert_eq!(products(text), products(&mended.text));
}

/// Lines are counted in the text as it was at first, whatever went before them.
#[test]
fn lines_are_those_of_the_first_text() {
    let text = "formula Oil\nversion 1\nversion 1\nversion 1\nallow too-hot, over-limit because so\n 99 % jojoba oil\n 1 % bisabolol; allow too-hot because so\n";
    let changed = mended(text, safe);
    let places: Vec<(u32, Vec<String>)> = changed
        .changes
        .iter()
        .flat_map(|change| change.hunks.iter().map(|hunk| (hunk.line, hunk.before.clone())))
        .collect();
    for (line, before) in &places {
        let there = text.lines().nth(*line as usize).unwrap_or_default();
        // A line that was changed before is no longer as it was.
        assert!(
            before.iter().all(|b| there.contains(b.as_str()) || b.starts_with("allow")),
            "{line} {before:?}"
        );
    }
    assert_eq!(places.last().map(|(line, _)| *line), Some(4));
    assert!(places.iter().any(|(line, _)| *line == 6));
}

#[test]
fn what_is_allowed_or_needs_judgement_stays() {
    for text in [
        "formula Oil\n 1,000 g jojoba oil\n 500 g squalane\n",
        "formula Oil\nversion 1\nversion 2\n 100 % jojoba oil\n",
        "formula Oil\nallow line-repeated because it is printed twice\nversion 1\nversion 1\n 100 % jojoba oil\n",
    ] {
        let mended = mended(text, safe);
        assert_eq!((mended.text.as_str(), mended.changes.len(), mended.settled), (text, 0, true));
    }
}

/// After a fix that changes the product all is looked at anew: the second reading is not asked about in the old words.
#[test]
fn after_a_judgement_all_is_looked_at_anew() {
    let text = "formula Oil\nproduct body oil, water-free\n 90 % jojoba oil\n 1,000 % squalane\n";
    let mut asked = Vec::new();
    let mended = mended(text, |finding| {
        asked.push(finding.rule);
        Choice::Make(finding.fixes.len() - 1)
    });
    assert!(mended.settled);
    assert_eq!(asked, ["number-doubtful", "total-not-100"]);
    let told: Vec<&str> = findings(&mended.text).iter().map(|finding| finding.rule).collect();
    assert_eq!(told, [""; 0], "{}", mended.text);
}

#[test]
fn nobody_is_asked_twice_and_who_stops_is_left_alone() {
    let text =
        "formula Oil\nversion 1\nversion 2\n 1,000 g jojoba oil\n 500 g squalane\nallow too-hot because so\n";
    let mut asked = 0;
    let left = mended(text, |_| {
        asked += 1;
        Choice::Leave
    });
    assert_eq!((left.text.as_str(), left.settled, asked), (text, true, 3));
    let mut asked = 0;
    let stopped = mended(text, |_| {
        asked += 1;
        if asked == 1 { Choice::Make(0) } else { Choice::Stop }
    });
    assert_eq!(stopped.text, text.replacen("version 1\n", "", 1));
    assert_eq!(asked, 2);
}

/// A premix in the same file is seen as it stands in the mended text.
#[test]
fn the_rest_of_the_file_is_seen_as_mended() {
    let text = "formula Base\nproduct premix\nversion 1\nversion 1\n 50 % jojoba oil\n 50 % shea butter\n\n\
                formula Balm\nproduct balm\ninclude test.formula#Base as base\nallow too-hot because so\n 60 % base\n 40 % shea butter\n";
    let mended = mended(text, safe);
    assert_eq!(mended.changes.len(), 2);
    assert_eq!(products(text), products(&mended.text));
}

/// Whatever is wrong with a text: mended it is the same product, and a second time there is nothing to do.
#[test]
fn mending_keeps_the_product_and_ends() {
    let mut made = 0;
    let texts =
        fires().into_iter().chain(cases::texts()).chain(corpus::examples().into_iter().map(|(_, text)| text));
    for text in texts {
        let once = mended(&text, safe);
        made += once.changes.len();
        assert!(once.settled, "{text}");
        if once.changes.is_empty() {
            assert_eq!(once.text, text);
            continue;
        }
        assert_eq!(products(&text), products(&once.text), "{text}becomes\n{}", once.text);
        assert_eq!(mended(&once.text, safe).changes, [], "{}", once.text);
    }
    assert!(made >= 5, "{made}");
}
