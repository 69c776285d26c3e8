//! What a formula leaves open, read in every way that its limits tell apart.
#![deny(clippy::float_arithmetic)]

use crate::limit::{Condition, Fit, Limit};
use crate::product::Product;
use notation::{AREAS, FORMS};

/// The products that the words can mean, as far as these limits tell them apart, each with the word that would say
/// so. What is declared stays as it is.
pub(super) fn of_product(product: &Product, family: &[&Limit]) -> Vec<(Product, Option<String>)> {
    let mut words: Vec<String> = Vec::new();
    for condition in family.iter().flat_map(|limit| &limit.conditions) {
        if let Condition::Words(list) | Condition::NotIn(list) = condition {
            for word in list.iter().flat_map(|word| notation::known_product_word(word)) {
                if !words.iter().any(|known| known == word) {
                    words.push((*word).to_owned());
                }
            }
        }
    }
    let mut all = vec![(product.clone(), None)];
    if product.usage().is_none() && words.iter().any(|word| notation::USES.contains(&word.as_str())) {
        all = extended(&all, &["leave-on", "rinse-off"]);
    }
    if product.areas().is_empty() {
        let mut areas: Vec<&str> =
            words.iter().map(String::as_str).filter(|word| AREAS.contains(word)).collect();
        if !areas.is_empty() {
            // One area that no limit speaks of stands for all others.
            areas.extend(
                std::iter::once("body").chain(AREAS.iter().copied()).find(|area| !areas.contains(area)),
            );
            all = extended(&all, &areas);
        }
    }
    if product.words.is_empty() {
        let is_form = |word: &&str| FORMS.iter().any(|(form, _)| form == word);
        let mut forms: Vec<&str> = words.iter().map(String::as_str).filter(is_form).collect();
        if !forms.is_empty() {
            forms.push("ointment");
            all = extended(&all, &forms);
        }
    }
    all
}

fn extended(readings: &[(Product, Option<String>)], words: &[&str]) -> Vec<(Product, Option<String>)> {
    let mut out = Vec::new();
    for (product, said) in readings {
        for word in words {
            let mut next = product.clone();
            next.words.push((*word).to_owned());
            let said = said.clone().map_or_else(|| (*word).to_owned(), |said| format!("{said}, {word}"));
            out.push((next, Some(said)));
        }
    }
    out
}

/// Whether the ingredient is of the grade that a limit asks for, in every way that its lines do not rule out.
pub(super) fn of_grade(said: &[String], asked: Option<&str>) -> &'static [Fit] {
    let Some(asked) = asked else { return &[Fit::No] };
    if said.iter().any(|grade| grade == asked) {
        &[Fit::Yes]
    } else if said.iter().any(|grade| grade.strip_prefix("non-") == Some(asked)) {
        &[Fit::No]
    } else {
        &[Fit::Yes, Fit::No]
    }
}
