//! `levigate tidy`

use super::{Done, Fault, asks_for_stdin};
use crate::args::TidyArgs;
use crate::disk::{self, Disk, Target};
use crate::look::counted;
use desk::{Shelf, read, tidy};
use std::io;

pub(crate) fn run(args: &TidyArgs) -> Result<Done, Fault> {
    if asks_for_stdin(&args.paths)? {
        return filter(args.dry_run);
    }
    let (targets, faults) = disk::targets(&args.paths);
    let mut partly = !faults.is_empty();
    for (path, why) in &faults {
        disk::complain(&format!("{path}: {why}"));
    }
    let mut changed = 0;
    for target in &targets {
        match settle(target, args.dry_run) {
            Ok(true) => {
                changed += 1;
                disk::say(&format!("{}\n", target.shown))?;
            }
            Ok(false) => {}
            Err(fault) => {
                partly = true;
                disk::complain(&format!("{}: {}", target.shown, disk::why(&fault)));
            }
        }
    }
    if args.dry_run && changed > 0 {
        disk::complain(&format!("{} would change", counted(changed, "file")));
    }
    Ok(match (partly, args.dry_run && changed > 0) {
        (true, _) => Done::Partly,
        (false, true) => Done::Found,
        (false, false) => Done::Well,
    })
}

/// The canonical form of a text.
fn tidied(text: &str) -> String {
    tidy(text, &read(text)).apply(text)
}

/// Whether the file changes; written unless it is only asked.
fn settle(target: &Target, dry_run: bool) -> io::Result<bool> {
    let text = Disk.read(&target.path)?;
    let after = tidied(&text);
    if after == text {
        return Ok(false);
    }
    if !dry_run {
        disk::exchange(&target.path, &text, &after)?;
    }
    Ok(true)
}

fn filter(dry_run: bool) -> Result<Done, Fault> {
    let text = disk::read_stdin()?;
    let after = tidied(&text);
    if dry_run {
        return Ok(if after == text { Done::Well } else { Done::Found });
    }
    disk::say(&after)?;
    Ok(Done::Well)
}
