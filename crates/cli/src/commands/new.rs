//! `levigate new`

use super::{Done, Fault};
use crate::args::{Kind, NewArgs};
use crate::disk;

pub(crate) fn run(args: &NewArgs) -> Result<Done, Fault> {
    let text = starter(args.kind);
    match &args.to {
        None => disk::say(text)?,
        Some(path) => disk::create(path, text).map_err(|fault| Fault::of(path, &fault))?,
    }
    Ok(Done::Well)
}

fn starter(kind: Kind) -> &'static str {
    match kind {
        Kind::Cream => include_str!("../../starters/cream.formula"),
        Kind::Lotion => include_str!("../../starters/lotion.formula"),
        Kind::Balm => include_str!("../../starters/balm.formula"),
        Kind::Gel => include_str!("../../starters/gel.formula"),
        Kind::Cleanser => include_str!("../../starters/cleanser.formula"),
        Kind::SunCream => include_str!("../../starters/sun-cream.formula"),
        Kind::Oil => include_str!("../../starters/oil.formula"),
        Kind::Scrub => include_str!("../../starters/scrub.formula"),
        Kind::Powder => include_str!("../../starters/powder.formula"),
        Kind::Bath => include_str!("../../starters/bath.formula"),
        Kind::Ingredient => include_str!("../../starters/ingredient.formula"),
        Kind::Workshop => include_str!("../../starters/workshop.formula"),
    }
}
