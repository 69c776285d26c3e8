//! The `workshop` block, read into [`Settings`].

use crate::catalogue::condition_words;
use crate::exact::Exact;
use crate::factor;
use crate::known::{HouseAllow, HouseLimit, Settings};
use crate::possible;
use crate::window::Window;
use notation::{Block, Fact, Form, Measure, Measures, Unit, Word, fold, is_reason, list_words};

/// Reads a workshop block; a line that says nothing usable is left out.
pub fn read_settings(block: &Block) -> Settings {
    let mut settings = Settings::default();
    for line in &block.lines {
        if let Form::Fact(fact) = &line.form
            && possible::line(&block.text, fact)
        {
            add(&mut settings, block, fact);
        }
    }
    settings
}

fn value(block: &Block, fact: &Fact) -> Option<(Exact, Option<Unit>)> {
    let measure: Measure = fact.measure?;
    let window = Window::read(&block.text, &measure.range)?;
    Some((window.middle()?, measure.unit.map(|unit| unit.unit)))
}

fn grams(block: &Block, fact: &Fact) -> Option<Exact> {
    let (value, unit) = value(block, fact)?;
    Some(value * factor::grams(unit?)?)
}

fn share(block: &Block, fact: &Fact) -> Option<Exact> {
    let (value, unit) = value(block, fact)?;
    Some(value * factor::share(unit?)?)
}

fn add(to: &mut Settings, block: &Block, fact: &Fact) {
    let words = |fact: &Fact| -> Vec<String> {
        list_words(&block.text, fact.rest).into_iter().map(|span| block.at(span).to_owned()).collect()
    };
    match fact.word {
        Word::Market => to.markets = words(fact),
        Word::Measures => {
            to.measures = match fold(block.at(fact.rest)).as_str() {
                "us" => Some(Measures::Us),
                "metric" => Some(Measures::Metric),
                "imperial" => Some(Measures::Imperial),
                _ => None,
            };
        }
        Word::Currency => to.currency = Some(block.at(fact.rest).to_owned()),
        Word::Scales => to.scales = grams(block, fact),
        Word::Mixer => to.mixer = grams(block, fact),
        Word::WaterBath => {
            to.water_bath = value(block, fact)
                .and_then(|(value, unit)| factor::celsius(&value, unit.unwrap_or(Unit::Celsius)));
        }
        Word::Loss => to.loss = share(block, fact),
        Word::Drops => {
            // `drops 34 per g`: milligrams of one drop.
            to.drop = value(block, fact)
                .and_then(|(per_gram, _)| Exact::whole(1000).over(&per_gram))
                .map(Window::at);
        }
        Word::Limit => {
            if let Some(most) = share(block, fact) {
                let of = fold(block.at(fact.rest));
                to.limits.push(HouseLimit { most, of, conditions: condition_words(block, fact) });
            }
        }
        Word::Allow => {
            if let Some(because) = fact.because.filter(|because| is_reason(block.at(*because))) {
                let rules = words(fact);
                to.allows.push(HouseAllow { rules, because: block.at(because).to_owned() });
            }
        }
        Word::Treat => {
            if let Some((rule, level)) = block.at(fact.rest).split_once(" as ") {
                to.treats.push((fold(rule), fold(level)));
            }
        }
        Word::Stock => to.stock.push(block.at(fact.rest).trim_matches('"').to_owned()),
        _ => {}
    }
}
