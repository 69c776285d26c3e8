//! The header lines of a formula.

use crate::amount::kitchen_of;
use crate::exact::Exact;
use crate::factor;
use crate::formula::{Batch, Header, Include, Pack, Test};
use crate::known::Known;
use crate::limit::Fit;
use crate::product::{Occasion, Product};
use crate::window::Window;
use notation::{Block, ClauseWord, Date, Fact, Measure, Span, Unit, Word, fold, list_words};

/// Reads the header lines in order; a later line of a kind of which there is one wins, as a variant's `set` does.
pub(crate) fn header(block: &Block, facts: &[(&Fact, Span)], known: &dyn Known) -> Header {
    let mut header = Header::default();
    let mut batch: Option<(&Fact, Span)> = None;
    let mut packs: Vec<(&Fact, Span)> = Vec::new();
    // What cannot be is told, and taken as not said.
    let possible = |fact: &&(&Fact, Span)| crate::possible::line(&block.text, fact.0);
    for (fact, span) in facts.iter().filter(possible) {
        match fact.word {
            Word::Batch => batch = Some((fact, *span)),
            // What a fluid ounce is hangs on the market, which may be said below.
            Word::Pack => packs.push((fact, *span)),
            _ => add(&mut header, block, fact, *span, known),
        }
    }
    if header.markets.is_empty() {
        header.markets.clone_from(&known.settings().markets);
    }
    if header.markets.is_empty() {
        header.markets = vec!["EU".to_owned()];
        header.market_assumed = true;
    }
    header.packs = packs.iter().map(|(fact, span)| read_pack(block, fact, *span, &header, known)).collect();
    header.batch = batch.map(|(fact, span)| read_batch(block, fact, span, &header, known));
    header
}

/// The first and the last day that a date can mean.
pub(crate) fn days(text: &str) -> Option<(Date, Date)> {
    Date::read(text).ok().zip(Date::read_last(text).ok())
}

fn words(block: &Block, fact: &Fact) -> Vec<(String, Span)> {
    list_words(&block.text, fact.rest).into_iter().map(|span| (block.at(span).to_owned(), span)).collect()
}

fn single(block: &Block, measure: &Measure) -> Option<(Exact, Option<Unit>)> {
    let window = Window::read(&block.text, &measure.range)?;
    Some((window.middle()?, measure.unit.map(|unit| unit.unit)))
}

fn add(header: &mut Header, block: &Block, fact: &Fact, span: Span, known: &dyn Known) {
    let window = || fact.measure.as_ref().and_then(|measure| Window::read(&block.text, &measure.range));
    match fact.word {
        Word::Version => header.version = Some((block.at(fact.rest).to_owned(), fact.rest)),
        Word::Dated => header.dated = days(block.at(fact.rest)),
        Word::Status => header.status = Some(fold(block.at(fact.rest))),
        Word::Product => {
            let mut product =
                Product { people: std::mem::take(&mut header.product.people), ..Product::default() };
            for (word, _) in words(block, fact) {
                product.add_words(&word);
            }
            product.span = Some(fact.rest);
            header.product = product;
        }
        Word::For => {
            for (person, _) in words(block, fact) {
                match fold(&person).as_str() {
                    "sale" => header.occasion = Occasion::Sale,
                    "own use" | "gifts" | "teaching" => header.occasion = Occasion::Private,
                    _ => header.product.people.push(person),
                }
            }
        }
        Word::Market => {
            header.markets =
                words(block, fact).into_iter().map(|(market, _)| market.to_uppercase()).collect();
        }
        Word::Density => header.density = window().and_then(|window| window.middle()),
        Word::Ph => header.ph = window().map(|window| (window, span)),
        Word::WaterActivity => {
            header.water_activity =
                window().and_then(|window| window.high.or(window.low)).map(|value| (value, span));
        }
        Word::ShelfLife => {
            header.shelf_life_days = days_of(block, fact).map(|days| (days, span));
        }
        Word::AfterOpening => header.after_opening_days = days_of(block, fact),
        Word::Claim => header.claims.extend(words(block, fact)),
        Word::Tested => header.tests.push(read_test(block, fact, span)),
        Word::Include => header.includes.extend(read_include(block, fact, span, known)),
        Word::Directions | Word::Store | Word::Warning | Word::Caution => {
            header.label_lines.push((fact.word, block.at(fact.rest).to_owned()));
        }
        _ => {}
    }
}

/// A time as days.
fn days_of(block: &Block, fact: &Fact) -> Option<Exact> {
    let (value, unit) = single(block, fact.measure.as_ref()?)?;
    Some(value * factor::days(unit?)?)
}

fn read_test(block: &Block, fact: &Fact, span: Span) -> Test {
    let said = block.at(fact.rest);
    let (before, on) = match said.rsplit_once(" on ") {
        Some((before, date)) if Date::read(date).is_ok() => (before, Date::read(date).ok()),
        _ => (said, None),
    };
    let what = before.split(" by ").next().unwrap_or(before).to_owned();
    let version = fact.clause(ClauseWord::Version).map(|clause| {
        let measured = clause.measure.map(|measure| block.at(measure.span).to_owned());
        measured.unwrap_or_else(|| block.at(clause.rest).to_owned())
    });
    Test { what, on, version, span }
}

fn read_pack(block: &Block, fact: &Fact, span: Span, header: &Header, known: &dyn Known) -> Pack {
    let size = fact.measure.as_ref().and_then(|measure| single(block, measure));
    let millilitres = size.and_then(|(value, unit)| {
        Some(value * factor::millilitres(unit?, kitchen_of(unit?, &header.markets, known.settings()))?)
    });
    // A pack of so many grams holds them.
    let by_weight = fact
        .measure
        .as_ref()
        .and_then(|measure| single(block, measure))
        .and_then(|(value, unit)| Some(value * factor::grams(unit?)?));
    let net_grams = fact.clause(ClauseWord::Net).and_then(|clause| clause.measure).and_then(|measure| {
        let (value, unit) = single(block, &measure)?;
        Some(value * factor::grams(unit?)?).filter(|grams| !grams.is_zero())
    });
    let net_grams = net_grams.or(by_weight);
    let cost = fact.clause(ClauseWord::Cost).and_then(|clause| {
        let (value, _) = single(block, clause.measure.as_ref()?)?;
        Some((value, block.at(clause.rest).to_owned()))
    });
    Pack { millilitres, kind: fold(block.at(fact.rest)), net_grams, cost, span }
}

fn read_batch(block: &Block, fact: &Fact, span: Span, header: &Header, known: &dyn Known) -> Batch {
    let size = fact.measure.as_ref().and_then(|measure| single(block, measure));
    let pack = header.packs.first();
    let grams = size.and_then(|(value, unit)| match unit {
        Some(unit) => factor::grams(unit).map(|grams| &value * &grams).or_else(|| {
            let millilitres = factor::millilitres(unit, kitchen_of(unit, &header.markets, known.settings()))?;
            Some(value * millilitres * header.density.as_ref()?)
        }),
        // So many packs.
        None => {
            let pack = pack?;
            let each = match (&pack.net_grams, &pack.millilitres, &header.density) {
                (Some(net), _, _) => net.clone(),
                (None, Some(millilitres), Some(density)) => millilitres * density,
                _ => return None,
            };
            Some(value * each)
        }
    });
    let written = fact.measure.map_or(fact.rest, |measure| measure.span.join(fact.rest));
    Batch { grams, written: block.at(written).to_owned(), span }
}

/// `include PATH as NAME`, `include PATH#FORMULA as NAME`: splits at the last ` as `.
fn read_include(block: &Block, fact: &Fact, span: Span, known: &dyn Known) -> Option<Include> {
    let said = block.at(fact.rest);
    let (target, name) = said.rsplit_once(" as ")?;
    let (path, formula) = match target.split_once('#') {
        Some((path, formula)) => (path, Some(formula.trim())),
        None => (target, None),
    };
    let path = path.trim().trim_matches('"').to_owned();
    let name = name.trim().trim_matches('"').to_owned();
    let formula = known.include(&path, formula);
    Some(Include { name, path, formula, span })
}

/// Whether the product is one that the law of cosmetics knows as a sun product or a tanning one.
pub fn is_sun_product(product: &Product) -> bool {
    ["sun care", "self-tan", "tanning"].iter().any(|word| product.is(word) == Fit::Yes)
}
