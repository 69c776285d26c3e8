//! Figures with a form of their own: what a drop weighs, solubilities, what is contained, prices.

use super::Reader;
use crate::exact::Exact;
use crate::factor;
use crate::material::{Figure, Material, Part, Phototoxic, Price, Solubility};
use crate::window::Window;
use notation::{ClauseWord, Fact, Word, fold};

impl Reader<'_> {
    pub(super) fn milligrams(&self, fact: &Fact) -> Option<Figure<Window>> {
        let grams = fact.measure.and_then(|m| factor::grams(m.unit?.unit))?;
        self.window(fact).map(|window| self.figure(fact, window.scaled(&(grams * Exact::whole(1000)))))
    }

    pub(super) fn not_above(&self, fact: &Fact) -> Option<Figure<(Exact, String)>> {
        let limit = fact.measure.as_ref().and_then(|measure| self.celsius(measure))?;
        let reason = fact.because.map_or_else(String::new, |span| self.at(span).to_owned());
        limit.high.or(limit.low).map(|value| self.figure(fact, (value, reason)))
    }

    pub(super) fn solubility(&self, fact: &Fact) -> Solubility {
        let rest = self.at(fact.rest);
        let (words, celsius) = match rest.rsplit_once(" at ") {
            Some((words, at)) => (words, at.split_whitespace().next().and_then(Exact::read)),
            None => (rest, None),
        };
        let word = ["miscible", "insoluble", "dispersible"].into_iter().find(|word| words.starts_with(word));
        let solvent = words
            .trim_start_matches("per 100 mL ")
            .trim_start_matches(word.unwrap_or(""))
            .trim()
            .trim_start_matches("in ")
            .trim_start_matches("with ");
        Solubility {
            solvent: fold(solvent),
            grams_per_100_ml: self.window(fact),
            celsius,
            word: word.unwrap_or("").to_owned(),
        }
    }

    pub(super) fn part(&self, fact: &Fact) -> Option<Figure<Part>> {
        let written = self.at(fact.rest);
        let (rest, name) = match written.strip_prefix("rest ") {
            Some(name) => (true, name),
            None => (false, written),
        };
        let name = name.trim().trim_matches('"').to_owned();
        let share = match &fact.measure {
            Some(measure) => Some(self.share(measure)?),
            None => None,
        };
        let allergen = fact.clause(ClauseWord::Allergen).is_some();
        (!name.is_empty()).then(|| self.figure(fact, Part { name, share, rest, allergen }))
    }

    /// `phototoxic [limit 0.4 %] [outside the sum]`; a `contains` clause of the same line counts like a line.
    pub(super) fn phototoxic(&self, to: &mut Material, fact: &Fact) {
        let words = fold(self.at(fact.rest));
        let outside_sum = words.contains("outside the sum");
        let limit = words.strip_prefix("limit ").and_then(|rest| {
            let (number, unit) = rest.split_once(' ')?;
            let factor = match unit.split_whitespace().next()? {
                "%" => Exact::fraction(1, 100),
                "ppm" => Exact::fraction(1, 1_000_000),
                _ => return None,
            };
            Exact::read(number).map(|value| value * factor)
        });
        to.phototoxic = Some(self.figure(fact, Phototoxic { limit, outside_sum }));
        if let Some(clause) = fact.clause(ClauseWord::Contains)
            && let Some(share) = clause.measure.as_ref().and_then(|measure| self.share(measure))
        {
            let name = self.at(clause.rest).to_owned();
            to.contains
                .push(self.figure(fact, Part { name, share: Some(share), rest: false, allergen: false }));
        }
    }

    /// `14.20 EUR per kg`, `per 250 g`, `per 100 mL`.
    pub(super) fn price(&self, fact: &Fact) -> Option<Price> {
        let money = self.window(fact)?.middle()?;
        let (currency, per) = self.at(fact.rest).split_once(" per ")?;
        let per = per.trim();
        let (number, unit) = match per.split_once(' ') {
            Some((number, unit)) => (Exact::read(number)?, unit.trim()),
            None => match per.find(|c: char| !c.is_ascii_digit() && c != '.' && c != ',') {
                Some(0) | None => (Exact::one(), per),
                Some(at) => (Exact::read(per.get(..at)?)?, per.get(at..)?),
            },
        };
        let notation::UnitWord::Known(unit) = notation::find_unit(unit) else { return None };
        let grams = factor::grams(unit).map(|grams| grams * &number);
        let volume = factor::millilitres(unit, notation::Measures::Metric).map(|ml| ml * &number);
        let density = self
            .block
            .facts(Word::Density)
            .next()
            .and_then(|(_, fact)| self.window(fact))
            .and_then(|w| w.middle());
        let grams = grams.or_else(|| Some(volume? * density?));
        Some(Price { money, currency: currency.trim().to_owned(), grams })
    }
}
