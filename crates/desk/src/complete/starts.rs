//! How lines begin.

use super::choice::Choice;
use super::{CandidateKind, key_of_word};
use notation::{Block, BlockKind, Form, Quantity, Word, fold};

/// Where in a formula a line stands, by what stands above it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Part {
    Head,
    Phase,
    Method,
    Variant,
}

/// The first words of lines that are valid at line number `at` of a block, the most likely first.
pub(super) fn starts(block: &Block, at: usize) -> Vec<Choice> {
    let mut choices = match block.kind {
        BlockKind::Loose => Vec::new(),
        BlockKind::Formula => formula(block, at),
        BlockKind::Ingredient | BlockKind::Workshop | BlockKind::Record => words(block, at),
    };
    choices.extend(blocks());
    choices
}

/// The last thing above a line that says something.
fn part(block: &Block, at: usize) -> Part {
    let above = block.lines.iter().take(at).rev().find_map(|line| match &line.form {
        Form::Item(_) | Form::Phase(_) => Some(Part::Phase),
        Form::Step(_) => Some(Part::Method),
        Form::Variant(_) | Form::Change(_) => Some(Part::Variant),
        Form::Open(_) | Form::Fact(_) => Some(Part::Head),
        Form::Blank | Form::Comment | Form::Broken => None,
    });
    above.unwrap_or(Part::Head)
}

fn formula(block: &Block, at: usize) -> Vec<Choice> {
    let words = words(block, at);
    let mut groups: Vec<Vec<Choice>> = match part(block, at) {
        Part::Head => vec![words, vec![phase(block)], amounts(block), vec![step(), variant()]],
        Part::Phase => vec![amounts(block), vec![phase(block), step(), variant()], words],
        Part::Method => vec![vec![step(), variant(), phase(block)], words],
        Part::Variant => vec![changes(), vec![variant()], words, vec![step(), phase(block)]],
    };
    groups.iter_mut().flat_map(std::mem::take).collect()
}

/// The line words of a block that another line does not say already.
fn words(block: &Block, at: usize) -> Vec<Choice> {
    let said =
        |word: Word| {
            block.lines.iter().enumerate().any(
                |(number, line)| matches!(&line.form, Form::Fact(fact) if number != at && fact.word == word),
            )
        };
    Word::ALL
        .iter()
        .filter(|word| word.blocks().contains(&block.kind) && (word.repeats() || !said(**word)))
        .map(|word| {
            Choice::new(word.spelling(), CandidateKind::LineWord)
                .detail(word.example())
                .key(key_of_word(*word))
        })
        .collect()
}

fn step() -> Choice {
    Choice::new("step", CandidateKind::LineWord).detail("`step add B to A; stir 3 min`")
}

/// The beginnings of lines that make up a total or go to an end point.
fn amounts(block: &Block) -> Vec<Choice> {
    let made_up = block
        .lines
        .iter()
        .any(|line| matches!(&line.form, Form::Item(item) if matches!(item.quantity, Quantity::Balance(..))));
    let mut amounts = Vec::new();
    if !made_up {
        amounts.push(Choice::new("to 100 %", CandidateKind::LineWord).detail("`to 100 % purified water`"));
    }
    amounts.push(Choice::new("q.s.", CandidateKind::LineWord).detail("`q.s. lactic acid 80 %; to pH 5.3`"));
    amounts
}

fn changes() -> Vec<Choice> {
    let changes = [
        ("replace", "`replace lavender oil with 0.1 % vanillin`"),
        ("omit", "`omit lavender oil`"),
        ("add", "`add 0.1 % tocopherol to B`"),
        ("set", "`set glycerin to 4 %`"),
    ];
    changes.into_iter().map(|(word, so)| Choice::new(word, CandidateKind::LineWord).detail(so)).collect()
}

/// The letter after the last phase's.
pub(super) fn next_label(block: &Block) -> String {
    let last = block.lines.iter().rev().find_map(|line| match &line.form {
        Form::Phase(phase) => block.at(phase.label).chars().next(),
        _ => None,
    });
    let taken = |letter: char| {
        block.lines.iter().any(|line| {
            matches!(&line.form, Form::Phase(phase)
                if block.at(phase.label).eq_ignore_ascii_case(letter.encode_utf8(&mut [0; 4])))
        })
    };
    let after = last.map_or('A', |letter| letter.to_ascii_uppercase());
    (after..='Z').chain('A'..='Z').find(|letter| !taken(*letter)).unwrap_or('A').to_string()
}

fn phase(block: &Block) -> Choice {
    let label = next_label(block);
    let snippet =
        format!("phase {label} ${{1|water,oil,cool-down,gel,powder,surfactant,active,fragrance|}}$0");
    Choice {
        text: Some(format!("phase {label}")),
        snippet: Some(snippet),
        ..Choice::new("phase", CandidateKind::Block)
    }
    .detail("`phase A water; heat to 75 °C`")
}

fn variant() -> Choice {
    Choice {
        snippet: Some("variant ${1:name}\n${2|omit,replace,add,set|} $0".to_owned()),
        ..Choice::new("variant", CandidateKind::Block)
    }
    .detail("`variant unscented`, changes below it")
}

/// The openers of blocks.
pub(super) fn blocks() -> impl Iterator<Item = Choice> {
    let blocks = [
        (
            "formula",
            "a new formula",
            "formula ${1:name}\nversion 1\nproduct ${2:cream}, ${3|leave-on,rinse-off,bath|}, ${4:face}\nbatch \
             ${5:100 g}\n\nphase A ${6|water,oil,gel,powder,surfactant|}\n  to 100 % ${7:purified water}\n$0",
        ),
        (
            "ingredient",
            "an ingredient of your own",
            "ingredient ${1:name}\nINCI ${2:INCI name}\nfunction ${3:emollient}\nphase \
             ${4|water,oil,cool-down,powder,surfactant,active,fragrance|}\n$0",
        ),
        (
            "record",
            "a batch as it was made",
            "record ${1:batch number}\nof ${2:formula} version ${3:1}\ndate ${4:date}\nbatch ${5:500 g}\nweighed \
             ${6:amount and ingredient}\n$0",
        ),
        ("workshop", "what holds for all formulas of a folder", "workshop ${1:name}\nmarket ${2:EU}\n$0"),
    ];
    blocks.into_iter().map(|(word, so, snippet)| {
        Choice { snippet: Some(snippet.to_owned()), ..Choice::new(word, CandidateKind::Block) }.detail(so)
    })
}

/// Whether a line of a formula follows a variant or a change of one.
pub(super) fn in_variant(block: &Block, at: usize) -> bool {
    part(block, at) == Part::Variant
        // A line that is half written is no change yet: what stands above it counts.
        || block.lines.get(at).is_some_and(|line| matches!(line.form, Form::Change(_)))
}

/// What is said of a line word.
pub(super) fn told(spelling: &str, kind: &str) -> Option<String> {
    let word = Word::ALL.iter().find(|word| {
        word.spelling() == spelling && word.blocks().iter().any(|block| block.spelling() == fold(kind))
    })?;
    let blocks: Vec<&str> = word.blocks().iter().map(|block| block.spelling()).collect();
    let many = if word.repeats() { "; there may be several such lines" } else { "" };
    Some(format!("{}\n\na line of: {}{many}\n", word.example(), blocks.join(", ")))
}
