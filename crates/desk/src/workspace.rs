//! Questions about all files of the workspace: what they hold, which formula uses which, and what a moved file changes.

use crate::Desk;
use crate::around::plain;
use crate::outline::EntryKind;
use crate::page::Leaf;
use crate::places::Target;
use notation::{Block, BlockKind, Edit, Edits, Fact, Span, Word, fold, read_block, split_blocks};
use std::path::{Component, Path, PathBuf};

/// Something in the workspace that has a name.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Symbol {
    /// How it is called.
    pub name: String,
    /// What it is.
    pub kind: EntryKind,
    /// The formula that it is part of; empty for blocks.
    pub within: String,
    /// Where it stands.
    pub target: Target,
}

/// One formula that uses another, and the places where it does.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct UseOf {
    /// The name of the formula at the other end.
    pub name: String,
    /// Where that stands.
    pub formula: Target,
    /// The lines of the using formula that name the used one. Bytes from its file's start.
    pub lines: Vec<Span>,
}

impl Desk {
    /// The blocks and variants whose names hold the letters of `query` in their order; all for an empty one. At most
    /// `most`, names that begin with the query first.
    pub fn symbols(&self, query: &str, most: usize) -> Vec<Symbol> {
        let query = fold(query);
        let mut found = Vec::new();
        for path in self.workspace_files() {
            if let Some(text) = self.text_of(&path) {
                symbols_of(&path, &text, &mut |symbol| {
                    if holds(&fold(&symbol.name), &query) {
                        found.push(symbol);
                    }
                });
            }
        }
        found.sort_by_cached_key(|symbol| {
            let name = fold(&symbol.name);
            (!name.starts_with(&query), !name.contains(&query), name)
        });
        found.truncate(most);
        found
    }

    /// The formula at a byte: the one whose name stands there, or the one that a line brings under a name.
    pub fn formula_at(&mut self, path: &Path, at: u32) -> Option<(String, Target)> {
        let page = self.page_of(path)?;
        let leaf = page.leaf_at(at)?;
        if let Some(own) = opener(path, leaf).filter(|own| own.span.touches(at)) {
            return Some((leaf.block().name().to_owned(), own));
        }
        let found = self.definition(path, at).into_iter().next()?;
        let text = self.text_of(&found.path)?;
        let page = self.page_of(&found.path)?;
        let formula = page.leaf_at(found.name.start)?;
        (formula.block().kind == BlockKind::Formula).then(|| (found.name.of(&text).to_owned(), found))
    }

    /// The formulas that include the one whose name stands at a byte.
    pub fn users(&mut self, path: &Path, at: u32) -> Vec<UseOf> {
        let Some((name, own)) = self.formula_at(path, at) else { return Vec::new() };
        let file = own.path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        let mut users = Vec::new();
        for other in self.workspace_files() {
            let names_it = self.text_of(&other).is_some_and(|text| text.contains(&file));
            let Some(page) = names_it.then(|| self.page_of(&other)).flatten() else { continue };
            for leaf in page.leaves() {
                let lines: Vec<Span> = includes(&other, leaf)
                    .into_iter()
                    .filter(|include| include.path == own.path && self.is_formula(include, &name))
                    .flat_map(|include| uses(leaf, &include.name))
                    .collect();
                if let Some(formula) = opener(&other, leaf).filter(|_| !lines.is_empty()) {
                    users.push(UseOf { name: leaf.block().name().to_owned(), formula, lines });
                }
            }
        }
        users
    }

    /// The formulas that the one at a byte includes.
    pub fn used(&mut self, path: &Path, at: u32) -> Vec<UseOf> {
        let Some((_, own)) = self.formula_at(path, at) else { return Vec::new() };
        let Some(page) = self.page_of(&own.path) else { return Vec::new() };
        let Some(leaf) = page.leaf_at(own.name.start) else { return Vec::new() };
        let mut used = Vec::new();
        for include in includes(&own.path, leaf) {
            let lines = uses(leaf, &include.name);
            let Some(other) = self.page_of(&include.path) else { continue };
            let formula = other.leaves().find(|leaf| {
                let named =
                    include.formula.as_ref().is_none_or(|name| fold(leaf.block().name()) == fold(name));
                leaf.block().kind == BlockKind::Formula && named
            });
            if let Some((leaf, formula)) = formula.and_then(|leaf| Some((leaf, opener(&include.path, leaf)?)))
            {
                used.push(UseOf { name: leaf.block().name().to_owned(), formula, lines });
            }
        }
        used
    }

    fn is_formula(&self, include: &Include, name: &str) -> bool {
        match &include.formula {
            Some(formula) => fold(formula) == fold(name),
            // The first formula of the file is meant.
            None => self.text_of(&include.path).is_some_and(|text| {
                let first =
                    split_blocks(&text).into_iter().map(|span| read_block(first_line(span.of(&text))));
                first
                    .into_iter()
                    .find(|block| block.kind == BlockKind::Formula)
                    .is_some_and(|block| fold(block.name()) == fold(name))
            }),
        }
    }

    /// What has to change in the `include` and `stock` lines of the workspace when files are moved: from, to.
    pub fn moved(&self, moves: &[(PathBuf, PathBuf)]) -> Vec<(PathBuf, Edits)> {
        let after = |path: &Path| {
            moves
                .iter()
                .find_map(|(from, to)| {
                    let rest = path.strip_prefix(from).ok()?;
                    Some(if rest.as_os_str().is_empty() { to.clone() } else { to.join(rest) })
                })
                .unwrap_or_else(|| path.to_owned())
        };
        let mut changed = Vec::new();
        for file in self.workspace_files() {
            let Some(text) = self.text_of(&file) else { continue };
            if !text.contains("include") && !text.contains("stock") {
                continue;
            }
            let (here, there) = (folder(&file), folder(&after(&file)));
            let mut edits = Vec::new();
            for start in split_blocks(&text) {
                let block = read_block(start.of(&text));
                for (span, written) in paths(&block) {
                    let target = plain(&here.join(&written));
                    let new = relative(&there, &after(&target));
                    if plain(&there.join(&written)) != after(&target) && new != written {
                        edits.push(Edit { span: span.shifted(start.start), text: new });
                    }
                }
            }
            if let Some(edits) = Edits::new(edits).ok().filter(|edits| !edits.is_empty()) {
                changed.push((file, edits));
            }
        }
        changed
    }
}

/// Whether a name holds some letters in their order.
fn holds(name: &str, letters: &str) -> bool {
    let mut rest = name.chars();
    letters.chars().filter(|c| !c.is_whitespace()).all(|letter| rest.any(|c| c == letter))
}

fn first_line(text: &str) -> &str {
    text.split_inclusive('\n').next().unwrap_or(text)
}

fn symbols_of(path: &Path, text: &str, put: &mut impl FnMut(Symbol)) {
    for span in split_blocks(text) {
        let block = read_block(first_line(span.of(text)));
        let kind = match block.kind {
            BlockKind::Loose => continue,
            BlockKind::Formula => EntryKind::Formula,
            BlockKind::Ingredient => EntryKind::Ingredient,
            BlockKind::Workshop => EntryKind::Workshop,
            BlockKind::Record => EntryKind::Record,
        };
        let name = block.name().to_owned();
        let Some(opener) = block.opener().filter(|_| !name.is_empty()) else { continue };
        let line = Span::new(0, block.text.trim_end().len() as u32);
        put(Symbol {
            name: name.clone(),
            kind,
            within: String::new(),
            target: Target {
                path: path.to_owned(),
                span: line.shifted(span.start),
                name: opener.name.shifted(span.start),
            },
        });
        let mut start = span.start;
        for line in span.of(text).split_inclusive('\n') {
            let own = Span::new(start, start + line.trim_end().len() as u32);
            start += line.len() as u32;
            let words = line.trim_start();
            if kind == EntryKind::Formula
                && words.get(..8).is_some_and(|word| word.eq_ignore_ascii_case("variant "))
            {
                let variant = words.get(8..).unwrap_or("").split(':').next().unwrap_or("").trim();
                let at = line.find(variant).unwrap_or(0) as u32 + own.start;
                put(Symbol {
                    name: variant.to_owned(),
                    kind: EntryKind::Variant,
                    within: name.clone(),
                    target: Target {
                        path: path.to_owned(),
                        span: own,
                        name: Span::new(at, at + variant.len() as u32),
                    },
                });
            }
        }
    }
}

/// The name of a formula, where a leaf is one.
fn opener(path: &Path, leaf: Leaf<'_>) -> Option<Target> {
    let block = leaf.block();
    let opener = block.opener().filter(|_| block.kind == BlockKind::Formula)?;
    let line = block.lines.iter().find(|line| matches!(line.form, notation::Form::Open(_)))?;
    Some(Target {
        path: path.to_owned(),
        span: line.span.shifted(leaf.start),
        name: opener.name.shifted(leaf.start),
    })
}

/// What an `include` line says.
struct Include {
    path: PathBuf,
    formula: Option<String>,
    name: String,
}

fn includes(path: &Path, leaf: Leaf<'_>) -> Vec<Include> {
    let block = leaf.block();
    let include = |fact: &Fact| {
        let (file, name) = block.at(fact.rest).rsplit_once(" as ")?;
        let (file, formula) = match file.trim().split_once('#') {
            Some((file, formula)) => (file.to_owned(), Some(formula.to_owned())),
            None => (file.trim().to_owned(), None),
        };
        Some(Include { path: plain(&folder(path).join(file)), formula, name: name.trim().to_owned() })
    };
    block.facts(Word::Include).filter_map(|(_, fact)| include(fact)).collect()
}

/// The lines of a formula on which a name stands.
fn uses(leaf: Leaf<'_>, name: &str) -> Vec<Span> {
    let key = fold(name);
    let items = leaf.resolved().map(|resolved| resolved.formula.items.iter()).into_iter().flatten();
    items.filter(|item| fold(&item.name) == key).map(|item| item.name_span.shifted(leaf.start)).collect()
}

fn folder(path: &Path) -> PathBuf {
    path.parent().unwrap_or(Path::new("")).to_owned()
}

/// The paths that a block names, as written, without the formula behind `#`.
fn paths(block: &Block) -> Vec<(Span, String)> {
    let path = |fact: &Fact| {
        let text = block.at(fact.rest);
        let path = if fact.word == Word::Include {
            text.rsplit_once(" as ").map_or(text, |(path, _)| path)
        } else {
            text
        };
        let path = path.split('#').next().unwrap_or(path).trim_end();
        let span = Span::new(fact.rest.start, fact.rest.start + path.len() as u32);
        (!path.is_empty()).then(|| (span, path.to_owned()))
    };
    [Word::Include, Word::Stock]
        .into_iter()
        .flat_map(|word| block.facts(word).filter_map(|(_, fact)| path(fact)).collect::<Vec<_>>())
        .collect()
}

/// The way from a folder to a file, with `/` on all systems.
fn relative(from: &Path, to: &Path) -> String {
    let (from, to): (Vec<Component<'_>>, Vec<Component<'_>>) =
        (from.components().collect(), to.components().collect());
    let shared = from.iter().zip(&to).take_while(|(a, b)| a == b).count();
    let up = std::iter::repeat_n("..".to_owned(), from.len() - shared);
    let down = to.iter().skip(shared).map(|part| part.as_os_str().to_string_lossy().into_owned());
    up.chain(down).collect::<Vec<_>>().join("/")
}
