//! Figures of pure compounds against open reference packages: `tests/reference/pure-compounds.tsv` names package,
//! version and method of each value; the script that made it stands beside it.

use formula::{Catalogue, Exact, Material, Window};

const TABLE: &str = include_str!("../reference/pure-compounds.tsv");

struct Row<'t> {
    name: &'t str,
    cas: &'t str,
    what: &'t str,
    value: Exact,
}

fn rows() -> Vec<Row<'static>> {
    TABLE
        .lines()
        .skip(1)
        .map(|line| {
            let cells: Vec<&str> = line.split('\t').collect();
            let [name, cas, what, value, package] = cells[..] else { panic!("not five cells: {line}") };
            assert!(package.chars().any(|c| c.is_ascii_digit()), "no version: {line}");
            Row { name, cas, what, value: number(value) }
        })
        .collect()
}

fn number(text: &str) -> Exact {
    match text.strip_prefix('-') {
        Some(text) => Exact::zero() - Exact::read(text).expect("a number"),
        None => Exact::read(text).expect("a number"),
    }
}

/// Whether a value lies within a share of another.
fn within(own: &Exact, value: &Exact, share: &Exact) -> bool {
    (own - value).abs() <= value * share
}

/// Whether a value lies in a window, or so many degrees beside it.
fn around(window: &Window, value: &Exact, degrees: &Exact) -> bool {
    window.low.as_ref().is_none_or(|low| low - degrees <= *value)
        && window.high.as_ref().is_none_or(|high| *value <= high + degrees)
}

fn wrong(row: &Row<'_>, material: &Material) -> Option<String> {
    let (own, agrees) = match row.what {
        "molar mass g/mol" => {
            let mass = &material.molar_mass.as_ref()?.value;
            (mass.text(), within(mass, &row.value, &Exact::fraction(5, 10_000)))
        }
        "melting point °C" => {
            let melts = &material.melts.first()?.value;
            (melts.text(), around(melts, &row.value, &Exact::whole(3)))
        }
        _ => {
            let density = material.density.as_ref()?.value.middle()?;
            (density.text(), within(&density, &row.value, &Exact::fraction(3, 1000)))
        }
    };
    (!agrees).then(|| format!("{}: {} {own}, reference {}", row.name, row.what, row.value))
}

#[test]
fn pure_compounds_agree_with_reference_packages() {
    let catalogue = Catalogue::built_in();
    let mut faults = Vec::new();
    for row in rows() {
        let material = catalogue.get(row.name).unwrap_or_else(|| panic!("{} is gone", row.name));
        assert!(material.cas.iter().any(|cas| cas == row.cas), "{}: not {}", row.name, row.cas);
        faults.extend(wrong(&row, &material));
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn the_table_covers_what_can_be_compared() {
    let count = |what: &str| rows().iter().filter(|row| row.what.starts_with(what)).count();
    assert!(count("molar mass") >= 100, "{}", count("molar mass"));
    assert!(count("melting point") >= 10, "{}", count("melting point"));
    assert!(count("density") >= 29, "{}", count("density"));
    let densities = rows().into_iter().filter(|row| row.what.starts_with("density"));
    let mut liquids: Vec<&str> = densities.map(|row| row.name).collect();
    liquids.dedup();
    assert!(liquids.len() >= 16, "{liquids:?}");
}

/// Wintergreen oil is methyl salicylate by 96 % and more, so it cannot weigh much else.
#[test]
fn an_oil_of_one_compound_weighs_what_it_does() {
    let density = |name: &str| {
        let material = Catalogue::built_in().get(name).expect("it is there");
        material.density.as_ref().and_then(|figure| figure.value.middle()).expect("a density")
    };
    let (oil, compound) = (density("wintergreen oil"), density("methyl salicylate"));
    assert!(within(&oil, &compound, &Exact::fraction(1, 100)), "{oil} {compound}");
}

/// Every compound with a molar mass is in the table, but for those that are sold as mixtures.
#[test]
fn no_molar_mass_goes_unchecked() {
    let rows = rows();
    let checked = |name: &str| rows.iter().any(|row| row.name == name && row.what.starts_with("molar mass"));
    let left: Vec<String> = Catalogue::built_in()
        .all()
        .filter(|material| material.molar_mass.is_some() && !checked(&material.name))
        .map(|material| material.name.clone())
        .collect();
    let mixtures =
        ["copper chlorophyllin", "dipotassium glycyrrhizate", "glyceryl caprylate", "sorbitan stearate"];
    let mut left: Vec<&str> = left.iter().map(String::as_str).collect();
    left.sort_unstable();
    assert_eq!(left, mixtures);
}
