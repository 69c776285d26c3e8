//! What can be written at a place: the line up to the cursor is read with a made-up word at its end, and the field in
//! which that word comes to stand says what is wanted.

use super::changes::change;
use super::qualifiers::qualifier;
use notation::{
    Base, Block, BlockKind, Fact, Form, ItemLine, Line, PhaseLine, Quantity, SlipKind, Span, Unit, Word,
    fold, read_block,
};

/// A word that is no unit, no line word and near none.
const MARK: &str = "zqzq";

/// What stands around a line.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Scene {
    /// The kind of its block.
    pub(super) kind: BlockKind,
    /// Whether it follows a variant or one of its changes.
    pub(super) in_variant: bool,
}

/// A line to which a qualifier belongs.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Owner {
    /// An ingredient line; whether it is an adjuster.
    Item(bool),
    /// A phase.
    Phase,
    /// A line with a word.
    Fact(Word),
}

/// A thing that can be written.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) enum Wanted {
    /// The first word of a line.
    Start,
    /// A word or two of a closed list.
    Words(Vec<&'static str>),
    /// A unit, the most fitting first.
    Units(Vec<&'static str>),
    /// A unit of money.
    Money,
    /// An ingredient; those of the formula first where one of them is meant.
    Ingredient { of_formula: bool },
    /// An ingredient of the formula itself, that a variant changes.
    Target,
    /// A phase of the formula.
    Label,
    /// The label of a new phase.
    NewLabel,
    /// The words of a step.
    Step,
    /// A rule.
    Rule,
    /// A variant of the formula.
    Variant,
    /// A qualifier.
    Qualifier(Owner),
    /// A product word: form, purpose, use, area, way, type.
    Product,
    /// Another file.
    Path,
    /// A formula; of a file, where one is named.
    Formula(Option<String>),
}

/// What is wanted, and how many bytes before the cursor have been typed of it.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub(super) struct Spot {
    pub(super) wanted: Vec<Wanted>,
    pub(super) typed: usize,
    /// Words that the line's list holds already, folded.
    pub(super) said: Vec<String>,
}

impl Spot {
    pub(super) fn of(wanted: Wanted, typed: &str) -> Spot {
        Spot { wanted: vec![wanted], typed: typed.len(), said: Vec::new() }
    }

    pub(super) fn nothing() -> Spot {
        Spot::default()
    }
}

/// What can be written at the end of a line's beginning.
pub(super) fn spot(before: &str, scene: Scene) -> Spot {
    let line = before.trim_start_matches(is_blank);
    if line.starts_with('#') {
        return Spot::nothing();
    }
    let number = line.starts_with(|c: char| c.is_numeric() || matches!(c, '.' | ','));
    let (first, rest) = match line.split_once(is_blank) {
        Some(cut) => cut,
        None if number => (line, ""),
        None if line.contains([';', ':']) => return Spot::nothing(),
        None => return Spot::of(Wanted::Start, line),
    };
    // A colon after the first word is passed over: `version: 3`.
    let first = fold(first.trim_end_matches(':'));
    if ["formula", "ingredient", "workshop", "record"].contains(&first.as_str()) {
        return Spot::nothing();
    }
    match (scene.kind, first.as_str()) {
        (BlockKind::Loose, _) => return Spot::nothing(),
        (BlockKind::Formula, "phase") => return phase(line, rest),
        (BlockKind::Formula, "step") => return step(line, rest),
        (BlockKind::Formula, "variant") => return variant(line, rest),
        (BlockKind::Formula, "replace" | "swap" | "omit" | "add" | "set") if scene.in_variant => {
            return change(line, &first, rest.trim_start_matches(is_blank));
        }
        _ => {}
    }
    let mut spot = match read(scene.kind, "", line) {
        Some(read) => match &read.line.form {
            Form::Fact(written) => fact(&read, written),
            Form::Item(written) => item(&read, written, false),
            _ => Spot::nothing(),
        },
        None => Spot::nothing(),
    };
    // The line word itself may have several words: `shelf li`.
    if spot.wanted.is_empty() && Word::ALL.iter().any(|word| begins(*word, scene.kind, line)) {
        spot = Spot::of(Wanted::Start, line);
    }
    spot
}

fn begins(word: Word, kind: BlockKind, line: &str) -> bool {
    let typed = fold(line);
    word.blocks().contains(&kind)
        && word.spellings().iter().any(|s| s.contains(' ') && fold(s).starts_with(&typed))
}

pub(super) fn is_blank(c: char) -> bool {
    matches!(c, ' ' | '\t' | '\u{a0}' | '\u{2009}' | '\u{202f}' | '\u{feff}')
}

/// A line read with the mark at its end.
pub(super) struct Read {
    pub(super) block: Block,
    pub(super) line: Line,
    /// The byte at which the mark begins: the cursor.
    pub(super) at: u32,
}

impl Read {
    /// What is typed from a byte on.
    pub(super) fn typed(&self, from: u32) -> &str {
        self.block.at(Span::new(from.min(self.at), self.at))
    }

    /// What is typed of the last entry of a list that begins at a byte.
    fn last_of_list(&self, from: u32) -> &str {
        let typed = self.typed(from);
        typed.rsplit(',').next().unwrap_or(typed).trim_start_matches(is_blank)
    }

    /// A list whose last entry is being written.
    pub(super) fn list(&self, wanted: Wanted, from: u32) -> Spot {
        let said = self.typed(from).split(',').map(fold);
        let mut said: Vec<String> = said.collect();
        let _ = said.pop();
        Spot { said, ..Spot::of(wanted, self.last_of_list(from)) }
    }
}

/// Reads the beginning of a line in a block of a kind, below another line. None within a comment.
pub(super) fn read(kind: BlockKind, above: &str, line: &str) -> Option<Read> {
    let mut text = format!("{} x\n{above}", kind.spelling());
    // With a phase, names without an amount are read, too; and nothing else is read otherwise.
    if kind == BlockKind::Formula && above.is_empty() {
        text.push_str("phase A\n");
    }
    text.push_str(line);
    let at = text.len() as u32;
    text.push_str(MARK);
    let mut block = read_block(&text);
    let line = block.lines.pop()?;
    (line.comment.is_none()).then_some(Read { block, line, at })
}

fn phase(line: &str, rest: &str) -> Spot {
    let Some(read) = read(BlockKind::Formula, "", line) else { return Spot::nothing() };
    let rest = rest.trim_start_matches(is_blank);
    if !rest.contains(is_blank) && !rest.contains(';') {
        return Spot::of(Wanted::NewLabel, rest);
    }
    let Form::Phase(PhaseLine { label, kind, heading, clauses, .. }) = &read.line.form else {
        return Spot::nothing();
    };
    if let Some(clause) = clauses.iter().find(|clause| clause.span.touches(read.at)) {
        return qualifier(&read, clause, Owner::Phase);
    }
    if kind.is_none() && heading.start <= read.at && heading.start > label.end {
        let kinds = ["water", "oil", "cool-down", "powder", "surfactant", "gel", "slurry", "active"];
        let mut kinds = kinds.to_vec();
        kinds.extend(["fragrance", "other"]);
        return Spot::of(Wanted::Words(kinds), read.typed(heading.start));
    }
    Spot::nothing()
}

fn step(line: &str, rest: &str) -> Spot {
    match read(BlockKind::Formula, "", line) {
        Some(_) => Spot::of(Wanted::Step, rest.trim_start_matches(is_blank)),
        None => Spot::nothing(),
    }
}

/// Names of variants are free; only the parts of one that puts others together are known.
fn variant(line: &str, rest: &str) -> Spot {
    match (read(BlockKind::Formula, "", line), rest.split_once(':')) {
        (Some(read), Some((_, parts))) => read.list(Wanted::Variant, read.at - parts.len() as u32),
        _ => Spot::nothing(),
    }
}

/// An amount and a name, or a name alone.
pub(super) fn amounted(written: &str) -> Spot {
    let read = read(BlockKind::Formula, "", written);
    match read.as_ref().map(|read| (read, &read.line.form)) {
        Some((read, Form::Item(written))) => item(read, written, true),
        _ => Spot::nothing(),
    }
}

/// Without case where that changes no byte's place.
pub(super) fn fold_ascii(text: &str) -> String {
    text.to_ascii_lowercase()
}

fn item(read: &Read, item: &ItemLine, nameable: bool) -> Spot {
    if let Some(clause) = item.clauses.iter().find(|clause| clause.span.touches(read.at)) {
        return qualifier(read, clause, Owner::Item(matches!(item.quantity, Quantity::AsNeeded(_))));
    }
    if !item.name.span.touches(read.at) {
        return Spot::nothing();
    }
    let typed = read.typed(item.name.span.start);
    let ingredient = Wanted::Ingredient { of_formula: false };
    let unitless = read.block.slips.iter().any(|slip| slip.kind == SlipKind::UnitMissing);
    match &item.quantity {
        Quantity::Missing if nameable => Spot::of(ingredient, typed),
        Quantity::Missing => Spot::nothing(),
        Quantity::Unread(_) if !unitless => Spot::nothing(),
        Quantity::Unread(_) => Spot::of(Wanted::Units(weights()), typed),
        Quantity::Balance(Some(whole), _) if whole.unit.is_none() => {
            Spot::of(Wanted::Units(vec!["%", "g", "kg", "parts"]), typed)
        }
        quantity => {
            let mut spot = Spot::of(ingredient, typed);
            // `10 % of B`: a share of a phase, or of all oils.
            let head = quantity.span().map_or("", |span| {
                read.block.at(Span::new(span.end, item.name.span.start)).trim_matches(is_blank)
            });
            let percent = matches!(quantity, Quantity::Given(measure)
                if measure.unit.is_some_and(|unit| unit.unit == Unit::Percent)
                    && !matches!(measure.of, Some(Base::Phase(_) | Base::Oils(_))));
            if percent && head.eq_ignore_ascii_case("of") {
                spot.wanted = vec![Wanted::Label, Wanted::Words(vec!["oils"])];
            }
            spot
        }
    }
}

fn weights() -> Vec<&'static str> {
    vec![
        "%", "g", "mg", "kg", "mL", "L", "drops", "parts", "tsp", "tbsp", "cup", "fl oz", "oz", "lb", "ppm",
        "µg", "IU", "% w/v", "% v/v",
    ]
}

fn fact(read: &Read, fact: &Fact) -> Spot {
    if fact.because.is_some_and(|reason| reason.touches(read.at)) {
        return Spot::nothing();
    }
    if let Some(clause) = fact.clauses.iter().find(|clause| clause.span.touches(read.at)) {
        return qualifier(read, clause, Owner::Fact(fact.word));
    }
    if !fact.rest.touches(read.at) {
        return Spot::nothing();
    }
    super::lines::value(fact, fact.measure.map(|measure| measure.unit.is_some()), &Rest { read, fact })
}

/// What stands behind the word of a line and its number.
pub(super) struct Rest<'r> {
    read: &'r Read,
    fact: &'r Fact,
}

impl Rest<'_> {
    /// All that is typed of it.
    pub(super) fn typed(&self) -> &str {
        self.read.typed(self.fact.rest.start)
    }

    /// One thing, of which all has been typed.
    pub(super) fn whole(&self, wanted: Wanted) -> Spot {
        Spot::of(wanted, self.typed())
    }

    /// The last of several things.
    pub(super) fn list(&self, wanted: Wanted) -> Spot {
        self.read.list(wanted, self.fact.rest.start)
    }

    /// What stands behind the last of some words within it; none where they are not there.
    pub(super) fn behind(&self, words: &str) -> Option<&str> {
        let typed = self.typed();
        let at = fold_ascii(typed).rfind(words)?;
        typed.get(at + words.len()..)
    }
}
