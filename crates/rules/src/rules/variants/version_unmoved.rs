use crate::amounts::grams;
use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::records::{bench, is_off, is_younger};
use formula::{Exact, Formula, Found, Item, Known, Record, Weighed};
use notation::{Edits, fold};

rule! {
    /// The sheet has changed since a batch of the same version was made.
    ///
    /// ## Why
    /// Two mixtures under one version cannot be told apart: which of them was tested, which of them came back with a
    /// complaint, nobody can say.
    ///
    /// An older state of a sheet is not kept in its file. What can be seen is a record of this very version that
    /// weighed something which the sheet does not hold, or that is older than the sheet's date and weighed other
    /// amounts. A change that no record shows stays unseen.
    /// ## Fires
    /// ```formula
    /// formula Gorse balm
    /// version 3
    /// product balm, body
    ///    80     %     jojoba oil
    ///    20     %     beeswax
    ///
    /// record 26-044
    /// of Gorse balm version 3
    /// batch 500 g
    /// weighed 350 g jojoba oil
    /// weighed 50 g shea butter
    /// weighed 100 g beeswax
    /// ```
    /// The amounts are others, and the sheet is younger than the batch:
    /// ```formula
    /// formula Gorse balm
    /// version 3
    /// dated 2026-06-08
    /// product balm, body
    ///    80     %     jojoba oil
    ///    20     %     beeswax
    ///
    /// record 26-012
    /// of Gorse balm version 3
    /// date 2026-02-17
    /// batch 500 g
    /// weighed 375 g jojoba oil
    /// weighed 125 g beeswax
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Gorse balm
    /// version 4
    /// dated 2026-06-08
    /// product balm, body
    ///    80     %     jojoba oil
    ///    20     %     beeswax
    ///
    /// record 26-012
    /// of Gorse balm version 3
    /// date 2026-02-17
    /// batch 500 g
    /// weighed 375 g jojoba oil
    /// weighed 125 g shea butter
    ///
    /// record 26-044
    /// of Gorse balm version 4
    /// date 2026-06-10
    /// batch 500 g
    /// weighed 400 g jojoba oil
    /// weighed 100 g beeswax
    /// ```
    /// Something else was taken at the bench, and the record says so:
    /// ```formula
    /// formula Gorse balm
    /// version 3
    /// product balm, body
    ///    80     %     jojoba oil
    ///    20     %     beeswax
    ///
    /// record 26-044
    /// of Gorse balm version 3
    /// batch 500 g
    /// weighed 400 g high-oleic sunflower oil
    /// weighed 100 g beeswax
    /// deviation high-oleic sunflower oil for jojoba oil, which was sold out
    /// ```
    /// ## Fix
    /// Writes the next version. It needs a look: the batch may have been made otherwise than the sheet says.
    name: "version-unmoved",
    group: Variants,
    level: Note,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    let Some((version, span)) = &formula.header.version else { return };
    let of_it = formula.records.iter().filter(|record| record.is_of(formula));
    let Some((record, why)) = of_it.into_iter().find_map(|record| {
        let why = foreign(formula, record, case.known).or_else(|| moved(formula, record, case.known))?;
        Some((record, why))
    }) else {
        return;
    };
    let message = format!("batch {} is of version {version} too, and {why}", record.number);
    let adding = out.add(*span, message).help(
        "When the lines of a sheet change, its version moves. If the batch was made otherwise than the \
         sheet says, write a `deviation` line into its record.",
    );
    if let Ok(number) = version.trim().parse::<u32>() {
        let next = number.saturating_add(1).to_string();
        let _ = adding.judgement_fix(format!("Write `version {next}`"), Edits::one(*span, next));
    }
}

/// Something was weighed that the sheet does not hold.
fn foreign(formula: &Formula, record: &Record, known: &dyn Known) -> Option<String> {
    // What is unknown, or left to choice, could be it under another name.
    if formula.unfinished
        || formula.broken
        || !formula.items.iter().all(|item| item.is_known() && !item.open_slot)
    {
        return None;
    }
    let foreign = |weighed: &&Weighed| {
        let Found::Known(material) = known.find(&weighed.name) else { return false };
        let plain = material.ambiguous.is_empty() && material.water_share() != Some(Exact::one());
        plain
            && !record.explains(&weighed.name)
            && !formula.items.iter().any(|item| holds(item, weighed, known))
    };
    let weighed = record.weighed.iter().find(foreign)?;
    Some(format!("{} of {} went into it, which this sheet does not hold", weighed.written, weighed.name))
}

/// Whether a line is what was weighed, or is made with it.
fn holds(item: &Item, weighed: &Weighed, known: &dyn Known) -> bool {
    let inside = |premix: &Formula| premix.items.iter().any(|item| holds(item, weighed, known));
    let key = weighed.key(known);
    weighed.may_be(item, known)
        || item.premix.as_deref().is_some_and(inside)
        || item.blend.iter().any(|(name, own)| {
            fold(name) == fold(&weighed.name) || own.as_ref().is_some_and(|own| own.key() == key)
        })
}

/// The sheet is younger than the batch, and other amounts were weighed.
fn moved(formula: &Formula, record: &Record, known: &dyn Known) -> Option<String> {
    if !is_younger(formula, record) {
        return None;
    }
    let (dated, _) = formula.header.dated?;
    let (batch, _) = record.batch.as_ref()?;
    let plan = bench(formula, record, known)?;
    let planned = plan.iter().find(|planned| is_off(planned, record, known))?;
    let share = planned.weighed.over(batch)?;
    let now = planned.planned.mid.over(batch)?;
    Some(format!(
        "{} of {} went into it, {} %, where this sheet, dated {dated}, has {} %",
        grams(&planned.weighed),
        planned.item.name,
        share.percent().shown(1),
        now.percent().text()
    ))
}
