//! What is told beneath a label: what has to be settled, why the list stands as it does, what the law asks for, and
//! what is still to be written.

use super::{Asked, Label, LabelPlace, Market};
use crate::facts::standing;
use formula::labels::{Due, Unsettled, WATER, Why, allergens, label_duties};
use formula::{Exact, Fit, Interval, LAW_READ_ON, Rank, Source, Standing, Written, is_sun_product};
use rules::entries;

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
        told.map(|(title, lines)| Section { title, lines }).collect()
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
        wrong.chain(unsettled).chain(scents).collect()
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

    /// From where on the order is free.
    fn one_percent(&self) -> Option<String> {
        let minor = |kind| matches!(kind, LabelPlace::Minor | LabelPlace::Allergen);
        let first = self.entries.iter().find(|entry| minor(entry.kind))?;
        let which = if self.market == Market::Us { "at 1 % or less" } else { "below 1 %" };
        let source = match self.market {
            Market::Eu => "Reg. (EC) 1223/2009 Art. 19(1)(g), second-hand",
            Market::Uk => "the same words in UK law before 2013, cheshireeast.gov.uk, second-hand",
            Market::Us => "21 CFR 701.3(f), second-hand",
        };
        let order =
            format!("From {} on, everything is {which} and may stand in any order ({source})", first.text);
        Some(format!("{order}; they are kept by weight, allergens behind them."))
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

    fn about_allergens(&self) -> Vec<String> {
        let mut told: Vec<String> =
            self.allergens.iter().filter(|due| !due.unnamed).map(|due| self.allergen(due)).collect();
        if !self.allergens.is_empty() {
            told.push(
                "Shares are counted with the catalogue's figures; the supplier's allergen statement for the lot decides."
                    .to_owned(),
            );
            let sources = entries(self.allergens.iter().map(|due| &due.source));
            told.extend(sources.into_iter().map(|source| format!("Source: {source}")));
        }
        match self.market {
            Market::Eu => {}
            Market::Uk => {
                told.push(
                    "The tables hold no scent allergens of UK law. Hold the formula against Annex III of the Regulation \
                     as Great Britain has it."
                        .to_owned(),
                );
                told.extend(self.elsewhere(&allergens(self.formula, "EU", self.day)));
            }
            Market::Us => told.push(
                "The tables hold no scent allergens of US law: the Act of 2022 leaves them to a rule (second-hand). Look \
                 whether it is in force."
                    .to_owned(),
            ),
        }
        told
    }

    /// What EU law would ask for, for a market of which the tables hold little.
    fn elsewhere(&self, due: &[Due]) -> Option<String> {
        let names: Vec<&str> = due.iter().filter(|due| !due.unnamed).map(|due| due.text.as_str()).collect();
        (!names.is_empty())
            .then(|| format!("For comparison, EU law (as of {}) asks for: {}.", self.day, names.join(", ")))
    }

    /// `Linalool 0.07 %, above 0.001 %, from lavender oil`
    fn allergen(&self, due: &Due) -> String {
        let above = due.above.as_ref().map(|above| format!(" (named above {} %)", above.percent()));
        let above = above.unwrap_or_default();
        let from = self.lines_of(due);
        let share = match (due.open, due.amount.high.is_zero()) {
            (true, true) => "in an unknown share".to_owned(),
            (true, false) => format!("at least {} %", percent(&due.amount)),
            (false, _) => format!("{} %", percent(&due.amount)),
        };
        let unsaid = if due.fit == Fit::Open {
            "; the product line does not say whether it stays on the skin"
        } else {
            ""
        };
        format!("{} {share}{above}, from {from}{unsaid}.", due.text)
    }

    fn lines_of(&self, due: &Due) -> String {
        let mut names: Vec<&str> = Vec::new();
        for item in due.items.iter().filter_map(|at| self.formula.items.get(*at)) {
            if !names.contains(&item.name.as_str()) {
                names.push(&item.name);
            }
        }
        names.join(", ")
    }

    fn about_words(&self) -> Vec<String> {
        let mut told: Vec<String> = self.asked.iter().map(|asked| self.asked(asked)).collect();
        if self.market == Market::Uk {
            let here = |due: &Due| self.asked.iter().any(|asked| asked.due.text == due.text);
            let mut due = label_duties(self.formula, "EU", self.day, false);
            due.retain(|due| !here(due));
            if let Some(compared) = self.elsewhere(&due) {
                told.push(format!("The tables hold few label words of UK law. {compared}"));
            }
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

    /// `“Contains …” is in the block: EU law, for retinol. Source: …`
    fn asked(&self, asked: &Asked) -> String {
        let due = &asked.due;
        let whose = match due.rank {
            Rank::Law => format!("{} law (as of {})", self.market.code(), self.day),
            rank => format!("{} ({}), not law", rank.word(), self.market.code()),
        };
        let place = if asked.said {
            "stands in the formula's own words"
        } else if asked.is_printed() {
            "is in the block"
        } else if due.fit == Fit::Open {
            "may be needed; the product line does not decide it"
        } else {
            "is not in the block; add it if you follow the advice"
        };
        let memory = match due.source.standing {
            Standing::Read => String::new(),
            _ => format!(" ({})", standing(&due.source)),
        };
        format!(
            "“{}” {place}: {whose}, for {}. Source: {}{memory}",
            due.text,
            self.lines_of(due),
            due.source.text
        )
    }

    fn still_to_write(&self) -> Vec<String> {
        let line = |own: &super::Particular| {
            let known = own.known.as_ref().map(|known| format!(": {known}")).unwrap_or_default();
            format!("{}{known}", own.what)
        };
        let mut told: Vec<String> = self.particulars.iter().map(line).collect();
        for own in &self.particulars {
            let source = format!("Source: {}", own.source);
            if !told.contains(&source) {
                told.push(source);
            }
        }
        told
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

fn percent(share: &Interval) -> String {
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
