//! `levigate check`

use super::{Done, Fault, asks_for_stdin, desk_of, one};
use crate::args::{CheckArgs, Color, Form};
use crate::disk::{self, Disk, Target};
use crate::look::Look;
use crate::report::{Choice, Sheet, json, terminal};
use desk::{Date, Desk, Level, Page, Shelf};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex};
use std::thread;

/// Files are read side by side by so many threads.
const THREADS: usize = 2;

pub(crate) fn run(args: &CheckArgs, color: Color) -> Result<Done, Fault> {
    let law_day = args.on.unwrap_or_else(disk::today);
    let (sheets, faults) = if asks_for_stdin(&args.paths)? {
        let (target, text) = one(Path::new("-"), args.path.as_deref())?;
        let page = page(&mut desk_of(law_day), &target, text);
        gathered(vec![page.map(|page| Sheet::new(&target.shown, &page)).map_err(|why| (target.shown, why))])
    } else if args.path.is_some() {
        return Err(Fault("--path goes with `-`, for text from standard input".to_owned()));
    } else {
        let (targets, mut faults) = disk::targets(&args.paths);
        let (sheets, unread) = gathered(sheets(&targets, law_day));
        faults.extend(unread);
        (sheets, faults)
    };
    // What makes the command fail is shown.
    let hints = args.hints || args.fail_on == Level::Hint;
    let choice = Choice { hints, allowed: args.show_allowed };
    disk::say(&match args.form {
        Form::Text => terminal::text(&sheets, choice, Look::of_stdout(color)),
        Form::Json => json::text(&sheets, choice, law_day),
    })?;
    for (path, why) in &faults {
        disk::complain(&format!("{path}: {why}"));
    }
    Ok(match (faults.is_empty(), fails(&sheets, args.fail_on)) {
        (false, _) => Done::Partly,
        (true, true) => Done::Found,
        (true, false) => Done::Well,
    })
}

fn fails(sheets: &[Sheet], level: Level) -> bool {
    let told = sheets.iter().flat_map(|sheet| &sheet.findings).filter(|finding| finding.allowed.is_none());
    told.map(|finding| finding.level).any(|own| own >= level)
}

/// A page, or why there is none.
pub(super) type Looked = Result<Arc<Page>, String>;

/// The page of a text at a place, whether a file lies there or not.
pub(super) fn page(desk: &mut Desk, target: &Target, text: String) -> Looked {
    let looked = catch_unwind(AssertUnwindSafe(|| {
        desk.open(&target.path, text);
        let page = desk.page(&target.path);
        desk.close(&target.path);
        page
    }));
    looked.ok().flatten().ok_or_else(|| "levigate itself failed on this file; please report it".to_owned())
}

/// What is told of a file, or its path and why nothing is.
type Told = Result<Sheet, (String, String)>;

/// All files, each read and reviewed by whichever thread is free; the answers in the order of the targets.
fn sheets(targets: &[Target], law_day: Date) -> Vec<Told> {
    let next = AtomicUsize::new(0);
    let done: Mutex<Vec<(usize, Told)>> = Mutex::new(Vec::with_capacity(targets.len()));
    let work = || {
        let mut desk = desk_of(law_day);
        loop {
            let at = next.fetch_add(1, Ordering::Relaxed);
            let Some(target) = targets.get(at) else { break };
            let looked = Disk.read(&target.path).map_err(|fault| disk::why(&fault));
            let looked = looked.and_then(|text| page(&mut desk, target, text));
            if looked.is_err() {
                // What a failed review left half-done is not looked at again.
                desk = desk_of(law_day);
            }
            let told = looked
                .map(|page| Sheet::new(&target.shown, &page))
                .map_err(|why| (target.shown.clone(), why));
            match done.lock() {
                Ok(mut done) => done.push((at, told)),
                Err(poisoned) => poisoned.into_inner().push((at, told)),
            }
        }
    };
    thread::scope(|scope| {
        for _ in 0..THREADS.min(targets.len()) {
            let _ = scope.spawn(work);
        }
    });
    let mut done = done.into_inner().unwrap_or_else(std::sync::PoisonError::into_inner);
    done.sort_by_key(|(at, _)| *at);
    done.into_iter().map(|(_, told)| told).collect()
}

/// What was read, and what was not: path and reason.
fn gathered(told: Vec<Told>) -> (Vec<Sheet>, Vec<(String, String)>) {
    let (mut sheets, mut faults) = (Vec::new(), Vec::new());
    for told in told {
        match told {
            Ok(sheet) => sheets.push(sheet),
            Err(fault) => faults.push(fault),
        }
    }
    (sheets, faults)
}
