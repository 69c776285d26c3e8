//! `levigate check`

use crate::{Bench, CLEAN, OVER, SHORT, json, keys, ran};
use serde_json::Value;
use std::path::Path;
use std::process::Stdio;

#[test]
fn a_clean_formula_says_nothing() {
    let bench = Bench::with(&[("balm.formula", CLEAN)]);
    let ran = bench.run(&["check"]);
    assert_eq!((ran.status, ran.out.as_str(), ran.err.as_str()), (0, "", ""));
}

#[test]
fn findings_are_drawn_under_their_lines() {
    let bench = Bench::with(&[("a.formula", SHORT), ("b/over.formula", OVER), ("c.formula", CLEAN)]);
    let ran = bench.run(&["check", "--on", "2026-11-24"]);
    assert_eq!((ran.status, ran.err.as_str()), (1, ""));
    insta::assert_snapshot!(ran.out, @r#"
    error[total-not-100]: the lines add up to 98 %: 2 % is missing
       ╭─[ a.formula:2:9 ]
       │
     2 │ formula Crème légère
       │         ────────────
       │
       │ help: Make one line the balance (`to 100 %`), or change an amount.
    ───╯

    error[over-limit]: sodium benzoate brings 0.508 % benzoic acid, and this is more than the 0.5 % that EU law (as of 2026-11-24) allows (leave-on, as preservative)
       ╭─[ b/over.formula:7:21 ]
       │
     7 │         0.6   %     sodium benzoate
       │                     ───────────────
       │
       │ help: At most 0.589 % sodium benzoate stays within it.
       │ source: Reg. (EC) 1223/2009 Annex V entry 1, CosIng export of 31 Oct 2025
    ───╯

    2 errors in 2 of 3 files
    "#);
}

#[test]
fn colour_only_where_it_is_wanted() {
    let bench = Bench::with(&[("a.formula", SHORT)]);
    assert!(!bench.run(&["check"]).out.contains('\u{1b}'));
    let always = bench.run(&["check", "--color", "always"]);
    assert!(always.out.contains("\u{1b}[1;31merror[total-not-100]:\u{1b}[0m"), "{}", always.out);
    let mut command = bench.command(&["explain", "over-limit"]);
    let ran = ran(&command.env("NO_COLOR", "1").output().unwrap());
    assert!(!ran.out.contains('\u{1b}'));
}

#[test]
fn what_steers_a_terminal_is_not_passed_on() {
    let text = "formula Night balm\n\u{1b}[31mred\u{2028}\u{202e} %\nversion 2\n";
    let ran = Bench::with(&[]).pipe(&["check", "-"], text);
    assert_eq!(ran.status, 1);
    assert!(ran.out.contains("-:2:"), "{}", ran.out);
    assert!(!ran.out.contains(['\u{1b}', '\u{202e}', '\u{2028}']), "{:?}", ran.out);
}

#[test]
fn json_has_the_promised_fields_in_order() {
    let bench = Bench::with(&[("a.formula", SHORT), ("over.formula", OVER)]);
    let ran = bench.run(&["check", "--as", "json", "--on", "2026-11-24"]);
    assert_eq!(ran.status, 1);
    let report = json(&ran.out);
    assert_eq!(keys(&report), ["levigate", "law_as_of", "findings", "counts"]);
    assert_eq!(report["law_as_of"], "2026-11-24");
    assert_eq!(keys(&report["counts"]), ["error", "warning", "note", "hint", "allowed"]);
    let first = &report["findings"][0];
    assert_eq!(
        keys(first),
        [
            "rule",
            "level",
            "path",
            "line",
            "column",
            "end_line",
            "end_column",
            "block",
            "formula",
            "variant",
            "message",
            "help",
            "allowed",
            "sources",
            "related",
            "fixes",
            "page"
        ]
    );
    assert_eq!((&first["rule"], &first["path"]), (&"total-not-100".into(), &"a.formula".into()));
    // Characters, not bytes: `Crème légère` has 12 of them.
    assert_eq!((&first["line"], &first["column"], &first["end_column"]), (&2.into(), &9.into(), &21.into()));
    assert_eq!((&first["block"], &first["variant"]), (&"Crème légère".into(), &Value::Null));
    assert_eq!(first["page"], "total-not-100.md");
    let second = &report["findings"][1];
    assert_eq!((&second["rule"], &second["line"]), (&"over-limit".into(), &7.into()));
    assert_eq!(report["counts"]["error"], 2);
}

#[test]
fn fixes_carry_their_edits() {
    let ran = Bench::with(&[]).pipe(&["check", "-", "--as", "json"], "formula Night balm\nvarsion 2\n");
    let report = json(&ran.out);
    let fix = &report["findings"][0]["fixes"][0];
    assert_eq!(keys(fix), ["title", "safe", "edits"]);
    let edit = &fix["edits"][0];
    assert_eq!(keys(edit), ["line", "column", "end_line", "end_column", "text"]);
    assert_eq!((&edit["line"], &edit["column"], &edit["end_column"]), (&2.into(), &1.into(), &8.into()));
    assert_eq!(edit["text"], "version");
}

#[test]
fn allowed_findings_are_counted_and_shown_on_demand() {
    let allowed = SHORT.replace("phase A", "allow total-not-100 because trial sheet\nphase A");
    let bench = Bench::with(&[("a.formula", &allowed)]);
    let quiet = bench.run(&["check"]);
    assert_eq!((quiet.status, quiet.out.as_str()), (0, ""));
    let report = json(&bench.run(&["check", "--as", "json"]).out);
    assert_eq!(report["findings"], Value::Array(Vec::new()));
    assert_eq!(report["counts"]["allowed"], 1);
    let shown = bench.run(&["check", "--show-allowed"]);
    assert_eq!(shown.status, 0);
    assert!(shown.out.contains("error[total-not-100], allowed:"), "{}", shown.out);
    assert!(shown.out.contains("allowed because: trial sheet"), "{}", shown.out);
}

#[test]
fn fail_on_decides_the_status() {
    let bench =
        Bench::with(&[("a.formula", &CLEAN.replace("product balm", "allow over-limit because of old"))]);
    assert_eq!(bench.run(&["check"]).status, 0);
    let ran = bench.run(&["check", "--fail-on", "note"]);
    assert_eq!((ran.status, ran.out.contains("note[allow-unused]")), (1, true), "{}", ran.out);
    assert_eq!(bench.run(&["check", "--fail-on", "loud"]).status, 2);
}

#[test]
fn what_cannot_be_read_is_told_and_the_rest_reported() {
    let bench = Bench::with(&[("a.formula", SHORT), ("empty/readme.txt", "")]);
    bench.write("bad.formula", b"formula A\n\xff\xfe\n");
    for (arg, why) in [
        ("missing.formula", "missing.formula: no such file or folder"),
        ("empty", "empty: no .formula file in this folder"),
        ("bad.formula", "bad.formula: line 2 is not UTF-8 text; save the file as UTF-8"),
    ] {
        let ran = bench.run(&["check", arg, "a.formula"]);
        assert_eq!((ran.status, ran.err), (2, format!("levigate: {why}\n")));
        assert!(ran.out.contains("error[total-not-100]"), "{arg}: {}", ran.out);
        assert_eq!(bench.run(&["sheet", arg]).status, 2, "{arg}");
    }
}

#[test]
fn ignore_files_are_honoured() {
    let bench = Bench::with(&[(".gitignore", "old/\n"), ("old/a.formula", SHORT), ("balm.formula", CLEAN)]);
    assert_eq!(bench.run(&["check"]).status, 0);
    assert_eq!(bench.run(&["check", "old/a.formula"]).status, 1, "what is named is read");
}

#[test]
fn standard_input_sees_what_its_path_sees() {
    let workshop = "workshop House\nlimit 0.1 % essential oils; leave-on\n";
    let bench = Bench::with(&[("shop/workshop.formula", workshop)]);
    let text = CLEAN
        .replace("product balm", "product balm, leave-on")
        .replace("       20     %     beeswax", "        0.2   %     lavender oil");
    let ran = bench.pipe(&["check", "-", "--path", "shop/balm.formula"], &text);
    assert!(ran.out.contains("the workshop allows itself"), "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("shop/balm.formula:7:"), "{}", ran.out);
    let ran = bench.pipe(&["check", "-"], &text);
    assert_eq!((ran.status, ran.out.as_str()), (0, ""));
    assert_eq!(bench.pipe(&["check", "-", "a.formula"], "").status, 2);
    assert_eq!(bench.run(&["check", "--path", "x.formula"]).status, 2);
}

#[test]
fn the_workshop_above_is_found_from_inside_a_folder() {
    let workshop = "workshop House\nlimit 0.1 % essential oils; leave-on\n";
    let text = CLEAN.replace("product balm", "product balm, leave-on");
    let text = text.replace("       20     %     beeswax", "        0.2   %     lavender oil");
    let bench = Bench::with(&[("workshop.formula", workshop), (".git/HEAD", ""), ("in/balm.formula", &text)]);
    let mut command = bench.command(&["check", "balm.formula"]);
    let ran = ran(&command.current_dir(bench.0.path().join("in")).output().unwrap());
    assert!(ran.out.contains("the workshop allows itself"), "{}{}", ran.out, ran.err);
}

#[test]
fn a_reader_that_leaves_gets_no_complaint() {
    let texts: Vec<(String, &str)> = (0..200).map(|at| (format!("{at}.formula"), SHORT)).collect();
    let files: Vec<(&str, &str)> = texts.iter().map(|(name, text)| (name.as_str(), *text)).collect();
    let bench = Bench::with(&files);
    let mut child = bench.command(&["check"]).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    drop(child.stdout.take());
    let ended = ran(&child.wait_with_output().unwrap());
    assert_eq!((ended.status, ended.err.as_str()), (1, ""));
}

#[test]
fn many_files_come_in_order() {
    let files: Vec<(String, &str)> = (10..60).map(|at| (format!("{at}.formula"), SHORT)).collect();
    let files: Vec<(&str, &str)> = files.iter().map(|(name, text)| (name.as_str(), *text)).collect();
    let report = json(&Bench::with(&files).run(&["check", "--as", "json", "."]).out);
    let paths: Vec<&str> =
        report["findings"].as_array().unwrap().iter().map(|own| own["path"].as_str().unwrap()).collect();
    let names: Vec<&str> = files.iter().map(|(name, _)| *name).collect();
    assert_eq!(paths, names);
}

#[test]
fn paths_are_shown_as_a_maker_would_write_them() {
    let bench = Bench::with(&[("in/a.formula", SHORT)]);
    for (arg, shown) in
        [(".", "in/a.formula"), ("./in", "in/a.formula"), ("in/../in/a.formula", "in/../in/a.formula")]
    {
        let report = json(&bench.run(&["check", arg, "--as", "json"]).out);
        let path = report["findings"][0]["path"].as_str().unwrap();
        assert_eq!(Path::new(path), Path::new(shown), "{arg}");
    }
    let twice = json(&bench.run(&["check", ".", "in/a.formula", "--as", "json"]).out);
    assert_eq!(twice["counts"]["error"], 1);
}

#[test]
fn places_that_belong_together_are_drawn_together() {
    let text = "formula Balm\nproduct balm, leave-on\n  60 % shea butter; limit 0.5 %; certificate 2026-01-01\n  40 % jojoba oil\n";
    let ran = Bench::with(&[]).pipe(&["check", "-"], text);
    let drawing: Vec<&str> = ran.out.lines().skip(3).take(4).collect();
    insta::assert_snapshot!(drawing.join("\n"), @r"
    3 │   60 % shea butter; limit 0.5 %; certificate 2026-01-01
      │        ───────────  ─────┬─────
      │                          │
      │                          ╰─────── the limit stands here
    ");
}
