//! The commands, one file each: they ask, let [`crate::report`] word the answer, and say how it went.

mod check;
mod compare;
mod explain;
mod ingredient;
pub(crate) mod label;
mod mend;
mod new;
mod serve;
mod sheet;
mod tidy;

use crate::args::{Args, Command};
use crate::disk::{self, Disk, Target};
use desk::{Date, Desk, Formula, Page, Resolved, Shelf, fold, nearest};
use std::fmt;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// How a command went.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Done {
    /// Nothing to complain of.
    Well,
    /// It was done, and the answer is no.
    Found,
    /// Part of it could not be done; standard error says which.
    Partly,
    /// As the editor's protocol wants it.
    Status(u8),
}

impl Done {
    /// The exit status.
    pub(crate) fn status(self) -> u8 {
        match self {
            Done::Well => 0,
            Done::Found => 1,
            Done::Partly => 2,
            Done::Status(status) => status,
        }
    }
}

/// Why a command could not do its work.
#[derive(Debug)]
pub(crate) struct Fault(String);

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl Fault {
    fn of(path: &Path, fault: &io::Error) -> Fault {
        Fault(format!("{}: {}", path.display(), disk::why(fault)))
    }
}

impl From<io::Error> for Fault {
    fn from(fault: io::Error) -> Fault {
        Fault(disk::why(&fault))
    }
}

/// Does what was asked for.
pub(crate) fn run(args: &Args) -> Result<Done, Fault> {
    match &args.command {
        Command::Check(check) => check::run(check, args.color),
        Command::Compare(compare) => compare::run(compare, args.color),
        Command::Sheet(sheet) => sheet::run(sheet, args.color),
        Command::Label(label) => label::run(label),
        Command::Tidy(tidy) => tidy::run(tidy),
        Command::Mend(mend) => mend::run(mend, args.color),
        Command::Explain(explain) => explain::run(explain, args.color),
        Command::Ingredient(ingredient) => ingredient::run(ingredient, args.color),
        Command::New(new) => new::run(new),
        Command::Serve => serve::run(),
    }
}

fn is_stdin(path: &Path) -> bool {
    path == Path::new("-")
}

/// Whether the paths are just `-`; beside others it makes no sense.
fn asks_for_stdin(paths: &[PathBuf]) -> Result<bool, Fault> {
    match paths {
        [only] => Ok(is_stdin(only)),
        several if several.iter().any(|path| is_stdin(path)) => {
            Err(Fault("`-` (standard input) stands alone, not beside other paths".to_owned()))
        }
        _ => Ok(false),
    }
}

/// One file or standard input, with its text.
fn one(file: &Path, said: Option<&Path>) -> Result<(Target, String), Fault> {
    if is_stdin(file) {
        let text = disk::read_stdin().map_err(|fault| Fault::of(Path::new("standard input"), &fault))?;
        return Ok((Target::of_stdin(said)?, text));
    }
    if said.is_some() {
        return Err(Fault("--path goes with `-`, for text from standard input".to_owned()));
    }
    let target = Target::new(file)?;
    let text = Disk.read(&target.path).map_err(|fault| Fault::of(file, &fault))?;
    Ok((target, text))
}

/// A desk for files of this machine.
fn desk_of(law_day: Date) -> Desk {
    Desk::new(Arc::new(Disk), law_day)
}

/// All formulas and their variants, or those of one formula's name.
fn called<'a>(page: &'a Page, name: Option<&str>) -> Vec<&'a Formula> {
    let named = |resolved: &&Resolved| name.is_none_or(|name| fold(&resolved.formula.name) == fold(name));
    page.formulas().filter(named).flat_map(Resolved::all).collect()
}

/// All formulas and their variants, those of one formula's name, or those of one variant's name.
fn chosen<'a>(page: &'a Page, name: Option<&str>, variant: Option<&str>) -> Result<Vec<&'a Formula>, Fault> {
    let mut all = called(page, None);
    if let Some(wanted) = name.filter(|_| !all.is_empty()) {
        let mut names: Vec<&str> = all.iter().map(|formula| formula.name.as_str()).collect();
        names.dedup();
        all.retain(|formula| fold(&formula.name) == fold(wanted));
        if all.is_empty() {
            return Err(no_such("formula", wanted, &names));
        }
    }
    let Some(wanted) = variant.filter(|_| !all.is_empty()) else { return Ok(all) };
    let name_of = |formula: &'a Formula| formula.variant.as_ref().map(|(name, _)| name.as_str());
    let names: Vec<&str> = all.iter().copied().filter_map(name_of).collect();
    all.retain(|formula| name_of(formula).is_some_and(|name| fold(name) == fold(wanted)));
    if all.is_empty() { Err(no_such("variant", wanted, &names)) } else { Ok(all) }
}

fn no_such(kind: &str, wanted: &str, names: &[&str]) -> Fault {
    let help = match (nearest(wanted, names.iter().copied(), 3), names) {
        (Some(near), _) => format!("did you mean `{near}`?"),
        (None, []) => format!("the file has no {kind}s"),
        (None, several) => format!("there are: {}", several.join(", ")),
    };
    Fault(format!("no {kind} is called `{wanted}`; {help}"))
}
