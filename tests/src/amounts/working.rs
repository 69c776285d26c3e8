//! How relative amounts, parts, ranges, packs and premixes are worked out.

use super::*;

/// Percents of a phase's final weight: 10 % of B beside 36 % in B is 4 % of the whole.
#[test]
fn percent_of_a_phase() {
    let head = "formula T\nproduct premix\n";
    let of_b = formula(&format!(
        "{head}phase A\nto 100 % jojoba oil\nphase B\n36 % shea butter\n10 % of B beeswax\n"
    ));
    assert_eq!(percent(&of_b, "beeswax"), "4");
    assert_eq!(percent(&of_b, "jojoba oil"), "60");
    // The phase that takes the balance: A is 100 − 30 = 70, of which 10 % are 7.
    let of_a = formula(&format!(
        "{head}phase A\nto 100 % jojoba oil\n10 % of A beeswax\nphase B\n30 % shea butter\n"
    ));
    assert_eq!(percent(&of_a, "beeswax"), "7");
    assert_eq!(percent(&of_a, "jojoba oil"), "63");
    // Two phases of which each holds such a line.
    let both = formula(&format!(
        "{head}phase A\nto 100 % jojoba oil\n10 % of A beeswax\nphase B\n36 % shea butter\n10 % of B candelilla wax\n"
    ));
    assert_eq!(percent(&both, "candelilla wax"), "4");
    assert_eq!(percent(&both, "beeswax"), "6");
    assert_eq!(percent(&both, "jojoba oil"), "54");
    // In grams without a batch: 90 g in B, and a tenth of B's final weight on top.
    let grams_ =
        formula(&format!("{head}phase A\n100 g jojoba oil\nphase B\n90 g shea butter\n10 % of B beeswax\n"));
    assert_eq!(grams(&grams_, "beeswax"), "10");
    assert_eq!(percent(&grams_, "jojoba oil"), "50");
    assert_eq!(grams_.totals.named.data(), "200");
}

/// Percents of the oils: of all lines soluble in oil; emulsifiers are none.
#[test]
fn percent_of_the_oils() {
    let head = "formula T\nproduct premix\n";
    let watery = formula(&format!(
        "{head}to 100 % purified water\n12 % jojoba oil\n8 % shea butter\n25 % of oils glyceryl stearate (and) PEG-100 stearate\n"
    ));
    assert_eq!(percent(&watery, "glyceryl stearate (and) PEG-100 stearate"), "5");
    assert_eq!(percent(&watery, "purified water"), "75");
    // The balance is an oil: oils + a quarter of them = 75 %, so they are 60 % and the emulsifier 15 %.
    let oily = formula(&format!(
        "{head}25 % purified water\nto 100 % jojoba oil\n20 % shea butter\n25 % of oils glyceryl stearate (and) PEG-100 stearate\n"
    ));
    assert_eq!(percent(&oily, "glyceryl stearate (and) PEG-100 stearate"), "15");
    assert_eq!(percent(&oily, "jojoba oil"), "40");
    // An oil that is itself a percent of its phase: B = 18 / 0.9 = 20, all of it oil.
    let nested = formula(&format!(
        "{head}phase A\nto 100 % purified water\n25 % of oils glyceryl stearate (and) PEG-100 stearate\n\
         phase B\n18 % jojoba oil\n10 % of B beeswax\n"
    ));
    assert_eq!(percent(&nested, "beeswax"), "2");
    let oils = if line(&nested, "beeswax").functions.iter().any(|f| f.starts_with("emulsifier")) {
        "4.5"
    } else {
        "5"
    };
    assert_eq!(percent(&nested, "glyceryl stearate (and) PEG-100 stearate"), oils);
}

#[test]
fn parts() {
    let head = "formula T\nproduct premix\n";
    let alone = formula(&format!("{head}3 parts jojoba oil\n2 parts shea butter\n1 part beeswax\n"));
    assert_eq!(percent(&alone, "jojoba oil"), "50");
    assert_eq!(percent(&alone, "beeswax"), "16.6666666667");
    let beside = formula(&format!("{head}10 % beeswax\n2 parts jojoba oil\n1 part shea butter\n"));
    assert_eq!(percent(&beside, "jojoba oil"), "60");
    assert_eq!(percent(&beside, "shea butter"), "30");
    let batch =
        formula(&format!("{head}batch 300 g\n30 g beeswax\n2 parts jojoba oil\n1 part shea butter\n"));
    assert_eq!(grams(&batch, "jojoba oil"), "180");
    // The trade's own way: so many parts to make a hundred.
    let hundred = format!("{head}5 parts beeswax\n15 parts shea butter\nto 100 parts jojoba oil\n");
    assert_eq!(percent(&formula(&hundred), "jojoba oil"), "80");
    sums_up(&hundred);
    let full = format!("{head}60 % beeswax\n45 % jojoba oil\n2 parts shea butter\n");
    assert_eq!(
        says(&full, "nothing-left-to-100"),
        ["nothing is left for the parts: the other lines add up to 105 %, 5 % more than 100 %"]
    );
    let weights = format!("{head}60 g beeswax\n2 parts shea butter\n");
    assert_eq!(says(&weights, "units-mixed").len(), 1);
    assert_eq!(percent(&formula(&weights), "shea butter"), "none");
}

/// Totals take the middle; the balance gets what is left at each end.
#[test]
fn ranges() {
    let text = "formula T\nproduct premix\nto 100 % jojoba oil\n4 to 6 % beeswax\n10 ± 1 % shea butter\nup to 2 % tocopherol\nabout 3 % cetyl alcohol\n";
    let formula_ = formula(text);
    assert_eq!(percent(&formula_, "beeswax"), "5");
    assert_eq!(percents(&formula_, "beeswax"), ("4".into(), "6".into()));
    assert_eq!(percents(&formula_, "shea butter"), ("9".into(), "11".into()));
    assert_eq!(percents(&formula_, "tocopherol"), ("0".into(), "2".into()));
    assert_eq!(percent(&formula_, "jojoba oil"), "80");
    assert_eq!(percents(&formula_, "jojoba oil"), ("78".into(), "84".into()));
    // Some choice within the range adds up: no error. None does: an error, at the middle.
    sums_up("formula T\nproduct premix\n90 % jojoba oil\n8 to 10 % beeswax\n");
    let off = "formula T\nproduct premix\n90 % jojoba oil\n4 to 6 % beeswax\n";
    assert_eq!(says(off, "total-not-100"), ["the lines add up to 95 %: 5 % is missing"]);
}

#[test]
fn adjusters_with_an_end_point() {
    let head = "formula T\nproduct premix\n";
    let about = formula(&format!("{head}to 100 % purified water\nq.s. citric acid; to pH 5; about 0.3 %\n"));
    assert_eq!(percent(&about, "citric acid"), "0.3");
    assert_eq!(percent(&about, "purified water"), "99.7");
    let plain = formula(&format!("{head}to 100 % purified water\nq.s. citric acid; to pH 5\n"));
    assert_eq!(percent(&plain, "citric acid"), "0");
    assert_eq!(percent(&plain, "purified water"), "100");
    for lines in [
        "99.7 % purified water\nq.s. citric acid; to pH 5; about 0.3 %\n",
        "100 % purified water\nq.s. citric acid; to pH 5; about 0.3 %\n",
        "99.5 % purified water\nq.s. citric acid; to pH 5\n",
        "100 % purified water\nq.s. citric acid; to pH 5\n",
    ] {
        sums_up(&format!("{head}{lines}"));
    }
    let far = format!("{head}98 % purified water\nq.s. citric acid; to pH 5\n");
    assert_eq!(says(&far, "total-not-100"), ["the lines add up to 98 %: 2 % is missing"]);
}

#[test]
fn both_a_weight_and_a_percent() {
    let head = "formula T\nproduct premix\n";
    let text = format!("{head}to 100 % jojoba oil\n30 g = 6 % beeswax\n20 g shea butter\n");
    let both = formula(&text);
    assert_eq!(both.totals.batch_grams.as_ref().map(Exact::data).as_deref(), Some("500"));
    assert_eq!(percent(&both, "shea butter"), "4");
    assert_eq!(grams(&both, "jojoba oil"), "450");
    sums_up(&text);
    for (lines, finding) in [
        ("batch 500 g\nto 100 % jojoba oil\n30 g = 6 % beeswax\n", None),
        // 33 g of 500 g are 6.6 %: rounded, not wrong.
        ("batch 500 g\nto 100 % jojoba oil\n33 g = 6.7 % beeswax\n", None),
        ("to 500 g jojoba oil\n33 g = 6.7 % beeswax\n", None),
        (
            "batch 400 g\nto 100 % jojoba oil\n30 g = 6 % beeswax\n",
            Some("30 g = 6 % says a batch of 500 g, the batch line says 400 g"),
        ),
        (
            "30 g = 6 % beeswax\n20 g = 10 % shea butter\nto 100 % jojoba oil\n",
            Some("20 g = 10 % says a batch of 200 g, another line says 500 g"),
        ),
        ("1 oz = 28.35 g beeswax\n100 g jojoba oil\n", None),
    ] {
        let said = says(&format!("{head}{lines}"), "units-mixed");
        assert_eq!(said, finding.into_iter().collect::<Vec<_>>(), "{lines}");
    }
    // The balance line's own whole stands before what a rounded pair comes to.
    let exactly = formula(&format!("{head}30 g = 6.1 % beeswax\nto 500 g jojoba oil\n10 g shea butter\n"));
    assert_eq!(percent(&exactly, "shea butter"), "2");
}

/// A batch in packs: 24 jars of 45 g are 1080 g; by volume it needs the density.
#[test]
fn batches_in_packs() {
    let lines = "to 100 % jojoba oil\n0.5 % tocopherol\n";
    for (header, batch, tocopherol) in [
        ("batch 24 jars\npack 50 mL jar; net 45 g\n", "1080", "5.4"),
        ("batch 24 jars\npack 50 mL jar\ndensity 0.9 g/mL\n", "1080", "5.4"),
        ("batch 1 L\ndensity 0.92 g/mL\n", "920", "4.6"),
        ("batch 2 lb\n", "907.18474", "4.5359237"),
    ] {
        let formula = formula(&format!("formula T\nproduct premix\n{header}{lines}"));
        assert_eq!(formula.batch_grams().map(Exact::data).as_deref(), Some(batch), "{header}");
        assert_eq!(grams(&formula, "tocopherol"), tocopherol, "{header}");
    }
    let unknown = formula(&format!("formula T\nproduct premix\nbatch 24 jars\npack 50 mL jar\n{lines}"));
    assert_eq!(unknown.batch_grams(), None);
}

/// 50 ppm = 0.005 %; in 200 g that is 10 mg.
#[test]
fn parts_per_million() {
    let formula = formula("formula T\nproduct premix\nbatch 200 g\nto 100 % jojoba oil\n50 ppm tocopherol\n");
    assert_eq!(percent(&formula, "tocopherol"), "0.005");
    assert_eq!(grams(&formula, "tocopherol"), "0.01");
}

/// International units with a strength: 20 000 IU at 1 700 000 IU/g are 11.7647… mg.
#[test]
fn international_units() {
    let text = "formula T\nproduct premix\nbatch 100 g\nto 100 g jojoba oil\n20000 IU retinyl palmitate; strength 1700000 IU/g\n";
    assert_eq!(grams(&formula(text), "retinyl palmitate"), "0.0117647058824");
}

/// % w/v is grams in 100 mL of the product: at 1.25 g/mL, 5 % w/v is 4 % by weight; 10 % v/v of an oil of 0.9 is 7.2 %.
#[test]
fn percent_by_volume() {
    let text = "ingredient flask oil\ndensity 0.9 g/mL\n\nformula T\nproduct premix\ndensity 1.25 g/mL\n\
                to 100 % purified water\n5 % w/v glycerin\n10 % v/v flask oil\n";
    let formula_ = formula(text);
    assert_eq!(percent(&formula_, "glycerin"), "4");
    assert_eq!(percent(&formula_, "flask oil"), "7.2");
    assert_eq!(percent(&formula_, "purified water"), "88.8");
    sums_up(text);
    let mixed = "formula T\nproduct premix\nto 100 % purified water\n5 % w/v glycerin\n2 % propanediol\n";
    assert_eq!(told(mixed), ["percent-base-mixed warning"]);
    let volume = "formula T\nproduct premix\ndensity 1.05 g/mL\nto 100 mL purified water\n5 g glycerin\n";
    assert_eq!(percent(&formula(volume), "glycerin"), "4.7619047619");
    let nothing = "formula T\nproduct premix\nto 100 mL purified water\n5 g glycerin\n";
    assert_eq!(told(nothing), ["units-mixed error"]);
}

/// A percent in a premix, through include: 13 % of a base with 0.5 % tocopherol is 0.065 %.
#[test]
fn through_a_premix() {
    let text = "formula Soft base\nproduct premix\nto 100 % jojoba oil\n0.5 % tocopherol\n\n\
                formula Balm\nproduct balm\ninclude test.formula#Soft base as soft base\n13 % soft base\nto 100 % shea butter\n";
    assert_eq!(substance(&formula(text), "tocopherol"), "0.065");
    assert_eq!(substance(&formula(text), "jojoba oil"), "12.935");
    let spoon = text
        .replace("formula Soft base\n", "formula Soft base\ndensity 0.9 g/mL\n")
        .replace("13 % soft base\nto 100 %", "10 mL soft base\nto 100 g");
    assert_eq!(grams(&formula(&spoon), "soft base"), "9");
}

/// Drops: 33 mg each for essential oils (Tisserand Institute, trials of 1999, 2000 and 2016), ± 50 %; the maker's own
/// figure is a weight.
#[test]
fn drops() {
    let lines = "to 100 g jojoba oil\n10 drops lavender oil\n";
    let guessed = formula(&format!("formula T\nproduct premix\n{lines}"));
    let weight = line(&guessed, "lavender oil").grams.clone().expect("grams");
    assert_eq!(
        (weight.low.data(), weight.mid.data(), weight.high.data()),
        ("0.165".into(), "0.33".into(), "0.495".into())
    );
    assert_eq!(guessed.totals.open.len(), 1);
    let own = formula(&format!("ingredient lavender oil\ndrop 31 mg\n\nformula T\nproduct premix\n{lines}"));
    assert_eq!(grams(&own, "lavender oil"), "0.31");
    assert!(own.totals.open.is_empty());
    let house = formula(&format!("workshop W\ndrops 40 per g\n\nformula T\nproduct premix\n{lines}"));
    assert_eq!(grams(&house, "lavender oil"), "0.25");
    // Wherever the drops stand, the weights around them join them.
    for lines in ["3 drops lavender oil\n100 g jojoba oil\n", "100 g jojoba oil\n3 drops lavender oil\n"] {
        let said = says(&format!("formula T\nproduct premix\n{lines}"), "drops-not-weight");
        assert_eq!(said.len(), 1);
        assert!(said.iter().all(|m| m.contains("0.099 g (0.0495 g to 0.148 g)")), "{said:?}");
    }
    // Percents and no batch: no weight, and nothing guessed.
    let percents = "formula T\nproduct premix\nto 100 % jojoba oil\n3 drops lavender oil\n";
    assert_eq!(says(percents, "drops-not-weight"), ["3 drops lavender oil: drops are no weight"]);
    assert_eq!(told(percents), ["drops-not-weight warning"]);
    let short = "formula T\nproduct premix\n20 % beeswax\n5 drops lavender oil\n79 % jojoba oil\n";
    assert_eq!(told(short), ["total-not-100 error"]);
    assert_eq!(percent(&formula(percents), "lavender oil"), "none");
}
