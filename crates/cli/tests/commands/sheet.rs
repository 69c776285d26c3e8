//! `levigate sheet`

use crate::{Bench, json, keys};
use serde_json::Value;

const SHEET: &str = "\
formula Foot gel
version 3
product gel, leave-on, feet
batch 250 g
pH 4.4 to 4.8

phase A water
  to  100     %     purified water
        0.5   %     sodium benzoate

phase B; room temperature
        0.4   %     urea; strength 50 %
     q.s.           citric acid; to pH 4.6

variant half
set sodium benzoate to 0.25 %
";

#[test]
fn a_sheet_for_the_bench() {
    let ran = Bench::with(&[]).pipe(&["sheet", "-"], SHEET);
    assert_eq!((ran.status, ran.err.as_str()), (0, ""));
    insta::assert_snapshot!(ran.out, @r#"
    Foot gel, version 3
    gel, leave-on, feet · batch 250 g

                        written    %      g
    A water                       99.6  249.00
      purified water   to 100 %   99.1  247.75
      sodium benzoate     0.5 %    0.5    1.25
    B                              0.4    1.00
      urea 50 %           0.4 %    0.4    1.00
      citric acid          q.s.
    total                        100    250.00

    takes the rest    purified water 99.1 %
    free water        99.3 %
    oils              0 %
    preservation      sodium benzoate 0.5 %, as benzoic acid 0.424 %, 20.1 % of the acid undissociated at pH 4.8
    INCI, descending  Aqua, Sodium Benzoate, Urea, Citric Acid

    Foot gel, version 3, variant half
    gel, leave-on, feet · batch 250 g

                        written    %       g
    A water                       99.6   249.00
      purified water   to 100 %   99.35  248.38
      sodium benzoate    0.25 %    0.25    0.62
    B                              0.4     1.00
      urea 50 %           0.4 %    0.4     1.00
      citric acid          q.s.
    total                        100     250.00

    takes the rest    purified water 99.35 %
    free water        99.55 %
    oils              0 %
    preservation      sodium benzoate 0.25 %, as benzoic acid 0.212 %, 20.1 % of the acid undissociated at pH 4.8
    INCI, descending  Aqua, Sodium Benzoate, Urea, Citric Acid
    "#);
}

#[test]
fn a_sheet_for_scripts() {
    let bench = Bench::with(&[("gel.formula", SHEET)]);
    let report = json(&bench.run(&["sheet", "gel.formula", "--as", "json", "--batch", "2kg"]).out);
    let parent = &report["formulas"][0];
    assert_eq!(
        keys(parent),
        [
            "name",
            "version",
            "variant",
            "batch_grams",
            "total_percent",
            "balance",
            "free_water_percent",
            "oil_percent",
            "phases",
            "hlb",
            "preservation",
            "allergens",
            "ingredient_list",
            "density",
            "packs",
            "cost"
        ]
    );
    assert_eq!(parent["batch_grams"], "2000");
    assert_eq!(parent["total_percent"], "100");
    assert_eq!(parent["balance"]["percent"], "99.1");
    // 99.1 % water, and the half of the urea solution that is water.
    assert_eq!(parent["free_water_percent"], "99.3");
    let line = &parent["phases"][1]["lines"][0];
    assert_eq!(
        keys(line),
        ["name", "inci", "written", "percent", "grams", "strength_percent", "active_percent", "functions"]
    );
    assert_eq!((&line["grams"], &line["active_percent"]), (&"8".into(), &"0.2".into()));
    let salt = &parent["preservation"][0];
    assert_eq!((&salt["percent"], &salt["as_acid_percent"]), (&"0.5".into(), &"0.42373".into()));
    // 1 / (1 + 10^(4.8 - 4.20)), worked by hand: 10^0.6 = 3.98107; 1 / 4.98107 = 0.20076.
    assert_eq!(salt["undissociated_percent_at_ph"], "20.1");
    assert_eq!(parent["ingredient_list"][0], "Aqua");
    assert_eq!(parent["hlb"], Value::Null);
    let variant = &report["formulas"][1];
    assert_eq!((&variant["variant"], &variant["name"]), (&"half".into(), &"Foot gel".into()));
    assert_eq!(variant["phases"][0]["lines"][1]["grams"], "5");
}

#[test]
fn a_sheet_of_one_variant() {
    let bench = Bench::with(&[("gel.formula", SHEET), ("empty.formula", "workshop House\n")]);
    let report = json(&bench.run(&["sheet", "gel.formula", "--variant", "Half", "--as", "json"]).out);
    assert_eq!(report["formulas"].as_array().unwrap().len(), 1);
    let unknown = bench.run(&["sheet", "gel.formula", "--variant", "halv"]);
    assert_eq!(unknown.status, 2);
    assert!(unknown.err.contains("did you mean `half`?"), "{}", unknown.err);
    let none = bench.run(&["sheet", "empty.formula"]);
    assert_eq!((none.status, none.err.as_str()), (2, "levigate: empty.formula: there is no formula in it\n"));
    assert_eq!(bench.run(&["sheet", "gel.formula", "--batch", "two"]).status, 2);
}

#[test]
fn what_is_not_known_is_null() {
    let text = "formula Odd\n  60 % moonmilk\n  a pinch shea butter\n";
    let report = json(&Bench::with(&[]).pipe(&["sheet", "-", "--as", "json"], text).out);
    let odd = &report["formulas"][0];
    for key in
        ["batch_grams", "total_percent", "balance", "free_water_percent", "oil_percent", "ingredient_list"]
    {
        assert_eq!(odd[key], Value::Null, "{key}");
    }
    assert_eq!(odd["phases"][0]["letter"], Value::Null);
    assert_eq!(odd["phases"][0]["lines"][0]["percent"], "60");
}

#[test]
fn grams_are_rounded_to_the_scales_of_the_workshop() {
    let sheet = "formula Oil\nbatch 70 g\n  to 100 % jojoba oil\n  33 % squalane\n  0.01 % tocopherol\n";
    let bench =
        Bench::with(&[("oil.formula", sheet), ("workshop.formula", "workshop House\nscales 0.1 g\n")]);
    let ran = bench.run(&["sheet", "oil.formula"]);
    let lines: Vec<Vec<&str>> = ran.out.lines().map(|line| line.split_whitespace().collect()).collect();
    // 70 g x 33 % = 23.1 g; 70 g x 66.99 % = 46.893 g; 70 g x 0.01 % = 0.007 g, less than the scales can show.
    for (name, grams) in [("squalane", "23.1"), ("jojoba", "46.9"), ("tocopherol", "<0.1")] {
        let line = lines.iter().find(|line| line.first() == Some(&name)).unwrap();
        assert_eq!(line.last(), Some(&grams), "{}", ran.out);
    }
}

const PACKED: &str = "\
formula Elbow salve
product salve, leave-on, body
batch 500 g
density 0.9
pack 30 mL tin; cost 0.35 EUR
pack 60 mL tin; net 50 g

  to 100 % jojoba oil
  20 % beeswax
  5 % house oil

ingredient jojoba oil
price 20 EUR per kg

ingredient beeswax
price 7.50 EUR per 500 g

ingredient house oil
INCI Helianthus Annuus Seed Oil
function emollient
phase oil
soluble in oil
";

#[test]
fn packs_and_cost() {
    let bench = Bench::with(&[("salve.formula", PACKED)]);
    let salve = |args: &[&str]| {
        let args = [&["sheet", "salve.formula", "--as", "json"], args].concat();
        json(&bench.run(&args).out)["formulas"][0].clone()
    };
    let written = salve(&[]);
    // 30 mL x 0.9 g/mL = 27 g; 500 / 27 = 18, and 500 - 18 x 27 = 14 g. 50 g goes ten times into 500 g.
    assert_eq!(
        written["packs"],
        serde_json::json!([
            {"size_ml": "30", "filled": "18", "left_grams": "14"},
            {"size_ml": "60", "filled": "10", "left_grams": "0"}
        ])
    );
    // 375 g at 0.020 EUR/g and 100 g at 0.015 EUR/g are 9 EUR, 0.018 EUR for a gram; 27 g of it and a tin: 0.836 EUR.
    assert_eq!(
        written["cost"],
        serde_json::json!({"currency": "EUR", "batch": "9", "per_pack": "0.836", "priced": "2", "of": "3"})
    );
    assert_eq!(salve(&["--batch", "2kg"])["packs"][0]["filled"], "74");
    assert_eq!(salve(&["--batch", "2kg"])["cost"]["batch"], "36");
    // 3 % stay in the pot: 485 / 27 = 17, and 485 - 17 x 27 = 26 g; 9 x 50 g leave 35 g.
    bench.write("salve.formula", format!("{PACKED}\nworkshop Elbow room\nloss 3 %\n").as_bytes());
    assert_eq!(
        salve(&[])["packs"],
        serde_json::json!([
            {"size_ml": "30", "filled": "17", "left_grams": "26"},
            {"size_ml": "60", "filled": "9", "left_grams": "35"}
        ])
    );
    let sheet = bench.run(&["sheet", "salve.formula"]).out;
    assert!(sheet.contains("17 × 30 mL tin at 27 g; 26.00 g left, 3 % loss taken off"), "{sheet}");
    // Two currencies have no sum.
    bench.write("salve.formula", PACKED.replace("7.50 EUR", "7.50 GBP").as_bytes());
    assert_eq!(salve(&[])["cost"], Value::Null);
    bench.write("salve.formula", PACKED.replace("density 0.9\n", "").as_bytes());
    let unknown = salve(&[]);
    assert_eq!((&unknown["packs"][0]["filled"], &unknown["cost"]["per_pack"]), (&Value::Null, &Value::Null));
    bench.write("salve.formula", PACKED.as_bytes());
    insta::assert_snapshot!(bench.run(&["sheet", "salve.formula"]).out);
}

#[test]
fn a_blend_is_named_by_its_parts() {
    let text = "formula Gel\n  to 100 % purified water\n  1 % phenoxyethanol (and) ethylhexylglycerin\n  0.5 % xanthan gum\n";
    let report = json(&Bench::with(&[]).pipe(&["sheet", "-", "--as", "json"], text).out);
    assert_eq!(
        report["formulas"][0]["ingredient_list"],
        serde_json::json!(["Aqua", "Phenoxyethanol", "Xanthan Gum", "Ethylhexylglycerin"])
    );
}

#[test]
fn what_has_no_weight_leaves_the_sums_open() {
    let text = "formula Odd\n  90 % jojoba oil\n  some honey\n  a few drops lavender oil\n";
    let odd = &json(&Bench::with(&[]).pipe(&["sheet", "-", "--as", "json"], text).out)["formulas"][0];
    for key in ["total_percent", "free_water_percent", "oil_percent", "ingredient_list", "cost"] {
        assert_eq!(odd[key], Value::Null, "{key}");
    }
}

/// An imperial fluid ounce is 28.4130625 mL, a US one 29.5735295625 mL.
#[test]
fn a_pack_is_measured_as_its_market_does() {
    for (market, size) in [("UK", "56.826125"), ("US", "59.147059125")] {
        let text = format!("formula Oil\npack 2 fl oz clear bottle\nmarket {market}\n  100 g jojoba oil\n");
        let report = json(&Bench::with(&[]).pipe(&["sheet", "-", "--as", "json"], &text).out);
        assert_eq!(report["formulas"][0]["packs"][0]["size_ml"], size, "{market}");
    }
}

const LOTION: &str = "formula Slipway lotion\nproduct lotion, O/W\n  to 100 % purified water\n  10 % soybean oil\n  \
7.5 % cocoa butter\n  7.5 % mango butter\n  2.64 % glycol stearate; emulsifier\n  1.36 % polysorbate 80\n";

/// A worked example at swiftcraftymonkey.blogspot.com, 24 April 2011: 10 x 7 + 7.5 x 6 + 7.5 x 8 = 175; 175 / 25 = 7. The
/// emulsifiers: 66 % of 2.9 and 34 % of 15 are 7.014.
#[test]
fn hlb_on_the_sheet() {
    let sheet = |text: &str| {
        json(&Bench::with(&[]).pipe(&["sheet", "-", "--as", "json"], text).out)["formulas"][0]["hlb"].clone()
    };
    assert_eq!(
        sheet(LOTION),
        serde_json::json!({"required": "7", "supplied": "7.014", "known": "3", "of": "3"})
    );
    // A scent is one of the oils, and nobody says what it needs; a wax is a ready-made system.
    let scented = format!("{LOTION}  0.5 % parfum\n");
    assert_eq!(
        sheet(&scented),
        serde_json::json!({"required": "7", "supplied": "7.014", "known": "3", "of": "4"})
    );
    assert_eq!(sheet(&LOTION.replace("1.36 % polysorbate 80", "5 % emulsifying wax NF")), Value::Null);
    let text = Bench::with(&[]).pipe(&["sheet", "-"], &scented).out;
    let line = "HLB               oils need about 7 for O/W (3 of 4 known; not parfum), emulsifiers give 7";
    assert!(text.lines().any(|own| own == line), "{text}");
}

/// D. C. Steinberg, J. Cosmet. Sci. 56(5) (2005) p. 361: percent of each acid that is undissociated at pH 4, 5 and 6.
/// The salts count as their acids.
#[test]
fn undissociated_shares_as_published() {
    let table = [
        ("sodium benzoate", [61.0, 13.0, 1.5]),
        ("potassium sorbate", [85.0, 37.0, 5.5]),
        ("sodium dehydroacetate", [95.0, 65.0, 16.0]),
        ("salicylic acid", [9.0, 1.0, 0.0]),
    ];
    for (name, printed) in table {
        for (ph, printed) in [4, 5, 6].into_iter().zip(printed) {
            let text = format!("formula Water\npH {ph}\n  to 100 % purified water\n  0.4 % {name}\n");
            let report = json(&Bench::with(&[]).pipe(&["sheet", "-", "--as", "json"], &text).out);
            let told = &report["formulas"][0]["preservation"][0];
            assert_eq!(told["name"], name);
            let share: f64 = told["undissociated_percent_at_ph"].as_str().unwrap().parse().unwrap();
            assert!((share - printed).abs() <= 0.75, "{name} at pH {ph}: {share} %, printed {printed} %");
        }
    }
}
