//! From an `ingredient` block to a [`Material`]: one reader for the catalogue and for the maker's own files.

mod figures;
mod limits;

use crate::clash::Clash;
use crate::exact::Exact;
use crate::factor;
use crate::material::{Avoid, DEFAULT_OF_THE_TABLES, Figure, Lot, Material, Source, Standing};
use crate::possible;
use crate::window::Window;
pub(crate) use limits::condition_words;
use notation::{
    Block, Clause, ClauseWord, Date, Fact, Form, Measure, PHASE_KINDS, Span, Unit, Word, fold, list_names,
    list_words,
};
use std::sync::Arc;

/// Reads a block. `own` tells a maker's block from the catalogue's: it only decides how a figure without a source
/// is taken (the maker's own word counts as read).
pub(super) fn material(block: &Block, own: bool) -> Material {
    let mut material = Material { name: block.name().to_owned(), own, ..Material::default() };
    let fallback = block.facts(Word::Source).next().map(|(_, fact)| block.at(fact.rest));
    let reader = Reader { block, own, fallback };
    for line in &block.lines {
        // What cannot be is told, and taken as not said.
        if let Form::Fact(fact) = &line.form
            && possible::line(&block.text, fact)
        {
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
        Some(Window::of(convert(window.low)?, convert(window.high)?))
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
            Word::UsualStrength => to.usual_strength = self.share_figure(fact),
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
            Word::Label => to.labels.push(self.label(fact)),
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
}

/// The spelling of a function in the closed list; as written where it is not in it.
pub(crate) fn canonical_function(written: &str) -> String {
    let folded = fold(written);
    notation::FUNCTIONS
        .iter()
        .find(|known| fold(known) == folded)
        .map_or_else(|| written.to_owned(), |known| (*known).to_owned())
}
