//! `levigate compare`

use super::check::page;
use super::{Done, Fault, desk_of, is_stdin, one};
use crate::args::{Color, CompareArgs, CompareForm};
use crate::disk::{self, Target};
use crate::look::Look;
use crate::report::{Choice, compared_findings, compared_json, compared_markdown, compared_text};
use desk::{Comparison, Date, Level, Page};
use std::path::Path;
use std::sync::Arc;

/// What git calls a side that has no file.
const NO_FILE: &str = "/dev/null";

/// One of the two texts: where it belongs, how it is called, and what it says.
struct Version {
    target: Target,
    text: String,
}

pub(crate) fn run(args: &CompareArgs, color: Color) -> Result<Done, Fault> {
    match args.paths.as_slice() {
        [old, new] => typed(args, color, old, new),
        // A renamed file has its new name and a remark of git's behind the seven.
        [path, old, _, _, new, _, _] => Ok(for_git(args, color, (path, path), old, new)),
        [path, old, _, _, new, _, _, renamed, _] => Ok(for_git(args, color, (path, renamed), old, new)),
        [path] if disk::is_called_by_git_diff() => {
            disk::say(&format!("{}: not merged yet\n", path.display()))?;
            Ok(Done::Well)
        }
        _ => Err(Fault(
            "compare takes two paths, the old version and the new one; see `levigate compare --help`"
                .to_owned(),
        )),
    }
}

fn typed(args: &CompareArgs, color: Color, old: &Path, new: &Path) -> Result<Done, Fault> {
    if is_stdin(old) && is_stdin(new) {
        return Err(Fault("`-` (standard input) can be only one of the two".to_owned()));
    }
    if args.path.is_some() && !is_stdin(old) && !is_stdin(new) {
        return Err(Fault("--path goes with `-`, for text from standard input".to_owned()));
    }
    let read = |side: &Path, other: &Path| {
        let said = args.path.as_deref().filter(|_| is_stdin(side));
        // Text from standard input is most often a version of the other side.
        let said = said.or_else(|| Some(other).filter(|_| is_stdin(side)));
        one(side, said).map(|(target, text)| Version { target, text })
    };
    let (old, new) = (read(old, new)?, read(new, old)?);
    let law_day = args.on.unwrap_or_else(disk::today);
    let pair = pair(law_day, old, new)?;
    let comparison = Comparison::of(&pair.old, &pair.new);
    disk::say(&form(args, &comparison, &pair, law_day, Look::of_stdout(color)))?;
    Ok(if compared_findings::fails(&comparison, args.fail_on) { Done::Found } else { Done::Well })
}

/// As git's diff driver. Git stops at a driver that fails, so that what cannot be compared is only said.
fn for_git(args: &CompareArgs, color: Color, names: (&Path, &Path), old: &Path, new: &Path) -> Done {
    let read = |name: &Path, file: &Path| -> Result<Version, Fault> {
        let target = Target::new(name)?;
        let text = if file == Path::new(NO_FILE) { String::new() } else { one(file, None)?.1 };
        Ok(Version { target, text })
    };
    let law_day = args.on.unwrap_or_else(disk::today);
    let look =
        Look::of_stdout(if color == Color::Auto && disk::is_in_gits_pager() { Color::Always } else { color });
    let told = read(names.0, old).and_then(|old| Ok((old, read(names.1, new)?))).and_then(|(old, new)| {
        let pair = pair(law_day, old, new)?;
        let said = form(args, &Comparison::of(&pair.old, &pair.new), &pair, law_day, look);
        let (from, to) = &pair.names;
        let heading = if from == to { from.clone() } else { format!("{from} → {to}") };
        disk::say(&match args.form {
            CompareForm::Text => format!("{heading}\n{}\n", indented(&said)),
            CompareForm::Markdown => format!("## {heading}\n\n{said}\n"),
            CompareForm::Json => said,
        })?;
        Ok(())
    });
    if let Err(fault) = told {
        disk::complain(&fault.to_string());
    }
    Done::Well
}

fn indented(text: &str) -> String {
    let line = |line: &str| if line.is_empty() { "\n".to_owned() } else { format!("  {line}\n") };
    text.lines().map(line).collect()
}

/// Two pages, and what they are called.
struct Pair {
    old: Arc<Page>,
    new: Arc<Page>,
    names: (String, String),
}

/// Looks at both texts. Each sees what lies around its own place.
fn pair(law_day: Date, old: Version, new: Version) -> Result<Pair, Fault> {
    let names = (old.target.shown.clone(), new.target.shown.clone());
    let mut desk = desk_of(law_day);
    let mut look = |version: Version| {
        page(&mut desk, &version.target, version.text)
            .map_err(|why| Fault(format!("{}: {why}", version.target.shown)))
    };
    Ok(Pair { old: look(old)?, new: look(new)?, names })
}

fn form(args: &CompareArgs, comparison: &Comparison, pair: &Pair, law_day: Date, look: Look) -> String {
    // What makes the command fail is shown.
    let choice = Choice { hints: args.hints || args.fail_on == Level::Hint, allowed: false };
    let pages = (&*pair.old, &*pair.new);
    match args.form {
        CompareForm::Text => compared_text::text(comparison, pages, choice, look),
        CompareForm::Markdown => compared_markdown::text(comparison, pages, choice),
        CompareForm::Json => compared_json::text(comparison, pages, (&pair.names.0, &pair.names.1), law_day),
    }
}

/// The comparison of two pages as an editor shows it.
pub(crate) fn written(old: &Page, new: &Page) -> String {
    let look = Look { color: false, width: Some(super::sheet::IN_AN_EDITOR) };
    let choice = Choice { hints: false, allowed: false };
    compared_text::text(&Comparison::of(old, new), (old, new), choice, look)
}
