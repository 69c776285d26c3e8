//! The ingredients that the tool brings along, and how a name is looked up.

mod files;
mod read;

use crate::material::Material;
use notation::{Block, BlockKind, fold, read_block, split_blocks};
pub(crate) use read::{canonical_function, condition_words};
use std::collections::HashMap;
use std::sync::{Arc, OnceLock};

/// What a name was found to be.
#[derive(Clone, Debug)]
pub enum Found {
    /// An ingredient; its `ambiguous` list says whether the name must be asked.
    Known(Arc<Material>),
    /// Not found; names that are near it, the nearest first.
    Unknown(Vec<String>),
}

/// Ingredient blocks that can be found by any of their names.
#[derive(Debug, Default)]
pub struct Catalogue {
    blocks: Vec<Entry>,
    /// Folded name → blocks with that name, in order of reading.
    names: HashMap<String, Vec<usize>>,
}

#[derive(Debug)]
struct Entry {
    text: &'static str,
    material: OnceLock<Arc<Material>>,
}

impl Entry {
    fn material(&self) -> &Arc<Material> {
        self.material.get_or_init(|| Arc::new(read::material(&read_block(self.text), false)))
    }
}

/// The material that a maker's own block describes.
pub fn own_material(block: &Block) -> Material {
    read::material(block, true)
}

/// The day up to which the catalogue's law was read.
pub const LAW_READ_ON: &str = "2026-11-24";

impl Catalogue {
    /// The built-in catalogue.
    pub fn built_in() -> &'static Catalogue {
        static BUILT_IN: OnceLock<Catalogue> = OnceLock::new();
        BUILT_IN.get_or_init(|| Catalogue::of_files(files::FILES.iter().map(|(_, text)| *text)))
    }

    /// The files of the built-in catalogue: name and text.
    pub fn files() -> &'static [(&'static str, &'static str)] {
        files::FILES
    }

    fn of_files(files: impl Iterator<Item = &'static str>) -> Catalogue {
        let mut catalogue = Catalogue::default();
        for file in files {
            for span in split_blocks(file) {
                let text = span.of(file);
                let names = names_of(text);
                if names.is_empty() {
                    continue;
                }
                let at = catalogue.blocks.len();
                catalogue.blocks.push(Entry { text, material: OnceLock::new() });
                for name in names {
                    let places = catalogue.names.entry(name).or_default();
                    if !places.contains(&at) {
                        places.push(at);
                    }
                }
            }
        }
        catalogue
    }

    /// Looks a name up, without case. A block's own name goes before another block's INCI or other name.
    pub fn get(&self, name: &str) -> Option<Arc<Material>> {
        let folded = fold(name);
        let places = self.names.get(&folded).or_else(|| self.names.get(&*folded.replace(" and ", " (and) ")))?;
        let materials = places.iter().filter_map(|at| self.blocks.get(*at)).map(Entry::material);
        let mut materials: Vec<&Arc<Material>> = materials.collect();
        materials.sort_by_key(|material| fold(&material.name) != folded);
        match materials.as_slice() {
            [] => None,
            [one] => Some(Arc::clone(one)),
            [first, ..] if fold(&first.name) == folded => Some(Arc::clone(first)),
            // One INCI of several materials: the name must be asked.
            several => Some(Arc::new(Material {
                name: name.to_owned(),
                ambiguous: several.iter().map(|material| material.name.clone()).collect(),
                ..Material::default()
            })),
        }
    }

    /// Names that are near a written one, the nearest first; at most `most`.
    pub fn near(&self, written: &str, most: usize) -> Vec<String> {
        let folded = fold(written);
        let allowed = match folded.chars().count() {
            0..=3 => return Vec::new(),
            4..=6 => 1,
            7..=12 => 2,
            _ => 3,
        };
        let plain = without_accents(&folded);
        let mut near: Vec<(usize, &String)> = self
            .names
            .keys()
            .filter_map(|name| {
                if plain != folded && *name == plain {
                    return Some((0, name));
                }
                if name.len().abs_diff(folded.len()) > allowed {
                    return None;
                }
                let distance = strsim::osa_distance(name, &folded);
                (distance <= allowed).then_some((distance, name))
            })
            .collect();
        near.sort();
        let mut names: Vec<String> = Vec::new();
        for (_, name) in near {
            let written = self.written(name);
            if !names.contains(&written) {
                names.push(written);
            }
        }
        names.truncate(most);
        names
    }

    /// The spelling of a folded name as its block writes it.
    fn written(&self, folded: &str) -> String {
        let material = self.names.get(folded).and_then(|places| places.first()).and_then(|at| self.blocks.get(*at));
        let Some(material) = material.map(Entry::material) else { return folded.to_owned() };
        std::iter::once(&material.name)
            .chain(&material.inci)
            .chain(&material.also)
            .find(|name| fold(name) == folded)
            .cloned()
            .unwrap_or_else(|| folded.to_owned())
    }

    /// Every material, in the order of the files.
    pub fn all(&self) -> impl Iterator<Item = &Arc<Material>> {
        self.blocks.iter().map(Entry::material)
    }
}

fn without_accents(text: &str) -> String {
    use std::fmt::Write;
    let mut out = String::new();
    for c in text.chars() {
        // The accents of the languages that makers' recipes come in.
        let plain = match c {
            'à' | 'á' | 'â' | 'ã' | 'ä' | 'å' => "a",
            'ç' => "c",
            'è' | 'é' | 'ê' | 'ë' => "e",
            'ì' | 'í' | 'î' | 'ï' => "i",
            'ñ' => "n",
            'ò' | 'ó' | 'ô' | 'õ' | 'ö' | 'ø' => "o",
            'ù' | 'ú' | 'û' | 'ü' => "u",
            'ý' | 'ÿ' => "y",
            'æ' => "ae",
            'œ' => "oe",
            'ß' => "ss",
            other => {
                out.push(other);
                continue;
            }
        };
        let _ = out.write_str(plain);
    }
    out
}

/// The folded names of a block, found without reading the rest of it.
fn names_of(text: &str) -> Vec<String> {
    let mut lines = text.lines();
    let Some(name) = lines.next().and_then(|line| line.strip_prefix("ingredient ")) else { return Vec::new() };
    let mut names = vec![fold(name)];
    for line in lines {
        if let Some(inci) = line.strip_prefix("INCI ") {
            names.push(fold(inci));
        } else if line.starts_with("also ") {
            let block = read_block(&format!("{}ingredient x\n{line}\n", ""));
            for (_, fact) in block.facts(notation::Word::Also) {
                let list = notation::list_names(&block.text, fact.rest);
                names.extend(list.into_iter().map(|span| fold(block.at(span).trim_matches('"'))));
            }
        }
    }
    names
}

/// Whether a block describes an ingredient.
pub fn is_ingredient(block: &Block) -> bool {
    block.kind == BlockKind::Ingredient
}
