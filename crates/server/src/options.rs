//! What an editor's user can switch: from `initializationOptions`, by pull, or as it changes.

use serde_json::Value;

/// The section of an editor's settings that is ours.
pub(crate) const SECTION: &str = "levigate";

/// The switches. Each is a word of the section; what is not said keeps its default.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
#[expect(clippy::struct_excessive_bools, reason = "each is a switch of its own")]
pub(crate) struct Options {
    /// `hints.amounts`: grams beside percents, and percents beside grams.
    pub(crate) amounts: bool,
    /// `hints.totals`: the running total at the end of each phase.
    pub(crate) totals: bool,
    /// `hints.balance`: what the balance line comes to.
    pub(crate) balance: bool,
    /// `hints.hlb`: what the oils need and what the emulsifiers give.
    pub(crate) hlb: bool,
    /// `hints.acids`: how much of a preservative acid works at the target pH.
    pub(crate) acids: bool,
    /// `lenses`: lines above phases and formulas.
    pub(crate) lenses: bool,
    /// `workspaceFindings`: findings of files that are not open.
    pub(crate) workspace: bool,
}

impl Default for Options {
    fn default() -> Options {
        Options {
            amounts: true,
            totals: true,
            balance: true,
            hlb: true,
            acids: true,
            lenses: true,
            workspace: true,
        }
    }
}

impl Options {
    /// Reads the section's value over the defaults; beside it the words that mean nothing here.
    pub(crate) fn read(value: &Value) -> (Options, Vec<String>) {
        // Some editors send the section, some the whole that it is part of.
        let section = value.get(SECTION).unwrap_or(value);
        let mut options = Options::default();
        let mut unread = Vec::new();
        for (word, value) in section.as_object().into_iter().flatten() {
            match (word.as_str(), value) {
                ("lenses", Value::Bool(on)) => options.lenses = *on,
                ("workspaceFindings", Value::Bool(on)) => options.workspace = *on,
                ("hints", Value::Bool(on)) => options.all_hints(*on),
                ("hints", Value::Object(hints)) => {
                    for (word, value) in hints {
                        if !options.hint(word, value) {
                            unread.push(format!("hints.{word}"));
                        }
                    }
                }
                _ => unread.push(word.clone()),
            }
        }
        (options, unread)
    }

    fn all_hints(&mut self, on: bool) {
        (self.amounts, self.totals, self.balance, self.hlb, self.acids) = (on, on, on, on, on);
    }

    fn hint(&mut self, word: &str, value: &Value) -> bool {
        let Value::Bool(on) = value else { return false };
        let switch = match word {
            "amounts" => &mut self.amounts,
            "totals" => &mut self.totals,
            "balance" => &mut self.balance,
            "hlb" => &mut self.hlb,
            "acids" => &mut self.acids,
            _ => return false,
        };
        *switch = *on;
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn what_is_said_is_read_and_the_rest_told() {
        let (options, mut unread) = Options::read(&json!({ "levigate": {
            "lenses": false, "hints": { "amounts": false, "weather": true }, "colour": 1, "workspaceFindings": 3 } }));
        unread.sort();
        let expected = Options { lenses: false, amounts: false, ..Options::default() };
        assert_eq!(
            (options, unread),
            (expected, vec!["colour".into(), "hints.weather".into(), "workspaceFindings".into()])
        );
        let (options, unread) = Options::read(&json!({ "hints": false }));
        assert!(!options.amounts && !options.acids && options.lenses && unread.is_empty());
        assert_eq!(Options::read(&Value::Null), (Options::default(), Vec::new()));
    }
}
