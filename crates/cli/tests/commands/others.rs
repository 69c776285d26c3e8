//! The other commands, and the command line as such.

use crate::{Bench, CLEAN, json, keys};
use std::fs;

#[test]
fn tidy_lists_writes_and_keeps() {
    let rough = "\u{feff}formula Balm\r\nphase A oil\r\n60 % shea butter\r\n40 % jojoba oil\r\n";
    let bench = Bench::with(&[("rough.formula", rough), ("fair.formula", CLEAN)]);
    let dry = bench.run(&["tidy", "--dry-run"]);
    assert_eq!((dry.status, dry.out.as_str()), (1, "rough.formula\n"));
    assert_eq!(bench.read("rough.formula"), rough);
    let wet = bench.run(&["tidy"]);
    assert_eq!((wet.status, wet.out.as_str(), wet.err.as_str()), (0, "rough.formula\n", ""));
    let after = bench.read("rough.formula");
    assert!(
        after.starts_with("\u{feff}formula Balm\r\n") && after.contains("60     %     shea butter\r\n"),
        "{after:?}"
    );
    assert_eq!(after.matches('\n').count(), after.matches("\r\n").count());
    assert_eq!(bench.read("fair.formula"), CLEAN);
    let again = bench.run(&["tidy", "--dry-run"]);
    assert_eq!((again.status, again.out.as_str()), (0, ""));
    let names: Vec<_> =
        fs::read_dir(bench.0.path()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    assert_eq!(names.len(), 2, "nothing is left beside the files: {names:?}");
}

#[test]
fn tidy_filters() {
    let bench = Bench::with(&[]);
    let ran = bench.pipe(&["tidy", "-"], "formula Balm\n60 % shea butter\n40 % jojoba oil\n");
    assert_eq!(ran.status, 0);
    assert!(ran.out.contains("60     %     shea butter"), "{}", ran.out);
    assert_eq!(bench.pipe(&["tidy", "-"], &ran.out).out, ran.out);
    assert_eq!(bench.pipe(&["tidy", "-", "--dry-run"], "formula   Balm\n").status, 1);
}

#[cfg(unix)]
#[test]
fn tidy_keeps_permissions_and_links() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let bench = Bench::with(&[("real.formula", "formula   Balm\n")]);
    let (real, link) = (bench.0.path().join("real.formula"), bench.0.path().join("link.formula"));
    fs::set_permissions(&real, fs::Permissions::from_mode(0o640)).unwrap();
    symlink("real.formula", &link).unwrap();
    assert_eq!(bench.run(&["tidy", "link.formula"]).status, 0);
    assert_eq!(bench.read("real.formula"), "formula Balm\n");
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    assert_eq!(fs::metadata(&real).unwrap().permissions().mode() & 0o777, 0o640);
}

#[test]
fn rules_are_explained() {
    let bench = Bench::with(&[]);
    let page = bench.run(&["explain", "over-limit"]);
    assert!(
        page.status == 0 && page.out.starts_with("over-limit\n\n") && page.out.contains("\nWhy\n"),
        "{}",
        page.out
    );
    let markdown = bench.run(&["explain", "Over-Limit", "--as", "markdown"]);
    assert!(markdown.out.starts_with("# over-limit\n"), "{}", markdown.out);
    let all = bench.run(&["explain", "--all"]);
    let listed = |line: &str| line.split_whitespace().take(2).eq(["total-not-100", "error"]);
    assert!(all.out.lines().any(listed), "{}", all.out);
    // Each rule once, below the heading of its group, in the rule book's order.
    let mut group = "";
    let mut told: Vec<(&str, &str)> = Vec::new();
    for line in all.out.lines().filter(|line| !line.is_empty()) {
        match line.strip_prefix("  ").map(|row| row.split_whitespace().next().unwrap()) {
            Some(name) => told.push((group, name)),
            None => group = line,
        }
    }
    let book: Vec<(&str, &str)> = desk::RULES.iter().map(|rule| (rule.group.title(), rule.name)).collect();
    assert_eq!(told, book);
    let unknown = bench.run(&["explain", "over-limits"]);
    let told = "levigate: no rule is called `over-limits`; did you mean `over-limit`?\n";
    assert_eq!((unknown.status, unknown.err.as_str()), (2, told));
}

#[test]
fn ingredients_come_with_sources() {
    let bench = Bench::with(&[]);
    let ran = bench.run(&["ingredient", "Sodium Benzoate"]);
    assert_eq!(ran.status, 0);
    assert!(ran.out.contains("84.746 % benzoic acid"), "{}", ran.out);
    let report = json(&bench.run(&["ingredient", "sodium benzoate", "--as", "json"]).out);
    let own = &report["ingredients"][0];
    assert_eq!(own["cas"][0], "532-32-1");
    let counts = &own["counts_as"][0];
    assert!(counts["source"].as_str().unwrap().contains("molar masses"), "{counts}");
    let near = bench.run(&["ingredient", "sodium benzoat"]);
    assert_eq!(near.status, 1);
    assert!(near.err.contains("near it: sodium benzoate"), "{}", near.err);
    // A salt shows the limits of its acid.
    assert_eq!(
        (&own["limits"][0]["of"], &own["limits"][0]["most_percent"]),
        (&"benzoic acid".into(), &"0.5".into())
    );
    let list = bench.run(&["ingredient", "--function", "chelator"]);
    assert!(list.status == 0 && list.out.contains("disodium EDTA"), "{}", list.out);
    let like = bench.run(&["ingredient", "--like", "LAVEND"]);
    assert!(like.status == 0 && like.out.contains("lavender oil"), "{}", like.out);
    let none = bench.run(&["ingredient", "--function", "humectent"]);
    assert_eq!(none.status, 1);
    assert!(none.err.contains("did you mean `humectant`?"), "{}", none.err);
}

#[test]
fn an_ingredient_at_a_glance() {
    let ran = Bench::with(&[]).run(&["ingredient", "sodium benzoate"]);
    insta::assert_snapshot!(ran.out);
    let ran = Bench::with(&[]).run(&["ingredient", "cold-pressed bergamot oil"]);
    insta::assert_snapshot!(ran.out);
}

#[test]
fn an_ingredient_for_scripts() {
    let report = json(&Bench::with(&[]).run(&["ingredient", "zinc oxide", "--as", "json"]).out);
    assert_eq!(keys(&report), ["levigate", "law_read_on", "ingredients"]);
    let zinc = &report["ingredients"][0];
    assert_eq!(
        keys(zinc),
        [
            "name",
            "own",
            "can_mean",
            "inci",
            "also",
            "cas",
            "functions",
            "known",
            "counts_as",
            "contains",
            "counts_with",
            "limits",
            "labels"
        ]
    );
    assert_eq!(keys(&zinc["known"][0]), ["topic", "what", "value", "source", "standing"]);
    let limit = &zinc["limits"][0];
    assert_eq!(
        keys(limit),
        [
            "of",
            "markets",
            "rank",
            "most_percent",
            "allowed",
            "counted_as",
            "together",
            "conditions",
            "from",
            "until",
            "source",
            "standing"
        ]
    );
    assert_eq!((&limit["most_percent"], &limit["rank"]), (&"25".into(), &"law".into()));
}

#[test]
fn the_workshop_of_the_folder_goes_before_the_catalogue() {
    let stock = "ingredient glycerin\ndensity 1.25 g/mL; source own flask, 2026-01-05\nprice 4.90 EUR per kg\n\n\
                 ingredient moonmilk\nfunction humectant\n";
    let bench = Bench::with(&[
        ("workshop.formula", "workshop House\nstock stock.formula\n"),
        ("stock.formula", stock),
    ]);
    let glycerin = bench.run(&["ingredient", "glycerin"]).out;
    for part in ["1.25 g/mL [1]", "own flask, 2026-01-05", "4.90 EUR per kg", "a block of your own"] {
        assert!(glycerin.contains(part), "{part}: {glycerin}");
    }
    assert!(!glycerin.contains("1.261"), "{glycerin}");
    assert!(bench.run(&["ingredient", "--function", "humectant"]).out.starts_with("glycerin"));
    assert!(bench.run(&["ingredient", "--like", "moon"]).out.contains("moonmilk"));
    let near = bench.run(&["ingredient", "moonmilc"]);
    assert!(near.status == 1 && near.err.contains("near it: moonmilk"), "{}", near.err);
}

#[test]
fn starters_are_clean_and_tidy() {
    let bench = Bench::with(&[]);
    let kinds = [
        "cream",
        "lotion",
        "balm",
        "gel",
        "cleanser",
        "sun-cream",
        "oil",
        "scrub",
        "powder",
        "bath",
        "ingredient",
        "workshop",
    ];
    for kind in kinds {
        let starter = bench.run(&["new", kind]).out;
        let checked = bench.pipe(&["check", "-", "--hints"], &starter);
        assert_eq!((checked.status, checked.out.as_str()), (0, ""), "{kind}");
        assert_eq!(bench.pipe(&["tidy", "-"], &starter).out, starter, "{kind}");
        let name = format!("{kind}.formula");
        assert_eq!(bench.run(&["new", kind, "--to", &name]).status, 0);
        assert_eq!(bench.read(&name), starter);
    }
    bench.write("mine.formula", b"formula Mine\n");
    let kept = bench.run(&["new", "cream", "--to", "mine.formula"]);
    assert_eq!((kept.status, bench.read("mine.formula").as_str()), (2, "formula Mine\n"));
    assert!(kept.err.contains("stays as it is"), "{}", kept.err);
}

#[test]
fn usage_is_status_2() {
    let bench = Bench::with(&[]);
    for args in
        [&["chek"][..], &[], &["explain"], &["ingredient"], &["new", "soap"], &["check", "--on", "May"]]
    {
        assert_eq!(bench.run(args).status, 2, "{args:?}");
    }
    let help = bench.run(&["check", "--help"]);
    assert!(help.status == 0 && help.out.contains("Examples:"), "{}", help.out);
    assert!(bench.run(&["--version"]).out.starts_with(concat!("levigate ", env!("CARGO_PKG_VERSION"))));
}

#[test]
fn the_server_says_goodbye() {
    let bench = Bench::with(&[]);
    let framed = |body: &str| format!("Content-Length: {}\r\n\r\n{body}", body.len());
    let talk = [
        r#"{"jsonrpc":"2.0","id":1,"method":"initialize","params":{"capabilities":{}}}"#,
        r#"{"jsonrpc":"2.0","method":"initialized","params":{}}"#,
        r#"{"jsonrpc":"2.0","id":2,"method":"shutdown"}"#,
        r#"{"jsonrpc":"2.0","method":"exit"}"#,
    ];
    let ran = bench.pipe(&["serve"], &talk.map(framed).concat());
    assert_eq!((ran.status, ran.err.as_str()), (0, ""));
    assert!(ran.out.contains(r#""id":1"#) && ran.out.contains(r#""id":2"#), "{}", ran.out);
}
