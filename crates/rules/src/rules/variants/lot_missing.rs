use crate::card::rule;
use crate::case::Made;
use crate::findings::Findings;
use crate::words;
use formula::{Exact, Found, Lot, Occasion, Weighed};
use notation::{Edit, Edits, Span};

rule! {
    /// A record does not say from which lot something came.
    ///
    /// ## Why
    /// When a supplier calls a lot back, the records tell which batches it went into. A line without a lot keeps the
    /// whole shelf in doubt.
    /// ## Fires
    /// ```formula
    /// record 26-044
    /// of Gorse balm version 3
    /// weighed 400.2 g jojoba oil; lot JO-12
    /// weighed 100.4 g beeswax
    /// ```
    /// What is sold needs them all:
    /// ```formula
    /// formula Gorse balm
    /// version 3
    /// product balm, body
    /// for sale
    ///    80     %     jojoba oil
    ///    20     %     beeswax
    ///
    /// record 26-044
    /// of Gorse balm version 3
    /// weighed 400.2 g jojoba oil
    /// weighed 100.4 g beeswax
    /// ```
    /// ## Quiet
    /// Water has no lot; whoever keeps none for their own kitchen is left alone:
    /// ```formula
    /// record 26-044
    /// of Gorse lotion version 3
    /// weighed 400.2 g purified water
    /// weighed 25.0 g glycerin; lot GL-31
    ///
    /// record 26-045
    /// of Gorse balm
    /// weighed 400.2 g jojoba oil
    /// weighed 100.4 g beeswax
    /// ```
    /// ## Fix
    /// Writes the lot where there is only one of each on the shelf. It needs a look: another may have been used up
    /// since.
    /// ## Sources
    /// - ISO 22716 (good manufacturing practice for cosmetics): batches of raw materials can be traced
    name: "lot-missing",
    group: Variants,
    level: Note,
    since: "0.1.0",
    fixes: Sometimes,
    check: Record(check)
}

fn check(made: &Made<'_>, out: &mut Findings<'_>) {
    let record = made.record;
    let sold = made.formula.is_some_and(|formula| formula.header.occasion == Occasion::Sale);
    if !sold && record.weighed.iter().all(|weighed| weighed.lot.is_none()) {
        return;
    }
    let water = |weighed: &Weighed| match made.known.find(&weighed.name) {
        Found::Known(material) => material.water_share() == Some(Exact::one()),
        Found::Unknown => false,
    };
    let open: Vec<&Weighed> =
        record.weighed.iter().filter(|weighed| weighed.lot.is_none() && !water(weighed)).collect();
    let Some(first) = open.first() else { return };
    let mut names: Vec<String> = open.iter().map(|weighed| weighed.name.clone()).collect();
    names.dedup();
    let mut adding = out
        .add(first.span, format!("no lot is written for {}", words::list(&names)))
        .help("Write it behind the name: `; lot NUMBER`.")
        .source("ISO 22716 (good manufacturing practice for cosmetics): raw materials are traced by batch");
    for weighed in open.iter().skip(1) {
        adding = adding.related(weighed.span, "no lot here either");
    }
    let lots: Option<Vec<(Span, String)>> =
        open.iter().map(|weighed| Some((weighed.span, only_lot(made, weighed)?.number))).collect();
    if let Some(lots) = lots {
        let title = match lots.as_slice() {
            [(_, number)] => format!("Write `lot {number}`, the only one on the shelf"),
            _ => "Write the lots of which there is only one on the shelf".to_owned(),
        };
        let edits = lots
            .into_iter()
            .map(|(span, number)| Edit { span: Span::at(span.end), text: format!("; lot {number}") });
        if let Ok(edits) = Edits::new(edits.collect()) {
            let _ = adding.judgement_fix(title, edits);
        }
    }
}

/// The one lot of an ingredient on the shelf, where it had not expired when the batch was made.
fn only_lot(made: &Made<'_>, weighed: &Weighed) -> Option<Lot> {
    let Found::Known(material) = made.known.find(&weighed.name) else { return None };
    let [only] = material.lots.as_slice() else { return None };
    let alive = match (only.expires, made.record.date) {
        (Some(expires), Some((date, _))) => date <= expires,
        _ => true,
    };
    alive.then(|| only.clone())
}
