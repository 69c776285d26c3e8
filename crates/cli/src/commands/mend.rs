//! `levigate mend`

use super::{Done, Fault, asks_for_stdin, desk_of, one};
use crate::args::{Color, MendArgs};
use crate::disk::{self, Disk, Target};
use crate::look::{Ink, Look, harmless};
use crate::report::{Counts, mended as report};
use desk::{Choice, Date, Desk, Edits, Encoding, Finding, Level, Mended, Page, Safety, Shelf, hunks, safe};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;

pub(crate) fn run(args: &MendArgs, color: Color) -> Result<Done, Fault> {
    let mut bench = Bench::of(args, color);
    if asks_for_stdin(&args.paths)? {
        if args.ask {
            return Err(Fault(
                "--ask needs standard input for the answers, so `-` cannot go with it".to_owned(),
            ));
        }
        return bench.filter(args);
    }
    if args.path.is_some() {
        return Err(Fault("--path goes with `-`, for text from standard input".to_owned()));
    }
    if args.ask && !disk::has_somebody() {
        return Err(Fault(
            "--ask needs a terminal to ask on; without it the safe fixes are made unasked".to_owned(),
        ));
    }
    let (targets, faults) = disk::targets(&args.paths);
    for (path, why) in &faults {
        disk::complain(&format!("{path}: {why}"));
    }
    let mut partly = !faults.is_empty();
    let (mut fixes, mut files) = (0, 0);
    for target in &targets {
        match bench.file(args, target) {
            Ok(0) => {}
            Ok(made) => {
                fixes += made;
                files += 1;
            }
            Err(fault) => {
                partly = true;
                disk::complain(&format!("{}: {fault}", target.shown));
            }
        }
        if bench.stopped {
            break;
        }
    }
    if fixes > 0 {
        disk::say(&report::summary(fixes, files, targets.len()))?;
    }
    if args.dry_run && fixes > 0 {
        disk::complain(&format!("{} would change", crate::look::counted(files, "file")));
    }
    Ok(if partly { Done::Partly } else { bench.done(args, fixes > 0) })
}

/// The desk that files are mended on, and how it went so far.
struct Bench {
    law_day: Date,
    desk: Desk,
    look: Look,
    /// What is left at or above the level that makes the command fail.
    left: Vec<Finding>,
    stopped: bool,
}

impl Bench {
    fn of(args: &MendArgs, color: Color) -> Bench {
        let law_day = args.on.unwrap_or_else(disk::today);
        let desk = desk_of(law_day);
        Bench { law_day, desk, look: Look::of_stdout(color), left: Vec::new(), stopped: false }
    }

    /// Mends a file and shows how; the number of fixes.
    fn file(&mut self, args: &MendArgs, target: &Target) -> Result<usize, Fault> {
        let text = Disk.read(&target.path)?;
        let mended = self.mended(args, target, &text)?;
        if mended.text != text && !args.dry_run {
            disk::exchange(&target.path, &text, &mended.text)?;
            self.desk.forget_files();
        }
        // Who was asked has seen them.
        if !args.ask {
            disk::say(&report::file(&target.shown, &mended.changes, self.look))?;
        }
        if mended.settled {
            Ok(mended.changes.len())
        } else {
            Err(Fault("its fixes undo each other, so not all were made; please report it".to_owned()))
        }
    }

    fn filter(&mut self, args: &MendArgs) -> Result<Done, Fault> {
        let (target, text) = one(Path::new("-"), args.path.as_deref())?;
        let mended = self.mended(args, &target, &text)?;
        let shown = report::file(&target.shown, &mended.changes, self.look);
        disk::say(if args.dry_run { &shown } else { &mended.text })?;
        Ok(self.done(args, mended.text != text))
    }

    fn mended(&mut self, args: &MendArgs, target: &Target, text: &str) -> Result<Mended, Fault> {
        let (look, ask, hints) = (self.look, args.ask, args.hints);
        let somebody = |page: &Page, finding: &Finding| {
            let ask = |question: &str| {
                disk::say(question)?;
                disk::answer()
            };
            asked(page, finding, &target.shown, look, ask)
        };
        let mut stopped = false;
        let mut choose = |page: &Page, finding: &Finding| {
            if !ask {
                return safe(finding);
            }
            if finding.level == Level::Hint && !hints {
                return Choice::Leave;
            }
            let choice = somebody(page, finding);
            stopped |= choice == Choice::Stop;
            choice
        };
        let desk = &mut self.desk;
        let looked = catch_unwind(AssertUnwindSafe(|| {
            desk.open(&target.path, text.to_owned());
            let mended = desk.mended(&target.path, &mut choose);
            let left = mended.as_ref().and_then(|mended| desk.instead(&target.path, &mended.text));
            desk.close(&target.path);
            mended.zip(left)
        }));
        self.stopped = stopped;
        let Ok(Some((mended, left))) = looked else {
            // What was left half-done is not looked at again.
            self.desk = desk_of(self.law_day);
            return Err(Fault("levigate itself failed on this file; please report it".to_owned()));
        };
        let told = left.findings().into_iter().filter(|finding| finding.allowed.is_none());
        self.left.extend(told.filter(|finding| finding.level >= args.fail_on));
        Ok(mended)
    }

    /// How it went, and what is left said on standard error where it makes the command fail.
    fn done(&self, args: &MendArgs, changed: bool) -> Done {
        if !self.left.is_empty() {
            let left = report::left(Counts::of(self.left.iter()));
            disk::complain(&format!("left as it is: {left}; `levigate check` shows it"));
        }
        if !self.left.is_empty() || (args.dry_run && changed) { Done::Found } else { Done::Well }
    }
}

/// Shows a finding with each of its fixes, and asks which to make.
fn asked(
    page: &Page,
    finding: &Finding,
    shown: &str,
    look: Look,
    mut ask: impl FnMut(&str) -> std::io::Result<Option<String>>,
) -> Choice {
    let text = page.text();
    let line = page.place(finding.span.start, Encoding::Utf8).line;
    let kind = format!("{}[{}]:", finding.level.word(), finding.rule);
    let mut before = format!("{} {}\n", look.paint(Ink::Strong, &kind), harmless(&finding.message));
    for (at, fix) in finding.fixes.iter().enumerate() {
        let drawn = |edits: &Edits| report::hunks(shown, line, &hunks(edits, &text), look);
        let asks = match fix.safety {
            Safety::Safe => "keeps the product as it is",
            Safety::Judgement => "a matter of judgement",
        };
        let question =
            format!("{before}{} ({asks})\n{}Make it? [y/n/q] ", harmless(&fix.title), drawn(&fix.edits));
        before.clear();
        let mut question = question.as_str();
        loop {
            let answer = match ask(question) {
                Ok(Some(answer)) => answer.to_lowercase(),
                // Nobody is there any more.
                Ok(None) | Err(_) => return Choice::Stop,
            };
            match answer.as_str() {
                "y" | "yes" => return Choice::Make(at),
                "n" | "no" => break,
                "q" | "quit" => return Choice::Stop,
                _ => question = "y makes it, n leaves it, q stops here: [y/n/q] ",
            }
        }
    }
    Choice::Leave
}

#[cfg(test)]
mod tests {
    use super::*;
    use desk::MemoryShelf;
    use std::sync::Arc;

    const TEXT: &str = "formula Oil\nallow too-hot because so\n 1,000 g jojoba oil\n 500 g squalane\n";

    /// The text after these answers, and what was asked.
    fn after(answers: &[&str]) -> (String, Vec<String>) {
        let path = Path::new("oil.formula");
        let mut desk = Desk::new(Arc::new(MemoryShelf::default()), Date::read("2026-11-24").unwrap());
        desk.open(path, TEXT.to_owned());
        let look = Look { color: false, width: None };
        let mut answers = answers.iter();
        let mut questions = Vec::new();
        let mended = desk.mended(path, |page, finding| {
            asked(page, finding, "oil.formula", look, |question| {
                questions.push(question.to_owned());
                Ok(answers.next().map(|answer| (*answer).to_owned()))
            })
        });
        (mended.unwrap().text, questions)
    }

    #[test]
    fn each_fix_is_asked_about_once() {
        let (text, questions) = after(&["y", "n", "y"]);
        assert_eq!(text, "formula Oil\n 1.000 g jojoba oil\n 500 g squalane\n");
        let kinds: Vec<&str> = questions.iter().map(|q| q.split(':').next().unwrap_or("")).collect();
        assert_eq!(questions.len(), 3, "{kinds:?}");
        assert!(questions[0].contains("- allow too-hot because so\n"), "{}", questions[0]);
        assert!(questions[1].contains("+  1000 g jojoba oil\n"), "{}", questions[1]);
        assert!(!questions[2].contains("number-doubtful"), "told once:\n{}", questions[2]);
    }

    #[test]
    fn who_stops_keeps_what_was_made() {
        let mended = TEXT.replace("allow too-hot because so\n", "");
        assert_eq!(after(&["y", "q"]), (mended.clone(), after(&["y", "q"]).1));
        assert_eq!(after(&["y"]).0, mended, "the end of the input stops");
        let (text, questions) = after(&["n", "what", "n", "no"]);
        assert_eq!((text.as_str(), questions.len()), (TEXT, 4));
        assert!(questions[2].starts_with("y makes it"), "{}", questions[2]);
    }
}
