//! `levigate ingredient`

use super::{Done, Fault};
use crate::args::{Color, Form, IngredientArgs};
use crate::disk;
use crate::look::Look;
use crate::report::ingredient;
use desk::{Catalogue, FUNCTIONS, Material, fold, nearest};
use std::sync::Arc;

pub(crate) fn run(args: &IngredientArgs, color: Color) -> Result<Done, Fault> {
    let catalogue = Catalogue::built_in();
    let look = Look::of_stdout(color);
    if let Some(name) = &args.name {
        let Some(material) = catalogue.get(name) else { return Ok(unknown(name, &catalogue.near(name, 5))) };
        disk::say(&match args.form {
            Form::Text => ingredient::text(&material, look),
            Form::Json => ingredient::json(&[material]),
        })?;
        return Ok(Done::Well);
    }
    let found: Vec<Arc<Material>> =
        catalogue.all().filter(|material| is_asked_for(material, args)).cloned().collect();
    if found.is_empty() {
        disk::complain(&none_found(args));
        return Ok(Done::Found);
    }
    disk::say(&match args.form {
        Form::Text => ingredient::list(&found, look),
        Form::Json => ingredient::json(&found),
    })?;
    Ok(Done::Well)
}

fn is_asked_for(material: &Material, args: &IngredientArgs) -> bool {
    let like = args.like.as_ref().is_some_and(|text| {
        let text = fold(text);
        material.names().any(|name| name.contains(&text))
    });
    like || args.function.as_ref().is_some_and(|word| material.does(word))
}

fn unknown(name: &str, near: &[String]) -> Done {
    let help = if near.is_empty() {
        "`levigate ingredient --like TEXT` searches in all names".to_owned()
    } else {
        format!("near it: {}", near.join(", "))
    };
    disk::complain(&format!("the catalogue has no `{name}`; {help}"));
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
