//! What a formula says of itself, and how words are found in it: whole words only, and not where they are denied.

mod table;

use crate::case::Case;
use crate::finding::Level;
use crate::findings::{Adding, Findings};
use crate::words::whole_line;
use formula::{Fit, Occasion, Standing};
use notation::{Edits, Fact, Form, Span, Word, fold, list_words};
pub(crate) use table::{BARRED, FREE_FROM, FREE_FROM_SOURCE, FreeFrom, MEDICINAL, SUN, UNPROVEN};

/// Words of the trade that mean one thing, with the document that says what it makes of them.
pub(crate) struct Wording {
    /// The words, in lower case, without hyphens.
    pub(crate) phrases: &'static [&'static str],
    /// Markets for which it holds; empty for all.
    pub(crate) markets: &'static [&'static str],
    /// What is wrong with them, after `“…”`.
    pub(crate) why: &'static str,
    /// What to do.
    pub(crate) help: &'static str,
    /// Tests that settle it: words of a `tested` line.
    pub(crate) settled: &'static [&'static str],
    /// The loudest it can be.
    pub(crate) most: Level,
    /// Where it was read.
    pub(crate) source: &'static str,
    /// How well it is founded.
    pub(crate) standing: Standing,
}

/// Where something is said.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Place {
    /// In a `claim` line.
    Claim,
    /// In the name of the formula or of its variant.
    Name,
    /// Who it is for.
    For,
    /// In directions for use.
    Directions,
    /// In a note.
    Note,
}

/// Something said, and where.
#[derive(Clone, Debug)]
pub(crate) struct Said {
    pub(crate) text: String,
    /// Its words, see [`tokens`].
    pub(crate) words: Vec<String>,
    pub(crate) span: Span,
    pub(crate) place: Place,
}

impl Said {
    fn new(text: &str, span: Span, place: Place) -> Said {
        Said { text: text.to_owned(), words: tokens(text), span, place }
    }
}

/// The claims, then the names.
pub(crate) fn said(case: &Case<'_>) -> Vec<Said> {
    let formula = case.formula;
    let claim = |(text, span): &(String, Span)| Said::new(text, *span, Place::Claim);
    let mut all: Vec<Said> = formula.header.claims.iter().map(claim).collect();
    all.push(Said::new(&formula.name, formula.name_span, Place::Name));
    if let Some((name, span)) = &formula.variant {
        all.push(Said::new(name, *span, Place::Name));
    }
    all
}

/// What stands in lines of free text.
pub(crate) fn written(case: &Case<'_>, word: Word, place: Place) -> Vec<Said> {
    let line = |fact: &Fact| Said::new(case.at(fact.rest), fact.rest, place);
    case.block.facts(word).map(|(_, fact)| line(fact)).collect()
}

/// The words of `for` lines that still hold for this formula or variant.
pub(crate) fn people(case: &Case<'_>) -> Vec<Said> {
    let people = &case.formula.header.product.people;
    let mut all = Vec::new();
    for (_, fact) in case.block.facts(Word::For) {
        for span in list_words(&case.block.text, fact.rest) {
            let text = case.at(span);
            if people.iter().any(|person| person == text) {
                all.push(Said::new(text, span, Place::For));
            }
        }
    }
    all
}

/// Words without their marks: `SPF-30+` is `spf`, `30`.
pub(crate) fn tokens(text: &str) -> Vec<String> {
    let split = fold(text);
    split.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).map(str::to_owned).collect()
}

/// Words that deny what stands within the next four; `no more eczema` denies nothing.
const DENIALS: &[&str] =
    &["no", "not", "non", "never", "without", "nor", "cannot", "doesn", "don", "isn", "won"];

/// Phrases with the word behind them that makes them speak of something else: healing clay is a clay, and what is
/// non-toxic to bees says nothing of other products.
const MEANT_OTHERWISE: &[(&str, &str)] =
    &[("healing", "clay"), ("healing", "earth"), ("non toxic", "to"), ("nontoxic", "to")];

/// Whether a phrase stands in a text, word for word, and is not denied there. What follows as `prone` is no illness:
/// `eczema-prone`.
pub(crate) fn holds(text: &[String], phrase: &str) -> bool {
    let length = phrase.split(' ').count();
    text.windows(length).enumerate().any(|(at, window)| {
        if !window.iter().map(String::as_str).eq(phrase.split(' ')) {
            return false;
        }
        let before = text.get(at.saturating_sub(4)..at).unwrap_or(&[]);
        let denies = |(place, word): (usize, &String)| {
            let more = before.get(place + 1).is_some_and(|next| next == "more");
            DENIALS.contains(&word.as_str()) && !more
        };
        let denied = before.iter().enumerate().any(denies);
        let otherwise = text
            .get(at + length)
            .is_some_and(|next| next == "prone" || MEANT_OTHERWISE.contains(&(phrase, next.as_str())));
        !denied && !otherwise
    })
}

/// The first of some phrases that a text says.
pub(crate) fn first<'p>(text: &[String], phrases: &[&'p str]) -> Option<&'p str> {
    phrases.iter().copied().find(|phrase| holds(text, phrase))
}

/// The ways to say that something is left out: `paraben-free`, `free from parabens`, `no parabens`, `0 % parabens`.
pub(crate) fn says_free(text: &[String], of: &str) -> bool {
    const FORMS: &[(&str, &str)] = &[
        ("", "free"),
        ("free from", ""),
        ("free of", ""),
        ("no", ""),
        ("no added", ""),
        ("without", ""),
        ("0", ""),
        ("zero", ""),
    ];
    if !speaks_of_absence(text)
        || text.windows(2).any(|pair| matches!(pair, [a, b] if a == "not" && b == "free"))
    {
        return false;
    }
    FORMS.iter().any(|(before, after)| {
        let wanted = || [*before, of, *after].into_iter().flat_map(str::split_whitespace);
        let length = wanted().count();
        text.windows(length).any(|window| window.iter().map(String::as_str).eq(wanted()))
    })
}

/// Whether a text says at all that something is left out: most do not, and need not be looked through.
pub(crate) fn speaks_of_absence(text: &[String]) -> bool {
    text.iter().any(|word| matches!(word.as_str(), "free" | "no" | "without" | "0" | "zero"))
}

/// Words that should not be said, and where they are.
pub(crate) struct Fault<'w> {
    pub(crate) said: &'w Said,
    pub(crate) phrase: &'w str,
    pub(crate) row: &'w Wording,
}

impl Fault<'_> {
    /// Tells of it, `“…” why` and more, and offers to take the claim out.
    pub(crate) fn tell<'a>(&self, case: &Case<'_>, more: &str, out: &'a mut Findings<'_>) -> Adding<'a> {
        let Fault { said, phrase, row } = self;
        let adding = out
            .add(said.span, format!("“{phrase}” {}{more}", row.why))
            .help(row.help)
            .source(row.source)
            .subject(*phrase);
        without(case, said, adding)
    }

    /// How loud it is where a claim of this kind is a matter of law: see [`level`].
    pub(crate) fn levelled<'a>(&self, case: &Case<'_>, adding: Adding<'a>) -> Adding<'a> {
        adding.level(level(case, self.said, self.row.most)).standing(self.row.standing)
    }
}

/// Every fault of a list of wordings: one for each text, the first that fits.
pub(crate) fn faults<'w>(
    case: &Case<'_>,
    rows: &'static [Wording],
    texts: &'w [Said],
) -> impl Iterator<Item = Fault<'w>> {
    let held: Vec<&'static Wording> = rows.iter().filter(|row| is_held(case, row)).collect();
    texts.iter().filter_map(move |said| {
        let fault =
            |row: &&'static Wording| Some(Fault { said, phrase: first(&said.words, row.phrases)?, row });
        held.iter().find_map(fault)
    })
}

/// Whether a row counts in a market of the formula, and no test settles it.
pub(crate) fn is_held(case: &Case<'_>, row: &Wording) -> bool {
    let markets = &case.formula.header.markets;
    let here = row.markets.is_empty() || markets.iter().any(|market| row.markets.contains(&market.as_str()));
    here && !case.formula.tested(row.settled)
}

/// How loud a word is: an error for sale, one level lower where nothing is said of it, a note for own use, gifts and
/// teaching. A name need not stand on the jar: at most a warning.
pub(crate) fn level(case: &Case<'_>, said: &Said, most: Level) -> Level {
    let level = match case.formula.header.occasion {
        Occasion::Sale => Level::Error,
        Occasion::Unsaid => Level::Warning,
        Occasion::Private => Level::Note,
    };
    let level = if said.place == Place::Claim { level } else { level.min(Level::Warning) };
    level.min(most)
}

/// Offers to take a claim out: the whole line, or its word with a comma.
pub(crate) fn without<'a>(case: &Case<'_>, said: &Said, adding: Adding<'a>) -> Adding<'a> {
    match out_of_its_line(case, said) {
        Some(edits) => adding.judgement_fix(format!("Take “{}” out", said.text), edits),
        None => adding,
    }
}

fn out_of_its_line(case: &Case<'_>, said: &Said) -> Option<Edits> {
    if said.place != Place::Claim || !case.is_parent() {
        return None;
    }
    let text: &str = &case.block.text;
    let holds = |line: &&notation::Line| match &line.form {
        Form::Fact(fact) if fact.word == Word::Claim => {
            fact.rest.start <= said.span.start && said.span.end <= fact.rest.end
        }
        _ => false,
    };
    let line = case.block.lines.iter().find(holds)?;
    let Form::Fact(fact) = &line.form else { return None };
    let all = list_words(text, fact.rest);
    let at = all.iter().position(|span| *span == said.span)?;
    let span = match (at.checked_sub(1).and_then(|before| all.get(before)), all.get(at + 1)) {
        (Some(before), _) => Span::new(before.end, said.span.end),
        (None, Some(next)) => Span::new(said.span.start, next.start),
        (None, None) => whole_line(text, line.span),
    };
    Some(Edits::one(span, ""))
}

/// What is put on after the sun, and words that promise nothing.
const NO_PROMISE: &[&str] = &[
    "after-sun",
    "after sun",
    "aftersun",
    "no spf",
    "spf free",
    "spf-free",
    "without spf",
    "not spf",
    "not a sunscreen",
    "no sunscreen",
    "no uva",
    "not sun care",
    "not a sun",
    "no sun protection",
];

/// Words that promise protection from the sun.
const PROMISES: &[&str] = &[
    "sunscreen",
    "sun screen",
    "sunblock",
    "sun block",
    "sun cream",
    "suncream",
    "sun lotion",
    "sun balm",
    "sun milk",
    "sun care",
    "suncare",
    "sun protection",
];

/// The word in a text that promises protection from the sun.
pub(crate) fn promises(text: &str) -> Option<String> {
    let folded = fold(text);
    if NO_PROMISE.iter().any(|phrase| folded.contains(phrase)) {
        return None;
    }
    let word = |word: &&str| {
        let bare = word.trim_end_matches(|c: char| c.is_ascii_digit() || c == '+');
        bare == "spf" || bare == "uva"
    };
    let short = folded.split(|c: char| !c.is_alphanumeric() && c != '+').find(word).map(str::to_uppercase);
    short.or_else(|| {
        PROMISES.iter().find(|phrase| folded.contains(**phrase)).map(|phrase| (*phrase).to_owned())
    })
}

/// Every place that promises protection from the sun, with its word: claims, names, then the product line.
pub(crate) fn sun_promises(case: &Case<'_>) -> Vec<(Span, String)> {
    let mut places: Vec<(Span, String)> =
        said(case).iter().filter_map(|said| promises(&said.text).map(|word| (said.span, word))).collect();
    let product = &case.formula.header.product;
    if let Some(span) = product.span.filter(|_| product.is("sun care") == Fit::Yes) {
        places.push((span, "sun care".to_owned()));
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(text: &str, phrases: &[&'static str]) -> bool {
        first(&tokens(text), phrases).is_some()
    }

    #[test]
    fn whole_words_that_are_not_denied() {
        assert!(found("Heals eczema", &["eczema"]));
        assert!(found("HEALING-balm", &["healing"]));
        assert!(!found("Heel balm", &["heal", "heals"]));
        assert!(!found("Balm for eczema-prone skin", &["eczema"]));
        assert!(!found("does not treat eczema", &["eczema"]));
        assert!(!found("not for use on wounds", &["wounds"]));
        assert!(found("no more eczema", &["eczema"]));
    }

    #[test]
    fn ways_to_say_free() {
        for text in ["paraben-free", "Free from paraben", "no paraben", "without paraben", "0 % paraben"] {
            assert!(says_free(&tokens(text), "paraben"), "{text}");
        }
        assert!(!says_free(&tokens("not free of paraben"), "paraben"));
        assert!(!says_free(&tokens("free-range eggs"), "eggs"));
    }
}
