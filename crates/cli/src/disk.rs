//! The disk, the clock and the standard streams: the only file of the house that touches any of them.

use desk::{Date, Shelf};
use std::collections::BTreeSet;
use std::ffi::OsString;
use std::fs::{self, File, OpenOptions};
use std::io::{self, IsTerminal, Read, Write};
use std::path::{Component, Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{SystemTime, UNIX_EPOCH};

/// How the name of a formula file ends.
const EXTENSION: &str = "formula";

/// The files of this machine.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Disk;

impl Shelf for Disk {
    fn read(&self, path: &Path) -> io::Result<String> {
        text(fs::read(path)?)
    }

    fn is_root(&self, folder: &Path) -> bool {
        // A file, not a folder, where the tree is a linked one.
        folder.join(".git").exists()
    }

    fn list(&self, folder: &Path) -> Vec<PathBuf> {
        walk(folder, &mut Vec::new())
    }
}

/// Bytes as text.
fn text(bytes: Vec<u8>) -> io::Result<String> {
    String::from_utf8(bytes).map_err(|fault| {
        let good = fault.utf8_error().valid_up_to();
        let line = 1 + fault.as_bytes().iter().take(good).filter(|byte| **byte == b'\n').count();
        let message = format!("line {line} is not UTF-8 text; save the file as UTF-8");
        io::Error::new(io::ErrorKind::InvalidData, message)
    })
}

/// A file to work on: where it lies, and how it is called in messages.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Target {
    /// Absolute, without `.` and `..`.
    pub(crate) path: PathBuf,
    /// As the maker would write it.
    pub(crate) shown: String,
}

impl Target {
    pub(crate) fn new(path: &Path) -> io::Result<Target> {
        let shown = path.strip_prefix(".").unwrap_or(path).display().to_string();
        Ok(Target { path: plain(&std::path::absolute(path)?), shown })
    }

    /// Where text from standard input stands: under the path that is said, else in the current folder.
    pub(crate) fn of_stdin(said: Option<&Path>) -> io::Result<Target> {
        match said {
            Some(path) => Target::new(path),
            None => Ok(Target { shown: "-".to_owned(), ..Target::new(Path::new("-"))? }),
        }
    }
}

/// A path without `.` and `..`, so that the folders above it are what they seem.
fn plain(path: &Path) -> PathBuf {
    let mut out = PathBuf::new();
    for part in path.components() {
        match part {
            Component::CurDir => {}
            Component::ParentDir => {
                let _ = out.pop();
            }
            other => out.push(other),
        }
    }
    out
}

/// The files that the arguments name, in the order in which they are named, each once; a folder stands for the
/// formula files in it, sorted. Beside them what could not be found: path and reason.
pub(crate) fn targets(paths: &[PathBuf]) -> (Vec<Target>, Vec<(String, String)>) {
    let (mut found, mut faults) = (Vec::new(), Vec::new());
    for path in paths {
        let shown = path.display().to_string();
        match fs::metadata(path) {
            Ok(meta) if meta.is_dir() => {
                let before = faults.len();
                let files = walk(path, &mut faults);
                if files.is_empty() && faults.len() == before {
                    faults.push((shown, format!("no .{EXTENSION} file in this folder")));
                }
                found.extend(files);
            }
            Ok(_) => found.push(path.clone()),
            Err(fault) => faults.push((shown, why(&fault))),
        }
    }
    let mut seen = BTreeSet::new();
    let mut targets = Vec::new();
    for path in found {
        match Target::new(&path) {
            Ok(target) if seen.insert(target.path.clone()) => targets.push(target),
            Ok(_) => {}
            Err(fault) => faults.push((path.display().to_string(), why(&fault))),
        }
    }
    (targets, faults)
}

fn walk(folder: &Path, faults: &mut Vec<(String, String)>) -> Vec<PathBuf> {
    let mut files = Vec::new();
    // Ignore files count in a folder that is no git repository, too.
    for entry in ignore::WalkBuilder::new(folder).require_git(false).build() {
        match entry {
            Ok(entry) => {
                let is_file = entry.file_type().is_some_and(|kind| !kind.is_dir());
                if is_file && entry.path().extension().is_some_and(|end| end == EXTENSION) {
                    files.push(entry.into_path());
                }
            }
            Err(fault) => faults.push((folder.display().to_string(), fault.to_string())),
        }
    }
    files.sort();
    files
}

/// What the machine says about a fault, in a maker's words where we have them.
pub(crate) fn why(fault: &io::Error) -> String {
    match fault.kind() {
        io::ErrorKind::NotFound => "no such file or folder".to_owned(),
        io::ErrorKind::PermissionDenied => "no permission to read or write it".to_owned(),
        io::ErrorKind::IsADirectory => "this is a folder".to_owned(),
        io::ErrorKind::AlreadyExists => {
            "there is a file of this name already, and it stays as it is".to_owned()
        }
        _ => fault.to_string(),
    }
}

/// All of standard input, as text.
pub(crate) fn read_stdin() -> io::Result<String> {
    let mut bytes = Vec::new();
    let _ = io::stdin().lock().read_to_end(&mut bytes)?;
    text(bytes)
}

/// Writes to standard output. A reader that has gone away wants no more, and no complaint.
pub(crate) fn say(text: &str) -> io::Result<()> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(fault) if fault.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}

/// Writes to standard error; there is nobody to tell when that fails.
pub(crate) fn complain(text: &str) {
    let _ = writeln!(io::stderr().lock(), "levigate: {text}");
}

/// Whether somebody sits in front of it who can be asked.
pub(crate) fn has_somebody() -> bool {
    io::stdin().is_terminal() && io::stdout().is_terminal()
}

/// What somebody answers, without blanks around it; none at the end of standard input.
pub(crate) fn answer() -> io::Result<Option<String>> {
    let mut line = String::new();
    let read = io::stdin().read_line(&mut line)?;
    Ok((read > 0).then(|| line.trim().to_owned()))
}

/// The text of a file in the last commit of the git repository that it lies in. None where there is none: not
/// committed, no repository, no git.
pub(crate) fn committed(path: &Path) -> Option<String> {
    let mut object = OsString::from("HEAD:./");
    object.push(path.file_name()?);
    let asked = Command::new("git")
        .args(["cat-file", "blob"])
        .arg(object)
        .current_dir(path.parent()?)
        // Nobody is there to be asked, nothing is fetched, and nobody's work is held up.
        .envs([("GIT_TERMINAL_PROMPT", "0"), ("GIT_NO_LAZY_FETCH", "1"), ("GIT_OPTIONAL_LOCKS", "0")])
        .stdin(Stdio::null())
        .output();
    let answer = asked.ok().filter(|answer| answer.status.success())?;
    text(answer.stdout).ok()
}

/// Whether `git diff` has started this command.
pub(crate) fn is_called_by_git_diff() -> bool {
    std::env::var_os("GIT_DIFF_PATH_TOTAL").is_some()
}

/// Whether the output goes into a pager that git has started, which shows colours.
pub(crate) fn is_in_gits_pager() -> bool {
    let said = |name: &str| std::env::var_os(name).is_some_and(|value| !value.is_empty());
    said("GIT_PAGER_IN_USE") && !said("NO_COLOR")
}

/// Puts a text in the place of a file's that still holds what was read from it. Written beside it first, so that no
/// reader ever sees half of it.
pub(crate) fn exchange(path: &Path, before: &str, text: &str) -> io::Result<()> {
    replace_if(path, text, || {
        let now = fs::read(path)?;
        let same = now == before.as_bytes();
        let changed = || io::Error::other("it was changed in the meantime, and stays as it is; try again");
        if same { Ok(()) } else { Err(changed()) }
    })
}

/// Puts a text in the place of a file's.
fn replace(path: &Path, text: &str) -> io::Result<()> {
    replace_if(path, text, || Ok(()))
}

/// `allowed` is asked when all is written and only the names are left to be exchanged.
fn replace_if(path: &Path, text: &str, allowed: impl FnOnce() -> io::Result<()>) -> io::Result<()> {
    // A link stays a link.
    let path = fs::canonicalize(path)?;
    let permissions = fs::metadata(&path)?.permissions();
    if permissions.readonly() {
        return Err(io::Error::new(io::ErrorKind::PermissionDenied, "the file is read-only"));
    }
    let mut name = OsString::from(".");
    name.push(path.file_name().unwrap_or_default());
    name.push(format!(".{}.new", std::process::id()));
    let beside = path.with_file_name(name);
    let written = OpenOptions::new().write(true).create_new(true).open(&beside).and_then(|mut file| {
        file.write_all(text.as_bytes())?;
        file.set_permissions(permissions)?;
        file.sync_all()
    });
    let done = written.and_then(|()| allowed()).and_then(|()| fs::rename(&beside, &path));
    if done.is_err() {
        let _ = fs::remove_file(&beside);
    }
    done
}

/// Writes a new file; one that is there already is never touched.
pub(crate) fn create(path: &Path, text: &str) -> io::Result<()> {
    File::create_new(path)?.write_all(text.as_bytes())
}

/// Today, in Coordinated Universal Time.
pub(crate) fn today() -> Date {
    let seconds = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |since| since.as_secs());
    Date::from_days(i64::try_from(seconds / 86_400).unwrap_or(0))
}

/// Keeps the page of a rule in the user's cache folder, and says where.
pub(crate) fn keep_page(rule: &str, page: &str) -> Option<PathBuf> {
    keep("rules", &format!("{rule}.md"), page)
}

/// Keeps what is written of a formula (a `sheet`, a `label`) in the user's cache folder, and says where.
pub(crate) fn keep_paper(kind: &str, name: &str, text: &str) -> Option<PathBuf> {
    keep(&format!("{kind}s"), &format!("{name}.txt"), text)
}

fn keep(kind: &str, name: &str, text: &str) -> Option<PathBuf> {
    let folder = cache()?.join("levigate").join(env!("CARGO_PKG_VERSION")).join(kind);
    fs::create_dir_all(&folder).ok()?;
    let path = folder.join(name);
    if fs::read_to_string(&path).is_ok_and(|kept| kept == text) {
        return Some(path);
    }
    if path.exists() {
        replace(&path, text).ok()?;
    } else {
        fs::write(&path, text).ok()?;
    }
    Some(path)
}

/// The user's cache folder, where each system keeps it.
fn cache() -> Option<PathBuf> {
    let absolute = |name: &str| std::env::var_os(name).map(PathBuf::from).filter(|path| path.is_absolute());
    if cfg!(windows) {
        return absolute("LOCALAPPDATA");
    }
    let home = absolute("HOME");
    if cfg!(target_os = "macos") {
        return home.map(|home| home.join("Library").join("Caches"));
    }
    absolute("XDG_CACHE_HOME").or_else(|| home.map(|home| home.join(".cache")))
}

/// Whether a process lives. Where the system has no cheap way to tell, it is taken to live.
pub(crate) fn is_alive(process: u32) -> bool {
    if cfg!(target_os = "linux") {
        return Path::new("/proc").join(process.to_string()).exists();
    }
    if cfg!(unix) {
        let asked = Command::new("kill").args(["-0", &process.to_string()]).output();
        return asked.is_ok_and(|answer| answer.status.success());
    }
    true
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_that_changed_in_the_meantime_stays() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.formula");
        fs::write(&path, "one").unwrap();
        exchange(&path, "one", "two").unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "two");
        let fault = exchange(&path, "one", "three").unwrap_err();
        assert!(why(&fault).contains("changed in the meantime"), "{fault}");
        assert_eq!(fs::read_to_string(&path).unwrap(), "two");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "nothing is left beside it");
    }

    #[test]
    fn the_committed_text_is_found_and_nothing_else() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a b.formula");
        fs::write(&path, "one\n").unwrap();
        assert_eq!(committed(&path), None, "no repository");
        let git = |args: &[&str]| {
            let names = ["-c", "user.name=Tam Verrin", "-c", "user.email=tam@example.org"];
            let done =
                Command::new("git").args(names).args(args).current_dir(folder.path()).output().unwrap();
            assert!(done.status.success(), "{args:?} {done:?}");
        };
        git(&["init", "-q"]);
        assert_eq!(committed(&path), None, "no commit");
        git(&["add", "."]);
        git(&["commit", "-qm", "Begin"]);
        fs::write(&path, "two\n").unwrap();
        assert_eq!(committed(&path).as_deref(), Some("one\n"));
        assert_eq!(committed(&folder.path().join("other.formula")), None);
        assert_eq!(committed(&folder.path().join("no/such/a b.formula")), None);
    }
}
