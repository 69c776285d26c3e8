//! The `record` block: one batch as it was made.
#![deny(clippy::float_arithmetic)]

use crate::exact::Exact;
use crate::factor;
use crate::formula::{Formula, Item};
use crate::header::days;
use crate::known::Known;
use crate::material::Material;
use crate::resolve::lookup;
use notation::{
    Block, ClauseWord, Date, Fact, Form, Measure, Measures, Span, Unit, UnitWord, Word, find_unit, fold,
    in_one_line, read_number,
};

/// One batch as it was made. Nothing is guessed: what no line says is absent.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Record {
    /// The batch number that the opener carries.
    pub number: String,
    /// What it is a batch of.
    pub of: Option<MadeOf>,
    /// The day it was made: the first and the last day that its date can mean.
    pub date: Option<(Date, Date)>,
    /// The size that it was made for, grams, and the line.
    pub batch: Option<(Exact, Span)>,
    /// What was weighed, in order; one ingredient may stand in several lines, one for each lot.
    pub weighed: Vec<Weighed>,
    /// What was added for what boiled away; no part of what was weighed.
    pub topped_up: Vec<Weighed>,
    /// What was measured, in order.
    pub measured: Vec<Measured>,
    /// What was seen later.
    pub observed: Vec<Observed>,
    /// What came out of the pot, grams, and the line.
    pub yielded: Option<(Exact, Span)>,
    /// What was filled.
    pub filled: Vec<Filling>,
    /// What was kept back.
    pub retained: Vec<Filling>,
    /// What was done otherwise than planned, in the maker's words.
    pub deviations: Vec<String>,
    /// What was decided on it.
    pub verdict: Option<Verdict>,
}

/// `of Plain hand cream version 3; variant unscented`
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct MadeOf {
    /// The formula's name.
    pub name: String,
    /// The version, and where it stands.
    pub version: Option<(String, Span)>,
    /// The variant, and where it stands.
    pub variant: Option<(String, Span)>,
    /// The words after `of`, without the clauses.
    pub span: Span,
}

/// `weighed 20.02 g glycerin; lot GL-204`
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Weighed {
    /// The name as written.
    pub name: String,
    /// The amount as written.
    pub written: String,
    /// Grams; none for anything but a weight.
    pub grams: Option<Exact>,
    /// Half a unit of the last written digit, grams: the scales showed no more.
    pub half_digit: Exact,
    /// The lot that it came from.
    pub lot: Option<String>,
    /// The line, without its comment.
    pub span: Span,
}

/// `measured pH 5.4 at 22 °C`
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Measured {
    /// What, folded: the words before the number.
    pub what: String,
    /// How much.
    pub value: Exact,
    /// The number as written.
    pub written: String,
    /// Half a unit of the last written digit.
    pub half_digit: Exact,
    /// Where the words and the number stand.
    pub span: Span,
}

/// `observed 2026-04-14 TEXT`
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Observed {
    /// When, where the text begins with a date.
    pub on: Option<Date>,
    /// What.
    pub text: String,
}

/// `filled 9 x 50 mL`
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Filling {
    /// How many.
    pub count: Exact,
    /// Millilitres in one, where it is a volume.
    pub millilitres: Option<Exact>,
    /// Grams in one, where it is a weight.
    pub grams: Option<Exact>,
    /// Where it stands.
    pub span: Span,
}

/// What was decided on a batch.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Verdict {
    /// `released`
    Released,
    /// `held`
    Held,
    /// `rejected`
    Rejected,
}

impl Record {
    /// Whether it is of the same version as a formula says it is; nobody's version is the same as nobody's.
    pub fn is_of_version(&self, version: Option<&str>) -> bool {
        let own = self.of.as_ref().and_then(|of| of.version.as_ref());
        own.map(|(own, _)| fold(own)) == version.map(fold)
    }

    /// Whether it is of a formula as it now stands: of its version, and of this variant or of none.
    pub fn is_of(&self, formula: &Formula) -> bool {
        let variant = self.of.as_ref().and_then(|of| of.variant.as_ref());
        let version = formula.header.version.as_ref().map(|(version, _)| version.as_str());
        variant.map(|(name, _)| fold(name)) == formula.variant.as_ref().map(|(name, _)| fold(name))
            && self.is_of_version(version)
    }

    /// Whether a deviation speaks of something: the maker knows, and has said why.
    pub fn explains(&self, name: &str) -> bool {
        let name = fold(name);
        self.deviations.iter().any(|text| fold(text).contains(&name))
    }

    /// The last measurement of something, which is folded; earlier ones were made on the way.
    pub fn last_measured(&self, what: &str) -> Option<&Measured> {
        self.measured.iter().rev().find(|measured| measured.what == what)
    }
}

impl Weighed {
    /// The name under which it is compared with the lines of a formula.
    pub fn key(&self, known: &dyn Known) -> String {
        lookup(&self.name, &[], known).material.map_or_else(|| fold(&self.name), |material| material.key())
    }

    /// Whether it may be what a line of a formula asks for: by its name, or by the name that both have on a label.
    pub fn may_be(&self, item: &Item, known: &dyn Known) -> bool {
        let inci = |material: &Material| material.inci.as_deref().map(fold);
        let own = lookup(&self.name, &[], known).material;
        let labelled = own.as_deref().and_then(inci);
        let same_label = labelled.is_some() && labelled == item.material.as_deref().and_then(inci);
        same_label || fold(&self.name) == fold(&item.name) || self.key(known) == item.key()
    }
}

/// Reads a record block; a line that says nothing usable is left out.
pub fn read_record(block: &Block) -> Record {
    let mut record = Record { number: block.name().to_owned(), ..Record::default() };
    for line in &block.lines {
        if let Form::Fact(fact) = &line.form {
            let end = line.comment.map_or(line.span.end, |comment| comment.start);
            let span = Span::new(line.span.start, end.max(line.span.start)).trimmed(&block.text);
            add(&mut record, block, fact, span);
        }
    }
    record
}

fn add(to: &mut Record, block: &Block, fact: &Fact, span: Span) {
    let words = block.at(fact.rest);
    match fact.word {
        Word::Of => to.of = made_of(block, fact),
        Word::DateOf => to.date = days(words),
        Word::Batch => to.batch = grams(block, fact).map(|grams| (grams, span)),
        Word::Yield => to.yielded = grams(block, fact).map(|grams| (grams, span)),
        Word::Weighed => to.weighed.extend(weighed(block, fact, span)),
        Word::ToppedUp => to.topped_up.extend(weighed(block, fact, span)),
        Word::Measured => to.measured.extend(measured(block, fact)),
        Word::Observed => {
            let first = words.split_whitespace().next().unwrap_or("");
            let on = Date::read(first).ok();
            let text = if on.is_some() { words.get(first.len()..).unwrap_or("") } else { words };
            to.observed.push(Observed { on, text: text.trim().to_owned() });
        }
        Word::Filled => to.filled.extend(filling(block, fact)),
        Word::Retained => to.retained.extend(filling(block, fact)),
        Word::Deviation => to.deviations.push(words.to_owned()),
        Word::Released => to.verdict = Some(Verdict::Released),
        Word::Held => to.verdict = Some(Verdict::Held),
        Word::Rejected => to.verdict = Some(Verdict::Rejected),
        _ => {}
    }
}

/// Splits at the last ` version `, so that a name may hold the word.
fn made_of(block: &Block, fact: &Fact) -> Option<MadeOf> {
    const VERSION: &str = " version ";
    let words = block.at(fact.rest);
    let split = fold_case(words).rfind(VERSION);
    let name = split.and_then(|at| words.get(..at)).unwrap_or(words).trim().trim_matches('"').to_owned();
    let version = split.map(|at| {
        let start = fact.rest.start + (at + VERSION.len()) as u32;
        let span = Span::new(start, fact.rest.end).trimmed(&block.text);
        (block.at(span).to_owned(), span)
    });
    let variant =
        fact.clause(ClauseWord::Variant).map(|clause| (block.at(clause.rest).to_owned(), clause.rest));
    (!name.is_empty()).then_some(MadeOf { name, version, variant, span: fact.rest })
}

/// Lower case without moving a byte.
fn fold_case(text: &str) -> String {
    text.to_ascii_lowercase()
}

fn single(block: &Block, measure: &Measure) -> Option<Exact> {
    Exact::read(block.at(measure.range.first))
}

fn grams(block: &Block, fact: &Fact) -> Option<Exact> {
    let measure = fact.measure.as_ref()?;
    Some(single(block, measure)? * factor::grams(measure.unit?.unit)?)
}

fn weighed(block: &Block, fact: &Fact, span: Span) -> Option<Weighed> {
    let measure = fact.measure.as_ref()?;
    let name = block.at(fact.rest).trim().trim_matches('"').to_owned();
    let factor = measure.unit.and_then(|unit| factor::grams(unit.unit));
    let half = half_digit(block.at(measure.range.first)).unwrap_or_default();
    (!name.is_empty()).then(|| Weighed {
        name,
        written: in_one_line(block.at(measure.span)),
        grams: grams(block, fact),
        half_digit: factor.map(|factor| half * factor).unwrap_or_default(),
        lot: fact.clause(ClauseWord::Lot).map(|clause| block.at(clause.rest).to_owned()),
        span,
    })
}

/// Half a unit of the last digit of a number.
fn half_digit(number: &str) -> Option<Exact> {
    let places = read_number(number).ok()?.decimals.len() as u32;
    Some(Exact::fraction(1, 10i128.checked_pow(places)?.checked_mul(2)?))
}

/// `pH 5.4 at 22 °C`: the first word that is a number parts what was measured from how it was.
fn measured(block: &Block, fact: &Fact) -> Option<Measured> {
    let words = block.at(fact.rest);
    let mut at = 0;
    for word in words.split_inclusive(char::is_whitespace) {
        let number = word.trim().trim_start_matches(['=', ':']).trim_end_matches([',', ':']);
        if let Some(value) = Exact::read(number) {
            let what =
                fold(words.get(..at)?.trim_end_matches(|c: char| c.is_whitespace() || c == '=' || c == ':'));
            let end = at + word.find(number)? + number.len();
            let span = Span::new(fact.rest.start, fact.rest.start + end as u32);
            let half_digit = half_digit(number)?;
            return Some(Measured { what, value, written: number.to_owned(), half_digit, span });
        }
        at += word.len();
    }
    None
}

/// `9 x 50 mL`, `9 × 50 mL`
fn filling(block: &Block, fact: &Fact) -> Option<Filling> {
    let words = block.at(fact.rest);
    let (count, each) = words.split_once(['x', '×', 'X'])?;
    let each = each.trim();
    let digits = each.find(|c: char| !c.is_ascii_digit() && !matches!(c, '.' | ',')).unwrap_or(each.len());
    let (number, unit) = each.split_at_checked(digits)?;
    let number = Exact::read(number)?;
    let unit = unit.split_whitespace().next()?;
    let UnitWord::Known(unit) = find_unit(unit) else { return None };
    let millilitres = match unit {
        Unit::Millilitre | Unit::Litre => factor::millilitres(unit, Measures::Metric).map(|ml| ml * &number),
        _ => None,
    };
    let grams = factor::grams(unit).map(|grams| grams * &number);
    Some(Filling { count: Exact::read(count.trim())?, millilitres, grams, span: fact.rest })
}

/// Which of two versions is the older; none where their words do not tell. `3` is older than `4`, `3.9` than `3.10`.
pub fn is_older(one: &str, other: &str) -> Option<bool> {
    let parts = |text: &str| -> Option<Vec<u32>> {
        let folded = fold(text);
        folded.trim_start_matches('v').trim().split('.').map(|part| part.parse().ok()).collect()
    };
    Some(parts(one)? < parts(other)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn record(text: &str) -> Record {
        read_record(&notation::read_block(text))
    }

    #[test]
    fn each_line_is_read() {
        let own = record(
            "record 26-041\nof Version 2 balm version 3; variant plain\ndate 2026-03-02\nbatch 0.5 kg\n\
             weighed 25.02 g glycerin; lot GL-204 # new drum\ntopped up 9 g purified water\n\
             measured pH 6.1\nmeasured pH 5.4 at 22 °C\nobserved 2026-04-14 no change\nyield 478 g\n\
             filled 9 x 50 mL\nretained 1 × 50 g\ndeviation stirred longer\nheld\n",
        );
        let of = own.of.clone().unwrap();
        assert_eq!((of.name.as_str(), of.version.unwrap().0.as_str()), ("Version 2 balm", "3"));
        assert_eq!(of.variant.unwrap().0, "plain");
        assert_eq!(own.date.unwrap().0.to_string(), "2026-03-02");
        assert_eq!(own.batch.unwrap().0, Exact::whole(500));
        let glycerin = own.weighed.first().unwrap();
        assert_eq!((glycerin.name.as_str(), glycerin.lot.as_deref()), ("glycerin", Some("GL-204")));
        assert_eq!(glycerin.grams.as_ref().unwrap().data(), "25.02");
        assert_eq!(glycerin.half_digit.data(), "0.005");
        assert_eq!(own.topped_up.len(), 1);
        let ph = own.measured.iter().rev().find(|measured| measured.what == "ph").unwrap();
        assert_eq!((ph.written.as_str(), ph.half_digit.data().as_str()), ("5.4", "0.05"));
        assert_eq!(own.yielded.unwrap().0, Exact::whole(478));
        assert_eq!(own.filled.first().unwrap().millilitres, Some(Exact::whole(50)));
        assert_eq!(own.retained.first().unwrap().grams, Some(Exact::whole(50)));
        assert_eq!(own.verdict, Some(Verdict::Held));
    }

    #[test]
    fn what_says_nothing_usable_is_left_out() {
        let own = record(
            "record\nof\nweighed 5 mL glycerin\nmeasured fine\nfilled some\nyield 3 jars\ndate soon\n",
        );
        assert_eq!(own.of, None);
        assert_eq!(own.weighed.first().unwrap().grams, None);
        assert!(
            own.measured.is_empty() && own.filled.is_empty() && own.yielded.is_none() && own.date.is_none()
        );
    }

    #[test]
    fn older_versions() {
        for (one, other, older) in
            [("3", "4", Some(true)), ("3.10", "3.9", Some(false)), ("v2", "3", Some(true)), ("B", "C", None)]
        {
            assert_eq!(is_older(one, other), older, "{one} {other}");
        }
    }
}
