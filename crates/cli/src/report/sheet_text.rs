//! A worked-out formula for the bench.

use super::cost::Cost;
use super::table::{Stand, columns_of};
use super::worked::{Allergen, Sum, Worked, grams};
use crate::look::{Ink, Look, columns, harmless};
use desk::reckon::{self, Filled, Preserving};
use desk::{Exact, Item, Written};
use std::fmt::Write;

/// For what is not known.
const UNKNOWN: &str = "—";

/// The formulas one under the other. Grams are rounded to `step`, the smallest that the scales show.
pub(crate) fn text(formulas: &[Worked<'_>], step: &Exact, look: Look) -> String {
    let sheets: Vec<String> = formulas.iter().map(|worked| sheet(worked, step, look)).collect();
    sheets.join("\n")
}

fn sheet(worked: &Worked<'_>, step: &Exact, look: Look) -> String {
    let mut out = heading(worked, look);
    out.push_str(&weighing(worked, step, look));
    out.push_str(&facts(worked, step, look));
    out
}

fn heading(worked: &Worked<'_>, look: Look) -> String {
    let formula = worked.formula;
    let mut title = formula.name.clone();
    if let Some((version, _)) = &formula.header.version {
        let _ = write!(title, ", version {version}");
    }
    if let Some((variant, _)) = &formula.variant {
        let _ = write!(title, ", variant {variant}");
    }
    let mut under: Vec<String> = Vec::new();
    if !formula.header.product.words.is_empty() {
        under.push(formula.header.product.words.join(", "));
    }
    if let Some(batch) = &worked.batch {
        under.push(format!("batch {} g", batch.text()));
    }
    let mut out = format!("{}\n", look.paint(Ink::Strong, &harmless(&title)));
    if !under.is_empty() {
        let _ = writeln!(out, "{}", under.join(" · "));
    }
    out.push('\n');
    out
}

/// A row of the table, and whether it is a heading or a sum.
type Row = (Vec<String>, Option<Ink>);

fn weighing(worked: &Worked<'_>, step: &Exact, look: Look) -> String {
    let mut rows: Vec<Row> = vec![(row(["", "written", "%", "g"]), Some(Ink::Aside))];
    for phase in &worked.phases {
        if let Some(label) = phase.label {
            let kind = phase.kind.unwrap_or("");
            let title = [label, kind, phase.heading]
                .iter()
                .filter(|word| !word.is_empty())
                .copied()
                .collect::<Vec<_>>();
            let sum = phase.sum.whole();
            rows.push((amounts(&harmless(&title.join(" ")), "", sum, worked, step), Some(Ink::Label)));
        }
        let indent = if phase.label.is_some() { "  " } else { "" };
        for item in &phase.lines {
            let name = format!("{indent}{}", harmless(&name(item)));
            let written = harmless(&item.amount_text);
            let cells = if as_needed(item) {
                // How much it takes shows at the bench.
                row([&name, &written, "", ""])
            } else {
                amounts(&name, &written, item.mid(), worked, step)
            };
            rows.push((cells, None));
        }
    }
    let total = if worked.total.open.is_empty() { "total" } else { "total of what is known" };
    rows.push((amounts(total, "", Some(&worked.total.known), worked, step), Some(Ink::Strong)));
    let known = worked.batch.is_some();
    let stands = [Stand::Left, Stand::Right, Stand::Point, Stand::Point];
    let stands = if known { &stands[..] } else { stands.get(..3).unwrap_or(&[]) };
    let cells: Vec<Vec<String>> = rows.iter().map(|(cells, _)| cells.clone()).collect();
    let mut out = String::new();
    for (line, (_, ink)) in columns_of(&cells, stands).iter().zip(&rows) {
        out.push_str(&ink.map_or_else(|| line.clone(), |ink| look.paint(ink, line)));
        out.push('\n');
    }
    out
}

fn row(cells: [&str; 4]) -> Vec<String> {
    cells.iter().map(|cell| (*cell).to_owned()).collect()
}

fn name(item: &Item) -> String {
    match &item.strength {
        Some(strength) => format!("{} {} %", item.name, strength.percent()),
        None => item.name.clone(),
    }
}

/// Whether nobody says how much of it is needed.
fn as_needed(item: &Item) -> bool {
    item.written == Written::AsNeeded && item.mid().is_none_or(Exact::is_zero)
}

fn amounts(
    name: &str,
    written: &str,
    share: Option<&Exact>,
    worked: &Worked<'_>,
    step: &Exact,
) -> Vec<String> {
    let percent = share.map_or_else(|| UNKNOWN.to_owned(), |share| share.percent().text());
    let grams = grams(share, worked.batch.as_ref());
    let grams = grams.map_or_else(|| UNKNOWN.to_owned(), |grams| weighed(&grams, step));
    row([name, written, &percent, &grams])
}

/// Grams as the scales would show them.
fn weighed(grams: &Exact, step: &Exact) -> String {
    let steps = grams.over(step).map(|steps| steps.shown(0)).and_then(|steps| {
        let (sign, digits) = steps.strip_prefix('-').map_or(("", steps.as_str()), |digits| ("-", digits));
        Exact::read(digits).map(|steps| (sign, steps))
    });
    let Some((sign, steps)) = steps else { return grams.text() };
    if steps.is_zero() && !grams.is_zero() {
        return format!("<{}", step.data());
    }
    let places = step.data().split_once('.').map_or(0, |(_, decimals)| decimals.len());
    let text = (steps * step).data();
    let (whole, decimals) = text.split_once('.').unwrap_or((&text, ""));
    if places == 0 { format!("{sign}{whole}") } else { format!("{sign}{whole}.{decimals:0<places$}") }
}

/// What follows from the table: label and words.
fn facts(worked: &Worked<'_>, step: &Exact, look: Look) -> String {
    let mut facts: Vec<(&str, String)> = Vec::new();
    if let Some(balance) = &worked.balance {
        let share = balance
            .share
            .as_ref()
            .map_or_else(|| UNKNOWN.to_owned(), |share| format!("{} %", share.percent()));
        facts.push(("takes the rest", format!("{} {share}", balance.name)));
    }
    facts.push(("free water", partly(&worked.water)));
    facts.push(("oils", partly(&worked.oils)));
    facts.extend(worked.hlb.as_ref().map(|own| ("HLB", hlb(own))));
    facts.extend(worked.preservation.iter().map(|own| ("preservation", preservative(own))));
    facts.extend(allergens(&worked.allergens).into_iter().map(|words| ("allergens", words)));
    facts.push((
        "INCI, descending",
        match &worked.ingredients {
            Ok(list) => list.join(", "),
            Err(open) if open.is_empty() => UNKNOWN.to_owned(),
            Err(open) => format!("{UNKNOWN} (not known of {})", open.join(", ")),
        },
    ));
    facts.extend(worked.packs.iter().map(|own| ("packs", pack(own, worked, step))));
    if let Some(own) = &worked.cost {
        facts.extend(cost(own).into_iter().map(|words| ("cost", words)));
    }
    if !worked.total.open.is_empty() {
        facts.push(("no weight known", worked.total.open.join(", ")));
    }
    if worked.batch.is_none() {
        facts.push(("batch", "not said; `--batch 500g` works out the grams".to_owned()));
    } else if let Some(off) = rounded_off(worked, step) {
        facts.push(("rounding", off));
    }
    let widest = facts.iter().map(|(label, _)| columns(label)).max().unwrap_or(0);
    let mut out = "\n".to_owned();
    let mut last = "";
    for (label, words) in &facts {
        for (at, line) in look.wrap(&harmless(words), widest + 2).iter().enumerate() {
            let said = if at == 0 && *label != last { *label } else { "" };
            let _ = writeln!(out, "{}  {line}", look.paint(Ink::Label, &format!("{said:widest$}")));
        }
        last = label;
    }
    out
}

/// `12 %`, `at least 12 %; not known of …`
fn partly(sum: &Sum) -> String {
    match sum.whole() {
        Some(share) => format!("{} %", share.percent()),
        None => {
            format!("{UNKNOWN} (at least {} %; not known of {})", sum.known.percent(), sum.open.join(", "))
        }
    }
}

/// `oils need about 7.4 (4 of 5 known), emulsifiers give 8.1`
fn hlb(own: &reckon::Hlb) -> String {
    let known = match own.unknown().as_slice() {
        [] => String::new(),
        open => format!(" ({} of {} known; not {})", own.known(), own.oils.len(), open.join(", ")),
    };
    let shown = |value: Option<&Exact>| value.map_or_else(|| UNKNOWN.to_owned(), |value| value.shown(1));
    let kind = own.kind.word();
    format!(
        "oils need about {} for {kind}{known}, emulsifiers give {}",
        shown(own.required.as_ref()),
        shown(own.supplied.as_ref())
    )
}

/// One for each with a known share, then one for all others of the same lines.
fn allergens(all: &[Allergen<'_>]) -> Vec<String> {
    let mut words = Vec::new();
    let mut open: Vec<(String, Vec<&str>)> = Vec::new();
    for own in all {
        let from = own.from.join(", ");
        match (&own.share, open.iter_mut().find(|(other, _)| *other == from)) {
            (Some(share), _) => words.push(format!("{} {} %, from {from}", own.name, share.percent())),
            (None, Some((_, names))) => names.push(own.name),
            (None, None) => open.push((from, vec![own.name])),
        }
    }
    words
        .extend(open.into_iter().map(|(from, names)| format!("{UNKNOWN} {}, from {from}", names.join(", "))));
    words
}

fn preservative(own: &Preserving) -> String {
    let share =
        own.share.as_ref().map_or_else(|| UNKNOWN.to_owned(), |share| format!("{} %", share.percent()));
    let mut words = format!("{} {share}", own.name);
    if let Some((acid, share)) = own.acid.as_ref().filter(|(acid, _)| *acid != own.name) {
        let _ = write!(words, ", as {acid} {} %", share.percent());
    }
    if let Some((percent, ph)) = &own.undissociated {
        let _ = write!(words, ", {percent} % of the acid undissociated at pH {ph}");
    }
    words
}

/// `12 × 50 mL jar at 48 g; 24 g left, 3 % loss taken off`
fn pack(own: &Filled<'_>, worked: &Worked<'_>, step: &Exact) -> String {
    let size = own.pack.millilitres.as_ref().map(|size| format!("{} mL ", size.text())).unwrap_or_default();
    let name = format!("{size}{}", own.pack.kind);
    match (&own.full, &own.each) {
        (Some((filled, left)), Some(each)) => {
            let left = if left.is_zero() {
                "nothing is left".to_owned()
            } else {
                format!("{} g left", weighed(left, step))
            };
            let lost = worked.loss.as_ref().map(|loss| format!(", {} % loss taken off", loss.percent()));
            format!("{filled} × {name} at {} g; {left}{}", each.text(), lost.unwrap_or_default())
        }
        (None, Some(each)) => format!("{name} at {} g", each.text()),
        (_, None) if worked.batch.is_some() => {
            format!("{UNKNOWN} {name} (neither `net` on its line nor the product's `density` is said)")
        }
        (_, None) => format!("{UNKNOWN} {name}"),
    }
}

fn cost(own: &Cost<'_>) -> Vec<String> {
    let money = |money: &Exact| format!("{} {}", desk::facts::coins(money), own.currency);
    let mut words = Vec::new();
    let partly = if own.open.is_empty() {
        String::new()
    } else {
        format!(" (at least: {} of {} have a price, not {})", own.priced, own.of, own.open.join(", "))
    };
    if let Some(batch) = &own.batch {
        words.push(format!("{} the ingredients of the batch{partly}", money(batch)));
    }
    if let Some(pack) = &own.per_pack {
        words.push(format!("{} one pack with its ingredients{partly}", money(pack)));
    }
    words
}

/// By how much the weights on the scales miss the batch.
fn rounded_off(worked: &Worked<'_>, step: &Exact) -> Option<String> {
    let batch = worked.batch.as_ref()?;
    let whole = worked.total.whole()? * batch;
    let shown = worked.formula.items.iter().filter_map(|item| grams(item.mid(), Some(batch)));
    let shown: Exact = shown.filter_map(|grams| Exact::read(&weighed(&grams, step))).sum();
    let off = &shown - &whole;
    (!off.is_zero()).then(|| format!("as the scales show them, the lines come to {} g", shown.text()))
}
