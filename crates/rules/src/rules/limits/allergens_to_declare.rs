use crate::card::rule;
use crate::case::Case;
use crate::changes::line_below;
use crate::findings::Findings;
use crate::labels::{entries, first_lines, is_labelled};
use formula::labels::{Due, allergens, names};
use formula::{Exact, Fit};
use notation::{Span, Word};

rule! {
    /// The list of ingredients of a product for sale has to name scent allergens that are not written down.
    ///
    /// ## Why
    /// Who is allergic to linalool cannot know that lavender oil brings it. From a small share on the law wants
    /// each of these allergens named: the oil where it is listed itself, and what is in it, summed over everything
    /// that brings it.
    /// ## Fires
    /// ```formula
    /// formula Evening oil
    /// product body oil
    /// for sale
    /// market EU
    ///   to  100     %     jojoba oil
    ///         0.2   %     geranium oil
    /// ```
    /// ## Quiet
    /// Their names are written down:
    /// ```formula
    /// formula Evening oil
    /// product body oil
    /// for sale
    /// market EU
    /// note List: Pelargonium Graveolens Flower Oil, Citronellol, Geraniol, Citral, Linalool
    ///   to  100     %     jojoba oil
    ///         0.2   %     geranium oil
    /// ```
    /// Too little of it where it is rinsed off:
    /// ```formula
    /// formula Shower oil
    /// product body wash, water-free
    /// for sale
    /// market EU
    ///   to  100     %     jojoba oil
    ///         0.01  %     geranium oil
    /// ```
    /// Nothing is sold:
    /// ```formula
    /// formula Evening oil
    /// product body oil
    /// for own use
    /// market EU
    ///   to  100     %     jojoba oil
    ///         0.2   %     geranium oil
    /// ```
    /// ## Fix
    /// Writes their names down as a `note` line.
    /// ## Sources
    /// - each finding names the entries that it stands on, and the day whose law was used
    name: "allergens-to-declare",
    group: Limits,
    level: Note,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    if !is_labelled(case) {
        return;
    }
    let written = written_down(case);
    for market in &case.formula.header.markets {
        let mut due = allergens(case.formula, market, case.law_day);
        due.retain(|due| !names(&written, &due.text));
        if !due.is_empty() {
            tell(case, market, due, out);
            return;
        }
    }
}

/// What the maker has written for the label and the reader.
fn written_down(case: &Case<'_>) -> Vec<String> {
    let notes = case.block.facts(Word::Note).map(|(_, fact)| case.at(fact.rest).to_owned());
    case.formula.header.label_words().into_iter().chain(notes).collect()
}

fn tell(case: &Case<'_>, market: &str, due: Vec<Due>, out: &mut Findings<'_>) {
    let first = due.first().and_then(|due| first_lines(case.formula, due).first().copied());
    let Some(place) = first.map(|item| item.name_span) else { return };
    let from = due.iter().filter_map(|due| due.above.clone()).min();
    let from = from.map(|from| format!(" above {} %", from.percent())).unwrap_or_default();
    let open = due.iter().any(|due| due.fit == Fit::Open);
    let unsaid = if open { "; the product line does not say whether it stays on the skin" } else { "" };
    let message = format!(
        "{market} law (as of {}) wants scent allergens{from} named in the list of ingredients: {}{unsaid}",
        case.law_day,
        shares(&due)
    );
    let texts: Vec<String> = due.iter().map(|due| due.text.clone()).collect();
    let mut adding = out
        .add(place, message)
        .help("Name them on the label; the supplier's allergen statement for the lot gives the shares.")
        .subject(texts.join(", "))
        .duty();
    for source in entries(due.iter().map(|due| &due.source)) {
        adding = adding.source(source);
    }
    let mut related: Vec<Span> = vec![place];
    for item in due.iter().flat_map(|due| first_lines(case.formula, due)) {
        if !related.contains(&item.name_span) {
            related.push(item.name_span);
            adding = adding.related(item.name_span, format!("{} brings some of them", item.name));
        }
    }
    let line = format!("note List: {}", texts.join(", "));
    let after = case.formula.header.product.span.unwrap_or(case.formula.name_span);
    let _ = adding.judgement_fix("Write their names down", line_below(&case.block.text, after, &line));
}

/// `Linalool 0.05 %, Citral 0.002 %; present, share unknown: Geraniol`
fn shares(due: &[Due]) -> String {
    let reached = |due: &&Due| due.above.as_ref().is_none_or(|above| due.amount.high > *above);
    let (sure, open): (Vec<&Due>, Vec<&Due>) = due.iter().partition(reached);
    let sure: Vec<String> = sure.into_iter().map(amount).collect();
    let open: Vec<&str> = open.into_iter().map(|due| due.text.as_str()).collect();
    match (sure.is_empty(), open.is_empty()) {
        (_, true) => sure.join(", "),
        (true, false) => format!("present, share unknown: {}", open.join(", ")),
        (false, false) => format!("{}; present, share unknown: {}", sure.join(", "), open.join(", ")),
    }
}

/// `Linalool 0.05 %`; `at least` where more comes in than is known.
fn amount(due: &Due) -> String {
    let least = if due.open { "at least " } else { "" };
    let percent: Exact = due.amount.mid.percent();
    format!("{} {least}{percent} %", due.text)
}
