//! What the rules of arithmetic say, and what they leave alone.

use super::*;

/// One finding on the arithmetic for a sheet in grams with things nobody weighed.
#[test]
fn grams_with_drops_and_a_preservative() {
    let text = "formula Backyard cream\nproduct cream, body\nbatch 200 g\npH 5.0 to 5.5\n\
                148 g purified water\n20 g sunflower oil\n8 g shea butter\n8 g glyceryl stearate (and) PEG-100 stearate\n4 g cetyl alcohol\n\
                a preservative\n10 drops sweet orange oil\n6 drops tocopherol\n";
    assert_eq!(
        says(text, "total-not-batch"),
        [
            "named lines reach 188 g of 200 g; 12 g left, 3 lines have no weight: a preservative, sweet orange oil, tocopherol"
        ]
    );
    for silent in [
        "drops-not-weight",
        "amount-missing",
        "amount-unweighable",
        "total-not-100",
        "units-mixed",
        "weight-unknown",
    ] {
        assert!(says(text, silent).is_empty(), "{silent}");
    }
    let more = text.replace("148 g", "188 g");
    assert_eq!(
        says(&more, "total-not-batch"),
        [
            "the lines come to 228 g: 28 g more than the batch of 200 g; 3 lines have no weight: a preservative, sweet orange oil, tocopherol"
        ]
    );
}

#[test]
fn rounded_sheets_are_right() {
    for lines in [
        "33.3 % jojoba oil\n33.3 % apricot kernel oil\n33.3 % sunflower oil\n",
        "33 1/3 % jojoba oil\n33 1/3 % apricot kernel oil\n33 1/3 % sunflower oil\n",
        // Seven lines rounded to two decimals: 99.98.
        "14.28 % jojoba oil\n14.28 % apricot kernel oil\n14.28 % sunflower oil\n14.28 % castor oil\n14.29 % shea butter\n\
         14.28 % cocoa butter\n14.29 % beeswax\n",
        "batch 500 g\n166.7 g jojoba oil\n166.7 g apricot kernel oil\n166.7 g sunflower oil\n",
        "8 oz jojoba oil\n8 oz shea butter\nbatch 1 lb\n",
        "8 oz jojoba oil\n8 oz shea butter\nbatch 454 g\n",
    ] {
        sums_up(&format!("formula T\nproduct premix\n{lines}"));
    }
    for (lines, said) in [
        (
            "33 % jojoba oil\n33 % apricot kernel oil\n33 % sunflower oil\n",
            "the lines add up to 99 %: 1 % is missing",
        ),
        ("50 % jojoba oil\n50.2 % sunflower oil\n", "the lines add up to 100.2 %: 0.2 % too much"),
    ] {
        assert_eq!(says(&format!("formula T\nproduct premix\n{lines}"), "total-not-100"), [said]);
    }
}

/// A spoon or a mug is no error of the total.
#[test]
fn spoons_do_not_break_the_total() {
    sums_up(
        "formula T\nproduct scrub\nbatch 250 g\n150 g sucrose\n80 g sunflower oil\n1 tbsp sweet almond oil\n1 tsp castor oil\n",
    );
    let text = "formula T\nproduct scrub\nbatch 350 g\n150 g sucrose\n80 g sunflower oil\n1 tbsp sweet almond oil\n1 tsp castor oil\n";
    assert_eq!(says(text, "total-not-batch").len(), 1);
}

#[test]
fn no_room_and_two_balances() {
    let head = "formula T\nproduct premix\n";
    for (lines, expected) in [
        ("to 100 % jojoba oil\n60 % beeswax\n45 % shea butter\n", vec!["nothing-left-to-100 error"]),
        ("to 100 % jojoba oil\n60 % beeswax\n40 % shea butter\n", vec!["nothing-left-to-100 error"]),
        ("to 100 % jojoba oil\nto 100 % beeswax\n40 % shea butter\n", vec!["to-100-twice error"]),
        ("to 100 % jojoba oil\nto 100 % beeswax\n140 % shea butter\n", vec!["nothing-left-to-100 error"]),
        ("to 500 g jojoba oil\n515 g beeswax\n", vec!["nothing-left-to-100 error"]),
        ("to 100 % jojoba oil\n60 g beeswax\n", vec!["units-mixed error"]),
    ] {
        assert_eq!(told(&format!("{head}{lines}")), expected, "{lines}");
    }
    assert_eq!(
        says(&format!("{head}to 500 g jojoba oil\n515 g beeswax\n"), "nothing-left-to-100"),
        ["nothing is left for jojoba oil: the other lines add up to 515 g, 15 g more than 500 g"]
    );
}

#[test]
fn units_beside_each_other() {
    let text = "formula T\nproduct premix\n60 % jojoba oil\n20 % shea butter\n40 g beeswax\n";
    assert_eq!(
        says(text, "units-mixed"),
        [
            "percents (jojoba oil and shea butter) and weights (beeswax) stand side by side, and no batch joins them"
        ]
    );
    sums_up("formula T\nproduct premix\nbatch 200 g\n60 % jojoba oil\n20 % shea butter\n40 g beeswax\n");
    sums_up("formula T\nproduct premix\n60 g jojoba oil\n2 oz shea butter\n");
}

#[test]
fn phases_that_add_up_by_themselves() {
    let two = "formula T\nproduct premix\nphase A\n70 % jojoba oil\n30 % shea butter\nphase B\n80 % beeswax\n20 % candelilla wax\n";
    assert_eq!(
        says(two, "percent-base-mixed"),
        [
            "phases A and B each add up to 100 % by themselves, the formula to 200 %: were they meant in percent of the phase?"
        ]
    );
    assert_eq!(told(two), ["percent-base-mixed warning"]);
    // A little on top of a full phase is a slip of the total.
    let slip =
        "formula T\nproduct premix\nphase A\n70 % jojoba oil\n30 % shea butter\nphase B\n1 % tocopherol\n";
    assert_eq!(told(slip), ["total-not-100 error"]);
    let relative = "formula T\nproduct premix\nphase A\nto 100 % jojoba oil\nphase B\n80 % of B beeswax\n20 % of B candelilla wax\n";
    assert_eq!(told(relative), ["percent-base-mixed warning"]);
    let nowhere = "formula T\nproduct premix\nphase A\nto 100 % jojoba oil\n10 % of Z beeswax\n";
    assert_eq!(says(nowhere, "percent-base-mixed"), ["10 % of Z beeswax: the formula has no phase Z"]);
    let all = "formula T\nproduct premix\nphase A\nto 100 % jojoba oil\nphase B\n10 % shea butter\n80 % of B beeswax\n20 % of B candelilla wax\n";
    assert_eq!(told(all), ["percent-base-mixed warning"]);
}

#[test]
fn small_weights() {
    let text = |around: &str, batch: &str, line: &str| {
        format!("{around}formula T\nproduct premix\n{batch}to 100 % jojoba oil\n{line}\n")
    };
    let scales = "workshop W\nscales 0.01 g\n\n";
    for (around, batch, line, level) in [
        (scales, "batch 100 g\n", "0.1 % tocopherol", Some("note")),
        (scales, "batch 200 g\n", "0.1 % tocopherol", None),
        (scales, "batch 100 g\n", "0.1 % phenoxyethanol", Some("warning")),
        ("", "batch 100 g\n", "0.1 % phenoxyethanol", Some("hint")),
        (scales, "", "0.1 % phenoxyethanol", None),
        ("workshop W\nscales 0.001 g\n\n", "batch 100 g\n", "0.1 % phenoxyethanol", None),
    ] {
        let text = text(around, batch, line);
        let levels: Vec<&str> = findings(&text)
            .iter()
            .filter(|f| f.rule == "too-small-to-weigh")
            .map(|f| f.level.word())
            .collect();
        assert_eq!(levels, level.into_iter().collect::<Vec<_>>(), "{text}");
    }
    let found = findings(&text(scales, "batch 50 g\n", "0.1 % phenoxyethanol"));
    let found = found.iter().find(|f| f.rule == "too-small-to-weigh").expect("found");
    assert_eq!(
        found.message,
        "0.05 g of phenoxyethanol is 5 steps of scales that show 0.01 g: weighed to 20 % at best"
    );
    let help = found.help.clone().unwrap_or_default();
    let coarse = text("workshop W\nscales 1 g\n\n", "batch 100 g\n", "0.002 % retinol");
    assert_eq!(
        says(&coarse, "too-small-to-weigh"),
        ["0.002 g of retinol is less than one step of scales that show 1 g"]
    );
    assert!(
        help.starts_with(
            "Make at least 200 g; or weigh it on scales that show 0.001 g; or dilute it to 10 %"
        ),
        "{help}"
    );
    assert!(help.ends_with("and weigh 0.5 g."), "{help}");
}

#[test]
fn far_outside_every_use() {
    let watery = "formula T\nproduct lotion, body\npH 5 to 5.5\nto 100 % purified water\n1 % phenoxyethanol (and) ethylhexylglycerin\n";
    for (text, expected) in [
        (format!("{watery}3 % disodium EDTA\n"), 1),
        (format!("{watery}1 % disodium EDTA\n"), 0),
        (format!("{watery}0.004 % disodium EDTA\n"), 1),
        (format!("{watery}q.s. disodium EDTA\n"), 0),
        (watery.replace("lotion", "mask") + "3 % disodium EDTA\n", 0),
        (watery.replace("product lotion, body\n", "") + "3 % disodium EDTA\n", 1),
        ("formula T\nproduct bath salts\nto 100 % sea salt\n40 % magnesium sulfate\n".to_owned(), 0),
        ("formula T\nproduct balm\nto 100 % jojoba oil\n20 % tocopherol\n".to_owned(), 1),
        ("formula T\nproduct body oil\nto 100 % jojoba oil\n60 % squalane\n".to_owned(), 0),
        (
            "formula T\nproduct body butter\nto 100 % shea butter\n30 % cetyl alcohol\n20 % jojoba oil\n"
                .to_owned(),
            0,
        ),
    ] {
        let said = says(&text, "amount-implausible");
        assert_eq!(said.len(), expected, "{text}{said:?}");
    }
}

#[test]
fn strengths() {
    let head = "formula T\nproduct premix\nto 100 % purified water\n";
    for (line, expected) in [
        ("10 % cocamidopropyl betaine", 1),
        ("10 % cocamidopropyl betaine; strength 30 %", 0),
        ("10 % cocamidopropyl betaine 30 %", 0),
        ("3 % sodium lactate", 1),
        ("3 % sodium lactate 60 %", 0),
        ("q.s. lactic acid; to pH 5", 0),
        ("2 % panthenol", 0),
        ("5 % honey", 0),
        ("20 % aloe vera juice", 0),
        ("20 % witch hazel distillate", 0),
        ("1 % snail mucin", 0),
        ("1 % vinegar", 0),
        ("5 % milk", 0),
        ("3 % sodium lauroyl sarcosinate", 0),
        ("1 % sodium benzoate (and) potassium sorbate", 0),
        ("1 % lactobacillus ferment", 0),
    ] {
        assert_eq!(says(&format!("{head}{line}\n"), "strength-unstated").len(), expected, "{line}");
    }
    let own = format!("ingredient cocamidopropyl betaine\nwater 62 %\n\n{head}10 % cocamidopropyl betaine\n");
    assert!(says(&own, "strength-unstated").is_empty());
}

#[test]
fn variants_that_no_longer_add_up() {
    let parent = "formula T\nproduct premix\n60 % jojoba oil\n20 % shea butter\n20 % beeswax\n\n";
    let light = format!("{parent}variant light\nomit shea butter\n");
    assert_eq!(
        says(&light, "variant-total"),
        ["the lines of this variant add up to 80 %: 20 % goes nowhere; left out: shea butter 20 %"]
    );
    assert_eq!(told(&light), ["variant-total warning"]);
    let fixed = findings(&light).into_iter().find_map(|f| f.fixes.first().map(|fix| fix.edits.apply(&light)));
    assert_eq!(fixed, Some(format!("{light}set jojoba oil to 80 %\n")));
    for (changes, expected) in [
        ("variant v\nomit shea butter\nset jojoba oil to 80 %\n", vec![]),
        ("variant v\nreplace shea butter with cocoa butter\n", vec![]),
        ("variant v\nreplace shea butter with 25 % cocoa butter\n", vec!["variant-total warning"]),
        (
            "variant v\nadd 5 % cocoa butter to A\n",
            vec!["variant-target-missing warning", "variant-total warning"],
        ),
        (
            "variant v\nomit shea butter\nvariant w\nset beeswax to 25 %\nvariant both: v, w\n",
            vec!["variant-total warning", "variant-total warning"],
        ),
        ("variant v\nomit mango\n", vec!["variant-target-missing warning"]),
    ] {
        let mut said = told(&format!("{parent}{changes}"));
        said.sort();
        assert_eq!(said, expected, "{changes}");
    }
    // The parent is off itself: told there, once.
    let off = format!("{}variant v\nomit shea butter\n", parent.replace("60 %", "50 %"));
    assert_eq!(told(&off), ["total-not-100 error"]);
    // A balance takes what is left in every variant.
    sums_up(&format!("{}variant v\nomit shea butter\n", parent.replace("60 %", "to 100 %")));
    assert_eq!(
        percent(
            &variant(&format!("{}variant v\nomit shea butter\n", parent.replace("60 %", "to 100 %")), "v"),
            "jojoba oil"
        ),
        "80"
    );
    // Another batch of the same weights is no other formula.
    sums_up(
        "formula T\nproduct premix\nbatch 100 g\n60 g jojoba oil\n40 g shea butter\n\nvariant large\nset batch to 1 kg\n",
    );
}

#[test]
fn half_written_sheets() {
    for text in [
        "formula T\n",
        "formula T\nproduct balm\n",
        "formula T\nproduct balm\nto 100 %\n",
        "formula T\nproduct balm\nbatch 0 g\n0 g jojoba oil\n0 % beeswax\n0 parts shea butter\n",
        "formula T\nbatch 200 g\n10 drops\n",
        "formula T\n0 % of oils jojoba oil\n0 % of A beeswax\n100 % of oils shea butter\n",
        "formula T\nphase A\n100 % of A jojoba oil\nto 100 % beeswax\n",
        "formula T\nto 0 g beeswax\n5 g shea butter\n0 g = 0 % jojoba oil\n",
        "ingredient x\ndensity 0 g/mL\ndrop 0 mg\n\nformula T\ndensity 0 g/mL\n5 mL x\n5 % w/v x\n5 % v/v x\n3 drops x\n5 IU x; strength 0 IU/g\n",
    ] {
        let _ = findings(text);
    }
}
