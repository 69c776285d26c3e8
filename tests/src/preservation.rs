//! Preservation against the outside world: published tables, molar masses, and the cases that must stay silent.

use crate::told;
use formula::{Catalogue, Exact, reckon};
use std::sync::Arc;

fn material(name: &str) -> Arc<formula::Material> {
    Catalogue::built_in().get(name).unwrap_or_else(|| panic!("{name} is not in the catalogue"))
}

/// D. C. Steinberg, J. Cosmet. Sci. 56(5) (2005) p. 361: percent of each acid that is undissociated at pH 3 to 7.
const STEINBERG: &[(&str, [f64; 5])] = &[
    ("dehydroacetic acid", [100.0, 95.0, 65.0, 16.0, 2.0]),
    ("benzoic acid", [94.0, 61.0, 13.0, 1.5, 0.0]),
    ("sorbic acid", [98.0, 85.0, 37.0, 5.5, 0.0]),
    ("salicylic acid", [48.0, 9.0, 1.0, 0.0, 0.0]),
    ("formic acid", [85.0, 36.0, 5.0, 1.0, 0.0]),
    ("propionic acid", [99.0, 88.0, 43.0, 7.0, 1.0]),
];

#[test]
fn undissociated_acids_as_published() {
    for (name, printed) in STEINBERG {
        let pka = material(name).pka.first().unwrap_or_else(|| panic!("{name} has no pKa")).value.clone();
        for (ph, printed) in (3..=7).zip(printed) {
            let reckoned = reckon::undissociated(&pka, &Exact::whole(ph)) * 100.0;
            assert!(
                (reckoned - printed).abs() <= 0.75,
                "{name} at pH {ph}: {reckoned:.2} %, printed {printed} %"
            );
        }
    }
}

/// Molar masses of the salts and acids, Python package molmass 2026.1.8.
const SALTS: &[(&str, &str, f64)] = &[
    ("sodium benzoate", "benzoic acid", 0.84746),
    ("potassium sorbate", "sorbic acid", 0.74643),
    ("sodium dehydroacetate", "dehydroacetic acid", 0.88438),
];

#[test]
fn salts_count_as_their_acids() {
    for (salt, acid, factor) in SALTS {
        let part = material(salt)
            .counts_as
            .iter()
            .find(|figure| figure.value.name == *acid)
            .and_then(|figure| figure.value.share.as_ref()?.middle())
            .unwrap_or_else(|| panic!("{salt} does not count as {acid}"));
        assert!((part.estimate() - factor).abs() < 1e-4, "{salt}: {}", part.data());
    }
}

fn activity_of_glycerol(percent: u32) -> f64 {
    let text = format!("formula Glycerol\n{percent} % glycerin\n{} % purified water\n", 100 - percent);
    let sheet = notation::read(&text);
    let block = Arc::clone(sheet.blocks.first().expect("a block"));
    let formula = formula::resolve(&block, &Plain::default()).formula;
    reckon::water_activity(&formula).expect("water").value
}

/// The catalogue and nothing else.
#[derive(Default)]
struct Plain(formula::Settings);

impl formula::Known for Plain {
    fn near(&self, _: &str) -> Vec<String> {
        Vec::new()
    }

    fn find(&self, name: &str) -> formula::Found {
        Catalogue::built_in().get(name).map_or(formula::Found::Unknown, formula::Found::Known)
    }

    fn include(&self, _: &str, _: Option<&str>) -> Result<Arc<formula::Formula>, formula::IncludeFault> {
        Err(formula::IncludeFault::NoFile)
    }

    fn settings(&self) -> &formula::Settings {
        &self.0
    }
}

/// Norrish's equation with K = 1.16 for glycerol gives 0.951 at 20 % and 0.811 at 50 %. Raoult's law, which is used,
/// leaves the departure out and lies above it: by less than 0.01 at 20 %, by 0.02 to 0.03 at 50 %. It errs on the side
/// of asking for a preservative.
#[test]
fn water_activity_lies_above_norrish() {
    for (percent, norrish, most) in [(20, 0.951, 0.01), (50, 0.811, 0.03)] {
        let above = activity_of_glycerol(percent) - norrish;
        assert!(above > 0.0, "{percent} %: {above:.4} below Norrish");
        assert!(above < most, "{percent} %: {above:.4} above Norrish");
    }
    let above = activity_of_glycerol(50) - 0.811;
    assert!(above > 0.02, "the departure at 50 % is known: {above:.4}");
}

fn lotion(header: &str, lines: &str) -> Vec<String> {
    let text = format!(
        "formula Lotion\n{header}\nto 100 % purified water\n15 % jojoba oil\n5 % cetearyl alcohol (and) ceteareth-20\n{lines}\n"
    );
    let about = [
        "no-preservative",
        "preservative-unnamed",
        "preservative-short",
        "preservative-outside-ph",
        "preservative-narrow",
        "not-a-preservative",
    ];
    told(&text)
        .into_iter()
        .filter(|line| about.iter().any(|rule| line.starts_with(&format!("{rule} "))))
        .collect()
}

/// Header, lines, findings of preservation.
const TABLE: &[(&str, &str, &[&str])] = &[
    ("product lotion, body", "0.3 % tocopherol", &["no-preservative error"]),
    ("product lotion, body", "1 % something nobody knows", &["no-preservative warning"]),
    ("product lotion, body", "8 % something nobody knows", &["no-preservative error"]),
    ("product lotion, body", "2 % radish root ferment filtrate", &["no-preservative warning"]),
    (
        "product lotion, body",
        "2 % radish root ferment filtrate; preservative",
        &["not-a-preservative warning"],
    ),
    (
        "product lotion, body\nversion 2\ntested challenge by ISO 11930; version 2",
        "0.8 % glyceryl caprylate",
        &[],
    ),
    (
        "product lotion, body\nversion 3\ntested challenge by ISO 11930; version 2",
        "0.8 % glyceryl caprylate",
        &["no-preservative warning"],
    ),
    ("product lotion, body", "0.5 % grapefruit seed extract; preservative", &["not-a-preservative error"]),
    ("product lotion, body", "1 % tea tree oil; preservative", &["not-a-preservative error"]),
    (
        "product lotion, body",
        "0.3 % tocopherol; preservative\n1 % phenoxyethanol (and) ethylhexylglycerin",
        &[],
    ),
    ("product lotion, body\nshelf life 3 days", "", &[]),
    ("product lotion, body\nshelf life 4 days", "", &["no-preservative error"]),
    ("product lotion, body\nwater activity 0.7", "", &[]),
    ("product lotion, body\nwater activity 0.8", "", &["no-preservative error"]),
    ("product lotion, body\npH 10.5 to 11", "", &[]),
    ("product premix", "", &[]),
    ("product lotion, body", "10 % ethanol", &["no-preservative error"]),
    ("product lotion, body", "30 % ethanol", &[]),
    ("product lotion, body", "1 % preservative", &["preservative-unnamed error"]),
    ("product lotion, body", "phenoxyethanol (and) ethylhexylglycerin", &["preservative-unnamed error"]),
    ("product lotion, body\npH 4.5 to 4.8", "0.4 % sodium benzoate\n0.3 % potassium sorbate", &[]),
    (
        "product lotion, body\npH 5.0 to 5.4",
        "0.4 % sodium benzoate\n0.3 % potassium sorbate",
        &["preservative-outside-ph note"],
    ),
    (
        "product lotion, body\npH 6.2 to 6.6",
        "0.4 % sodium benzoate\n0.3 % potassium sorbate",
        &["preservative-outside-ph error"],
    ),
    ("product lotion, body\npH 6.2 to 6.6", "0.4 % sodium benzoate\n0.8 % phenoxyethanol", &[]),
    (
        "product lotion, body\npH 6.2 to 6.6",
        "0.4 % sodium benzoate\n0.05 % phenoxyethanol",
        &["preservative-outside-ph error"],
    ),
    ("product lotion, body\npH 4.8 to 5.2", "0.4 % sodium benzoate\n0.3 % potassium sorbate", &[]),
    (
        "product lotion, body\npH 5.5",
        "0.4 % sodium benzoate\n0.3 % potassium sorbate",
        &["preservative-outside-ph warning"],
    ),
    (
        "product lotion, body\npH 6.5",
        "0.4 % sodium benzoate\n0.3 % potassium sorbate",
        &["preservative-outside-ph error"],
    ),
    (
        "product lotion, body\npH 4.8 to 6.0",
        "0.4 % sodium benzoate\n0.3 % potassium sorbate",
        &["preservative-outside-ph warning"],
    ),
    ("product lotion, body, W/O\npH 6.2 to 6.6", "0.4 % sodium benzoate\n0.3 % potassium sorbate", &[]),
    ("product lotion, body", "0.4 % sodium benzoate\n0.3 % potassium sorbate", &[]),
    ("product lotion, body\npH 4.5 to 4.8", "0.3 % potassium sorbate", &["preservative-narrow note"]),
    ("product lotion, body\npH 4.5 to 4.8", "0.4 % sodium benzoate\n0.1 % disodium EDTA", &[]),
    (
        "product lotion, body\npH 4.5 to 4.8",
        "0.05 % sodium benzoate\n0.1 % disodium EDTA",
        &["preservative-short note"],
    ),
];

#[test]
fn what_is_preserved_and_what_is_not() {
    for (header, lines, expected) in TABLE {
        let told = lotion(header, lines);
        assert_eq!(told, *expected, "{header} with {lines}");
    }
}

#[test]
fn a_preserved_premix_preserves() {
    let text = "formula Base\nproduct premix\nto 100 % purified water\n1 % phenoxyethanol (and) ethylhexylglycerin\n\n\
                formula Gel\nproduct gel, face\npH 5.0 to 5.5\ninclude test.formula#Base as base\n98 % base\n2 % glycerin\n";
    assert_eq!(told(text), Vec::<String>::new());
}
