//! `levigate compare`

use crate::{Bench, CLEAN, Ran, json, keys};
use std::process::{Command, Stdio};

const OLD: &str = "\
formula Marsh Row foot cream
version 3
product cream, leave-on, feet
market EU
batch 500 g
pH 4.8 to 5.2
shelf life 3 months

phase A water; heat to 75 °C
  to  100     %     purified water
        4     %     glycerin
        0.5   %     sodium benzoate
        0.2   %     potassium sorbate

phase B oil; heat to 75 °C
        9     %     jojoba oil
        4     %     glyceryl stearate (and) PEG-100 stearate
        3     %     cetyl alcohol
        0.3   %     tocopherol

phase C cool-down; below 40 °C
        1     %     panthenol; strength 75 %
        0.2   %     lavender oil

step heat A and B to 75 °C
step add B to A; homogenise 3 min
step cool below 40 °C; add C
step fill

variant light
set jojoba oil to 6 %
";

/// What a maker does in one afternoon.
fn new() -> String {
    let changes = [
        ("version 3", "version 4"),
        ("batch 500 g", "batch 0.8 kg"),
        ("        4     %     glycerin", "        5.5   %     glycerine"),
        ("        0.5   %     sodium", "        0.6   %     sodium"),
        ("phase B oil; heat to 75 °C", "phase B oil; heat to 78 °C"),
        ("        0.3   %     tocopherol\n", ""),
        ("panthenol; strength 75 %", "panthenol; strength 50 %"),
        (
            "        0.2   %     lavender oil",
            "        0.2   %     lavender oil\n        0.5   %     bisabolol",
        ),
        ("homogenise 3 min", "homogenise 5 min"),
        ("step fill", "step rest overnight\nstep fill"),
        ("jojoba oil to 6 %", "jojoba oil to 5 %"),
    ];
    changes.iter().fold(OLD.to_owned(), |text, (old, new)| {
        assert!(text.contains(old), "{old}");
        text.replacen(old, new, 1)
    })
}

fn bench() -> Bench {
    Bench::with(&[("old.formula", OLD), ("new.formula", &new())])
}

fn compare(bench: &Bench, more: &[&str]) -> Ran {
    let args = ["compare", "old.formula", "new.formula", "--on", "2026-11-24"];
    bench.run(&args.iter().chain(more).copied().collect::<Vec<_>>())
}

#[test]
fn what_changed_is_told_in_the_words_of_the_bench() {
    let ran = compare(&bench(), &[]);
    assert_eq!((ran.status, ran.err.as_str()), (1, ""));
    insta::assert_snapshot!(ran.out);
    let ran = compare(&bench(), &["--as", "markdown"]);
    assert_eq!(ran.status, 1);
    insta::assert_snapshot!(ran.out);
}

#[test]
fn json_says_it_field_by_field() {
    let ran = compare(&bench(), &["--as", "json"]);
    let report = json(&ran.out);
    let fields = ["levigate", "law_as_of", "old", "new", "same_text", "same", "blocks", "findings"];
    assert_eq!((ran.status, keys(&report)), (1, fields.to_vec()));
    insta::assert_snapshot!(ran.out);
}

#[test]
fn backwards_the_error_went_and_nothing_fails() {
    let bench = bench();
    let ran = bench.run(&["compare", "new.formula", "old.formula"]);
    assert_eq!(ran.status, 0, "{}", ran.out);
    assert!(
        ran.out.contains("went: error[over-limit]") && ran.out.contains("added       tocopherol: 0.3 %"),
        "{}",
        ran.out
    );
}

#[test]
fn the_same_is_said_in_one_line() {
    let bench = Bench::with(&[("a.formula", CLEAN), ("b.formula", &format!("# a word\n{CLEAN}"))]);
    assert_eq!(bench.run(&["compare", "a.formula", "a.formula"]).out, "the same text\n");
    let ran = bench.run(&["compare", "a.formula", "b.formula", "--fail-on", "hint"]);
    assert_eq!((ran.status, ran.out.as_str()), (0, "nothing has changed but how it is written\n"));
}

#[test]
fn a_finding_that_stays_does_not_fail() {
    let over = OLD.replace("0.5   %     sodium", "0.6   %     sodium");
    let more = over.replace("0.6   %", "0.7   %");
    let bench = Bench::with(&[("a.formula", &over), ("b.formula", &more)]);
    let ran = bench.run(&["compare", "a.formula", "b.formula"]);
    assert_eq!(ran.status, 0, "{}", ran.out);
    assert!(ran.out.contains("still there, now: error[over-limit]"), "{}", ran.out);
    assert!(ran.out.contains("before: sodium benzoate brings 0.508 %"), "{}", ran.out);
}

#[test]
fn one_side_can_come_from_standard_input() {
    let bench = bench();
    let piped = bench.pipe(&["compare", "-", "new.formula", "--on", "2026-11-24"], OLD);
    assert_eq!(piped.out, compare(&bench, &[]).out);
    // The workshop of the place where the text belongs.
    let files = [
        ("shop/workshop.formula", "workshop W\nmarket US\n"),
        ("shop/a.formula", "formula A\nproduct balm\n 100 % beeswax\n"),
    ];
    let bench = Bench::with(&files);
    let text = "formula A\nproduct balm\n 100 % shea butter\n";
    let ran = bench.pipe(&["compare", "shop/a.formula", "-", "--path", "shop/b.formula"], text);
    assert_eq!(ran.status, 0, "{} {}", ran.out, ran.err);
    for (args, why) in [
        (&["compare", "-", "-"][..], "only one of the two"),
        (&["compare", "shop/a.formula"], "two paths"),
        (&["compare", "a", "b", "c"], "two paths"),
        (&["compare", "shop/a.formula", "nothing.formula"], "no such file"),
        (&["compare", "shop/a.formula", "shop/a.formula", "--path", "x"], "--path goes with"),
    ] {
        let ran = bench.run(args);
        assert!(ran.status == 2 && ran.err.contains(why) && ran.out.is_empty(), "{args:?}: {}", ran.err);
    }
}

#[test]
fn each_side_sees_its_own_workshop() {
    // The house says sodium benzoate is called otherwise: it stays the same thing.
    let own = "ingredient sodium benzoate\nprice 9 EUR per kg\n";
    let bench = Bench::with(&[
        ("shop/workshop.formula", "workshop W\nstock own.formula\n"),
        ("shop/own.formula", own),
        ("shop/new.formula", OLD),
        ("old.formula", OLD),
    ]);
    let ran = bench.run(&["compare", "old.formula", "shop/new.formula"]);
    assert_eq!((ran.status, ran.out.as_str()), (0, "the same text\n"));
}

#[test]
fn git_calls_it_with_seven_words() {
    let bench = bench();
    bench.write("kept/x.tmp", OLD.as_bytes());
    let args = ["compare", "new.formula", "kept/x.tmp", "0a", "100644", "new.formula", "0b", "100644"];
    let ran = bench.run(&args);
    assert_eq!((ran.status, ran.err.as_str()), (0, ""));
    assert!(ran.out.starts_with("new.formula\n  Marsh Row foot cream, version 3 → 4\n"), "{}", ran.out);
    let gone = ["compare", "new.formula", "kept/x.tmp", "0a", "100644", "/dev/null", ".", "."];
    let ran = bench.run(&gone);
    assert_eq!(ran.status, 0);
    assert!(
        ran.out.contains("formula Marsh Row foot cream, version 3: taken out (10 ingredients in 3 phases)"),
        "{}",
        ran.out
    );
    // What cannot be read must not end git's whole list.
    bench.write("kept/x.tmp", b"\xff\xfe");
    let ran = bench.run(&args);
    assert_eq!((ran.status, ran.out.as_str()), (0, ""));
    assert!(ran.err.contains("not UTF-8"), "{}", ran.err);
}

fn git(bench: &Bench, args: &[&str]) -> String {
    let ran = Command::new("git")
        .args(["-c", "user.name=Tam Verrin", "-c", "user.email=tam@example.org", "-c", "core.autocrlf=false"])
        .args(args)
        .current_dir(&bench.0)
        .envs([("GIT_CONFIG_GLOBAL", "/dev/null"), ("GIT_CONFIG_NOSYSTEM", "1"), ("GIT_PAGER", "cat")])
        .stdin(Stdio::null())
        .output()
        .unwrap();
    assert!(ran.status.success(), "{args:?}: {}", String::from_utf8_lossy(&ran.stderr));
    String::from_utf8(ran.stdout).unwrap()
}

/// The pieces of the guide's page: what stands in its fences of a kind.
fn fences(page: &str, kind: &str) -> Vec<String> {
    let open = format!("```{kind}\n");
    let pieces = page.split(&open).skip(1);
    pieces.filter_map(|piece| piece.split_once("```").map(|(inside, _)| inside.to_owned())).collect()
}

#[test]
fn the_guide_shows_what_is_printed() {
    let page = concat!(env!("CARGO_MANIFEST_DIR"), "/../../grammar/guide/versions.md");
    let page = std::fs::read_to_string(page).unwrap();
    let (old, diff, told) = (fences(&page, "formula"), fences(&page, "diff"), fences(&page, "text"));
    let mut new = old[0].clone();
    for hunk in diff[0].split("…\n") {
        let side = |other: char| -> String {
            let lines = hunk.lines().filter(|line| !line.starts_with(other));
            lines.map(|line| line[1..].to_owned() + "\n").collect()
        };
        let (from, to) = (side('+'), side('-'));
        assert_eq!(new.matches(&from).count(), 1, "{from}");
        new = new.replace(&from, &to);
    }
    let bench = Bench::with(&[("old.formula", &old[0]), ("new.formula", &new)]);
    assert_eq!(compare(&bench, &[]).out, told[0]);
}

#[test]
fn it_is_gits_diff_driver() {
    let bench = Bench::with(&[
        ("sheets/cream.formula", OLD),
        ("sheets/oil.formula", "formula Oil\nproduct body oil\n 60 % jojoba oil\n 40 % squalane\n"),
        (".gitattributes", "*.formula diff=levigate\n"),
    ]);
    let _ = git(&bench, &["init", "-q"]);
    let driver = format!("'{}' compare --on 2026-11-24", env!("CARGO_BIN_EXE_levigate"));
    let _ = git(&bench, &["config", "diff.levigate.command", &driver]);
    let _ = git(&bench, &["add", "."]);
    let _ = git(&bench, &["commit", "-qm", "Begin"]);
    assert_eq!(git(&bench, &["diff"]), "");
    bench.write("sheets/cream.formula", new().as_bytes());
    let _ = git(&bench, &["rm", "-q", "sheets/oil.formula"]);
    let told = git(&bench, &["diff", "HEAD"]);
    assert!(told.starts_with("sheets/cream.formula\n  Marsh Row foot cream, version 3 → 4\n"), "{told}");
    assert!(told.contains("sheets/oil.formula\n  formula Oil: taken out"), "{told}");
}

#[test]
fn a_line_that_becomes_the_rest_is_told_apart_from_its_name() {
    let bench = Bench::with(&[
        ("old.formula", "formula A\n 60 % jojoba oil\n 40 % shea butter\n"),
        ("new.formula", "formula A\n to 100 % jojoba oil\n 40 % shea butter\n"),
    ]);
    let told = compare(&bench, &[]).out;
    assert!(told.contains("as the rest jojoba oil"), "{told}");
}
