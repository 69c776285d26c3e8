//! `levigate ingredient`

use super::{Done, Fault, desk_of};
use crate::args::{Color, Form, IngredientArgs};
use crate::disk::{self, Target};
use crate::look::Look;
use crate::report::{ingredient, ingredient_json};
use desk::{Catalogue, Desk, FUNCTIONS, Material, fold, nearest};
use std::path::Path;
use std::sync::Arc;

pub(crate) fn run(args: &IngredientArgs, color: Color) -> Result<Done, Fault> {
    let desk = desk_of(disk::today());
    // What a formula in this folder would see: the workshop's own materials go before the catalogue's.
    let here = Target::of_stdin(None)?.path;
    let look = Look::of_stdout(color);
    if let Some(name) = &args.name {
        let Some(material) = desk.ingredient(&here, name) else { return Ok(unknown(name, &desk, &here)) };
        disk::say(&match args.form {
            Form::Text => ingredient::text(&material, &parts(&material, &desk, &here), look),
            Form::Json => ingredient_json::text(&with_parts(vec![material], &desk, &here)),
        })?;
        return Ok(Done::Well);
    }
    let found: Vec<Arc<Material>> =
        desk.ingredients(&here).into_iter().filter(|material| is_asked_for(material, args)).collect();
    if found.is_empty() {
        disk::complain(&none_found(args));
        return Ok(Done::Found);
    }
    disk::say(&match args.form {
        Form::Text => ingredient::list(&found, look),
        Form::Json => ingredient_json::text(&with_parts(found, &desk, &here)),
    })?;
    Ok(Done::Well)
}

/// What an ingredient counts as or contains, as far as it has a block of its own.
fn parts(material: &Material, desk: &Desk, here: &Path) -> Vec<Arc<Material>> {
    let mut parts: Vec<Arc<Material>> = Vec::new();
    for figure in material.counts_as.iter().chain(&material.contains) {
        let Some(part) = desk.ingredient(here, &figure.value.name) else { continue };
        if part.key() != material.key() && !parts.iter().any(|known| known.key() == part.key()) {
            parts.push(part);
        }
    }
    parts
}

/// An ingredient with its parts.
type WithParts = (Arc<Material>, Vec<Arc<Material>>);

fn with_parts(materials: Vec<Arc<Material>>, desk: &Desk, here: &Path) -> Vec<WithParts> {
    materials
        .into_iter()
        .map(|material| {
            let parts = parts(&material, desk, here);
            (material, parts)
        })
        .collect()
}

fn is_asked_for(material: &Material, args: &IngredientArgs) -> bool {
    let like = args.like.as_ref().is_some_and(|text| {
        let text = fold(text);
        material.names().any(|name| name.contains(&text))
    });
    // `solubilizer` and `solubiliser` are one word.
    like || args.function.as_ref().is_some_and(|word| material.does(&word.replace("iz", "is")))
}

fn unknown(name: &str, desk: &Desk, here: &Path) -> Done {
    let own: Vec<Arc<Material>> = desk.ingredients(here).into_iter().filter(|known| known.own).collect();
    let mut near: Vec<String> = nearest(name, own.iter().map(|known| known.name.as_str()), 2)
        .map(str::to_owned)
        .into_iter()
        .collect();
    near.extend(Catalogue::built_in().near(name, 5));
    near.dedup();
    let help = if near.is_empty() {
        "`levigate ingredient --like TEXT` searches in all names".to_owned()
    } else {
        format!("near it: {}", near.join(", "))
    };
    disk::complain(&format!("neither the catalogue nor your workshop has `{name}`; {help}"));
    Done::Found
}

fn none_found(args: &IngredientArgs) -> String {
    let Some(word) = &args.function else {
        return format!("no name in the catalogue holds `{}`", args.like.as_deref().unwrap_or_default());
    };
    match nearest(&fold(word), FUNCTIONS.iter().copied(), 2) {
        Some(near) if fold(near) != fold(word) => {
            format!("no ingredient has the function `{word}`; did you mean `{near}`?")
        }
        _ => format!("no ingredient has the function `{word}`; there are: {}", FUNCTIONS.join(", ")),
    }
}
