//! What is told beneath a label: what has to be settled, why the list stands as it does, what the law asks for, and
//! what is still to be written.

use super::{Label, LabelEntry, LabelPlace, Market};
use crate::facts::standing;
use formula::labels::{Due, Unsettled, WATER, Why, label_duties};
use formula::{Exact, Interval, LAW_READ_ON, Source, Standing, Written, is_sun_product};

/// A heading with what is told under it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Section {
    /// The heading.
    pub title: &'static str,
    /// One thing each.
    pub lines: Vec<String>,
}

impl Label<'_> {
    /// What is no part of the label, in the order in which it matters.
    pub fn notes(&self) -> Vec<Section> {
        let sections = [
            ("Settle first", self.to_settle()),
            ("About the list", self.about_the_list()),
            ("Allergens", self.about_allergens()),
            ("Words that are asked for", self.about_words()),
            ("Still to be written", self.still_to_write()),
            ("The law", self.about_the_law()),
        ];
        let told = sections.into_iter().filter(|(_, lines)| !lines.is_empty());
        told.map(|(title, lines)| Section { title, lines: once(lines) }).collect()
    }

    fn to_settle(&self) -> Vec<String> {
        let wrong = self
            .wrong
            .iter()
            .map(|finding| format!("The list cannot be trusted ({}): {}.", finding.rule, finding.message));
        let unsettled = self
            .listing
            .unsettled
            .iter()
            .map(|unsettled| format!("The list is not complete: {}.", why(unsettled)));
        let scents = self.allergens.iter().filter(|due| due.unnamed).map(|due| {
            format!(
                "The list is not complete: nobody says which allergens are in {}. Its supplier's statement names them: \
                 write them into a block of your own, as `contains 2 % linalool; allergen`.",
                self.lines_of(due)
            )
        });
        let unfinished = "The list cannot be trusted: the formula is still being written.".to_owned();
        let unfinished = self.formula.unfinished.then_some(unfinished);
        let settle = unfinished.into_iter().chain(wrong).chain(unsettled).chain(scents);
        settle.chain(self.not_in_the_tables()).collect()
    }

    /// What the tables do not hold of a market, and a label of another kind.
    fn not_in_the_tables(&self) -> Vec<String> {
        let mut told = Vec::new();
        if !self.abroad.is_empty() {
            told.push(
                "The list is not complete: the tables hold no scent allergens of UK law. EU law names those below; hold \
                 the formula against Annex III of the Regulation as Great Britain has it."
                    .to_owned(),
            );
        }
        if self.market == Market::Uk {
            let here = |due: &Due| self.asked.iter().any(|asked| asked.due.text == due.text);
            let abroad = label_duties(self.formula, Market::Eu.code(), self.day, false);
            told.extend(abroad.into_iter().filter(|due| !here(due)).map(|due| {
                format!(
                    "The tables hold few label words of UK law. EU law (as of {}) asks for “{}”, for {}: look whether \
                     UK law does.",
                    self.day,
                    due.text,
                    self.lines_of(&due)
                )
            }));
        }
        if self.market == Market::Us && is_sun_product(&self.formula.header.product) {
            told.push(
                "In the US a product against the sun is a drug, and its label that of a drug, with its active \
                 ingredients first (OTC monograph M020; 21 CFR 201.327). This is the list of a cosmetic only."
                    .to_owned(),
            );
        }
        told
    }

    fn about_the_list(&self) -> Vec<String> {
        let mut told: Vec<String> = Vec::new();
        told.extend(self.one_percent());
        told.extend(self.close_calls());
        told.extend(self.weak_shares());
        told.extend(self.small_blends());
        told.extend(self.lines_of_their_own());
        told.extend(self.scents());
        told.extend(self.colours());
        told
    }

    /// From where to where the order is free.
    fn one_percent(&self) -> Option<String> {
        let free = |entry: &&LabelEntry| match entry.kind {
            LabelPlace::Minor => true,
            LabelPlace::Allergen => !entry.unsettled,
            _ => false,
        };
        let (first, last) = (self.entries.iter().find(free)?, self.entries.iter().rfind(free)?);
        if first.text == last.text {
            return None;
        }
        let which = if self.market == Market::Us { "at 1 % or less" } else { "below 1 %" };
        let source = match self.market {
            Market::Eu => "Reg. (EC) 1223/2009 Art. 19(1)(g), second-hand",
            Market::Uk => "the same words in UK law before 2013, cheshireeast.gov.uk, second-hand",
            Market::Us => "21 CFR 701.3(f), second-hand",
        };
        let allergens = if last.kind == LabelPlace::Allergen { ", allergens behind them" } else { "" };
        let (first, last) = (&first.text, &last.text);
        Some(format!(
            "From {first} to {last} everything is {which} and may stand in any order ({source}); here it is kept by \
             weight{allergens}."
        ))
    }

    /// Neighbours of which the order hangs on shares that are known as windows.
    fn close_calls(&self) -> Vec<String> {
        let weighed = |at: &usize| {
            self.entries.get(*at).is_some_and(|entry| entry.kind == LabelPlace::Weighed && !entry.unsettled)
        };
        let places: Vec<usize> = (0..self.entries.len()).filter(weighed).collect();
        let mut told = Vec::new();
        for pair in places.windows(2) {
            let [Some(first), Some(second)] = [pair.first(), pair.get(1)].map(|at| self.entries.get(*at?))
            else {
                continue;
            };
            let (Some(more), Some(less)) = (&first.share, &second.share) else { continue };
            if less.high > more.low && !(more.is_exact() && less.is_exact()) {
                told.push(format!(
                    "{} ({} %) and {} ({} %) may change places: their shares are not known more closely.",
                    first.text,
                    percent(more),
                    second.text,
                    percent(less)
                ));
            }
        }
        told
    }

    /// Names whose shares rest on figures of the catalogue that are not read at a source.
    fn weak_shares(&self) -> Option<String> {
        let weak = self.listing.listed.iter().filter(|listed| {
            let weak = |source: &Source| !source.own && source.standing < Standing::SecondHand;
            listed.name != WATER && listed.source.as_ref().is_some_and(weak)
        });
        let names: Vec<String> = weak
            .filter_map(|listed| Some(format!("{} ({})", listed.name, standing(listed.source.as_ref()?))))
            .collect();
        (!names.is_empty()).then(|| {
            format!(
                "The shares of these rest on usual compositions of blends and solutions: {}. The supplier's sheet \
                 decides.",
                names.join(", ")
            )
        })
    }

    fn small_blends(&self) -> Vec<String> {
        let mut blends: Vec<&String> = Vec::new();
        for blend in self.listing.listed.iter().flat_map(|listed| &listed.small_blends) {
            if !blends.contains(&blend) {
                blends.push(blend);
            }
        }
        let told = |blend: &&String| {
            format!(
                "Nobody says how much of each part is in {blend}; it is less than 1 % in all, so that each may stand \
                 in any order. If a part comes in with another line too, count it there."
            )
        };
        blends.iter().map(told).collect()
    }

    /// Lines that are counted in one way and may come out in another.
    fn lines_of_their_own(&self) -> Vec<String> {
        let mut told = Vec::new();
        for item in &self.formula.items {
            let nothing = item.mid().is_some_and(Exact::is_zero);
            if item.written == Written::AsNeeded && nothing {
                told.push(format!(
                    "{} is added as needed, and stands at the end: put it to its place once it is weighed, or write \
                     `about` and what it usually takes.",
                    item.name
                ));
            }
            if item.is_range && item.share.is_some() {
                told.push(format!("{} is counted by the middle of its range.", item.name));
            }
            if item.optional {
                told.push(format!("{} is optional; it is listed as if it were in.", item.name));
            }
            let water = item.material.as_ref().and_then(|material| material.water.as_ref());
            let may_be_wet = water.is_some_and(|water| {
                water.value.low.as_ref().is_none_or(Exact::is_zero)
                    && water.value.high.as_ref().is_some_and(|high| *high > Exact::fraction(1, 10))
            });
            if may_be_wet && item.strength.is_none() {
                told.push(format!(
                    "{} is listed as dry; if it is a solution, write `strength` behind its line, so that its water \
                     is counted.",
                    item.name
                ));
            }
        }
        told
    }

    /// Essential oils stand under their own names.
    fn scents(&self) -> Option<String> {
        let oils =
            self.formula.items.iter().filter(|item| {
                item.functions.first().is_some_and(|first| first.starts_with("essential oil"))
            });
        let mut names: Vec<&str> = Vec::new();
        for item in oils {
            if !names.contains(&item.name.as_str()) {
                names.push(&item.name);
            }
        }
        let word = if self.market == Market::Us { "Fragrance" } else { "Parfum" };
        (!names.is_empty()).then(|| {
            format!(
                "{} under its own name. What is there for its scent alone goes under {word}: write `; fragrance` \
                 behind its line.",
                match names.as_slice() {
                    [one] => format!("{one} stands"),
                    several => format!("{} stand, each", several.join(", ")),
                }
            )
        })
    }

    fn colours(&self) -> Vec<String> {
        let colourants = self.entries.iter().filter(|entry| entry.kind == LabelPlace::Colourant);
        let names: Vec<&str> = colourants.map(|entry| entry.text.as_str()).collect();
        let mut told = Vec::new();
        if let [first, _, ..] = names.as_slice() {
            told.push(format!("From {first} on, colourants stand in any order."));
        }
        if self.market == Market::Us && !names.is_empty() {
            told.push(
                "US labels name colour additives as 21 CFR parts 73 and 74 list them, not by number alone (from \
                 memory); each has to be listed there for its use."
                    .to_owned(),
            );
        }
        if self.market != Market::Us {
            let unnumbered =
                self.listing.listed.iter().filter(|own| own.name == "Iron Oxides").map(|own| &own.name);
            told.extend(unnumbered.map(|name| {
                format!("{name}: the list wants the colour index number: CI 77491 red, CI 77492 yellow, CI 77499 black.")
            }));
        }
        told
    }

    fn still_to_write(&self) -> Vec<String> {
        let line = |own: &super::Particular| {
            let known = own.known.as_ref().map(|known| format!(": {known}")).unwrap_or_default();
            format!("{}{known}", own.what)
        };
        let sources = self.particulars.iter().map(|own| format!("Source: {}", own.source));
        self.particulars.iter().map(line).chain(sources).collect()
    }

    fn about_the_law(&self) -> Vec<String> {
        let assumed = "No market is said, so the EU is assumed.".to_owned();
        let assumed = (self.formula.header.market_assumed && self.market == Market::Eu).then_some(assumed);
        let law = [
            format!(
                "{} law as of {}, as far as the tables hold it (read on {LAW_READ_ON}); they may be incomplete or out of \
                 date. Read the rules in force where you sell or give away.",
                self.market.code(),
                self.day
            ),
            "This is a draft of the words, not leave to sell: it says nothing of whether the product is safe. Many \
             places ask for a safety assessment by a qualified person, and a notification, before the first sale."
                .to_owned(),
        ];
        assumed.into_iter().chain(law).collect()
    }
}

/// Each thing once, where it is first told: two lines can have one fault.
fn once(lines: Vec<String>) -> Vec<String> {
    let mut told: Vec<String> = Vec::new();
    for line in lines {
        if !told.contains(&line) {
            told.push(line);
        }
    }
    told
}

pub(super) fn percent(share: &Interval) -> String {
    share.scaled(&Exact::whole(100)).text()
}

/// Why a line is not settled, and what settles it.
fn why(unsettled: &Unsettled) -> String {
    let name = &unsettled.name;
    match &unsettled.why {
        Why::Unknown => format!(
            "nobody knows {name}; write `; INCI …` behind its line, or describe it in an ingredient block of your own"
        ),
        Why::Undecided => format!("{name} can be several things; write which one it is"),
        Why::NoName => format!("{name} has no name for a label; write `; INCI …` behind its line"),
        Why::NoBase => format!("the base {name} is not there"),
        Why::NoWeight => format!("nobody knows how much {name} there is"),
        Why::Parts => format!(
            "nobody says how much of each part is in {name}; its supplier's sheet does: write it into a block of your \
             own, as `contains 60 % …`"
        ),
        Why::Carrier(carrier) => format!("{carrier}, in which {name} is dissolved, has no name for a label"),
    }
}
