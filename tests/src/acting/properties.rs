//! What must hold of every change that stands ready, on every text.

use super::{PATH, desk};
use crate::mending::{fixes::faults, product::products};
use crate::pages::fires;
use crate::{LAW_DAY, cases, corpus, page_on};
use desk::{Action, ActionKind, Exact, Formula, Page, Safety, Span};
use std::collections::BTreeMap;
use std::path::Path;

/// So many rewritings of one text are tried; a long one brings more of the same.
const MOST: usize = 24;

fn texts() -> impl Iterator<Item = String> {
    let examples = corpus::examples().into_iter().map(|(_, text)| text);
    fires().into_iter().chain(cases::texts()).chain(examples)
}

/// The start of every line.
fn lines(text: &str) -> Vec<Span> {
    let starts = std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1));
    starts
        .map(|start| {
            let end = text[start..].find('\n').map_or(text.len(), |len| start + len);
            Span::new(start as u32, end as u32)
        })
        .collect()
}

/// Name, share and grams of each line, in no order.
type Lines = Vec<(String, Option<Exact>, Option<usize>)>;

fn lines_of(formula: &Formula, phases: bool) -> Lines {
    let mut lines: Lines = formula
        .items
        .iter()
        .map(|item| (item.key(), item.mid().cloned(), item.phase.filter(|_| phases)))
        .collect();
    lines.sort();
    lines
}

fn resolved(page: &Page, phases: bool) -> Vec<(Option<Exact>, Lines)> {
    page.formulas()
        .flat_map(|resolved| std::iter::once(&resolved.formula).chain(&resolved.variants))
        .map(|formula| (formula.batch_grams().cloned(), lines_of(formula, phases)))
        .collect()
}

fn slips(text: &str) -> usize {
    notation::read(text).blocks.iter().map(|block| block.slips.len()).sum()
}

/// What is wrong with a rewriting.
fn wrong(text: &str, before: &Page, action: &Action) -> Option<String> {
    let after = action.edits.apply(text);
    let page = page_on(&after, LAW_DAY);
    let fault = |what: &str| Some(format!("`{}` {what}\n{text}becomes\n{after}", action.title));
    if after == text {
        return fault("changes nothing");
    }
    if slips(&after) > slips(text) {
        return fault("brings a new slip");
    }
    let rounded = action.title.contains("rounded") || action.title.contains(" instead of ");
    match action.kind {
        ActionKind::Rewrite if action.title.starts_with("Scale") => {
            let shares =
                |page: &Page| resolved(page, true).into_iter().map(|(_, lines)| lines).collect::<Vec<_>>();
            (!rounded && shares(&page) != shares(before)).then(|| fault("changes the shares")).flatten()
        }
        ActionKind::Rewrite if action.title.contains("in variants, too") => {
            let parents =
                |page: &Page| page.formulas().map(|one| lines_of(&one.formula, true)).collect::<Vec<_>>();
            (!rounded && parents(before) != parents(&page)).then(|| fault("changes the formula")).flatten()
        }
        ActionKind::Rewrite if !rounded => {
            // Percents without a batch become grams of one.
            let known = |page: &Page| resolved(page, true);
            let (was, is) = (known(before), known(&page));
            let same = was.len() == is.len()
                && was.iter().zip(&is).all(|(a, b)| a.1 == b.1 && (a.0.is_none() || a.0 == b.0));
            (!same).then(|| fault("changes the formula")).flatten()
        }
        ActionKind::Move => {
            let same = resolved(before, false) == resolved(&page, false);
            (!same).then(|| fault("changes more than the phase")).flatten()
        }
        ActionKind::Extract if action.title.starts_with("Make a variant") => {
            let parents =
                |page: &Page| page.formulas().map(|one| lines_of(&one.formula, true)).collect::<Vec<_>>();
            let variants = |page: &Page| page.formulas().map(|one| one.variants.len()).sum::<usize>();
            let fine = parents(before) == parents(&page) && variants(&page) == variants(before) + 1;
            let gaps = |page: &Page| {
                let all = page.formulas().flat_map(|one| &one.variants).flat_map(|one| &one.gaps);
                all.filter(|gap| format!("{:?}", gap.kind).starts_with("Variant")).count()
            };
            (!fine || gaps(&page) > gaps(before)).then(|| fault("is no sound variant")).flatten()
        }
        _ => None,
    }
}

#[test]
fn rewritings_keep_the_product() {
    let mut made: BTreeMap<String, usize> = BTreeMap::new();
    let mut faults = Vec::new();
    for text in texts() {
        let before = page_on(&text, LAW_DAY);
        let mut seen: Vec<Action> = Vec::new();
        for line in lines(&text) {
            for action in before.rewritings(line) {
                // What is about the whole formula is offered on each of its lines.
                if seen.contains(&action) || seen.len() >= MOST {
                    continue;
                }
                seen.push(action.clone());
                let kind = action.title.split(' ').next().unwrap_or("").to_owned();
                *made.entry(kind).or_default() += 1;
                faults.extend(wrong(&text, &before, &action));
            }
        }
        if faults.len() > 3 {
            break;
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n\n"));
    for kind in ["Turn", "Write", "Let", "Move", "Make", "Scale"] {
        assert!(made.get(kind).is_some_and(|made| *made > 20), "{made:?}");
    }
}

/// Whatever settles a finding as it is offered in the editor does what its rule says.
#[test]
fn fixes_settle_what_they_are_offered_for() {
    let mut offered = 0;
    for text in texts() {
        let page = page_on(&text, LAW_DAY);
        for finding in page.findings().iter().filter(|finding| finding.allowed.is_none()) {
            let actions = page.fixes(finding.span);
            for fix in &finding.fixes {
                let same = |action: &&Action| action.kind == ActionKind::Fix && action.edits == fix.edits;
                assert!(actions.iter().any(|action| same(&action)), "{} is not offered", fix.title);
                assert_eq!(faults(&text, finding, fix), [""; 0]);
                offered += 1;
            }
            let preferred: Vec<&Action> = actions.iter().filter(|action| action.preferred).collect();
            for action in preferred {
                let own = action.finding.as_ref().expect("its finding");
                let first = own.fixes.iter().find(|fix| fix.safety == Safety::Safe).expect("a safe one");
                assert_eq!(first.edits, action.edits);
                assert_eq!(products(&text), products(&action.edits.apply(&text)));
            }
        }
    }
    assert!(offered > 50, "{offered}");
}

/// What is swapped reads as well as before, and is known.
#[test]
fn swaps_hold_on_the_examples() {
    let mut swapped = 0;
    for (_, text) in corpus::examples() {
        let mut desk = desk(&text, &[]);
        let path = Path::new(PATH);
        for line in lines(&text) {
            for action in desk.swaps(path, line).into_iter().take(1) {
                let after = action.edits.apply(&text);
                assert!(slips(&after) <= slips(&text), "{}\n{after}", action.title);
                let known = |text: &str| {
                    let page = page_on(text, LAW_DAY);
                    let items =
                        page.formulas().flat_map(|one| &one.formula.items).filter(|item| item.is_known());
                    items.count()
                };
                assert_eq!(known(&after), known(&text), "{}\n{after}", action.title);
                swapped += 1;
            }
        }
    }
    assert!(swapped > 50, "{swapped}");
}
