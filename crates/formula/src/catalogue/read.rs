//! From an `ingredient` block to a [`Material`]: one reader for the catalogue and for the maker's own files.

use crate::clash::Clash;
use crate::exact::Exact;
use crate::factor;
use crate::limit::{Ceiling, Condition, LabelDuty, Limit, Rank};
use crate::material::{
    Avoid, DEFAULT_OF_THE_TABLES, Figure, Lot, Material, Part, Phototoxic, Price, Solubility, Source,
    Standing,
};
use crate::window::Window;
use notation::{
    Block, Clause, ClauseWord, Date, Fact, Form, Measure, PHASE_KINDS, Span, Unit, Word, fold,
    known_product_word, list_names, list_words,
};
use std::sync::Arc;

/// Reads a block. `own` tells a maker's block from the catalogue's: it only decides how a figure without a source
/// is taken (the maker's own word counts as read).
pub(super) fn material(block: &Block, own: bool) -> Material {
    let mut material = Material { name: block.name().to_owned(), own, ..Material::default() };
    let fallback = block.facts(Word::Source).next().map(|(_, fact)| block.at(fact.rest));
    let reader = Reader { block, own, fallback };
    for line in &block.lines {
        if let Form::Fact(fact) = &line.form {
            reader.add(&mut material, fact);
        }
    }
    material
}

struct Reader<'b> {
    block: &'b Block,
    own: bool,
    fallback: Option<&'b str>,
}

impl<'b> Reader<'b> {
    fn at(&self, span: Span) -> &'b str {
        self.block.at(span)
    }

    fn words(&self, fact: &Fact) -> Vec<String> {
        list_words(&self.block.text, fact.rest).into_iter().map(|span| self.at(span).to_owned()).collect()
    }

    fn names(&self, fact: &Fact) -> Vec<String> {
        let unquoted = |span: Span| self.at(span).trim_matches('"').to_owned();
        list_names(&self.block.text, fact.rest).into_iter().map(unquoted).collect()
    }

    fn source(&self, clauses: &[Clause]) -> Source {
        let has = |word| clauses.iter().any(|clause| clause.word == Some(word));
        let said = clauses.iter().find(|c| c.word == Some(ClauseWord::Source)).map(|c| self.at(c.rest));
        let second_hand = has(ClauseWord::SecondHand);
        let plain = |text: &str, standing| Source { text: Arc::from(text), standing, own: self.own };
        if has(ClauseWord::FromMemory) {
            return plain(said.unwrap_or("from memory"), Standing::FromMemory);
        }
        if has(ClauseWord::CommonPractice) {
            return plain(said.unwrap_or("common practice"), Standing::CommonPractice);
        }
        if has(ClauseWord::Default) {
            return plain(said.unwrap_or(DEFAULT_OF_THE_TABLES), Standing::Default);
        }
        match said.or(self.fallback) {
            Some(text) if second_hand => plain(text, Standing::SecondHand),
            Some(text) => plain(text, Standing::Read),
            None if self.own => plain("your own ingredient block", Standing::Read),
            None => plain("from memory", Standing::FromMemory),
        }
    }

    fn figure<T>(&self, fact: &Fact, value: T) -> Figure<T> {
        Figure { value, source: self.source(&fact.clauses) }
    }

    fn window(&self, fact: &Fact) -> Option<Window> {
        fact.measure.and_then(|measure| Window::read(&self.block.text, &measure.range))
    }

    fn share(&self, measure: &Measure) -> Option<Window> {
        let factor = measure.unit.and_then(|unit| factor::share(unit.unit))?;
        Window::read(&self.block.text, &measure.range).map(|window| window.scaled(&factor))
    }

    fn share_figure(&self, fact: &Fact) -> Option<Figure<Window>> {
        let share = fact.measure.as_ref().and_then(|measure| self.share(measure))?;
        Some(self.figure(fact, share))
    }

    fn window_figure(&self, fact: &Fact) -> Option<Figure<Window>> {
        self.window(fact).map(|window| self.figure(fact, window))
    }

    fn celsius(&self, measure: &Measure) -> Option<Window> {
        let window = Window::read(&self.block.text, &measure.range)?;
        let unit = measure.unit.map_or(Unit::Celsius, |unit| unit.unit);
        let convert = |end: Option<Exact>| match end {
            Some(value) => factor::celsius(&value, unit).map(Some),
            None => Some(None),
        };
        Some(Window { low: convert(window.low)?, high: convert(window.high)? })
    }

    fn add(&self, to: &mut Material, fact: &Fact) {
        match fact.word {
            Word::Inci => to.inci = Some(self.at(fact.rest).to_owned()),
            Word::Also => to.also.extend(self.names(fact)),
            Word::Cas => to.cas.push(self.at(fact.rest).to_owned()),
            Word::Function => to.functions.push(canonical_function(self.at(fact.rest))),
            Word::PhaseKind => {
                let written = fold(self.at(fact.rest));
                to.phase = PHASE_KINDS.iter().find(|(word, _)| *word == written).map(|(_, kind)| *kind);
            }
            Word::SolubleIn => to.soluble_in = self.words(fact).iter().map(|word| fold(word)).collect(),
            Word::Solubility => to.solubility.push(self.figure(fact, self.solubility(fact))),
            Word::Water => to.water = self.share_figure(fact),
            Word::Density => to.density = self.window_figure(fact),
            Word::Drop => to.drop = self.milligrams(fact),
            Word::Melts => {
                to.melts.extend(
                    fact.measure.as_ref().and_then(|m| self.celsius(m)).map(|w| self.figure(fact, w)),
                );
            }
            Word::NotAbove => to.not_above = self.not_above(fact),
            Word::RequiredHlb => {
                let kind = self.at(fact.rest).trim_start_matches("for ").to_owned();
                to.required_hlb.extend(self.window(fact).map(|window| self.figure(fact, (window, kind))));
            }
            Word::Hlb => to.hlb.extend(self.window_figure(fact)),
            Word::Charge => to.charge = Some(self.figure(fact, self.at(fact.rest).to_owned())),
            Word::WorksAtPh => to.works_at_ph = self.window_figure(fact),
            Word::StableAtPh => to.stable_at_ph = self.window_figure(fact),
            Word::OwnPh => to.own_ph = self.window_figure(fact),
            Word::Pka => {
                to.pka.extend(self.window(fact).and_then(|w| w.middle()).map(|v| self.figure(fact, v)));
            }
            Word::MolarMass => {
                to.molar_mass = self.window(fact).and_then(|w| w.middle()).map(|v| self.figure(fact, v));
            }
            Word::CountsAs => to.counts_as.extend(self.part(fact)),
            Word::Contains => to.contains.extend(self.part(fact)),
            Word::Active => {
                to.microgram_per_iu =
                    self.window(fact).and_then(|w| w.middle()).map(|v| self.figure(fact, v));
            }
            Word::Usage => to.usage.extend(self.share_figure(fact)),
            Word::Needs if self.at(fact.rest).trim_end().ends_with("of water") => {
                to.keeps_water.extend(self.share_figure(fact));
            }
            Word::Needs => to.needs_of_oils.extend(self.share_figure(fact)),
            Word::Oils => to.oils_at_most.extend(self.share_figure(fact)),
            Word::WorksOn => to.works_on = self.words(fact),
            Word::IncompatibleWith => {
                let because = fact.because.map_or("", |span| self.at(span));
                let clash = Clash::read(self.at(fact.rest), because);
                to.incompatible.push(self.figure(fact, clash));
            }
            Word::Avoid => {
                to.avoid.push(self.figure(fact, self.avoid(fact)));
            }
            Word::Family => to.families.push(self.at(fact.rest).to_owned()),
            Word::Phototoxic => self.phototoxic(to, fact),
            Word::LightSensitive => to.light_sensitive = true,
            Word::AirSensitive => to.air_sensitive = true,
            Word::PoreClogging => {
                to.pore_clogging = self.window(fact).and_then(|w| w.high).map(|v| self.figure(fact, v));
            }
            Word::Origin => to.origin = Some(fold(self.at(fact.rest))),
            Word::ShelfLife => {
                let days = fact.measure.and_then(|m| factor::days(m.unit?.unit));
                let value = self.window(fact).and_then(|w| w.middle()).zip(days).map(|(v, d)| v * d);
                to.shelf_life_days = value.map(|value| self.figure(fact, value));
            }
            Word::Ambiguous => {
                to.ambiguous.extend(
                    self.at(fact.rest).split(" or ").map(|name| name.trim().trim_matches('"').to_owned()),
                );
            }
            Word::Price => to.prices.extend(self.price(fact)),
            Word::Lot => {
                let expires = fact
                    .clause(ClauseWord::Expires)
                    .and_then(|clause| Date::read_last(self.at(clause.rest)).ok());
                to.lots.push(Lot { number: self.at(fact.rest).to_owned(), expires });
            }
            Word::Limit => to.limits.extend(self.limit(fact)),
            Word::Group => to.groups.push(fold(self.at(fact.rest))),
            Word::Label => {
                let above =
                    fact.clause(ClauseWord::Above).and_then(|c| c.measure).and_then(|m| self.share(&m));
                let (rank, markets, from, until) = self.force(fact);
                to.labels.push(LabelDuty {
                    text: self.at(fact.rest).trim_matches('"').to_owned(),
                    above: above.and_then(|window| window.high.or(window.low)),
                    allergen: fact.clause(ClauseWord::Allergen).is_some(),
                    conditions: self.conditions(&fact.clauses),
                    rank,
                    markets,
                    from,
                    until,
                    source: self.source(&fact.clauses),
                });
            }
            _ => {}
        }
    }

    /// `avoid sensitive skin because it stings; above 5 %; note`
    fn avoid(&self, fact: &Fact) -> Avoid {
        let levels = [ClauseWord::Error, ClauseWord::Warning, ClauseWord::Note, ClauseWord::Hint];
        let level = levels.into_iter().find(|word| fact.clause(*word).is_some());
        let above = fact.clause(ClauseWord::Above).and_then(|c| c.measure).and_then(|m| self.share(&m));
        Avoid {
            what: fold(self.at(fact.rest)),
            because: fact.because.map_or_else(String::new, |span| self.at(span).to_owned()),
            level: level.map(|word| word.spelling().to_owned()),
            above: above.and_then(|window| window.high.or(window.low)),
        }
    }

    fn milligrams(&self, fact: &Fact) -> Option<Figure<Window>> {
        let grams = fact.measure.and_then(|m| factor::grams(m.unit?.unit))?;
        self.window(fact).map(|window| self.figure(fact, window.scaled(&(grams * Exact::whole(1000)))))
    }

    fn not_above(&self, fact: &Fact) -> Option<Figure<(Exact, String)>> {
        let limit = fact.measure.as_ref().and_then(|measure| self.celsius(measure))?;
        let reason = fact.because.map_or_else(String::new, |span| self.at(span).to_owned());
        limit.high.or(limit.low).map(|value| self.figure(fact, (value, reason)))
    }

    fn solubility(&self, fact: &Fact) -> Solubility {
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

    fn part(&self, fact: &Fact) -> Option<Figure<Part>> {
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
    fn phototoxic(&self, to: &mut Material, fact: &Fact) {
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
    fn price(&self, fact: &Fact) -> Option<Price> {
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

    fn limit(&self, fact: &Fact) -> Option<Limit> {
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
        let (rank, markets, from, until) = self.force(fact);
        Some(Limit {
            ceiling,
            counted_as,
            group,
            conditions: self.conditions(&fact.clauses),
            rank,
            markets,
            from,
            until,
            source: self.source(&fact.clauses),
        })
    }

    /// Who says a limit or a label duty, where, from which day and until which.
    fn force(&self, fact: &Fact) -> (Rank, Vec<String>, Option<Date>, Option<Date>) {
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
        (rank, markets, date(ClauseWord::From), date(ClauseWord::Until))
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
                    if words.iter().any(|word| known_product_word(word).is_empty()) {
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
}

/// `3.5 or above` is open upwards, `4 or below` downwards.
fn open_ended(window: Window, words: &str) -> Window {
    match fold(words).as_str() {
        "or above" | "or more" | "and above" => Window { high: None, ..window },
        "or below" | "or less" | "and below" => Window { low: None, ..window },
        _ => window,
    }
}

/// The spelling of a function in the closed list; as written where it is not in it.
pub(crate) fn canonical_function(written: &str) -> String {
    let folded = fold(written);
    notation::FUNCTIONS
        .iter()
        .find(|known| fold(known) == folded)
        .map_or_else(|| written.to_owned(), |known| (*known).to_owned())
}

/// The product conditions of a house limit, read as those of any limit.
pub(crate) fn condition_words(block: &Block, fact: &Fact) -> Vec<Condition> {
    Reader { block, own: true, fallback: None }.conditions(&fact.clauses)
}
