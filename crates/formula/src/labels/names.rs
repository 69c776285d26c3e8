//! The names that a line can have on a label.

use crate::catalogue::Catalogue;
use crate::formula::Item;
use crate::material::Material;
use notation::fold;

/// The names of a line for the label, as far as they are known: one, or those of a blend's parts.
pub(super) fn printed_names(item: &Item) -> Vec<String> {
    let named = |material: &Material| {
        // A blend's own name can be the names of its parts.
        let joined = Some(capitals(&material.name)).filter(|name| name.contains(" (And) "));
        material.inci.clone().or_else(|| joined.map(|name| name.replace(" (And) ", " (and) ")))
    };
    let whole = item.inci.clone().or_else(|| item.material.as_deref().and_then(named));
    if let Some(whole) = whole {
        return whole.split(" (and) ").map(|name| name.trim().to_owned()).collect();
    }
    // Of a blend that is only known by its parts each must have a name.
    let parts = item.blend.iter().map(|(_, part)| part.as_ref().and_then(|part| part.inci.clone()));
    parts.collect::<Option<Vec<String>>>().unwrap_or_default()
}

/// Whether a line is there for its scent alone, as the line says it, else as it is known. Essential oils have names of
/// their own on a label, unless their line says that they are fragrance.
pub(super) fn is_scent(item: &Item) -> bool {
    item.functions.first().is_some_and(|first| fold(first) == "fragrance")
}

/// Whether the water in a material belongs to it under its name: juices, hydrosols, honey, what is left after a ferment.
/// Water of crystals is named nowhere.
pub(super) fn holds_its_water(material: &Material, inci: &str) -> bool {
    const WITH_WATER: &[&str] = &["aqua", "water", "juice", "filtrate", "ferment", "mel"];
    let natural = material.does("hydrosol") || material.does("food");
    let crystals = fold(&material.name).ends_with("hydrate");
    natural || crystals || fold(inci).split(' ').any(|word| WITH_WATER.contains(&word))
}

/// The colour index number of a material, `CI 77491`, where one of its names is one.
pub(super) fn colour_index(material: &Material) -> Option<String> {
    let is_index = |name: &&String| {
        name.strip_prefix("CI ")
            .is_some_and(|number| number.len() == 5 && number.chars().all(|digit| digit.is_ascii_digit()))
    };
    material.inci.iter().chain(&material.also).find(is_index).cloned()
}

/// The everyday name of a plant's oil, butter or extract beside its Latin one: `Shea Butter`. None where the label's
/// name is no Latin one, and for names that only the maker knows.
pub fn everyday_name(material: &Material) -> Option<String> {
    const MADE: &[&str] = &["hydrogenated", "hydrolyzed"];
    const GRADES: &[&str] = &["high-oleic", "cold-pressed", "distilled"];
    if material.own {
        // A block of the maker's own may only add to what the catalogue knows under that name.
        let known = Catalogue::built_in().get(&material.name)?;
        return everyday_name(&known).filter(|_| known.inci == material.inci);
    }
    let inci = material.inci.as_deref().map(fold)?;
    let own = fold(&material.name);
    let words: Vec<&str> = inci.split(' ').collect();
    let (first, species) = (words.first()?, words.get(1)?);
    let latin = words.len() >= 3 && !MADE.contains(first) && !own.split(' ').any(|word| word == *species);
    let plant = material.origin.as_deref() == Some("plant");
    if !latin || !plant {
        return None;
    }
    let name = GRADES.iter().find_map(|grade| material.name.strip_prefix(grade)).unwrap_or(&material.name);
    Some(capitals(name.trim()))
}

/// `Shea Butter`, `Ylang-Ylang Oil`.
fn capitals(name: &str) -> String {
    let mut fresh = true;
    name.chars()
        .flat_map(|c| {
            let upper = fresh;
            fresh = c == ' ' || c == '-' || c == '(';
            if upper { c.to_uppercase().collect::<Vec<_>>() } else { vec![c] }
        })
        .collect()
}
