use crate::Level;
use crate::card::rule;
use crate::case::{Case, Made};
use crate::findings::Findings;
use formula::{Found, Item, Known, Lot, Material, Record, Verdict};
use notation::{Date, fold};
use std::sync::Arc;

rule! {
    /// A lot was used after it had expired, or the only lot on the shelf has.
    ///
    /// ## Why
    /// Old oil takes the whole batch with it, and an old preservative may no longer be what its certificate says.
    /// ## Fires
    /// ```formula
    /// record 26-044
    /// of Gorse balm version 3
    /// date 2026-09-01
    /// weighed 400 g jojoba oil; lot JO-12
    ///
    /// ingredient jojoba oil
    /// lot JO-12; 1 kg; expires 2026-06-30
    /// ```
    /// The product is made, and all that stands on the shelf has run out since:
    /// ```formula
    /// formula Gorse balm
    /// version 3
    /// product balm, body
    ///    80     %     jojoba oil
    ///    20     %     beeswax
    ///
    /// record 26-012
    /// of Gorse balm version 3
    /// date 2026-02-17
    ///
    /// ingredient jojoba oil
    /// lot JO-12; 1 kg; expires 2026-06-30
    /// ```
    /// ## Quiet
    /// Made in time, and a newer lot on the shelf:
    /// ```formula
    /// formula Gorse balm
    /// version 3
    /// product balm, body
    ///    80     %     jojoba oil
    ///    20     %     beeswax
    ///
    /// record 26-012
    /// of Gorse balm version 3
    /// date 2026-02-17
    /// weighed 400 g jojoba oil; lot JO-12
    ///
    /// ingredient jojoba oil
    /// lot JO-12; 1 kg; expires 2026-06-30
    /// lot JO-15; 1 kg; expires 2027-09
    /// ```
    /// An old lot that nobody uses, and a month that is not over:
    /// ```formula
    /// formula Gorse balm
    /// product balm, body
    ///    80     %     jojoba oil
    ///    20     %     beeswax
    ///
    /// record 26-044
    /// of Heath balm version 1
    /// date 2026-09-14
    /// weighed 100 g beeswax; lot BW-8
    ///
    /// ingredient jojoba oil
    /// lot JO-12; 1 kg; expires 2026-06-30
    ///
    /// ingredient beeswax
    /// lot BW-8; 2 kg; expires 2026-09
    /// ```
    /// ## Fix
    /// None: the lot has to be looked at.
    name: "lot-expired",
    group: Variants,
    level: Warning,
    since: "0.1.0",
    fixes: None,
    check: FormulaAndRecord(check, check_record)
}

fn check_record(made: &Made<'_>, out: &mut Findings<'_>) {
    let record = made.record;
    let Some((date, _)) = record.date.filter(|_| record.verdict != Some(Verdict::Rejected)) else { return };
    for (weighed, lot, expired) in old_lots(record, date, made.known) {
        if record.explains(&lot) {
            continue;
        }
        let name = &weighed.name;
        let _ = out
            .add(
                weighed.span,
                format!("lot {lot} of {name} expired on {expired}, before this batch of {date}"),
            )
            .help(
                "Hold the batch until the lot has been looked at; say in a `deviation` line what was \
                 decided.",
            )
            .source("the `lot` line of the ingredient")
            .subject(fold(name));
    }
}

/// The lines of a record that were weighed from a lot which had expired by a day.
fn old_lots<'r>(
    record: &'r Record,
    day: Date,
    known: &dyn Known,
) -> Vec<(&'r formula::Weighed, String, Date)> {
    let old = |weighed: &'r formula::Weighed| {
        let number = weighed.lot.as_ref()?;
        let material = material(&weighed.name, known)?;
        let lot = material.lots.iter().find(|lot| fold(&lot.number) == fold(number))?;
        Some((weighed, lot.number.clone(), lot.expires.filter(|expires| *expires < day)?))
    };
    record.weighed.iter().filter_map(old).collect()
}

fn material(name: &str, known: &dyn Known) -> Option<Arc<Material>> {
    match known.find(name) {
        Found::Known(material) => Some(material),
        Found::Unknown => None,
    }
}

/// All lots of something that is made have expired by today.
fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if formula.records.is_empty() || formula.header.status.as_deref() == Some("withdrawn") {
        return;
    }
    // A record that used an old lot speaks for itself.
    let told: Vec<String> = formula
        .records
        .iter()
        .filter_map(|record| Some(old_lots(record, record.date?.0, case.known)))
        .flatten()
        .map(|(_, lot, _)| fold(&lot))
        .collect();
    for item in &formula.items {
        let lots = lots_of(item);
        let expired: Vec<(&Lot, Date)> = lots
            .iter()
            .filter_map(|lot| Some((*lot, lot.expires.filter(|expires| *expires < case.law_day)?)))
            .collect();
        if expired.is_empty() || expired.len() < lots.len() {
            continue;
        }
        if expired.iter().any(|(lot, _)| told.contains(&fold(&lot.number))) {
            continue;
        }
        let listed: Vec<String> =
            expired.iter().map(|(lot, day)| format!("{} on {day}", lot.number)).collect();
        let message = match listed.as_slice() {
            [one] => format!("the only lot of {} on the shelf has expired: {one}", item.name),
            several => format!("all lots of {} on the shelf have expired: {}", item.name, several.join(", ")),
        };
        let _ = out
            .add(item.name_span, message)
            .level(Level::Note)
            .help(
                "Before the next batch, enter the new lot in the ingredient's block, and take the old one \
                 out.",
            )
            .source("the `lot` lines of the ingredient")
            .subject(item.key());
    }
}

/// The lots that a line can be made from: the one that it names, else all on the shelf.
fn lots_of(item: &Item) -> Vec<&Lot> {
    let Some(material) = &item.material else { return Vec::new() };
    let named = |lot: &&Lot| item.lot.as_ref().is_none_or(|number| fold(number) == fold(&lot.number));
    material.lots.iter().filter(named).collect()
}
