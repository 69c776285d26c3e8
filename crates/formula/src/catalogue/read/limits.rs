//! Limits, label duties and their conditions.

use super::Reader;
use crate::limit::{Ceiling, Condition, Force, LabelDuty, Limit, Rank};
use crate::window::Window;
use notation::{Block, Clause, ClauseWord, Date, Fact, GRADES, Span, fold, known_product_word, list_words};

impl Reader<'_> {
    /// `limit AMOUNT|not allowed|none [as SUBSTANCE] [with GROUP]`, its conditions behind it.
    pub(super) fn limit(&self, fact: &Fact) -> Option<Limit> {
        let mut rest = self.at(fact.rest);
        let ceiling = match &fact.measure {
            Some(measure) => {
                Ceiling::AtMost(self.share(measure).and_then(|window| window.high.or(window.low))?)
            }
            None => {
                if let Some(after) = rest.strip_prefix("not allowed") {
                    rest = after.trim();
                    Ceiling::NotAllowed
                } else {
                    rest = rest.strip_prefix("none")?.trim();
                    Ceiling::Free
                }
            }
        };
        let (head, group) = match rest.find("with ") {
            Some(at) if at == 0 || rest.get(..at).is_some_and(|head| head.ends_with(' ')) => {
                (rest.get(..at)?.trim(), rest.get(at + 5..).map(fold))
            }
            _ => (rest, None),
        };
        let counted_as = head.strip_prefix("as ").map(|name| name.trim().to_owned());
        Some(Limit {
            ceiling,
            counted_as,
            group,
            conditions: self.conditions(&fact.clauses),
            force: self.force(fact),
            source: self.source(&fact.clauses),
        })
    }

    /// Who says a limit or a label duty, where, from which day and until which.
    fn force(&self, fact: &Fact) -> Force {
        let rank = [
            (ClauseWord::Law, Rank::Law),
            (ClauseWord::Code, Rank::Code),
            (ClauseWord::Opinion, Rank::Opinion),
            (ClauseWord::Advice, Rank::Advice),
        ]
        .into_iter()
        .find(|(word, _)| fact.clause(*word).is_some())
        .map_or(Rank::Advice, |(_, rank)| rank);
        let date = |word| fact.clause(word).and_then(|clause| Date::read(self.at(clause.rest)).ok());
        let markets = fact.clause(ClauseWord::Market).map_or_else(Vec::new, |clause| {
            list_words(&self.block.text, clause.rest)
                .into_iter()
                .map(|span| self.at(span).to_owned())
                .collect()
        });
        Force { rank, markets, from: date(ClauseWord::From), until: date(ClauseWord::Until) }
    }

    fn conditions(&self, clauses: &[Clause]) -> Vec<Condition> {
        let words = |span: Span| -> Vec<String> {
            list_words(&self.block.text, span).into_iter().map(|word| fold(self.at(word))).collect()
        };
        let mut conditions = Vec::new();
        for clause in clauses {
            let condition = match clause.word {
                None => {
                    let words = words(clause.span);
                    if let [grade] = words.as_slice()
                        && GRADES.contains(&grade.as_str())
                    {
                        Condition::Grade(grade.clone())
                    } else if words.iter().any(|word| known_product_word(word).is_empty()) {
                        Condition::Unread(self.at(clause.span).to_owned())
                    } else {
                        Condition::Words(words)
                    }
                }
                Some(ClauseWord::NotIn) => Condition::NotIn(words(clause.rest)),
                Some(ClauseWord::Under) => {
                    match clause.measure.and_then(|m| Window::read(&self.block.text, &m.range)) {
                        Some(window) => Condition::Under(window.middle().unwrap_or_default()),
                        None => continue,
                    }
                }
                Some(ClauseWord::Inhalable) => Condition::Inhalable,
                Some(ClauseWord::As) => Condition::As(fold(self.at(clause.rest))),
                Some(ClauseWord::AtPh) => {
                    match clause.measure.and_then(|m| Window::read(&self.block.text, &m.range)) {
                        Some(window) => Condition::AtPh(open_ended(window, self.at(clause.rest))),
                        None => continue,
                    }
                }
                Some(ClauseWord::AtLeast) => match clause.measure.as_ref().and_then(|m| self.share(m)) {
                    Some(window) => Condition::AtLeast(window.low.or(window.high).unwrap_or_default()),
                    None => continue,
                },
                Some(_) => continue,
            };
            conditions.push(condition);
        }
        conditions
    }

    /// `label TEXT [; above SHARE] [; allergen]`: words that the label has to carry.
    pub(super) fn label(&self, fact: &Fact) -> LabelDuty {
        let above = fact.clause(ClauseWord::Above).and_then(|c| c.measure).and_then(|m| self.share(&m));
        LabelDuty {
            text: self.at(fact.rest).trim_matches('"').to_owned(),
            above: above.and_then(|window| window.high.or(window.low)),
            allergen: fact.clause(ClauseWord::Allergen).is_some(),
            conditions: self.conditions(&fact.clauses),
            force: self.force(fact),
            source: self.source(&fact.clauses),
        }
    }
}

/// `3.5 or above` is open upwards, `4 or below` downwards.
fn open_ended(window: Window, words: &str) -> Window {
    match fold(words).as_str() {
        "or above" | "or more" | "and above" => window.open_above(),
        "or below" | "or less" | "and below" => window.open_below(),
        _ => window,
    }
}

/// The product conditions of a house limit, read as those of any limit.
pub(crate) fn condition_words(block: &Block, fact: &Fact) -> Vec<Condition> {
    Reader { block, own: true, fallback: None }.conditions(&fact.clauses)
}
