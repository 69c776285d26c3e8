//! Figures of standards, handbooks and worked examples, the source beside each.

use super::*;

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
