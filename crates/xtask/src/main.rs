//! Chores of the house: `cargo xtask pages`, `cargo xtask new-rule GROUP NAME`.

#![forbid(unsafe_code)]
#![warn(clippy::pedantic)]

use formula::Catalogue;
use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let done = match words.as_slice() {
        ["pages"] => pages(),
        ["new-rule", group, name] => new_rule(group, name),
        _ => Err("usage: cargo xtask pages | cargo xtask new-rule GROUP NAME".to_owned()),
    };
    match done {
        Ok(said) => {
            println!("{said}");
            ExitCode::SUCCESS
        }
        Err(why) => {
            eprintln!("{why}");
            ExitCode::FAILURE
        }
    }
}

/// The checkout's root: this crate lies two folders below it.
fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn write(path: &str, text: &str) -> Result<(), String> {
    std::fs::write(root().join(path), text).map_err(|why| format!("{path}: {why}"))
}

/// What is made from other sources: the catalogue's table of names, its pages in the guide, and those of the rules.
fn pages() -> Result<String, String> {
    let index = "crates/formula/src/catalogue/index.rs";
    let fresh = Catalogue::index_source();
    if std::fs::read_to_string(root().join(index)).is_ok_and(|before| before != fresh) {
        // The catalogue's pages are made by the catalogue, which has to be built with its new table first.
        write(index, &fresh)?;
        let again =
            std::process::Command::new(env!("CARGO")).args(["xtask", "pages"]).current_dir(root()).status();
        return match again {
            Ok(status) if status.success() => Ok("the table of names had changed".to_owned()),
            Ok(status) => Err(format!("cargo xtask pages: {status}")),
            Err(why) => Err(why.to_string()),
        };
    }
    write("crates/rules/RULES.md", &rules::table())?;
    write_folder(xtask::FAMILIES, &xtask::families())?;
    write_folder(xtask::RULES, &xtask::rule_pages())?;
    Ok("wrote the catalogue's table of names, its pages and the rules' in the guide, and RULES.md".to_owned())
}

/// Writes a folder of pages, and takes out those that are no longer made.
fn write_folder(folder: &str, pages: &[(String, String)]) -> Result<(), String> {
    let at = root().join(folder);
    std::fs::create_dir_all(&at).map_err(|why| why.to_string())?;
    for (name, text) in pages {
        write(&format!("{folder}/{name}"), text)?;
    }
    for entry in std::fs::read_dir(&at).map_err(|why| why.to_string())? {
        let path = entry.map_err(|why| why.to_string())?.path();
        if !pages.iter().any(|(name, _)| path.ends_with(name)) {
            std::fs::remove_file(&path).map_err(|why| format!("{}: {why}", path.display()))?;
        }
    }
    Ok(())
}

/// A new rule's file with all sections, and its word in the book.
fn new_rule(group: &str, name: &str) -> Result<String, String> {
    let file = name.replace('-', "_");
    let path = format!("crates/rules/src/rules/{group}/{file}.rs");
    if root().join(&path).exists() {
        return Err(format!("{path} is there already"));
    }
    let mut title = group.to_owned();
    if let Some(first) = title.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    let mut text = String::from(
        "use crate::card::rule;\nuse crate::case::Case;\nuse crate::findings::Findings;\n\nrule! {\n",
    );
    for line in [
        "SAY IN ONE SENTENCE WHAT IT FINDS.",
        "",
        "## Why",
        "## Fires",
        "```formula",
        "```",
        "## Quiet",
        "```formula",
        "```",
        "## Fix",
        "## Sources",
    ] {
        let _ = writeln!(text, "    ///{}{line}", if line.is_empty() { "" } else { " " });
    }
    let _ = write!(
        text,
        "    name: \"{name}\",\n    group: {title},\n    level: Warning,\n    since: \"{}\",\n    fixes: None,\n    check: Formula(check)\n}}\n\nfn check(_case: &Case<'_>, _out: &mut Findings<'_>) {{}}\n",
        env!("CARGO_PKG_VERSION"),
    );
    write(&path, &text)?;
    let book = root().join("crates/rules/src/rules.rs");
    let words = std::fs::read_to_string(&book).map_err(|why| why.to_string())?;
    let opener = format!("    {group} {{\n");
    if !words.contains(&opener) {
        return Err(format!("wrote {path}; the book has no group `{group}`: add it by hand"));
    }
    std::fs::write(&book, words.replace(&opener, &format!("{opener}        {file}\n")))
        .map_err(|why| why.to_string())?;
    Ok(format!("wrote {path} and its word in the book; the page test now asks for its sections"))
}
