//! The label of a formula for a market: the list of ingredients in its order, allergens, words, and what the formula
//! cannot know. Nothing here says that a product may be sold.

mod duties;
mod list;
mod particulars;
mod words;

pub use list::{LabelEntry, LabelPlace};
pub use particulars::Particular;
pub use words::Section;

use crate::Page;
use formula::labels::{Due, Listing, allergens, label_duties, listing, says};
use formula::{Fit, Formula, Rank};
use notation::{Date, Word, fold};
use rules::{Finding, Group, Level};

/// A market whose labels are known.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Market {
    /// The European Union.
    Eu,
    /// Great Britain.
    Uk,
    /// The United States.
    Us,
}

impl Market {
    /// All of them.
    pub const ALL: [Market; 3] = [Market::Eu, Market::Uk, Market::Us];

    /// Its word in `market` lines and in outputs.
    pub fn code(self) -> &'static str {
        match self {
            Market::Eu => "EU",
            Market::Uk => "UK",
            Market::Us => "US",
        }
    }

    /// The market of a word.
    pub fn of_word(word: &str) -> Option<Market> {
        Market::ALL.into_iter().find(|market| market.code().eq_ignore_ascii_case(word))
    }
}

/// Words that the law or an adviser asks for.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Asked {
    /// The words.
    pub due: Due,
    /// Whether the formula's own words say them already.
    pub said: bool,
}

impl Asked {
    /// Whether they stand in the block, beside the formula's own words: what the law asks for and nobody has said.
    pub fn is_printed(&self) -> bool {
        self.due.rank == Rank::Law && self.due.fit == Fit::Yes && !self.said
    }
}

/// A label.
#[derive(Clone, Debug)]
pub struct Label<'f> {
    /// Of what.
    pub formula: &'f Formula,
    /// For which market.
    pub market: Market,
    /// The day whose law it follows.
    pub day: Date,
    /// The list of ingredients, in order.
    pub entries: Vec<LabelEntry>,
    /// What was counted, and what could not be.
    pub listing: Listing,
    /// Findings that say that its amounts cannot be right.
    pub wrong: Vec<Finding>,
    /// Allergens that the list has to name.
    pub allergens: Vec<Due>,
    /// Allergens that EU law would have named, for a market of whose allergens the tables hold nothing.
    pub abroad: Vec<Due>,
    /// Words that are asked for.
    pub asked: Vec<Asked>,
    /// What else a label needs.
    pub particulars: Vec<Particular>,
}

impl Label<'_> {
    /// Whether each line has its place and its name in the list, and each allergen is named.
    pub fn is_whole(&self) -> bool {
        let scents = self.abroad.is_empty() && !self.allergens.iter().any(|due| due.unnamed);
        self.listing.is_whole() && scents
    }

    /// Whether nothing speaks against the amounts that the list is counted from.
    pub fn is_sound(&self) -> bool {
        self.wrong.is_empty() && !self.formula.unfinished
    }

    /// The list, ready to be printed.
    pub fn list(&self) -> String {
        self.entries.iter().map(|entry| entry.text.as_str()).collect::<Vec<_>>().join(", ")
    }

    /// The lines of the block to be printed, in order: the name, what to do, what to mind, how to keep it, the list.
    pub fn block(&self) -> Vec<String> {
        let mut lines = vec![self.formula.name.clone()];
        let own = |words: &'static [Word]| {
            let lines = self.formula.header.label_lines.iter();
            lines.filter(|(word, _)| words.contains(word)).map(|(_, text)| text.clone())
        };
        lines.extend(own(&[Word::Directions]));
        lines.extend(own(&[Word::Warning, Word::Caution]));
        let printed = self.asked.iter().filter(|asked| asked.is_printed());
        lines.extend(printed.map(|asked| sentence(&asked.due.text)));
        lines.extend(own(&[Word::Store]));
        lines.push(format!("Ingredients: {}", self.list()));
        lines
    }
}

/// Words as a sentence of their own.
fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().into_iter().flat_map(char::to_uppercase);
    let end = if words.ends_with(['.', '!']) { "" } else { "." };
    format!("{}{}{end}", first.collect::<String>(), letters.as_str())
}

/// The markets of a formula whose labels are known, and the words of the others.
pub fn label_markets(formula: &Formula) -> (Vec<Market>, Vec<&str>) {
    let mut known = Vec::new();
    let mut others = Vec::new();
    for word in &formula.header.markets {
        match Market::of_word(word) {
            Some(market) if !known.contains(&market) => known.push(market),
            Some(_) => {}
            None if word.eq_ignore_ascii_case("all") => known = Market::ALL.to_vec(),
            None => others.push(word.as_str()),
        }
    }
    (known, others)
}

impl Page {
    /// What a formula of this page brings to a list of ingredients.
    pub fn listing(&self, formula: &Formula) -> Listing {
        listing(formula, &|name| self.around.material(name))
    }

    /// The label of a formula of this page for a market.
    pub fn label<'f>(&self, formula: &'f Formula, market: Market) -> Label<'f> {
        let listing = self.listing(formula);
        let due = allergens(formula, market.code(), self.law_day);
        let abroad = match market {
            Market::Uk => allergens(formula, Market::Eu.code(), self.law_day),
            Market::Eu | Market::Us => Vec::new(),
        };
        let own = formula.header.label_words();
        let asked = label_duties(formula, market.code(), self.law_day, false).into_iter().map(|due| {
            let said = says(&own, &due.text, due.rank);
            Asked { due, said }
        });
        Label {
            formula,
            market,
            day: self.law_day,
            entries: list::entries(formula, &listing, &due, &abroad, market),
            wrong: self.wrong(formula),
            asked: asked.collect(),
            particulars: particulars::particulars(formula, market),
            allergens: due,
            abroad,
            listing,
        }
    }

    /// What speaks against the amounts of a formula: errors in how it is written or adds up. Those of its parent count
    /// for a variant, too.
    fn wrong(&self, formula: &Formula) -> Vec<Finding> {
        // A variant is quieter than its parent about the same thing.
        const OF_VARIANTS: &[&str] = &["variant-total", "variant-target-missing"];
        let variant = formula.variant.as_ref().map(|(name, _)| name.as_str());
        let counts = |finding: &Finding| {
            let here = finding.formula.as_deref().is_some_and(|name| fold(name) == fold(&formula.name));
            let same = finding.variant.is_none() || finding.variant.as_deref() == variant;
            let amounts = rules::rule(finding.rule).is_some_and(|rule| {
                let writing =
                    matches!(rule.group, Group::Reading | Group::Amounts) && rule.level == Level::Error;
                writing || (OF_VARIANTS.contains(&rule.name) && finding.variant.as_deref() == variant)
            });
            here && same && amounts && finding.level >= Level::Warning && finding.allowed.is_none()
        };
        self.findings().into_iter().filter(counts).collect()
    }
}
