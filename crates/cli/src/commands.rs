//! The commands, one file each: they ask, let [`crate::report`] word the answer, and say how it went.

mod check;
mod compare;
mod explain;
mod ingredient;
mod mend;
mod new;
mod serve;
mod sheet;
mod tidy;

use crate::args::{Args, Command};
use crate::disk::{self, Disk, Target};
use desk::Shelf;
use std::fmt;
use std::io;
use std::path::{Path, PathBuf};

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
