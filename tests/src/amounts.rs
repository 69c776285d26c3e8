//! Amounts, totals and conversions, held against figures from outside: standards, handbooks, worked examples.

use crate::{LAW_DAY, findings, page_on, told};
use desk::{Basis, Exact, Formula, Item};
use std::fmt::Write as _;

/// The first formula of a text whose name is `name`, or simply the last one.
fn formula(text: &str) -> Formula {
    page_on(text, LAW_DAY).formulas().last().expect("a formula").formula.clone()
}

fn variant(text: &str, name: &str) -> Formula {
    let page = page_on(text, LAW_DAY);
    let all = page.formulas().flat_map(|resolved| resolved.variants.clone()).collect::<Vec<_>>();
    all.into_iter().find(|f| f.variant.as_ref().is_some_and(|(own, _)| own == name)).expect("the variant")
}

fn line<'a>(formula: &'a Formula, name: &str) -> &'a Item {
    formula.items.iter().find(|item| item.name == name).unwrap_or_else(|| panic!("no line {name}"))
}

/// Grams of a line, exactly.
fn grams(formula: &Formula, name: &str) -> String {
    line(formula, name).grams.as_ref().map_or_else(|| "none".to_owned(), |grams| grams.mid.data())
}

/// Percent of a line, exactly.
fn percent(formula: &Formula, name: &str) -> String {
    line(formula, name).share.as_ref().map_or_else(|| "none".to_owned(), |share| share.mid.percent().data())
}

/// Low and high percent of a line.
fn percents(formula: &Formula, name: &str) -> (String, String) {
    let share = line(formula, name).share.clone().expect("a share");
    (share.low.percent().data(), share.high.percent().data())
}

/// Percent of a substance, counted through everything that brings it.
fn substance(formula: &Formula, name: &str) -> String {
    let found = formula.substances.iter().find(|substance| substance.name == name).expect("the substance");
    found.share().mid.percent().data()
}

fn exact(text: &str) -> Exact {
    Exact::read(text).expect("a number")
}

/// `rule: message` of each finding of a rule.
fn says(text: &str, rule: &str) -> Vec<String> {
    findings(text).into_iter().filter(|f| f.rule == rule).map(|f| f.message).collect()
}

/// Nothing that this group of rules could say.
fn sums_up(text: &str) {
    let group = [
        "total-not-100",
        "total-not-batch",
        "nothing-left-to-100",
        "to-100-twice",
        "units-mixed",
        "percent-base-mixed",
        "weight-unknown",
        "variant-total",
        "variant-target-missing",
    ];
    let told: Vec<_> =
        findings(text).into_iter().filter(|f| group.contains(&f.rule)).map(|f| f.message).collect();
    assert!(told.is_empty(), "{text}{told:?}");
}

/// International yard and pound agreement of 1959; NIST Handbook 44, Appendix C; UK Units of Measurement
/// Regulations 1995; as also given by GNU units 2.22. Metric kitchen measures: 5, 15 and 250 mL by
/// common use.
#[test]
fn units_are_exact() {
    for (unit, grams_of_one) in [
        ("µg", "0.000001"),
        ("mg", "0.001"),
        ("g", "1"),
        ("kg", "1000"),
        ("oz", "28.349523125"),
        ("lb", "453.59237"),
    ] {
        let text = format!("formula T\nproduct premix\n1 {unit} jojoba oil\n");
        assert_eq!(grams(&formula(&text), "jojoba oil"), grams_of_one, "{unit}");
    }
    for (unit, millilitres) in [
        ("mL", "1"),
        ("L", "1000"),
        ("US fl oz", "29.5735295625"),
        ("US tsp", "4.92892159375"),
        ("US tbsp", "14.78676478125"),
        ("US cup", "236.5882365"),
        ("imperial fl oz", "28.4130625"),
        ("metric tsp", "5"),
        ("metric tbsp", "15"),
        ("metric cup", "250"),
        ("imperial tsp", "5.91938802083"),
        ("imperial tbsp", "17.7581640625"),
        ("imperial cup", "284.130625"),
    ] {
        let text = format!(
            "ingredient flask oil\ndensity 1 g/mL\n\nformula T\nproduct premix\n1 {unit} flask oil\n"
        );
        assert_eq!(grams(&formula(&text), "flask oil"), millilitres, "{unit}");
    }
}

/// Whose spoon: the unit's own word, else the workshop, else the market, else metric.
#[test]
fn whose_measures() {
    let own = "ingredient flask oil\ndensity 1 g/mL\n\n";
    for (around, market, unit, expected) in [
        ("", "", "cup", "250"),
        ("", "market US\n", "cup", "236.5882365"),
        ("", "market EU, US\n", "cup", "250"),
        ("", "market UK\n", "fl oz", "28.4130625"),
        ("", "market UK\n", "tsp", "5"),
        ("workshop W\nmeasures imperial\n\n", "market US\n", "cup", "284.130625"),
        ("workshop W\nmeasures imperial\n\n", "market US\n", "US cup", "236.5882365"),
        ("workshop W\nmeasures metric\n\n", "", "fl oz", "29.5735295625"),
        ("workshop W\nmeasures imperial\n\n", "", "fl oz", "28.4130625"),
    ] {
        let text = format!("{own}{around}formula T\nproduct premix\n{market}1 {unit} flask oil\n");
        assert_eq!(grams(&formula(&text), "flask oil"), expected, "{around}{market}{unit}");
    }
    for (around, market, expected) in [
        ("", "", "and a metric teaspoon of 5 mL, since neither `measures` nor a market is said"),
        ("", "market US\n", "and a US teaspoon of 4.93 mL, by the market US"),
        (
            "workshop W\nmeasures imperial\n\n",
            "market US\n",
            "and an imperial teaspoon of 5.92 mL, by the workshop's measures",
        ),
    ] {
        let text = format!("{own}{around}formula T\nproduct premix\n{market}1 tsp flask oil\n");
        let said = says(&text, "volume-not-weight");
        assert!(said.len() == 1 && said.iter().all(|m| m.ends_with(expected)), "{said:?}");
    }
}

/// Fahrenheit: 32 °F = 0 °C, 212 °F = 100 °C, −40 is the same (NIST SP 811, Appendix B).
#[test]
fn fahrenheit_is_exact() {
    for (written, celsius) in
        [("32 °F", "0"), ("212 °F", "100"), ("167 °F", "75"), ("100 °F", "37.7777777778")]
    {
        let text = format!("formula T\nproduct premix\nphase A; heat to {written}\n100 % jojoba oil\n");
        let formula = formula(&text);
        let phase = formula.phases.first().expect("a phase");
        assert_eq!(phase.heat.as_ref().map(|(value, _)| value.data()).as_deref(), Some(celsius), "{written}");
    }
}

/// US Army Subcourse MD0802 (armymedical.tpub.com), the example of quantity sufficient: zinc oxide
/// 14 g, sulfur 4 g, mineral oil 8 mL (specific gravity 0.85), white petrolatum q.s. ad 100 g.
#[test]
fn quantity_sufficient_to_100_g() {
    let text = "ingredient mineral oil\ndensity 0.85 g/mL\n\n\
                formula Ointment\nproduct ointment\n14 g zinc oxide\n4 g sulfur\n8 mL mineral oil\nto 100 g white petrolatum\n";
    let formula = formula(text);
    assert_eq!(grams(&formula, "mineral oil"), "6.8");
    assert_eq!(grams(&formula, "white petrolatum"), "75.2");
    assert_eq!(percent(&formula, "zinc oxide"), "14");
    sums_up(text);
}

/// US Army Subcourse MD0802 (armymedical.tpub.com), specific gravity: 45 g of glycerin at 1.25 are 36 mL; 240 mL of
/// light liquid petrolatum at 0.81 weigh 194.4 g.
#[test]
fn specific_gravity() {
    for (density, millilitres, weight) in [("1.25", "36", "45"), ("0.81", "240", "194.4")] {
        let text = format!(
            "ingredient flask liquid\ndensity {density} g/mL\n\nformula T\nproduct premix\n{millilitres} mL flask liquid\n"
        );
        assert_eq!(grams(&formula(&text), "flask liquid"), weight);
    }
}

/// Alligation: 600 g of zinc oxide powder to 3200 g of a 5 % ointment give one of 20 % (a problem of Ansel,
/// Pharmaceutical Calculations); 50 g of 15 % from 50 % and 5 % take 11.11 g of the stronger.
#[test]
fn alligation() {
    let base = "formula Weak ointment\nproduct premix\n5 % zinc oxide\nto 100 % petrolatum\n\n";
    let include = "formula Strong ointment\nproduct premix\ninclude test.formula#Weak ointment as weak ointment\n\
                   600 g zinc oxide\n3200 g weak ointment\n";
    assert_eq!(substance(&formula(&format!("{base}{include}")), "zinc oxide"), "20");
    let block = "ingredient weak ointment\ncontains 5 % zinc oxide\ncontains rest petrolatum\n\n";
    let direct = "formula Strong ointment\nproduct premix\n600 g zinc oxide\n3200 g weak ointment\n";
    let formula_of_block = formula(&format!("{block}{direct}"));
    assert_eq!(substance(&formula_of_block, "zinc oxide"), "20");
    assert_eq!(substance(&formula_of_block, "petrolatum"), "80");
    let blocks = "ingredient strong paste\ncontains 50 % zinc oxide\n\ningredient weak ointment\ncontains 5 % zinc oxide\n\n";
    let mixed =
        formula(&format!("{blocks}formula T\nproduct premix\n11.11 g strong paste\n38.89 g weak ointment\n"));
    // (11.11 × 0.5 + 38.89 × 0.05) / 50 = 7.4995 / 50
    assert_eq!(substance(&mixed, "zinc oxide"), "14.999");
    assert!((exact("14.999") - exact("15")).abs() < exact("0.01"));
    let exactly =
        formula(&format!("{blocks}formula T\nproduct premix\n2 parts strong paste\n7 parts weak ointment\n"));
    assert_eq!(substance(&exactly, "zinc oxide"), "15");
}

const HYDROPHILIC: [(&str, &str); 7] = [
    ("methylparaben", "0.25"),
    ("propylparaben", "0.15"),
    ("sodium lauryl sulfate", "10"),
    ("propylene glycol", "120"),
    ("stearyl alcohol", "250"),
    ("white petrolatum", "250"),
    ("purified water", "370"),
];

/// 200 g of 10 %, 50 g of 20 % and 100 g of 5 % give 350 g of 10 % (20 + 10 + 5 = 35 g); 3 parts of 20 % to 17 parts of
/// petrolatum give 3 % (Ansel, Pharmaceutical Calculations).
#[test]
fn alligation_of_several() {
    let blocks = "ingredient ten\ncontains 10 % zinc oxide\n\ningredient twenty\ncontains 20 % zinc oxide\n\n\
                  ingredient five\ncontains 5 % zinc oxide\n\n";
    let three = formula(&format!("{blocks}formula T\nproduct premix\n200 g ten\n50 g twenty\n100 g five\n"));
    assert_eq!(substance(&three, "zinc oxide"), "10");
    let thin = formula(&format!("{blocks}formula T\nproduct premix\n3 parts twenty\n17 parts petrolatum\n"));
    assert_eq!(substance(&thin, "zinc oxide"), "3");
}

/// Hydrophilic Ointment USP, as printed for 1000 g: its weights come to 1000.40 g, and nobody calls it wrong.
#[test]
fn hydrophilic_ointment() {
    let mut text = "formula Hydrophilic ointment\nproduct ointment\nbatch 1000 g\n".to_owned();
    for (name, weight) in HYDROPHILIC {
        writeln!(text, "{weight} g {name}").unwrap();
    }
    let formula_ = formula(&text);
    assert_eq!(formula_.totals.named.data(), "1000.4");
    assert_eq!(formula_.totals.basis, Basis::Weight);
    sums_up(&text);
    // A gram more of everything that is written in whole grams would be.
    let off = text.replace("370 g", "374 g");
    assert_eq!(told(&off).iter().filter(|t| t.starts_with("total-not-batch")).count(), 1);
}

/// The same for five pounds of 454 g (a university's exercise in pharmacy calculations), to 0.005 g: 0.57, 0.34, 22.70, 272.40, 567.50.
#[test]
fn scaled_to_another_batch() {
    let expected = ["0.5675", "0.3405", "22.7", "272.4", "567.5", "567.5"];
    let mut percents = "formula By percent\nproduct ointment\nbatch 2270 g\n".to_owned();
    let mut weights = "formula For a kilogram\nproduct ointment\nbatch 2270 g\n".to_owned();
    for (name, weight) in HYDROPHILIC.iter().take(6) {
        writeln!(percents, "{} % {name}", (exact(weight) * Exact::fraction(1, 10)).data()).unwrap();
        writeln!(weights, "{weight} g {name}").unwrap();
    }
    percents.push_str("to 100 % purified water\n");
    weights.push_str("to 1000 g purified water\n");
    for text in [percents, weights] {
        let formula = formula(&text);
        for ((name, _), expected) in HYDROPHILIC.iter().zip(expected) {
            assert_eq!(grams(&formula, name), expected, "{name}");
        }
        sums_up(&text);
    }
    for (exactly, printed) in expected.iter().zip(["0.57", "0.34", "22.70", "272.40", "567.50"]) {
        assert!((exact(exactly) - exact(printed)).abs() <= exact("0.005"), "{printed}");
    }
}

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

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig {
        failure_persistence: None,
        rng_seed: proptest::test_runner::RngSeed::Fixed(20_261_124),
        ..Default::default()
    })]

    /// With a balance line all shares come to exactly one and all weights to exactly the batch; and the same sheet in
    /// grams has the same shares.
    #[test]
    fn shares_come_to_one(tenths in proptest::collection::vec(1u32..90, 1..9), batch in 1u32..5000) {
        const NAMES: [&str; 9] = [
            "shea butter", "beeswax", "cocoa butter", "castor oil", "tocopherol", "squalane", "mango butter",
            "apricot kernel oil", "sunflower oil",
        ];
        let head = format!("formula T\nproduct premix\nbatch {batch} g\n");
        let (mut percents, mut weights) = (format!("{head}to 100 % jojoba oil\n"), format!("{head}to 100 g jojoba oil\n"));
        for (name, tenths) in NAMES.iter().zip(&tenths) {
            writeln!(percents, "{}.{} % {name}", tenths / 10, tenths % 10).unwrap();
            writeln!(weights, "{}.{} g {name}", tenths / 10, tenths % 10).unwrap();
        }
        let (percents, weights) = (formula(&percents), formula(&weights));
        for formula in [&percents, &weights] {
            let shares: Exact = formula.items.iter().filter_map(|item| item.mid().cloned()).sum();
            proptest::prop_assert_eq!(shares, Exact::one());
            let sum: Exact = formula.items.iter().filter_map(|item| item.grams.as_ref().map(|g| g.mid.clone())).sum();
            proptest::prop_assert_eq!(sum, Exact::whole(i64::from(batch)));
        }
        let shares = |formula: &Formula| formula.items.iter().map(|item| item.mid().cloned()).collect::<Vec<_>>();
        proptest::prop_assert_eq!(shares(&percents), shares(&weights));
    }
}
