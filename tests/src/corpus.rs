//! The examples: what each reports is pinned; the clean ones say nothing; no part of them is ever too little to read.

use crate::LAW_DAY;
use desk::{Date, Desk, Finding, Level, Page, Shelf};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// The examples' folder, read from disk.
struct Examples;

impl Shelf for Examples {
    fn read(&self, path: &Path) -> io::Result<String> {
        std::fs::read_to_string(path)
    }

    fn is_root(&self, folder: &Path) -> bool {
        folder.ends_with("examples")
    }

    fn list(&self, _: &Path) -> Vec<PathBuf> {
        Vec::new()
    }
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../examples")
}

/// Every example with its path below the folder, in order.
pub(crate) fn examples() -> Vec<(String, String)> {
    let mut found = Vec::new();
    let mut folders = vec![folder()];
    while let Some(next) = folders.pop() {
        for entry in std::fs::read_dir(&next).expect("the examples") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|ext| ext == "formula") {
                let name = path.strip_prefix(folder()).expect("below").to_string_lossy().replace('\\', "/");
                found.push((name, std::fs::read_to_string(&path).expect("text")));
            }
        }
    }
    found.sort();
    found
}

fn page(name: &str, text: &str) -> Arc<Page> {
    let mut desk = Desk::new(Arc::new(Examples), Date::read(LAW_DAY).expect("a day"));
    let path = folder().join(name);
    desk.open(&path, text.to_owned());
    desk.page(&path).expect("a page")
}

fn line(page: &Page, finding: &Finding) -> String {
    let place = page.place(finding.span.start, desk::Encoding::Utf32);
    let allowed = if finding.allowed.is_some() { " (allowed)" } else { "" };
    let variant = finding.variant.as_ref().map(|name| format!(" in {name}")).unwrap_or_default();
    format!(
        "{}:{} {} {}{variant}{allowed}: {}",
        place.line + 1,
        place.column + 1,
        finding.level.word(),
        finding.rule,
        finding.message
    )
}

#[test]
fn each_example_reports_what_it_should() {
    let mut all = String::new();
    for (name, text) in examples() {
        let page = page(&name, &text);
        all.push_str(&format!("{name}\n"));
        for finding in page.findings() {
            all.push_str(&format!("  {}\n", line(&page, &finding)));
        }
    }
    insta::assert_snapshot!(all);
}

#[test]
fn clean_examples_say_nothing() {
    let mut wrong = Vec::new();
    for (name, text) in examples().into_iter().filter(|(name, _)| !name.starts_with("with-mistakes/")) {
        let page = page(&name, &text);
        let loud = page.findings().into_iter().filter(|f| f.level > Level::Hint && f.allowed.is_none());
        wrong.extend(loud.map(|finding| format!("{name}:{}", line(&page, &finding))));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn examples_with_mistakes_have_findings() {
    for (name, text) in examples().into_iter().filter(|(name, _)| name.starts_with("with-mistakes/")) {
        let page = page(&name, &text);
        assert!(
            page.findings().iter().any(|f| f.level >= Level::Note && f.allowed.is_none()),
            "{name} says nothing"
        );
    }
}

#[test]
fn examples_stand_in_their_canonical_form() {
    let mut wrong = Vec::new();
    for (name, text) in examples().into_iter().filter(|(name, _)| !name.starts_with("with-mistakes/")) {
        if !page(&name, &text).tidy().is_empty() {
            wrong.push(name);
        }
    }
    assert!(wrong.is_empty(), "{wrong:?}");
}

/// Every prefix of every example, on a desk of its own, is read and reviewed without a panic.
#[test]
fn every_prefix_of_every_example_is_reviewed() {
    for (name, text) in examples() {
        let path = folder().join(&name);
        for (at, _) in text.char_indices() {
            // Reading is cheap enough for every prefix; a full review for one a line or so.
            let prefix = &text[..at];
            let sheet = notation::read(prefix);
            let joined: String = sheet.blocks.iter().map(|block| &*block.text).collect();
            assert_eq!(joined, prefix);
        }
        let mut desk = Desk::new(Arc::new(Examples), Date::read(LAW_DAY).expect("a day"));
        for (at, _) in text.char_indices().step_by(31) {
            desk.open(&path, text[..at].to_owned());
            let page = desk.page(&path).expect("a page");
            assert_eq!(page.text(), text[..at]);
        }
    }
}

/// Every single-character deletion of every example is read without a panic and without a loss.
#[test]
fn every_deletion_in_every_example_is_read() {
    for (_, text) in examples() {
        for (at, c) in text.char_indices() {
            let cut = format!("{}{}", &text[..at], &text[at + c.len_utf8()..]);
            let sheet = notation::read(&cut);
            let joined: String = sheet.blocks.iter().map(|block| &*block.text).collect();
            assert_eq!(joined, cut);
        }
    }
}

/// Every single-byte deletion, also within a character, as a damaged file is shown.
#[test]
fn every_byte_that_is_lost_in_any_example_is_survived() {
    for (name, text) in examples() {
        let path = folder().join(&name);
        let mut desk = Desk::new(Arc::new(Examples), Date::read(LAW_DAY).expect("a day"));
        for at in 0..text.len() {
            let within = !text.is_char_boundary(at) || !text.is_char_boundary(at + 1);
            // Those within a character are few, and the others are read one by one above.
            if !within && at % 97 != 0 {
                continue;
            }
            let bytes = [&text.as_bytes()[..at], &text.as_bytes()[at + 1..]].concat();
            let damaged = String::from_utf8_lossy(&bytes).into_owned();
            desk.open(&path, damaged.clone());
            let page = desk.page(&path).expect("a page");
            assert_eq!(page.text(), damaged);
            asked_everything(&page);
        }
    }
}

/// Asks a page all that an editor asks while a text is shown. Whatever is answered lies within the text.
fn asked_everything(page: &Page) {
    let (text, all) = (page.text(), desk::Span::new(0, u32::MAX));
    let within =
        |span: desk::Span| assert!(text.get(span.start as usize..span.end as usize).is_some(), "{span:?}");
    page.findings().iter().for_each(|finding| within(finding.span));
    page.colours(all).iter().for_each(|piece| within(piece.span));
    page.hints(all).iter().for_each(|hint| within(desk::Span::at(hint.at)));
    page.outline().iter().for_each(|entry| within(entry.span));
    page.folds().into_iter().for_each(within);
    page.links().iter().for_each(|link| within(link.span));
    page.tidy().iter().for_each(|edit| within(edit.span));
}

/// The user guide's examples: those not marked as mistakes say nothing.
#[test]
fn the_guide_is_clean() {
    let guide = Path::new(env!("CARGO_MANIFEST_DIR")).join("../grammar/guide");
    let mut wrong = Vec::new();
    for entry in std::fs::read_dir(guide).expect("the guide") {
        let path = entry.expect("an entry").path();
        // The pages of the catalogue hold tables only.
        if path.is_dir() {
            continue;
        }
        let text = std::fs::read_to_string(&path).expect("text");
        let mut fence: Option<(bool, String)> = None;
        for line in text.lines() {
            match &mut fence {
                Some((mistake, inside)) if line == "```" => {
                    let loud: Vec<_> = crate::told(inside);
                    if !*mistake && inside.starts_with("formula ") && !loud.is_empty() {
                        wrong.push(format!("{}: {loud:?}\n{inside}", path.display()));
                    }
                    fence = None;
                }
                Some((_, inside)) => {
                    inside.push_str(line);
                    inside.push('\n');
                }
                None if line.starts_with("```formula") => {
                    fence = Some((line.contains("mistake"), String::new()));
                }
                None => {}
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
