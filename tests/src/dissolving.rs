//! Dissolving, against published solubilities; and the odd cases that the pages leave out.

use crate::{findings, told};
use desk::Level;
use formula::Exact;
use formula::reckon::{separates_below, solubility_at};

fn exact(text: &str) -> Exact {
    Exact::read(text).expect("a number")
}

fn near(value: f64, wanted: f64, tolerance: f64) {
    assert!((value - wanted).abs() <= tolerance, "{value} is not {wanted} within {tolerance}");
}

/// `amount name level` of what does not dissolve.
fn undissolved(text: &str) -> Vec<String> {
    let told = findings(text).into_iter().filter(|finding| finding.rule == "will-not-dissolve");
    told.map(|finding| format!("{} {}", finding.span.of(text), finding.level.word())).collect()
}

fn of_rule(text: &str, rule: &str) -> Vec<Level> {
    findings(text).into_iter().filter(|finding| finding.rule == rule).map(|finding| finding.level).collect()
}

#[test]
fn weak_acids_by_ph() {
    // phcalculator.blogspot.com, 3 February 2014: phenobarbital, S0 0.005 mol/L, pKa 7.4, at pH 6.8: 0.00625 mol/L.
    near(solubility_at(&exact("0.005"), &[exact("7.4")], &exact("6.8")), 0.00625, 0.000_01);
    // oshiete.goo.ne.jp question 1596072: phenobarbital 1 % (molar mass 232) falls out below pH 8.3.
    near(separates_below(&exact("7.4"), 10.0 / 232.0, 0.005).expect("it does"), 8.3, 0.05);
    // partnerperformance.uonbi.ac.ke 14451555: sulfonamide 0.04 mol/L of salt, S0 0.000307 mol/L, pKa 6.48: pH 8.59.
    near(separates_below(&exact("6.48"), 0.04, 0.000_307).expect("it does"), 8.59, 0.01);
    assert!(
        separates_below(&exact("4.76"), 0.1, 0.16).is_none(),
        "less than the free acid dissolves at any pH"
    );
    // Half of an acid is its salt at its pKa (any textbook): twice the free acid dissolves.
    near(solubility_at(&exact("0.248"), &[exact("2.97")], &exact("2.97")), 0.496, 0.001);
    // Without a pKa, and far below it, the free acid is all.
    near(solubility_at(&exact("2.17"), &[], &exact("5")), 2.17, 0.000_1);
}

/// A gel of one thing in about 95 % of water.
fn gel(percent: &str, name: &str, ph: &str) -> String {
    format!(
        "formula Gel\nproduct gel, hands\n{ph}\nto 100 % purified water\n3 % glycerin\n1 % hydroxyethylcellulose\n\
         {percent} % {name}\n1 % phenoxyethanol (and) ethylhexylglycerin\n"
    )
}

#[test]
fn published_solubilities_are_the_limit() {
    let at = |percent: &str, name: &str| undissolved(&gel(percent, name, "pH 5.0 to 5.5"));
    // ECHA registration dossier 13641: allantoin 4.9 g/L at 20 °C; Wikipedia 0.57 g in 100 mL at 25 °C.
    assert!(at("0.5", "allantoin").is_empty());
    assert_eq!(at("0.8", "allantoin"), ["allantoin warning"]);
    // benchchem.com: caffeine 21.7 mg/mL at 25 °C.
    assert!(at("2", "caffeine").is_empty());
    assert_eq!(at("3", "caffeine"), ["caffeine warning"]);
    // PMC6046421, Table 1: niacinamide 735.10 mg/mL.
    assert!(at("15", "niacinamide").is_empty());
    // Merck Index text: azelaic acid 0.24 g in 100 mL at 20 °C; by its two pKa 1.9 at pH 5, 20 at pH 5.8.
    let azelaic = |percent: &str, ph: &str| undissolved(&gel(percent, "azelaic acid", ph));
    assert_eq!(azelaic("10", "pH 4.5 to 5.0"), ["azelaic acid warning"]);
    assert!(azelaic("1", "pH 4.5 to 5.0").is_empty());
    assert!(azelaic("10", "pH 5.5 to 6.2").is_empty());
    // Nobody says the pH, and nothing alkaline is there: the free acid.
    assert_eq!(azelaic("10", "for own use"), ["azelaic acid warning"]);
    // Wikipedia's table: salicylic acid 0.248 g in 100 mL at 25 °C; 2 % are clear from about pH 3.8 on.
    let salicylic = |ph: &str| undissolved(&gel("2", "salicylic acid", ph));
    assert_eq!(salicylic("pH 3.0 to 3.4"), ["salicylic acid warning"]);
    assert!(salicylic("pH 3.8 to 4.0").is_empty());
}

#[test]
fn salts_fall_out_as_acids() {
    let toner = |amount: &str, ph: &str| {
        undissolved(&format!(
            "formula Toner\nproduct toner, face\npH {ph}\nto 100 % purified water\n3 % glycerin\n{amount}\n"
        ))
    };
    // Sorbic acid 0.16 g in 100 mL at 20 °C, pKa 4.76: 1 % of the salt falls out below about pH 5.3, 0.2 % never.
    assert_eq!(toner("1 % potassium sorbate", "4.0 to 4.5"), ["potassium sorbate warning"]);
    assert!(toner("1 % potassium sorbate", "5.3 to 5.6").is_empty());
    assert!(toner("0.2 % potassium sorbate", "3.0 to 3.5").is_empty());
    // Benzoic acid 0.344 g in 100 mL at 25 °C, pKa 4.2: 1 % of the salt falls out below about pH 4.4.
    assert_eq!(toner("1 % sodium benzoate", "3.5 to 4.0"), ["sodium benzoate warning"]);
    assert!(toner("1 % sodium benzoate", "4.4 to 4.8").is_empty());
    // The pH decides, and nobody says it.
    assert!(toner("1 % potassium sorbate", "5 to 9").is_empty());
    let unsaid = "formula Toner\nproduct toner, face\nto 100 % purified water\n1 % potassium sorbate\n";
    assert!(undissolved(unsaid).is_empty());
    // In a cream the oils take the acid up.
    assert!(
        toner(
            "1 % potassium sorbate\n12 % jojoba oil\n4 % cetearyl alcohol (and) ceteareth-20",
            "4.0 to 4.5"
        )
        .is_empty()
    );
}

#[test]
fn only_what_is_meant_to_dissolve() {
    for line in [
        "10 % azelaic acid; dispersed in glycerin",
        "10 % azelaic acid; fine powder",
        "10 % azelaic acid\nstep suspend the azelaic acid in the gel",
        "2 % allantoin; dissolved in Marsh liquor",
        "25 % kaolin",
        "5 % zinc oxide",
        "2 to 3 % salicylic acid; dissolved in propanediol",
    ] {
        let text = format!(
            "formula Gel\nproduct gel, hands\npH 4.5 to 5.0\nto 100 % purified water\n5 % glycerin\n5 % propanediol\n{line}\n"
        );
        assert!(undissolved(&text).is_empty(), "{line}");
    }
    let scrub = "formula Scrub\nproduct scrub, body\n60 % sea salt\n20 % purified water\n20 % glycerin\n";
    assert!(undissolved(scrub).is_empty());
}

#[test]
fn the_water_at_hand() {
    let gel = |line: &str, step: &str| {
        undissolved(&format!(
            "formula Gel\nproduct gel, hands\npH 5.0 to 5.5\nphase A\nto 100 % rose hydrosol\n1 % hydroxyethylcellulose\n\
             1 % phenoxyethanol (and) ethylhexylglycerin\nphase B\n8 % purified water\n{line}\n{step}\n"
        ))
    };
    assert_eq!(gel("0.3 % allantoin; dissolved in purified water", ""), ["allantoin warning"]);
    assert!(gel("0.3 % allantoin; dissolved in rose hydrosol", "").is_empty());
    assert!(gel("0.3 % allantoin", "").is_empty());
    assert_eq!(
        gel("0.3 % allantoin", "step dissolve the allantoin in the water of B"),
        ["allantoin warning"]
    );
    // Hot water takes it up, and the rest of the water comes before it is cold.
    assert!(gel("0.3 % allantoin", "step dissolve the allantoin in the water of B at 60 °C").is_empty());
    assert!(gel("0.3 % allantoin", "step dissolve the allantoin in a little of the water").is_empty());
    // 1.6 % by weight of salicylic acid dissolves in glycerin (makingcosmetics.com).
    let glycerin = |amount: &str| {
        undissolved(&format!(
            "formula Gel\nproduct gel, hands\npH 3.8 to 4.0\nto 100 % purified water\n20 % glycerin\n\
             {amount} % salicylic acid; dissolved in glycerin\n1 % phenoxyethanol (and) ethylhexylglycerin\n"
        ))
    };
    assert!(glycerin("0.3").is_empty());
    assert_eq!(glycerin("0.6"), ["salicylic acid warning"]);
}

#[test]
fn what_carries_a_scent() {
    let mist = |lines: &str| {
        of_rule(
            &format!("formula Mist\nproduct mist, body\npH 5.0 to 5.5\nto 100 % purified water\n{lines}\n"),
            "needs-solubiliser",
        )
    };
    assert_eq!(mist("0.5 % lavender oil"), [Level::Error]);
    assert_eq!(mist("0.5 % parfum"), [Level::Warning]);
    assert_eq!(mist("1 % squalane"), [Level::Warning]);
    // A gel holds drops apart, undiluted as they are.
    assert_eq!(mist("0.5 % lavender oil\n0.5 % xanthan gum"), [Level::Warning]);
    assert_eq!(mist("0.3 % bisabolol\n0.5 % xanthan gum"), [Level::Note]);
    for silent in [
        "0.03 % lavender oil",
        "0.5 % lavender oil\n2 % polysorbate 20",
        "0.5 % lavender oil\n5 % decyl glucoside",
        "0.5 % lavender oil\n1 % soy lecithin",
        "0.5 % lavender oil\n45 % ethanol",
        "0.5 % lavender oil\n2 % Marsh clearer",
        "0.5 % lavender oil\n2 % any solubiliser",
        "2 % lavender hydrosol",
        "0.5 % panthenol",
    ] {
        assert!(mist(silent).is_empty(), "{silent}");
    }
}

#[test]
fn scent_in_the_bath() {
    let bath = |form: &str, lines: &str| {
        of_rule(&format!("formula Bath\nproduct {form}\n{lines}\n"), "needs-solubiliser")
    };
    assert_eq!(bath("bath salts", "99 % sea salt\n1 % lavender oil"), [Level::Error]);
    assert_eq!(
        bath("bath bomb", "60 % sodium bicarbonate\n39 % citric acid\n1 % lavender oil"),
        [Level::Error]
    );
    assert_eq!(bath("scrub, body", "99 % sea salt\n1 % lavender oil"), [Level::Error]);
    // Too little oil to dilute it.
    assert_eq!(bath("bath salts", "97 % sea salt\n2 % jojoba oil\n1 % lavender oil"), [Level::Error]);
    for (form, lines) in [
        ("bath salts", "94 % sea salt\n5 % jojoba oil\n1 % lavender oil"),
        ("bath salts", "98 % sea salt\n1 % polysorbate 80\n1 % lavender oil"),
        ("bath oil", "97 % jojoba oil\n3 % lavender oil"),
        ("scrub, body", "60 % sea salt\n39 % jojoba oil\n1 % lavender oil"),
        ("bath salts", "100 % sea salt"),
    ] {
        assert!(bath(form, lines).is_empty(), "{form}: {lines}");
    }
    // Whether milk carries it, the trade does not agree.
    assert_eq!(bath("bath salts", "60 % milk powder\n39 % sea salt\n1 % lavender oil"), [Level::Hint]);
    assert!(
        told("formula Powder\nproduct loose powder, body\n99 % corn starch\n1 % lavender oil\n")
            .iter()
            .all(|told| !told.starts_with("needs-solubiliser"))
    );
}

#[test]
fn charges() {
    let with = |product: &str, lines: &str| {
        of_rule(
            &format!("formula Table\nproduct {product}\npH 4.5 to 5.0\nto 100 % purified water\n{lines}\n"),
            "charge-clash",
        )
    };
    let leave_on = "cream, body";
    assert_eq!(with(leave_on, "2 % behentrimonium chloride\n1 % sodium cetearyl sulfate"), [Level::Warning]);
    assert_eq!(
        with(leave_on, "2 % cetrimonium chloride; strength 30 %\n1 % sodium lauryl sulfate"),
        [Level::Warning]
    );
    // Carboxylates pair weakly.
    assert_eq!(with(leave_on, "2 % behentrimonium chloride\n0.5 % xanthan gum"), [Level::Hint]);
    assert_eq!(with(leave_on, "2 % behentrimonium chloride\n2 % glyceryl stearate citrate"), [Level::Hint]);
    assert_eq!(
        with("shampoo", "2 % behentrimonium chloride\n10 % sodium laureth sulfate; strength 28 %"),
        [Level::Hint]
    );
    assert_eq!(
        with("shampoo", "0.1 % benzalkonium chloride\n10 % sodium laureth sulfate; strength 28 %"),
        [Level::Warning]
    );
    for (product, lines) in [
        ("shampoo", "0.3 % polyquaternium-10\n10 % sodium laureth sulfate; strength 28 %"),
        ("shampoo", "0.3 % guar hydroxypropyltrimonium chloride\n10 % sodium coco-sulfate"),
        (leave_on, "2 % behentrimonium chloride\n3 % cetyl alcohol\n2 % glyceryl stearate"),
        (leave_on, "2 % behentrimonium chloride\n3 % stearic acid"),
        (leave_on, "2 % behentrimonium chloride\n0.4 % sodium benzoate\n1 % sodium PCA; strength 50 %"),
        (leave_on, "2 % behentrimonium chloride\n10 % cocamidopropyl betaine; strength 30 %"),
    ] {
        assert!(with(product, lines).is_empty(), "{product}: {lines}");
    }
}

#[test]
fn what_does_not_go_together() {
    let with = |head: &str, lines: &str| {
        of_rule(&format!("formula Table\n{head}\nto 100 % purified water\n{lines}\n"), "incompatible")
    };
    let cream = "product cream, body";
    assert_eq!(with(cream, "5 % zinc oxide\n3 % citric acid"), [Level::Warning]);
    assert_eq!(with(cream, "0.5 % guar gum\n1 % borax"), [Level::Note]);
    assert_eq!(with(cream, "5 % calcium carbonate\n3 % citric acid"), [Level::Warning]);
    // Inside a blend, too.
    let serum = "product serum, face\npH 3.0 to 3.3";
    assert_eq!(
        with(serum, "10 % ascorbic acid\n0.6 % sodium benzoate (and) potassium sorbate"),
        [Level::Warning]
    );
    for (head, lines) in [
        (cream, "5 % zinc oxide; coated\n2 % salicylic acid"),
        (cream, "5 % zinc oxide\n0.3 % citric acid"),
        // An adjuster that is spent on the acid.
        (cream, "1 % sodium bicarbonate\n5 % citric acid"),
        ("product body wash\npH 9 to 10", "20 % potassium soap\n0.3 % citric acid"),
        (serum, "10 % ascorbic acid\n4 % niacinamide"),
        (cream, "2 % sodium ascorbyl phosphate\n0.4 % sodium benzoate"),
        (cream, "4 % glyceryl stearate (and) PEG-100 stearate\n2 % salicylic acid"),
    ] {
        assert!(with(head, lines).is_empty(), "{head}: {lines}");
    }
    // Without water nothing reacts.
    let dry = "formula Balm\nproduct balm, body\n60 % jojoba oil\n20 % beeswax\n15 % zinc oxide\n5 % salicylic acid\n";
    assert!(of_rule(dry, "incompatible").is_empty());
    let bomb =
        "formula Bomb\nproduct bath bomb\n60 % sodium bicarbonate\n30 % citric acid\n10 % corn starch\n";
    assert!(of_rule(bomb, "incompatible").is_empty());
}

#[test]
fn conditions_of_the_makers_own_line() {
    let with = |line: &str, lines: &str| {
        of_rule(
            &format!(
                "formula Table\nproduct gel, face\npH 5.0 to 5.5\nto 100 % purified water\n1 % Marsh gum\n{lines}\n\
                 ingredient Marsh gum\nfunction stabiliser\nphase water\nsoluble in water\n{line}\n"
            ),
            "incompatible",
        )
    };
    let all = "2 % sodium chloride\n1 % citric acid\n1 % cetrimonium chloride; strength 30 %";
    for (line, count) in [
        ("incompatible with sodium chloride because it strings", 1),
        ("incompatible with NaCl because it strings", 1),
        ("incompatible with sea salt because it strings", 0),
        ("incompatible with any electrolyte because it strings", 1),
        ("incompatible with any metal salt above 1.5 % because it strings", 1),
        ("incompatible with any metal salt above 2 % because it strings", 0),
        ("incompatible with any acid because it strings", 1),
        ("incompatible with any acid below pH 6 because it strings", 1),
        ("incompatible with any acid below pH 5.5 because it strings", 0),
        ("incompatible with any acid above 1 % below pH 6 because it strings", 0),
        ("incompatible with any cationic because it strings", 1),
        ("incompatible with any preservative because it strings", 0),
    ] {
        assert_eq!(with(line, all).len(), count, "{line}");
    }
}

#[test]
fn gels_and_salts() {
    let with = |lines: &str| {
        of_rule(
            &format!("formula Gel\nproduct gel, body\npH 5.8 to 6.2\nto 100 % purified water\n{lines}\n"),
            "salt-thins-gel",
        )
    };
    assert_eq!(with("0.5 % carbomer\n1 % magnesium sulfate"), [Level::Warning]);
    assert_eq!(with("0.5 % sodium polyacrylate\n1 % sodium chloride"), [Level::Note]);
    for silent in [
        "0.5 % carbomer\n0.4 % sodium chloride",
        "0.5 % carbomer\n0.4 % sodium benzoate\n0.1 % disodium EDTA",
        "0.8 % xanthan gum\n3 % sodium chloride",
        "1 % hydroxyethylcellulose\n3 % sodium chloride",
        "0.5 % carbomer\n2 % sodium chloride\n30 % sodium laureth sulfate; strength 28 %",
        "0.5 % carbomer\n3 % aloe vera juice",
    ] {
        assert!(with(silent).is_empty(), "{silent}");
    }
}

#[test]
fn powders_and_gums_by_the_method() {
    let with = |rule: &str, lines: &str, steps: &str| {
        of_rule(
            &format!(
                "formula Tint\nproduct cream, face\npH 6.5 to 7.0\nphase A\nto 100 % purified water\n4 % glycerin\n\
                 phase B\n12 % jojoba oil\n5 % cetearyl alcohol (and) ceteareth-20\n{lines}\n{steps}\n"
            ),
            rule,
        )
    };
    let powder = |line: &str, steps: &str| with("powder-not-wetted", line, steps);
    assert_eq!(powder("5 % zinc oxide", "step stir the zinc oxide into the oil"), [Level::Warning]);
    assert_eq!(powder("1 % red iron oxide", "step melt B; pour into A; stir"), [Level::Warning]);
    for (line, steps) in [
        ("5 % zinc oxide", ""),
        ("5 % zinc oxide; wetted in jojoba oil", "step stir the zinc oxide into the oil"),
        ("5 % zinc oxide", "step grind the oxides with a little jojoba oil\nstep melt B; pour into A; stir"),
        ("5 % zinc oxide", "step melt B; pour into A; stick-blend"),
        ("5 % zinc oxide", "step stir the zinc oxide into the oil until no lumps are left"),
        ("0.1 % red iron oxide", "step melt B; pour into A; stir"),
        ("5 % mica", "step melt B; pour into A; stir"),
        ("5 % corn starch", "step melt B; pour into A; stir"),
    ] {
        assert!(powder(line, steps).is_empty(), "{line}: {steps}");
    }
    let gum = |line: &str, steps: &str| with("gum-not-wetted", line, steps);
    assert_eq!(gum("0.3 % xanthan gum", "step add the xanthan to the water; stir"), [Level::Hint]);
    for (line, steps) in [
        ("0.3 % xanthan gum", ""),
        ("0.3 % xanthan gum; wetted in glycerin", "step add the xanthan to the water; stir"),
        ("0.3 % xanthan gum", "step mix the xanthan and the glycerin; add the water"),
        ("0.3 % xanthan gum", "step sprinkle the xanthan into the water"),
        ("0.3 % xanthan gum", "step add B to A; stir"),
        ("0.3 % carbomer", "step add the carbomer to the water; stir"),
    ] {
        assert!(gum(line, steps).is_empty(), "{line}: {steps}");
    }
}

#[test]
fn an_unfinished_sheet_only_hints() {
    let text = "formula Toner\nproduct toner, face\npH 5.0 to 5.5\nto 100 % purified water\n0.5 % lavender oil\n2 % allantoin\n3 %";
    assert_eq!(of_rule(text, "needs-solubiliser"), [Level::Hint]);
    assert_eq!(of_rule(text, "will-not-dissolve"), [Level::Hint]);
}
