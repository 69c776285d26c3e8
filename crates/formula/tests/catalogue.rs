//! The built-in catalogue: every line reads, every figure has its source, every name leads somewhere.

use formula::{Catalogue, Condition, DEFAULT_OF_THE_TABLES, Figure, Material, Source, Standing};
use notation::{Block, Form, Word, fold, read};
use std::collections::BTreeMap;

fn blocks() -> Vec<(&'static str, std::sync::Arc<Block>)> {
    Catalogue::files()
        .iter()
        .flat_map(|(name, text)| read(text).blocks.into_iter().map(move |block| (*name, block)))
        .filter(|(_, block)| block.kind == notation::BlockKind::Ingredient)
        .collect()
}

#[test]
fn every_line_reads() {
    let mut wrong = Vec::new();
    for (file, text) in Catalogue::files() {
        for block in read(text).blocks {
            for slip in &block.slips {
                wrong.push(format!(
                    "{file}: {}: {:?} at `{}`",
                    block.name(),
                    slip.kind,
                    slip.span.of(&block.text)
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{} slips\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn every_figure_says_where_it_comes_from() {
    use notation::ClauseWord::{CommonPractice, Default, FromMemory, Source};
    let states_a_figure = |word: Word| {
        matches!(
            word,
            Word::Solubility
                | Word::Water
                | Word::UsualStrength
                | Word::Density
                | Word::Drop
                | Word::Melts
                | Word::NotAbove
                | Word::RequiredHlb
                | Word::Hlb
                | Word::WorksAtPh
                | Word::StableAtPh
                | Word::OwnPh
                | Word::Pka
                | Word::MolarMass
                | Word::CountsAs
                | Word::Active
                | Word::Usage
                | Word::Needs
                | Word::Oils
                | Word::PoreClogging
                | Word::Limit
                | Word::Phototoxic
        )
    };
    let mut wrong = Vec::new();
    for (file, block) in blocks() {
        let general = block.facts(Word::Source).next().is_some();
        for line in &block.lines {
            let Form::Fact(fact) = &line.form else { continue };
            let said = [Source, FromMemory, CommonPractice, Default]
                .into_iter()
                .any(|word| fact.clause(word).is_some());
            let nothing = fact.measure.is_none() && !matches!(fact.word, Word::Limit);
            if states_a_figure(fact.word) && !said && !general && !nothing {
                wrong.push(format!("{file}: {}", line.span.of(&block.text)));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_name_leads_to_one_ingredient() {
    let mut owners: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for material in Catalogue::built_in().all() {
        for name in std::iter::once(&material.name).chain(&material.also) {
            let owners = owners.entry(fold(name)).or_default();
            if !owners.contains(&material.name) {
                owners.push(material.name.clone());
            }
        }
    }
    let wrong: Vec<_> = owners.iter().filter(|(_, owners)| owners.len() > 1).collect();
    assert!(wrong.is_empty(), "{wrong:?}");
}

#[test]
fn every_reference_exists() {
    let catalogue = Catalogue::built_in();
    let mut wrong = Vec::new();
    for material in catalogue.all() {
        let parts = material.contains.iter().chain(&material.counts_as).map(|figure| &figure.value.name);
        let clashes = material
            .incompatible
            .iter()
            .map(|figure| &figure.value.with)
            .filter(|with| !with.starts_with("any "));
        for name in parts.chain(&material.ambiguous).chain(clashes) {
            if catalogue.get(name).is_none() {
                wrong.push(format!("{}: {name}", material.name));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_condition_of_a_limit_is_understood() {
    let mut wrong = Vec::new();
    for material in Catalogue::built_in().all() {
        for limit in &material.limits {
            for condition in &limit.conditions {
                if let Condition::Unread(words) = condition {
                    wrong.push(format!("{}: {words}", material.name));
                }
            }
            if limit.force.markets.is_empty() {
                wrong.push(format!("{}: a limit without a market", material.name));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The check digit of a CAS number: the sum of its digits, each times its place from the right, modulo 10
/// (CAS Registry, "Check digit verification of CAS Registry Numbers").
#[test]
fn every_cas_number_passes_its_check_digit() {
    for material in Catalogue::built_in().all() {
        for cas in &material.cas {
            let digits: Vec<u32> = cas.chars().filter_map(|c| c.to_digit(10)).collect();
            let (check, rest) = digits.split_last().expect("digits");
            let sum: u32 = rest.iter().rev().zip(1..).map(|(digit, place)| digit * place).sum();
            assert_eq!(sum % 10, *check, "{}: {cas}", material.name);
        }
    }
}

/// Numbers that several blocks share: the registry has one number for all chain lengths, grades or extracts of a kind.
/// Any other number in two blocks is a slip.
#[test]
fn a_cas_number_in_two_blocks_is_declared() {
    let declared = [
        ("100403-19-8", "ceramide AP, ceramide NP"),
        ("110615-47-9", "coco-glucoside, lauryl glucoside"),
        ("68515-73-1", "caprylyl/capryl glucoside, decyl glucoside"),
        ("8012-89-3", "beeswax, white beeswax"),
        ("84696-19-5", "witch hazel distillate, witch hazel extract"),
        ("9004-95-9", "ceteth-10, ceteth-2, ceteth-20"),
        ("9004-98-2", "oleth-10, oleth-2"),
        ("9005-00-9", "steareth-2, steareth-20, steareth-21"),
        ("95912-86-0", "coco-caprylate, coco-caprylate/caprate"),
    ];
    let mut owners: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for material in Catalogue::built_in().all() {
        for cas in &material.cas {
            owners.entry(cas.clone()).or_default().push(material.name.clone());
        }
    }
    let shared: Vec<(String, String)> = owners
        .into_iter()
        .filter(|(_, names)| names.len() > 1)
        .map(|(cas, mut names)| {
            names.sort();
            (cas, names.join(", "))
        })
        .collect();
    let shared: Vec<(&str, &str)> =
        shared.iter().map(|(cas, names)| (cas.as_str(), names.as_str())).collect();
    assert_eq!(shared, declared);
}

/// A part that is marked as an allergen says from which share on it has to be named.
#[test]
fn every_allergen_has_its_threshold() {
    let catalogue = Catalogue::built_in();
    let mut wrong = Vec::new();
    for material in catalogue.all() {
        for part in material.contains.iter().map(|figure| &figure.value).filter(|part| part.allergen) {
            let duties = catalogue.get(&part.name).map_or_else(Vec::new, |part| part.labels.clone());
            let named = duties.iter().filter(|duty| duty.allergen && duty.above.is_some()).count();
            if named < 2 {
                wrong.push(format!("{}: {}", material.name, part.name));
            }
        }
        for duty in material.labels.iter().filter(|duty| duty.force.markets.is_empty()) {
            wrong.push(format!("{}: `{}` without a market", material.name, duty.text));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_window_is_in_order() {
    fn ordered(material: &Material, what: &str, figures: &[Figure<formula::Window>]) {
        for figure in figures {
            if let (Some(low), Some(high)) = (&figure.value.low, &figure.value.high) {
                assert!(low <= high, "{}: {what}", material.name);
            }
        }
    }
    for material in Catalogue::built_in().all() {
        ordered(material, "usage", &material.usage);
        ordered(material, "melts", &material.melts);
        ordered(material, "HLB", &material.hlb);
    }
}

#[test]
fn the_names_makers_write_are_found() {
    for name in [
        "C12-15 Alkyl Benzoate",
        "polysorbate 20",
        "PEG-40 Hydrogenated Castor Oil",
        "lactic acid",
        "vitamin E T-50",
        "purified water",
        "Aqua",
        "aqua",
        "high-oleic sunflower oil",
        "glyceryl stearate (and) PEG-100 stearate",
        "phenoxyethanol (and) ethylhexylglycerin",
        "1,2-hexanediol",
        "shea butter",
        "zinc oxide",
    ] {
        assert!(Catalogue::built_in().get(name).is_some(), "{name}");
    }
    assert!(Catalogue::built_in().all().count() >= 150);
    assert_eq!(Catalogue::built_in().near("glycerine oil", 3), Vec::<String>::new());
    assert!(Catalogue::built_in().near("xantan gum", 3).contains(&"xanthan gum".to_owned()));
}

#[test]
fn a_source_is_never_empty() {
    let check =
        |material: &Material, source: &Source| assert!(!source.text.trim().is_empty(), "{}", material.name);
    for material in Catalogue::built_in().all() {
        material.limits.iter().for_each(|limit| check(material, &limit.source));
        material.usage.iter().for_each(|figure| check(material, &figure.source));
    }
}

#[test]
fn the_table_of_names_is_current() {
    let committed = include_str!("../src/catalogue/index.rs");
    assert!(committed == Catalogue::index_source(), "run `cargo xtask pages`");
}

/// Where tables disagree on the HLB that an oil needs, all values stand side by side with their documents, and just one of
/// them is marked as the default that counts.
#[test]
fn disagreeing_required_hlb_has_one_default() {
    let mut several = Vec::new();
    for material in Catalogue::built_in().all() {
        for kind in ["", "O/W", "W/O"] {
            let figures: Vec<_> =
                material.required_hlb.iter().filter(|figure| figure.value.1 == kind).collect();
            if figures.len() < 2 {
                continue;
            }
            several.push(material.name.as_str());
            let defaults = figures.iter().filter(|figure| figure.source.standing == Standing::Default);
            assert_eq!(defaults.count(), 1, "{}: one of them counts", material.name);
            let named = figures.iter().filter(|figure| {
                figure.source.text.len() > 20 && &*figure.source.text != DEFAULT_OF_THE_TABLES
            });
            assert!(named.count() >= 1, "{}: no document", material.name);
            let mut values: Vec<_> = figures.iter().filter_map(|figure| figure.value.0.middle()).collect();
            values.sort();
            values.dedup();
            assert_eq!(values.len(), figures.len(), "{}: one value twice", material.name);
        }
    }
    for name in [
        "beeswax",
        "white beeswax",
        "cetyl alcohol",
        "stearic acid",
        "lanolin",
        "mineral oil",
        "caprylic/capric triglyceride",
        "dimethicone",
    ] {
        assert!(several.contains(&name), "{name}: tables disagree on it");
    }
}

/// A share that an emulsifier needs is a share of the oils, and stands only on emulsifiers.
#[test]
fn shares_of_oils_stand_on_emulsifiers() {
    let with = |material: &&std::sync::Arc<Material>| {
        !material.needs_of_oils.is_empty() || !material.oils_at_most.is_empty()
    };
    let all: Vec<_> = Catalogue::built_in().all().filter(with).collect();
    assert!(all.len() >= 4);
    for material in all {
        assert!(material.does("emulsifier"), "{}", material.name);
    }
}
