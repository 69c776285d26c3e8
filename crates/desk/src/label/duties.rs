//! What is told of the allergens and words that a label needs, and of who asks for them.

use super::words::percent;
use super::{Asked, Label, Market};
use crate::facts::standing;
use formula::labels::{Due, allergens};
use formula::{Fit, Rank, Standing};
use rules::entries;

impl Label<'_> {
    /// The allergens that the list names, and why.
    pub(super) fn about_allergens(&self) -> Vec<String> {
        let mut told: Vec<String> =
            self.allergens.iter().filter(|due| !due.unnamed).map(|due| self.allergen(due)).collect();
        if !self.allergens.is_empty() {
            told.push(
                "Shares are counted with the catalogue's figures. The supplier's allergen statement for the lot decides; a \
                 name whose share it puts at or below the threshold may go."
                    .to_owned(),
            );
            let sources = entries(self.allergens.iter().map(|due| &due.source));
            told.extend(sources.into_iter().map(|source| format!("Source: {source}")));
        }
        match self.market {
            Market::Eu => {}
            Market::Uk => {
                let abroad = self.abroad.iter().filter(|due| !due.unnamed);
                let names: Vec<&str> = abroad.map(|due| due.text.as_str()).collect();
                if !names.is_empty() {
                    let day = self.day;
                    told.push(format!("EU law (as of {day}) would have these named: {}.", names.join(", ")));
                }
            }
            // Nothing is said where there is nothing to smell.
            Market::Us if allergens(self.formula, Market::Eu.code(), self.day).is_empty() => {}
            Market::Us => told.push(
                "The tables hold no scent allergens of US law: the Act of 2022 leaves them to a rule (second-hand). Look \
                 whether it is in force."
                    .to_owned(),
            ),
        }
        told
    }

    /// `Linalool 0.07 %, above 0.001 %, from lavender oil`
    fn allergen(&self, due: &Due) -> String {
        let above = due.above.as_ref().map(|above| format!(" (named above {} %)", above.percent()));
        let above = above.unwrap_or_default();
        let from = self.lines_of(due);
        let share = match (due.open, due.amount.high.is_zero()) {
            (true, true) => "in an unknown share".to_owned(),
            (true, false) => format!("at least {} %", percent(&due.amount)),
            (false, _) => format!("{} %", percent(&due.amount)),
        };
        let unsaid = if due.fit == Fit::Open {
            "; the product line does not say whether it stays on the skin"
        } else {
            ""
        };
        format!("{} {share}{above}, from {from}{unsaid}.", due.text)
    }

    /// The lines that bring what is due.
    pub(super) fn lines_of(&self, due: &Due) -> String {
        let mut names: Vec<&str> = Vec::new();
        for item in due.items.iter().filter_map(|at| self.formula.items.get(*at)) {
            if !names.contains(&item.name.as_str()) {
                names.push(&item.name);
            }
        }
        names.join(", ")
    }

    /// The words that are asked for, where they stand, and who asks.
    pub(super) fn about_words(&self) -> Vec<String> {
        self.asked.iter().map(|asked| self.asked(asked)).collect()
    }

    /// `“Contains …” is in the block: EU law, for retinol. Source: …`
    fn asked(&self, asked: &Asked) -> String {
        let due = &asked.due;
        let whose = match due.rank {
            Rank::Law => format!("{} law (as of {})", self.market.code(), self.day),
            rank => format!("{} ({}), not law", rank.word(), self.market.code()),
        };
        let place = if asked.said {
            "stands in the formula's own words"
        } else if asked.is_printed() {
            "is in the block"
        } else if due.fit == Fit::Open {
            "may be needed; the product line does not decide it"
        } else {
            "is not in the block; add it if you follow the advice"
        };
        let memory = match due.source.standing {
            Standing::Read => String::new(),
            _ => format!(" ({})", standing(&due.source)),
        };
        format!(
            "“{}” {place}: {whose}, for {}. Source: {}{memory}",
            due.text,
            self.lines_of(due),
            due.source.text
        )
    }
}
