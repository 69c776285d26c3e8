//! How a sheet is written: slips that are found, and writing that must stay unremarked.

use crate::{findings, told};
use desk::{Finding, Group, Level, rule};

/// `rule: text under it` of each finding that is about the writing or the sum, hints included.
fn places(text: &str) -> Vec<String> {
    let of_writing = |found: &&Finding| {
        found.rule.starts_with("total") || rule(found.rule).is_some_and(|rule| rule.group == Group::Reading)
    };
    findings(text)
        .iter()
        .filter(of_writing)
        .map(|found| format!("{}: {}", found.rule, found.span.of(text)))
        .collect()
}

fn of_rule(text: &str, rule: &str) -> Vec<Finding> {
    findings(text).into_iter().filter(|found| found.rule == rule).collect()
}

fn oil(lines: &str) -> String {
    format!("formula Trial oil\nproduct body oil, water-free\n{lines}")
}

#[test]
fn a_thousand_with_a_comma_is_asked_and_spoils_no_sum() {
    let text = oil("batch 1500 g\n  1,000 g jojoba oil\n  500 g squalane\n");
    assert_eq!(places(&text), ["number-doubtful: 1,000"]);
    let found = of_rule(&text, "number-doubtful");
    let fixed: Vec<String> =
        found.iter().flat_map(|found| &found.fixes).map(|fix| fix.edits.apply(&text)).collect();
    assert!(fixed.iter().any(|text| text.contains("  1000 g jojoba oil")), "{fixed:?}");
    assert!(fixed.iter().any(|text| text.contains("  1.000 g jojoba oil")), "{fixed:?}");
    for written in ["1 000", "1'000", "1.000,50", "12,345,678"] {
        let text = oil(&format!("  {written} g jojoba oil\n  500 g squalane\n"));
        assert_eq!(places(&text), [format!("number-doubtful: {written}")]);
    }
}

#[test]
fn decimals_are_not_doubtful() {
    for written in ["0,5", "0,125", "1.250", "12,5", "1,25", "½", "1 1/2", "0.0005"] {
        let text = oil(&format!("  {written} g bisabolol\n  500 g squalane\n"));
        assert_eq!(places(&text), Vec::<String>::new(), "{written}");
    }
}

#[test]
fn units_that_have_readings() {
    for (unit, fixes) in [("T", 2), ("t", 2), ("c", 2), ("gr", 2), ("gramms", 1), ("dorps", 1)] {
        let text = oil(&format!("  5 {unit} bisabolol\n  500 g squalane\n"));
        assert_eq!(places(&text), [format!("unit-unknown: {unit}")]);
        let found = of_rule(&text, "unit-unknown");
        assert_eq!(found.first().map(|found| found.fixes.len()), Some(fixes), "{unit}");
    }
    // The yard and pound agreement of 1 July 1959: a pound is 453.59237 g and 7000 grains, so 5 grains are 323.99455 mg.
    let text = oil("  5 gr bisabolol\n  500 g squalane\n");
    let fixed: Vec<String> =
        findings(&text).iter().flat_map(|found| &found.fixes).map(|fix| fix.edits.apply(&text)).collect();
    assert!(fixed.iter().any(|text| text.contains("  323.99455 mg bisabolol")), "{fixed:?}");
}

#[test]
fn a_missing_unit_is_offered_as_the_other_lines_have_it() {
    let text = oil("  60 jojoba oil\n  40 % squalane\n");
    assert_eq!(places(&text), ["unit-unknown: 60"]);
    let fix =
        findings(&text).into_iter().flat_map(|found| found.fixes).next().map(|fix| fix.edits.apply(&text));
    assert_eq!(fix.map(|text| places(&text)), Some(Vec::new()));
    // Two kinds of unit, or a unit that weighs nothing: nobody can know.
    for lines in
        ["  60 jojoba oil\n  40 % squalane\n  3 g bisabolol\n", "  5 min jojoba oil\n  40 % squalane\n"]
    {
        let text = oil(lines);
        let found = of_rule(&text, "unit-unknown");
        assert_eq!(found.iter().map(|found| found.fixes.len()).collect::<Vec<_>>(), [0], "{lines}");
    }
}

#[test]
fn names_are_not_read_as_amounts() {
    for name in [
        "C12-15 Alkyl Benzoate",
        "polysorbate 20",
        "1,2-hexanediol",
        "vitamin E T-50",
        "lactic acid 80 %",
        "FD&C Blue #1",
        "PEG-40 hydrogenated castor oil",
        "4-t-butylcyclohexanol",
        "2'-fucosyllactose",
        "cetearyl alcohol (and) ceteareth-20",
    ] {
        let reading =
            ["line-unreadable", "number-doubtful", "unit-unknown", "amount-range", "amount-unweighable"];
        let text = oil(&format!("  5 % {name}\n  95 % squalane\n"));
        let found: Vec<String> = findings(&text).iter().map(|found| found.rule.to_owned()).collect();
        assert!(
            !found.iter().any(|rule| reading.contains(&rule.as_str()) || rule == "amount-missing"),
            "{name}: {found:?}"
        );
        // Without an amount it is one line without an amount, whatever digits the name holds.
        let text = oil(&format!("  {name}\n  100 % squalane\n"));
        let found: Vec<&str> = findings(&text).iter().map(|found| found.rule).collect();
        assert_eq!(found.iter().filter(|rule| **rule == "amount-missing").count(), 1, "{name}: {found:?}");
        assert!(!found.iter().any(|rule| reading.contains(rule)), "{name}: {found:?}");
    }
}

#[test]
fn another_craft_is_answered_once_and_politely() {
    for craft in ["soap", "lye soap", "candles", "toothpaste", "hand sanitiser", "insect repellent"] {
        let text =
            format!("formula Trial\nproduct {craft}\n  700 g purified water\n  100 g sodium hydroxide\n");
        assert_eq!(told(&text), ["word-unknown note"]);
        let found = of_rule(&text, "word-unknown");
        assert!(
            found.iter().all(|found| found.level == Level::Note && found.message.ends_with("not this tool")),
            "{found:?}"
        );
    }
    // A form that is known keeps its rules.
    let text = "formula Trial\nproduct toner, soap\nmarket EU\npH 4.5 to 5.0\n  to 100 % purified water\n  0.9 % sodium benzoate\n";
    assert!(told(text).contains(&"over-limit error".to_owned()), "{:?}", told(text));
}

#[test]
fn any_hand_writes_it() {
    let plain = oil("\n# two oils\nphase A oil\n  60 % jojoba oil # cold\n  40 % squalane\n");
    assert_eq!(places(&plain), Vec::<String>::new());
    let broken = plain.replace("40 % squalane", "40 gramms squalane");
    for text in [
        format!("\u{feff}{broken}"),
        broken.replace('\n', "\r\n"),
        broken.replace("  ", "\t"),
        format!("\u{feff}{}", broken.replace('\n', "\r\n").replace("  ", "\t \u{a0}")),
    ] {
        assert_eq!(places(&text), ["unit-unknown: gramms"], "{text:?}");
        let fixed = of_rule(&text, "unit-unknown")
            .iter()
            .flat_map(|f| &f.fixes)
            .map(|fix| fix.edits.apply(&text))
            .next();
        assert_eq!(fixed, Some(text.replace("gramms", "g")));
    }
}

#[test]
fn an_unknown_ingredient_is_one_hint() {
    let text = oil(
        "  60 % jojoba oil\n  20 % oil of seven valleys\n  10 % Oil of  Seven Valleys; unrefined\n  10 % squalane\n",
    );
    let found = findings(&text);
    assert_eq!(
        found.iter().map(|found| (found.rule, found.level)).collect::<Vec<_>>(),
        [("ingredient-unknown", Level::Hint)]
    );
    // Of a blend only the part that is not known.
    let text = oil("  60 % jojoba oil\n  40 % squalane (and) oil of seven valleys\n");
    assert_eq!(places(&text), ["ingredient-unknown: oil of seven valleys"]);
    // A near name is offered.
    let text = oil("  60 % jojoba oil\n  40 % squalanne\n");
    let fixed = of_rule(&text, "ingredient-unknown")
        .iter()
        .flat_map(|f| &f.fixes)
        .map(|fix| fix.edits.apply(&text))
        .next();
    assert_eq!(fixed, Some(text.replace("squalanne", "squalane")));
}

#[test]
fn a_broken_line_changes_no_other() {
    let sheet = |seventh: &str| {
        format!(
            "formula Trial\nproduct body oil, water-free\nbatch 100 g\nphase A oil\n  60 % jojoba oil\n  10 % squalane\n  {seventh}\n  \
             30 gramms lemon oil; melted\n  some bisabolol\n  1 % lemon oil\nphase A\nallow foo\n"
        )
    };
    let rest = |text: &str| -> Vec<String> {
        let seventh = text.lines().take(6).map(|line| line.len() + 1).sum::<usize>();
        let eighth = seventh + text.lines().nth(6).map_or(0, str::len) + 1;
        findings(text)
            .iter()
            .filter(|found| (found.span.start as usize) >= eighth)
            .map(|found| format!("{} {}: {}", found.rule, found.level.word(), found.message))
            .collect()
    };
    let whole = rest(&sheet("# as before"));
    assert!(whole.len() >= 6, "{whole:?}");
    for broken in [
        "%%% ???",
        "5e-3 % squalane",
        "1,000 g squalane",
        "5 T squalane",
        "varsion 3",
        "\"open",
        "5 % a, 3 % b",
        "-- x",
    ] {
        assert_eq!(rest(&sheet(broken)), whole, "{broken}");
    }
}

#[test]
fn an_amount_behind_the_name_is_moved() {
    for (written, moved) in
        [("glycerin 5 %", "5 % glycerin"), ("glycerin, 5 g", "5 g glycerin"), ("glycerin: 5%", "5% glycerin")]
    {
        let text = format!("formula Trial\nphase A\n  {written}\n");
        let found = of_rule(&text, "amount-missing");
        let fixed = found.iter().flat_map(|found| &found.fixes).map(|fix| fix.edits.apply(&text)).next();
        assert_eq!(fixed, Some(text.replace(written, moved)), "{found:?}");
        assert_eq!(of_rule(&text, "ingredient-unknown").len(), 0, "{written}");
    }
}

#[test]
fn a_list_without_amounts_is_one_finding_variants_included() {
    let text = oil("  jojoba oil\n  squalane\n  bisabolol\n\nvariant rich\nadd 5 % shea butter\n");
    assert_eq!(of_rule(&text, "amount-missing").len(), 1, "{:?}", places(&text));
}

#[test]
fn ranges_that_are_meant() {
    for line in [
        "  about 0.3 % lactic acid 80 %; to pH 5",
        "  q.s. citric acid; to pH 5; about 0.2 %",
        "  10 to 20 % any light oil",
    ] {
        let text = format!("formula Trial\nproduct lotion\n  to 100 % purified water\n{line}\n");
        assert_eq!(of_rule(&text, "amount-range").len(), 0, "{line}");
    }
    let text = oil("  to 100 % jojoba oil\n  0.5-1 % bisabolol\n");
    let fixed =
        of_rule(&text, "amount-range").iter().flat_map(|f| &f.fixes).map(|fix| fix.edits.apply(&text)).next();
    assert_eq!(fixed, Some(text.replace("0.5-1 %", "0.75 %")));
}

#[test]
fn vague_names_and_those_that_are_not() {
    for name in
        ["lemon oil", "aloe vera", "vitamin C", "emulsifier", "oil of choice", "Citrus Limon Peel Oil"]
    {
        let text = oil(&format!("  5 % {name}\n  95 % squalane\n"));
        assert_eq!(
            of_rule(&text, "ingredient-vague").iter().map(|f| f.level).collect::<Vec<_>>(),
            [Level::Warning],
            "{name}"
        );
    }
    for name in [
        "lemon oil; distilled",
        "distilled lemon oil",
        "any emulsifier",
        "any light oil",
        "aloe vera juice",
        "zinc oxide",
    ] {
        let text = oil(&format!("  5 % {name}\n  95 % squalane\n"));
        assert_eq!(of_rule(&text, "ingredient-vague").len(), 0, "{name}");
    }
    // The name for a label is right; only what the tables know beyond it stays open.
    let text = oil("  5 % Helianthus Annuus Seed Oil\n  95 % squalane\n");
    assert_eq!(of_rule(&text, "ingredient-vague").iter().map(|f| f.level).collect::<Vec<_>>(), [Level::Hint]);
}

#[test]
fn the_grade_of_a_mineral_filter_counts_in_sun_products_only() {
    let sheet = |product: &str, line: &str| {
        format!("formula Trial\nproduct {product}\n  20 % {line}\n  80 % jojoba oil\n")
    };
    for line in ["zinc oxide", "titanium dioxide", "\"zinc oxide\""] {
        let text = sheet("paste, sun care", line);
        let found = of_rule(&text, "ingredient-vague");
        assert_eq!(found.len(), 1, "{line}");
        for fix in found.iter().flat_map(|found| &found.fixes) {
            let after = fix.edits.apply(&text);
            assert_eq!(of_rule(&after, "ingredient-vague").len(), 0, "{after}");
        }
        assert_eq!(of_rule(&sheet("paste, nappy area", line), "ingredient-vague").len(), 0, "{line}");
    }
    for line in [
        "zinc oxide; uncoated",
        "non-nano zinc oxide",
        "zinc oxide; UV filter; coated",
        "zinc oxide (nano)",
        "shea butter",
    ] {
        assert_eq!(of_rule(&sheet("paste, sun care", line), "ingredient-vague").len(), 0, "{line}");
    }
}

#[test]
fn twice_in_one_phase() {
    let twice =
        |lines: &str| of_rule(&format!("formula Trial\nproduct lotion\n{lines}"), "ingredient-twice").len();
    assert_eq!(twice("phase A water\n  to 100 % purified water\n  5 % Aqua\n"), 1);
    assert_eq!(twice("  5 % glycerin\n  3 % glycerol\n  to 100 % purified water\n"), 1);
    assert_eq!(twice("phase A water\n  5 % glycerin\nphase B other\n  3 % glycerin\n"), 0);
    assert_eq!(twice("phase A\n  2 % lactic acid 80 %\n  2 % lactic acid; strength 90 %\n"), 0);
    assert_eq!(twice("phase A\n  2 % lactic acid\n  q.s. lactic acid; to pH 4\n"), 0);
    assert_eq!(twice("phase A\n  2 % glycerin; lot A-1\n  2 % glycerin; lot A-2\n"), 0);
    assert_eq!(twice("phase A\n  2 % oil of seven valleys\n  2 % oil of seven valleys\n"), 0);
    assert_eq!(twice("phase A\n  2 % any light oil\n  2 % any light oil\n"), 0);
    let text = oil("  60 % jojoba oil\n  20 % squalane\n  20.5 % jojoba oil\n");
    let fixed = of_rule(&text, "ingredient-twice")
        .iter()
        .flat_map(|f| &f.fixes)
        .map(|fix| fix.edits.apply(&text))
        .next();
    assert_eq!(fixed, Some(oil("  80.5 % jojoba oil\n  20 % squalane\n")));
}

#[test]
fn degrees_of_steps() {
    let bare =
        |step: &str| of_rule(&oil(&format!("  100 % jojoba oil\n\nstep {step}\n")), "unit-unknown").len();
    for step in [
        "cool to 40",
        "heat to 75 and hold 20 min",
        "warm to 40 degrees; stir",
        "heat everything to 75; fill",
    ] {
        assert_eq!(bare(step), 1, "{step}");
    }
    for step in [
        "cool to 40 °C",
        "heat to 75 C for 20 min",
        "warm to 104 degrees F",
        "cool; adjust pH to 5.3",
        "cool below 40°C; stir at 300 rpm",
        "heat for 20 min",
        "cool to room temperature; fill to 50 mL",
        "heat in 2 to 3 goes",
        "adjust to 50 g",
    ] {
        assert_eq!(bare(step), 0, "{step}");
    }
}

#[test]
fn allows_read_british_and_american() {
    let text =
        "formula Trial\nallow TOTAL-not-100 because it is a trial\n  60 % shea butter\n  30 % jojoba oil\n";
    assert_eq!(told(text), Vec::<String>::new());
    assert!(rule("Ingredient-Unknown").is_some());
}

#[test]
fn a_market_whose_figures_are_not_known() {
    let sheet = |market: &str, line: &str| {
        format!("formula Trial\nproduct body oil\nmarket {market}\n  99 % jojoba oil\n  1 % {line}\n")
    };
    let count = |market: &str, line: &str| of_rule(&sheet(market, line), "law-not-known").len();
    assert_eq!(count("UK, EU", "phenoxyethanol"), 1);
    assert_eq!(count("JP", "phenoxyethanol"), 1);
    assert_eq!(count("EU, US", "phenoxyethanol"), 0);
    assert_eq!(count("UK", "squalane"), 0);
    assert_eq!(count("UK", "oil of seven valleys"), 0);
}

/// Old text files end their lines with a lone CR: lines are lines all the same.
#[test]
fn lone_carriage_returns_end_lines() {
    let text =
        "formula Trial\nproduct cream, face\n5 % x\n1,000 g glycerin\nvarsion 2\n\nrecord 7\nof Trial\n";
    let lines = |text: &str| {
        let page = crate::page_on(text, crate::LAW_DAY);
        let place = |at| page.place(at, desk::Encoding::Utf8);
        page.findings()
            .iter()
            .map(|finding| format!("{} {:?} {}", finding.rule, place(finding.span.start), finding.message))
            .collect::<Vec<_>>()
    };
    assert!(lines(text).len() >= 3);
    assert_eq!(lines(&text.replace('\n', "\r")), lines(text));
    assert_eq!(lines(&text.replace('\n', "\r\n")), lines(text));
}

#[test]
fn foreign_blanks_are_replaced_and_then_all_reads() {
    for line in [
        "\u{3000}\u{3000}40\u{3000}% jojoba oil",
        "\u{200b}40 % jojoba\u{2060} oil",
        "40 % jo\u{ad}jo\u{ad}ba oil",
    ] {
        let text = format!("formula Balm\nproduct balm\n60 % shea butter\n{line}\n");
        let mut found = crate::findings(&text);
        found.retain(|finding| finding.level > desk::Level::Hint);
        let [finding] = found.as_slice() else { panic!("{line:?}: {found:?}") };
        assert_eq!(finding.rule, "line-unreadable");
        let [fix] = finding.fixes.as_slice() else { panic!("{line:?}: no fix") };
        assert_eq!(fix.safety, desk::Safety::Judgement);
        let mended = fix.edits.apply(&text);
        assert_eq!(crate::findings(&mended).len(), 0, "{mended:?}: {:?}", crate::findings(&mended));
    }
}
