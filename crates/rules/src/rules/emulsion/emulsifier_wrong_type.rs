use crate::Level;
use crate::card::rule;
use crate::case::Case;
use crate::emulsions::{in_words, plain};
use crate::findings::Findings;
use crate::words;
use formula::reckon::{Emulsifier, Emulsion, EmulsionKind};
use formula::{Exact, Found};
use notation::{Edits, Form, Word, list_words};

rule! {
    /// The emulsifiers make the other kind of emulsion.
    ///
    /// ## Why
    /// An emulsifier for water in oil cannot hold a lotion that is mostly water, and one for oil in water turns a
    /// cold cream over. The emulsion parts, or comes out as the other kind: with another feel, and the preservative
    /// in the other phase.
    /// ## Fires
    /// ```formula
    /// formula Light lotion
    /// product lotion, body, O/W
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        12     %     sunflower oil
    ///         4     %     sorbitan oleate
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// The same, where only the water says what it is meant to be:
    /// ```formula
    /// formula Light lotion
    /// product lotion, body
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        12     %     sunflower oil
    ///         4     %     sorbitan oleate
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ```formula
    /// formula Harbour cold cream
    /// product cream, hands, W/O
    /// phase A oil; heat to 75 °C
    ///        40     %     sweet almond oil
    ///         8     %     beeswax
    ///         9     %     emulsifying wax NF
    /// phase B water; heat to 75 °C
    ///   to  100     %     purified water
    ///         0.7   %     magnesium sulfate
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Quiet
    /// A pair of both kinds is how oil in water is made:
    /// ```formula
    /// formula Light lotion
    /// product lotion, body, O/W
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        12     %     sunflower oil
    ///         3     %     sorbitan oleate
    ///         1.2   %     polysorbate 80
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ```formula
    /// formula Harbour cold cream
    /// product cream, hands, W/O
    /// phase A oil; heat to 75 °C
    ///        40     %     sweet almond oil
    ///         8     %     beeswax
    ///         4     %     sorbitan oleate
    /// phase B water; heat to 75 °C
    ///   to  100     %     purified water
    ///         0.7   %     magnesium sulfate
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// Much water in oil, said so:
    /// ```formula
    /// formula Water drop cream
    /// product cream, face, W/O
    /// phase A oil
    ///        16     %     squalane
    ///         3     %     polyglyceryl-2 dipolyhydroxystearate
    /// phase B water
    ///   to  100     %     purified water
    ///         1     %     magnesium sulfate
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Fix
    /// Where the product line says the type: calls it what its emulsifiers make. Whether that is what you want, you
    /// decide.
    /// ## Sources
    /// - the `function emulsifier O/W` and `W/O` lines of the emulsifiers
    /// - more than 75 % of water is near the most that water in oil holds: from memory (equal drops pack to 74 %), so
    ///   the finding is a note up to 80 %
    name: "emulsifier-wrong-type",
    group: Emulsion,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    let Some(emulsion) = plain(case) else { return };
    let Some(made) = made(emulsion) else { return };
    let Some(main) = emulsion.emulsifiers.iter().max_by(|a, b| a.share.cmp(&b.share)) else { return };
    let Some(item) = formula.items.get(main.item) else { return };
    let names: Vec<String> = emulsion.emulsifiers.iter().map(|own| own.name.clone()).collect();
    let verb = if names.len() == 1 { "makes" } else { "make" };
    let claim = format!("{} {verb} {} ({})", words::list(&names), in_words(made), made.word());
    let (message, level) = match emulsion.declared {
        Some(meant) if meant != made => (
            format!("{claim}, and the product line says {} ({})", in_words(meant), meant.word()),
            Level::Warning,
        ),
        None if made == EmulsionKind::WaterInOil && emulsion.water > Exact::fraction(75, 100) => {
            let level = if emulsion.water > Exact::fraction(80, 100) { Level::Warning } else { Level::Note };
            (format!("{claim}, and {} of this is water", words::about(&emulsion.water)), level)
        }
        _ => return,
    };
    let other = match made {
        EmulsionKind::WaterInOil => "O/W",
        EmulsionKind::OilInWater => "W/O",
    };
    let lines =
        emulsion.emulsifiers.iter().filter_map(|own| formula.items.get(own.item)).map(|item| item.span);
    // The trade sells some under one name, with and without the soap that makes them self-emulsifying.
    let with_soap = main
        .material
        .as_ref()
        .map(|material| format!("{} SE", material.name))
        .filter(|name| matches!(case.known.find(name), Found::Known(_)))
        .map(|name| format!(" If yours is self-emulsifying, write `{name}`."))
        .unwrap_or_default();
    let help = match emulsion.declared {
        Some(_) => format!("Take an emulsifier for {other}, or say {} in the product line.", made.word()),
        None => format!(
            "Add an emulsifier for O/W beside it; if {} is what you want, say so in the product line.{with_soap}",
            made.word()
        ),
    };
    let mut adding = out
        .add(item.name_span, message)
        .level(level)
        .help(help)
        .source("the emulsifiers' own functions in the catalogue")
        .subject(item.key())
        .lines(lines);
    if let Some(edits) = emulsion.declared.and_then(|meant| renamed(case, meant, made)) {
        adding = adding.judgement_fix(format!("Call it {}", made.word()), edits);
    }
    let _ = adding;
}

/// The one kind that all emulsifiers make; none where one of them makes the other or both.
fn made(emulsion: &Emulsion) -> Option<EmulsionKind> {
    let kinds: Option<Vec<EmulsionKind>> = emulsion.emulsifiers.iter().map(Emulsifier::makes).collect();
    let kinds = kinds?;
    let first = *kinds.first()?;
    kinds.iter().all(|kind| *kind == first).then_some(first)
}

/// The product line's word for the type, exchanged.
fn renamed(case: &Case<'_>, meant: EmulsionKind, made: EmulsionKind) -> Option<Edits> {
    if !case.is_parent() {
        return None;
    }
    let text: &str = &case.block.text;
    case.block.lines.iter().find_map(|line| {
        let Form::Fact(fact) = &line.form else { return None };
        let word = (fact.word == Word::Product)
            .then(|| list_words(text, fact.rest))?
            .into_iter()
            .find(|word| word.of(text).eq_ignore_ascii_case(meant.word()))?;
        Some(Edits::one(word, made.word()))
    })
}
