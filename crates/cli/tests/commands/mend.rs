//! `levigate mend`: what it changes, what it shows, and what it leaves.

use crate::Bench;
use std::fs;
use std::path::Path;

const IDLE: &str = "\u{feff}formula Balm\r\nversion 2\r\nallow too-hot because of the old wax\r\nversion 2\r\nphase A oil\r\n   60     %     shea butter\r\n   40     %     jojoba oil; allow too-hot because so # warm\r\n";
const FAIR: &str = "\u{feff}formula Balm\r\nversion 2\r\nphase A oil\r\n   60     %     shea butter\r\n   40     %     jojoba oil # warm\r\n";
const SHOWN: &str = "\
mended[allow-unused]: Take this `allow` line out
   ╭─[ balm.formula:3 ]
   │
 3 │ - allow too-hot because of the old wax
───╯

mended[line-repeated]: Take this line out
   ╭─[ balm.formula:4 ]
   │
 4 │ - version 2
───╯

mended[allow-unused]: Take this `allow` out
   ╭─[ balm.formula:7 ]
   │
 7 │ -    40     %     jojoba oil; allow too-hot because so # warm
   │ +    40     %     jojoba oil # warm
───╯

";

#[test]
fn it_mends_shows_and_keeps() {
    let bench = Bench::with(&[("balm.formula", IDLE), ("fair.formula", FAIR)]);
    let dry = bench.run(&["mend", "--dry-run"]);
    assert_eq!(dry.out, format!("{SHOWN}3 fixes in 1 of 2 files\n"));
    assert_eq!((dry.status, dry.err.as_str()), (1, "levigate: 1 file would change\n"));
    assert_eq!(bench.read("balm.formula"), IDLE);
    let wet = bench.run(&["mend"]);
    assert_eq!((wet.status, wet.out.as_str(), wet.err.as_str()), (0, dry.out.as_str(), ""));
    assert_eq!(bench.read("balm.formula"), FAIR);
    assert_eq!(bench.read("fair.formula"), FAIR);
    let again = bench.run(&["mend"]);
    assert_eq!((again.status, again.out.as_str(), again.err.as_str()), (0, "", ""));
    assert_eq!(bench.run(&["mend", "--dry-run"]).status, 0);
    let names: Vec<_> =
        fs::read_dir(bench.0.path()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    assert_eq!(names.len(), 2, "nothing is left beside the files: {names:?}");
}

#[test]
fn it_filters() {
    let bench = Bench::with(&[]);
    let ran = bench.pipe(&["mend", "-"], IDLE);
    assert_eq!((ran.status, ran.out.as_str(), ran.err.as_str()), (0, FAIR, ""));
    let again = bench.pipe(&["mend", "-"], &ran.out);
    assert_eq!((again.status, again.out.as_str()), (0, FAIR));
    let dry = bench.pipe(&["mend", "-", "--dry-run", "--path", "balm.formula"], IDLE);
    assert_eq!((dry.status, dry.out.as_str()), (1, SHOWN));
    let apart = bench.run(&["mend", "-", "balm.formula"]);
    assert_eq!(apart.status, 2);
}

/// What only the maker can decide stays, and decides the exit status with `--fail-on`.
#[test]
fn what_is_left_is_said() {
    let doubtful =
        "formula Oil\nallow too-hot because so\nversion 1\nversion 1\n 1,000 g jojoba oil\n 500 g squalane\n";
    let bench = Bench::with(&[("oil.formula", doubtful)]);
    let ran = bench.run(&["mend"]);
    assert_eq!(ran.status, 1);
    assert_eq!(ran.err, "levigate: left as it is: 1 error; `levigate check` shows it\n");
    // The number is not read yet, so the `allow` may be needed again.
    assert_eq!(bench.read("oil.formula"), doubtful.replacen("version 1\n", "", 1));
    let hint = bench.run(&["mend", "--fail-on", "note"]);
    assert_eq!(hint.err, "levigate: left as it is: 1 error, 1 note; `levigate check` shows it\n");
    bench.write(
        "oil.formula",
        b"formula Oil\nallow too-hot because so\n 60 % jojoba oil\n 40 % 1,2-wickmere\n",
    );
    assert_eq!(bench.run(&["mend"]).status, 0);
    assert_eq!(bench.run(&["mend", "--fail-on", "note"]).status, 1);
}

/// The law of another day is another law.
#[test]
fn the_day_counts() {
    let until = "formula Oil\nallow total-not-100 because it is open until 2026-06-30\n 90 % jojoba oil\n";
    let bench = Bench::with(&[("oil.formula", until)]);
    assert_eq!(bench.run(&["mend", "--on", "2026-06-30"]).status, 0);
    assert_eq!(bench.run(&["mend", "--on", "2026-07-01"]).status, 1);
    assert_eq!(bench.read("oil.formula"), until, "what ran out is for the maker to extend or take out");
}

#[test]
fn who_asks_needs_a_terminal() {
    let bench = Bench::with(&[("balm.formula", IDLE)]);
    let ran = bench.run(&["mend", "--ask"]);
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
    assert_eq!(
        ran.err,
        "levigate: --ask needs a terminal to ask on; without it the safe fixes are made unasked\n"
    );
    assert_eq!(bench.run(&["mend", "--ask", "-"]).status, 2);
    assert_eq!(bench.run(&["mend", "--ask", "--dry-run"]).status, 2);
    assert_eq!(bench.run(&["mend", "--hints"]).status, 2);
    assert_eq!(bench.read("balm.formula"), IDLE);
}

#[test]
fn the_others_are_mended_where_one_cannot_be_read() {
    let bench = Bench::with(&[("balm.formula", IDLE)]);
    bench.write("latin.formula", b"formula Cr\xe8me\n");
    let ran = bench.run(&["mend"]);
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("latin.formula: line 1 is not UTF-8"), "{}", ran.err);
    assert_eq!(bench.read("balm.formula"), FAIR);
    assert_eq!(bench.run(&["mend", "nowhere.formula"]).status, 2);
}

#[cfg(unix)]
#[test]
fn permissions_and_links_are_kept() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let bench = Bench::with(&[("real.formula", IDLE)]);
    let (real, link) = (bench.0.path().join("real.formula"), bench.0.path().join("link.formula"));
    fs::set_permissions(&real, fs::Permissions::from_mode(0o640)).unwrap();
    symlink("real.formula", &link).unwrap();
    assert_eq!(bench.run(&["mend", "link.formula"]).status, 0);
    assert_eq!(bench.read("real.formula"), FAIR);
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    assert_eq!(fs::metadata(&real).unwrap().permissions().mode() & 0o777, 0o640);
    bench.write("shut.formula", IDLE.as_bytes());
    fs::set_permissions(bench.0.path().join("shut.formula"), fs::Permissions::from_mode(0o440)).unwrap();
    assert_eq!(bench.run(&["mend", "shut.formula"]).status, 2);
    assert_eq!(bench.read("shut.formula"), IDLE);
}

/// The examples as they stand in the repository: mended they are the same products, and a second run has nothing to do.
#[test]
fn the_examples_keep_their_meaning() {
    let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples");
    let bench = Bench::with(&[]);
    copy(&from, &bench.0.path().join("examples"));
    let sheets = |bench: &Bench| -> Vec<(String, String)> {
        let files = files(&bench.0.path().join("examples"));
        let sheet = |path: &String| bench.run(&["sheet", path, "--as", "json"]).out;
        files.iter().map(|path| (path.clone(), sheet(path))).collect()
    };
    let before = sheets(&bench);
    let first = bench.run(&["mend", "examples", "--on", "2026-11-24"]);
    assert!(first.status < 2, "{}", first.err);
    assert_eq!(sheets(&bench), before);
    let texts = |bench: &Bench| -> Vec<String> {
        files(&bench.0.path().join("examples")).iter().map(|path| fs::read_to_string(path).unwrap()).collect()
    };
    let once = texts(&bench);
    let second = bench.run(&["mend", "examples", "--on", "2026-11-24"]);
    assert_eq!((second.out.as_str(), texts(&bench)), ("", once));
}

fn files(folder: &Path) -> Vec<String> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(files(&path));
        } else if path.extension().is_some_and(|end| end == "formula") {
            found.push(path.display().to_string());
        }
    }
    found.sort();
    found
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let copied = to.join(path.file_name().unwrap());
        if path.is_dir() {
            copy(&path, &copied);
        } else {
            fs::copy(&path, copied).map(|_| ()).unwrap();
        }
    }
}
