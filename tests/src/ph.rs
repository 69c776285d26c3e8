//! Acids and their pH against the outside world: worked examples and tables that others have published.

use formula::{Exact, reckon};

fn number(text: &str) -> Exact {
    Exact::read(text).expect("a number")
}

/// Course of a school of cosmetics at formacion.nclab-cosmetica.com, free acid value of glycolic acid (pKa 3.83):
/// 0.299 of it is free at pH 4.2; 5 % at pH 3.2 has as much free acid as 10 % at pH 4.0, about 4 %.
#[test]
fn free_glycolic_acid_as_in_a_published_lesson() {
    let pka = number("3.83");
    let free = |ph: &str| reckon::undissociated(&pka, &number(ph));
    assert!((free("4.2") - 0.299).abs() < 0.0005, "{}", free("4.2"));
    assert!((5.0 * free("3.2") - 4.0).abs() < 0.1, "{}", 5.0 * free("3.2"));
    assert!((10.0 * free("4.0") - 4.0).abs() < 0.1, "{}", 10.0 * free("4.0"));
}

/// J. Soc. Cosmet. Chem. 18(4) (1967) 211, table IV: of 0.055 % benzoic acid at pH 4.2 (pKa 4.2) 0.027 % is not ionised.
#[test]
fn half_of_benzoic_acid_at_its_pka() {
    let part = 0.055 * reckon::undissociated(&number("4.2"), &number("4.2"));
    // The printed figure is cut, not rounded.
    assert!((part - 0.027).abs() < 0.001, "{part}");
}

/// phcalculator.blogspot.com, February 2014, "Calculate solubility of phenobarbital": 0.005 mol/L of the free acid,
/// pKa 7.4, at pH 6.8 together 0.00625 mol/L.
#[test]
fn solubility_of_a_weak_acid_at_a_ph() {
    let together = reckon::solubility_at(&number("0.005"), &[number("7.4")], &number("6.8"));
    assert!((together - 0.006_25).abs() < 0.000_01, "{together}");
}

/// Food Additives Data Book, sorbic acid, p. 733 (its pKa there 4.8): 0.15 % dissolves at pH 3.1, 0.22 % at pH 4.4. The
/// catalogue's solubility is that of pH 3.1.
#[test]
fn sorbic_acid_dissolves_as_measured() {
    let sorbic = formula::Catalogue::built_in().get("sorbic acid").expect("sorbic acid");
    let of = |figure: &formula::Figure<formula::Solubility>| {
        figure.value.grams_per_100_ml.as_ref().and_then(formula::Window::middle).map(|grams| grams.estimate())
    };
    let measured = sorbic.solubility.iter().find(|figure| figure.value.solvent == "water").and_then(of);
    let pka = &sorbic.pka.first().expect("a pKa").value;
    let free = measured.expect("a solubility") * reckon::undissociated(pka, &number("3.1"));
    for (ph, printed) in [("3.1", 0.15), ("4.4", 0.22)] {
        let reckoned =
            free * reckon::solubility_at(&formula::Exact::one(), std::slice::from_ref(pka), &number(ph));
        assert!((reckoned - printed).abs() < 0.01, "at pH {ph}: {reckoned:.3} %, printed {printed} %");
    }
}

/// A textbook exercise on a sulfonamide with its published answer (qammunity.org/6073504): pKa 6.48, 0.04 mol/L of the
/// salt, 3.07·10⁻⁴ mol/L of the free acid dissolve: it separates below pH 8.59.
#[test]
fn an_acid_separates_below_a_ph() {
    let below = reckon::separates_below(&number("6.48"), 0.04, 0.000_307).expect("it separates");
    assert!((below - 8.59).abs() < 0.005, "{below}");
    assert_eq!(reckon::separates_below(&number("6.48"), 0.0003, 0.000_307), None);
}
