//! The ingredients that the tool brings along, and how a name is looked up.

mod files;
#[rustfmt::skip]
mod index;
mod read;

use crate::material::Material;
use index::{BLOCKS, NAMES};
use notation::{Block, BlockKind, Letters, fold, read_block, split_blocks};
pub(crate) use read::{canonical_function, condition_words};
use std::fmt::Write;
use std::sync::{Arc, OnceLock};

/// What a name was found to be.
#[derive(Clone, Debug)]
pub enum Found {
    /// An ingredient; its `ambiguous` list says whether the name must be asked.
    Known(Arc<Material>),
    /// Not found.
    Unknown,
}

/// The ingredients that the tool brings along. Which block has which names stands in a committed table, so that
/// nothing is read before it is asked for; the table is made from the files by [`Catalogue::index_source`].
#[derive(Debug)]
pub struct Catalogue {
    materials: Box<[OnceLock<Arc<Material>>]>,
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
        BUILT_IN.get_or_init(|| Catalogue { materials: BLOCKS.iter().map(|_| OnceLock::new()).collect() })
    }

    /// The files of the built-in catalogue: name and text.
    pub fn files() -> &'static [(&'static str, &'static str)] {
        files::FILES
    }

    /// The table of names, as Rust source made afresh from the files.
    pub fn index_source() -> String {
        index_source(files::FILES)
    }

    fn material(&self, at: usize) -> Option<&Arc<Material>> {
        let (file, start, end) = BLOCKS.get(at)?;
        let (_, text) = files::FILES.get(usize::from(*file))?;
        let block = text.get(*start as usize..*end as usize)?;
        self.materials
            .get(at)
            .map(|slot| slot.get_or_init(|| Arc::new(read::material(&read_block(block), false))))
    }

    /// The blocks with a folded name, in the order of the files.
    fn places(folded: &str) -> impl Iterator<Item = usize> {
        let from = NAMES.partition_point(|(name, _)| *name < folded);
        NAMES.iter().skip(from).take_while(move |(name, _)| *name == folded).map(|(_, at)| usize::from(*at))
    }

    /// Looks a name up, without case. A block's own name goes before another block's INCI or other name.
    pub fn get(&self, name: &str) -> Option<Arc<Material>> {
        let folded = fold(name);
        let mut materials: Vec<&Arc<Material>> =
            Self::places(&folded).filter_map(|at| self.material(at)).collect();
        if materials.is_empty() && folded.contains(" and ") {
            return self.get(&folded.replace(" and ", " (and) "));
        }
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
        static LETTERS: OnceLock<Box<[Letters]>> = OnceLock::new();
        let folded = fold(written);
        let allowed = match folded.chars().count() {
            0..=3 => return Vec::new(),
            4..=6 => 1,
            7..=12 => 2,
            _ => 3,
        };
        let plain = without_accents(&folded);
        let letters = LETTERS.get_or_init(|| NAMES.iter().map(|(name, _)| Letters::of(name)).collect());
        let own = Letters::of(&folded);
        let mut near: Vec<(usize, &str)> = NAMES
            .iter()
            .zip(letters)
            // A class (`an oil`) is no slip of the pen for one of its kind.
            .filter(|((name, _), _)| !name.starts_with("a ") && !name.starts_with("an "))
            .filter_map(|((name, _), letters)| {
                if plain != folded && *name == plain {
                    return Some((0, *name));
                }
                if name.len().abs_diff(folded.len()) > allowed || !letters.may_be_within(own, allowed) {
                    return None;
                }
                let distance = strsim::osa_distance(name, &folded);
                (distance <= allowed).then_some((distance, *name))
            })
            .collect();
        near.sort_unstable();
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
        let Some(material) = Self::places(folded).next().and_then(|at| self.material(at)) else {
            return folded.to_owned();
        };
        std::iter::once(&material.name)
            .chain(&material.inci)
            .chain(&material.also)
            .find(|name| fold(name) == folded)
            .cloned()
            .unwrap_or_else(|| folded.to_owned())
    }

    /// Every material, in the order of the files.
    pub fn all(&self) -> impl Iterator<Item = &Arc<Material>> {
        (0..BLOCKS.len()).filter_map(|at| self.material(at))
    }
}

fn without_accents(text: &str) -> String {
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

/// The table of names: a line for each block, then a line for each of its folded names, sorted.
fn index_source(files: &[(&str, &str)]) -> String {
    let mut blocks = String::new();
    let mut names: Vec<(String, usize)> = Vec::new();
    let mut count = 0;
    for (number, (_, text)) in files.iter().enumerate() {
        for span in split_blocks(text) {
            let block = read_block(span.of(text));
            if block.kind != BlockKind::Ingredient {
                continue;
            }
            let _ = writeln!(blocks, "    ({number}, {}, {}),", span.start, span.end);
            names.extend(read::material(&block, false).names().map(|name| (name.to_owned(), count)));
            count += 1;
        }
    }
    names.sort();
    names.dedup();
    let mut out = String::from(
        "//! Made by `cargo xtask pages` from the catalogue's files; a test keeps it true. Do not edit.\n\n\
         /// File, first byte and end of each block.\n\
         pub(super) const BLOCKS: &[(u8, u32, u32)] = &[\n",
    );
    out.push_str(&blocks);
    out.push_str("];\n\n/// Folded names in order, each with the number of its block.\npub(super) const NAMES: &[(&str, u16)] = &[\n");
    for (name, at) in names {
        let _ = writeln!(out, "    ({name:?}, {at}),");
    }
    out.push_str("];\n");
    out
}

/// Whether a block describes an ingredient.
pub fn is_ingredient(block: &Block) -> bool {
    block.kind == BlockKind::Ingredient
}
