//! More about a candidate, once the maker looks at it.

use super::starts;
use crate::Page;

impl Page {
    /// What there is to tell of a candidate with this key, as Markdown: the card of an ingredient, what a rule is
    /// about, an example of a line. None for a key that means nothing here.
    pub fn told(&self, key: &str) -> Option<String> {
        let (kind, name) = key.split_once(':')?;
        match kind {
            "ingredient" => {
                let markets: Vec<String> =
                    self.formulas().flat_map(|formula| formula.formula.header.markets.clone()).collect();
                self.ingredient_card(name, &markets)
            }
            "rule" => {
                let rule = rules::rule(name)?;
                Some(format!("**{}** ({})\n\n{}\n", rule.name, rule.level.word(), rule.summary()))
            }
            "word" => {
                let (block, word) = name.split_once(':')?;
                starts::told(word, block)
            }
            _ => None,
        }
    }
}
