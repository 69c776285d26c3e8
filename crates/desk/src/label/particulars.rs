//! What a label needs besides its words and its list, and what the formula knows of it. All else is left to be written.

use super::Market;
use formula::{Exact, Formula, Pack};

/// Something that has to stand on the label.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Particular {
    /// What.
    pub what: &'static str,
    /// What the formula says of it; none where it says nothing.
    pub known: Option<String>,
    /// Where it is asked for.
    pub source: &'static str,
}

const ART_19: &str = "Reg. (EC) 1223/2009 Art. 19(1)(a) to (f), as ages.at sets them out (2017)";
const ART_19_C: &str = "Reg. (EC) 1223/2009 Art. 19(1)(c), the 30 months as hpra.ie and pole-cosmetique.fr tell them (second-hand)";
const ART_19_5: &str = "Reg. (EC) 1223/2009 Art. 19(5) (from memory)";
const GB: &str = "gov.uk, statutory guidance on Regulation 2009/1223 for Great Britain, 4 May 2023";
const GB_ARTICLE: &str = "Reg. (EC) 1223/2009 Art. 19(1) as retained in Great Britain; the guidance of gov.uk of \
    4 May 2023 was read in part";
const US_701: &str = "21 CFR 701.11 to 701.13 (headings read at accessdata.fda.gov)";
const US_CONTACT: &str = "Modernization of Cosmetics Regulation Act of 2022, label contact (second-hand)";

/// What the EU and the UK word differently, and where it was read.
struct European {
    person: (&'static str, &'static str),
    language: (&'static str, &'static str),
    article: &'static str,
    lasting: &'static str,
}

const EU: European = European {
    person: (
        "name and address of the responsible person in the EU; the country of origin of an import",
        ART_19,
    ),
    language: ("the language that the country asks for, for all but the list", ART_19_5),
    article: ART_19,
    lasting: ART_19_C,
};

const UK: European = European {
    person: ("name and address of the responsible person in the UK; the country of origin of an import", GB),
    language: ("English words, for all but the list", GB_ARTICLE),
    article: GB_ARTICLE,
    lasting: GB_ARTICLE,
};

/// The particulars of a market, in the order in which its law has them.
pub(super) fn particulars(formula: &Formula, market: Market) -> Vec<Particular> {
    match market {
        Market::Eu => european(formula, &EU),
        Market::Uk => european(formula, &UK),
        Market::Us => american(formula),
    }
}

fn one(what: &'static str, known: Option<String>, source: &'static str) -> Particular {
    Particular { what, known, source }
}

fn european(formula: &Formula, own: &European) -> Vec<Particular> {
    let filled = "content at the time of filling, by weight or volume (not needed below 5 g or 5 mL)";
    vec![
        one(own.person.0, None, own.person.1),
        one(filled, content(formula), own.article),
        durability(formula, own.lasting),
        one("precautions that the safety assessment asks for, beside those in the block", None, own.article),
        one("batch number", None, own.article),
        one("what the product is for, unless that is plain to see", purpose(formula), own.article),
        one(own.language.0, None, own.language.1),
    ]
}

fn american(formula: &Formula) -> Vec<Particular> {
    vec![
        one("what the product is, on the front", purpose(formula), US_701),
        one("net contents, on the front, in US and metric units", content(formula), US_701),
        one("name and place of business of the maker, packer or distributor", None, US_701),
        one("how to report that it was not tolerated: a US address, telephone or e-mail", None, US_CONTACT),
        one("warnings of 21 CFR part 740 that its kind needs", None, "21 CFR part 740 (from memory)"),
        one("lot number", None, "common practice"),
    ]
}

/// What the `product` line says.
fn purpose(formula: &Formula) -> Option<String> {
    let words = &formula.header.product.words;
    (!words.is_empty()).then(|| format!("the product line says {}", words.join(", ")))
}

/// What the `pack` lines say.
fn content(formula: &Formula) -> Option<String> {
    let pack = |pack: &Pack| match (&pack.net_grams, &pack.millilitres) {
        (Some(net), _) => Some(format!("{} g, {}", net.text(), pack.kind)),
        (None, Some(size)) => Some(format!("{} mL {}, what is in it is not said", size.text(), pack.kind)),
        (None, None) => None,
    };
    let packs: Vec<String> = formula.header.packs.iter().filter_map(pack).collect();
    (!packs.is_empty()).then(|| format!("the pack line says {}", packs.join("; ")))
}

/// Up to 30 months a date; above, how long it keeps once it is open.
fn durability(formula: &Formula, source: &'static str) -> Particular {
    let day = Exact::fraction(365, 12);
    let months = |days: &Exact| days.over(&day).map(|months| months.shown(1)).unwrap_or_default();
    let Some((days, _)) = &formula.header.shelf_life_days else {
        let what = "how long it keeps: up to 30 months the date, as “best used before the end of” month and year; \
                    above, the open jar with the months after opening";
        return Particular { what, known: None, source };
    };
    if *days <= Exact::whole(30) * &day {
        let what = "“best used before the end of” month and year";
        let known = format!("{} months from the day of making, says the shelf life line", months(days));
        return Particular { what, known: Some(known), source };
    }
    let known = formula.header.after_opening_days.as_ref();
    let known = known.map(|days| format!("{} months, says the after opening line", months(days)));
    Particular { what: "the open jar with the months after opening", known, source }
}
