//! What the rules of limits share: which breaches there are, and how law is told from advice.

use crate::case::Case;
use crate::changes::{in_percent, take_out, takes_up};
use crate::finding::Level;
use crate::findings::{Adding, Findings};
use crate::rules::limits::prohibited::is_outright;
use crate::words;
use formula::law::{self, Breach, Settles};
use formula::{Ceiling, Condition, Exact, Fit, Item, Occasion, Rank, Standing, Use, Written};

/// The breaches in all markets of the formula; the same limit of several markets once, for the first.
pub(crate) fn breaches<'a>(case: &Case<'a>) -> &'a [Breach] {
    case.worked_out.breaches.get_or_init(|| in_all_markets(case))
}

fn in_all_markets(case: &Case<'_>) -> Vec<Breach> {
    let mut found: Vec<Breach> = Vec::new();
    for market in &case.formula.header.markets {
        for breach in law::breaches(case.formula, market, case.law_day) {
            let told = found.iter().any(|other| {
                let same = other.substance == breach.substance && other.limit.source == breach.limit.source;
                // The sum of a group is told once, whichever of its members holds the limit.
                let sum = breach.limit.group.is_some()
                    && other.limit.group == breach.limit.group
                    && other.limit.counted_as == breach.limit.counted_as
                    && other.limit.ceiling == breach.limit.ceiling;
                (same || sum) && other.items == breach.items
            });
            if !told {
                found.push(breach);
            }
        }
    }
    found
}

/// `EU law`, `the industry code`; with a word that the market was assumed.
pub(crate) fn says(case: &Case<'_>, breach: &Breach) -> String {
    let assumed = if case.formula.header.market_assumed { "; assumed, since no market is said" } else { "" };
    match breach.limit.force.rank {
        Rank::Law => format!("{} law (as of {}{assumed})", breach.market, case.law_day),
        Rank::Code => "the industry code".to_owned(),
        Rank::Opinion => format!("a committee's opinion ({})", breach.market),
        Rank::Advice => "the advice".to_owned(),
    }
}

/// `sodium benzoate 0.6 %`, or `benzoic acid: 0.6 % in all` where lines are summed or bring it with other things.
pub(crate) fn what(case: &Case<'_>, breach: &Breach) -> String {
    let main = breach.items.first().and_then(|at| case.formula.items.get(*at));
    let amount = words::percent(&breach.amount.high);
    let is_same = |item: &Item| {
        item.key() == notation::fold(&breach.substance)
            || notation::fold(&item.name) == notation::fold(&breach.substance)
    };
    match main {
        Some(item) if breach.items.len() == 1 && is_same(item) => format!("{} {amount}", item.name),
        Some(item) if breach.items.len() == 1 => {
            format!("{} brings {amount} {}, and this", item.name, breach.substance)
        }
        _ => format!("{}: {amount} in all", breach.substance),
    }
}

/// Tells of something that is not allowed at all, or not here.
pub(crate) fn forbid(case: &Case<'_>, breach: &Breach, how: &str, out: &mut Findings<'_>) {
    let Some(main) = breach.items.first().and_then(|at| case.formula.items.get(*at)) else { return };
    let same = main.key() == notation::fold(&breach.substance)
        || notation::fold(&main.name) == notation::fold(&breach.substance);
    let name = if same { main.name.clone() } else { format!("{} (in {})", breach.substance, main.name) };
    // The conditions stand behind what they narrow: `not allowed here (leave-on) by EU law (as of …)`.
    let message =
        format!("{name} {how}{} by {}{}", conditions(breach), says(case, breach), unsettled(breach));
    let adding =
        out.add(main.name_span, message).help(way_out(case, breach)).subject(breach.substance.clone());
    let mut adding = levelled(case, breach, adding);
    if breach.limit.force.rank != Rank::Law {
        adding = adding.rank(AFTER_LAW);
    }
    let mut lines = Vec::new();
    for item in breach.items.iter().filter_map(|at| case.formula.items.get(*at)) {
        lines.push(item.span);
        if item.span != main.span {
            adding = adding.related(item.name_span, format!("{} brings {} too", item.name, breach.substance));
        }
    }
    // Where it is forbidden here and not everywhere, what takes its place has to be decided first.
    if same && is_outright(breach) {
        adding = left_out(case, breach, main, adding);
    }
    let _ = adding.lines(lines);
}

/// Place in a chain of what no law says: behind the rules of sun and light.
pub(crate) const AFTER_LAW: u8 = 25;

/// ` (leave-on, under 3 years)`: when a limit counts, and what would settle whether it does.
pub(crate) fn under(breach: &Breach) -> String {
    conditions(breach) + &unsettled(breach)
}

/// ` (leave-on, under 3 years)`: when a limit counts; empty where it always does.
fn conditions(breach: &Breach) -> String {
    let mut conditions: Vec<String> = Vec::new();
    for condition in &breach.limit.conditions {
        match condition {
            Condition::Words(words) => conditions.push(words.join(" or ")),
            Condition::NotIn(words) => conditions.push(format!("not in {}", words.join(" or "))),
            Condition::Under(years) => conditions.push(format!("under {years} years")),
            Condition::Inhalable => conditions.push("where it can be breathed in".to_owned()),
            Condition::As(function) => {
                let written = notation::FUNCTIONS.iter().find(|own| own.eq_ignore_ascii_case(function));
                conditions.push(format!("as {}", written.unwrap_or(&function.as_str())));
            }
            Condition::Grade(grade) => conditions.push(grade.clone()),
            Condition::AtPh(window) => conditions.push(format!("at pH {}", window.text())),
            Condition::AtLeast(least) => conditions.push(format!("from {} % on", least.percent())),
            Condition::Unread(_) => {}
        }
    }
    if conditions.is_empty() { String::new() } else { format!(" ({})", conditions.join(", ")) }
}

/// `; whether …`, where what is written does not decide whether a limit counts.
fn unsettled(breach: &Breach) -> String {
    match &breach.settled_by {
        Some(Settles::Product(word)) => format!(
            "; whether this product falls under it is not said (it would if the product line said: {word})"
        ),
        Some(Settles::Grade(grade)) => format!("; whether it is {} is not said", article(grade)),
        Some(Settles::Strength) => {
            "; a solution of the usual strength would keep to it, and no strength is said".to_owned()
        }
        None => String::new(),
    }
}

/// What to do: less of it, or say what the product is.
pub(crate) fn way_out(case: &Case<'_>, breach: &Breach) -> String {
    let advice = if case.formula.header.occasion == Occasion::Private {
        " For own use, gifts or teaching this is advice; for sale it is a duty."
    } else {
        ""
    };
    let first = match (&breach.limit.ceiling, &breach.settled_by) {
        (_, Some(Settles::Product(_))) => {
            "Say in the product line what it is and where it is used.".to_owned()
        }
        (_, Some(Settles::Grade(grade))) => format!(
            "See the supplier's sheet: if it is {}, write `; {grade}` behind it; if not, allow the finding \
             and name the sheet.",
            article(grade)
        ),
        (_, Some(Settles::Strength)) => {
            "Write it from the supplier's sheet, as in `; strength 50 %`.".to_owned()
        }
        (Ceiling::AtMost(ceiling), None) => most(case, breach, ceiling),
        (_, None) => "Leave it out, or choose another.".to_owned(),
    };
    format!("{first}{advice}")
}

/// `a fine powder`; other grades are adjectives.
fn article(grade: &str) -> String {
    if grade.ends_with("powder") { format!("a {grade}") } else { grade.to_owned() }
}

/// The most of the single line that would stay within the limit, in words.
fn most(case: &Case<'_>, breach: &Breach, ceiling: &Exact) -> String {
    if breach.items.len() != 1 {
        return "Use less of the lines that bring it.".to_owned();
    }
    match most_of(case, breach, ceiling) {
        Some((item, most)) => format!("At most {} % {} stays within it.", floor(&most.percent()), item.name),
        None => "Use less of it.".to_owned(),
    }
}

/// The single line that brings a substance, and the most of it, as a share, that would stay within the limit.
fn most_of<'a>(case: &'a Case<'_>, breach: &Breach, ceiling: &Exact) -> Option<(&'a Item, Exact)> {
    let [only] = breach.items.as_slice() else { return None };
    let item = case.formula.items.get(*only)?;
    let share = item.share.as_ref().map(|share| share.mid.clone()).unwrap_or_default();
    let ratio = breach.amount.high.over(&share)?;
    Some((item, ceiling.over(&ratio)?))
}

/// Offers the most of the single line that stays within the limit, where the line is written in percent.
pub(crate) fn lowered<'a>(
    case: &Case<'_>,
    breach: &Breach,
    ceiling: &Exact,
    adding: Adding<'a>,
) -> Adding<'a> {
    match most_of(case, breach, ceiling).filter(|_| breach.certain) {
        Some((item, most)) => bring_to(case, item, &most, adding),
        None => adding,
    }
}

/// Offers to lower a line to a share, rounded down.
pub(crate) fn bring_to<'a>(case: &Case<'_>, item: &Item, most: &Exact, adding: Adding<'a>) -> Adding<'a> {
    let number = floor(&most.percent());
    let share = Exact::read(&number).map(|percent| percent.hundredth());
    let had = item.mid().map(Exact::percent);
    let edits = share.filter(|_| takes_up(case)).and_then(|share| in_percent(case, item, &share));
    match edits.zip(had) {
        Some((edits, had)) => {
            adding.judgement_fix(format!("Lower {} from {had} % to {number} %", item.name), edits)
        }
        None => adding,
    }
}

/// Offers to take the line out that is what is forbidden, where another takes its place in the total.
fn left_out<'a>(case: &Case<'_>, breach: &Breach, main: &Item, adding: Adding<'a>) -> Adding<'a> {
    let alone = breach.items.len() == 1 && breach.certain && case.is_parent();
    if !alone || case.formula.totals.balances.is_empty() || main.written == Written::Balance {
        return adding;
    }
    adding.judgement_fix(format!("Take {} out", main.name), take_out(&case.block.text, main.span))
}

/// Rounded down, so that the number itself stays within the limit.
fn floor(value: &Exact) -> String {
    let mut step = Exact::fraction(1, 1000);
    while *value < &step * &Exact::whole(100) && step > Exact::fraction(1, 1_000_000_000) {
        step = step * Exact::fraction(1, 10);
    }
    let shown = value.shown(9);
    let rounded = Exact::read(&value.text()).unwrap_or_else(|| value.clone());
    if rounded <= *value {
        value.text()
    } else {
        Exact::read(&(value - &step).text()).map_or(shown, |v| v.text())
    }
}

/// The level of a breach: law breaks, a code warns, an opinion notes; quieter where the occasion, the standing of the
/// figures or an undeclared word asks for it.
pub(crate) fn levelled<'a>(case: &Case<'_>, breach: &Breach, adding: Adding<'a>) -> Adding<'a> {
    let level = match breach.limit.force.rank {
        Rank::Law => law_level(case),
        Rank::Code => Level::Warning,
        Rank::Opinion | Rank::Advice => Level::Note,
    };
    let level = if breach.certain { level.min(loudest(case, breach)) } else { level.min(Level::Note) };
    let adding = adding.level(level).standing(breach.standing).source(breach.limit.source.text.to_string());
    if breach.limit.force.rank == Rank::Law { adding.law() } else { adding }
}

/// The loudest that a breach may be said that hangs on a trace in essential oils, whose share was not read at the source:
/// from one lot to the next such a trace varies by a factor of 2 to 3.
fn loudest(case: &Case<'_>, breach: &Breach) -> Level {
    let Ceiling::AtMost(ceiling) = &breach.limit.ceiling else { return Level::Error };
    let items = || breach.items.iter().filter_map(|at| case.formula.items.get(*at));
    let brought: Exact = items().filter_map(|item| item.mid().cloned()).sum();
    let is_trace = breach.amount.high <= brought * Exact::fraction(1, 1000);
    if !is_trace || breach.shares >= Standing::Read || !items().all(|item| item.does("essential oil")) {
        Level::Error
    } else if breach.amount.high < ceiling * &Exact::whole(2) {
        Level::Note
    } else if breach.amount.high < ceiling * &Exact::whole(3) {
        Level::Warning
    } else {
        Level::Error
    }
}

/// Law for sale, and where nothing is said; one level lower for own use, gifts and teaching, unless it is for babies.
pub(crate) fn law_level(case: &Case<'_>) -> Level {
    let header = &case.formula.header;
    if header.occasion == Occasion::Private && !header.product.is_for_babies() {
        Level::Warning
    } else {
        Level::Error
    }
}

/// The workshop's own limits, and the limits of certificates on single lines.
pub(crate) fn house_and_own(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    for item in &formula.items {
        let Some((limit, span)) = &item.own_limit else { continue };
        let Some(share) = item.share.as_ref().filter(|share| share.high > *limit) else { continue };
        let message = format!(
            "{} {} % is more than the {} % that this line's own limit allows",
            item.name,
            share.high.percent(),
            limit.percent()
        );
        let adding = out
            .add(item.name_span, message)
            .level(Level::Warning)
            .help("Use less of it, or ask the supplier for a certificate for this kind of product.")
            .related(*span, "the limit stands here")
            .source("the certificate named on the line")
            .subject(item.key())
            .rank(AFTER_LAW + 1);
        let _ = bring_to(case, item, limit, adding);
    }
    for house in &case.settings().limits {
        let meant = |item: &&formula::Item| {
            let of = house.of.strip_suffix('s').unwrap_or(&house.of);
            item.does(of)
                || item.does(&house.of)
                || item.key() == house.of
                || notation::fold(&item.name) == house.of
        };
        let items: Vec<&formula::Item> = formula.items.iter().filter(meant).collect();
        let sum: Exact = items.iter().filter_map(|item| item.mid().cloned()).sum();
        let used = Use { functions: &[], said: &[], share: &sum, ph: None, grade: Fit::Open };
        let fits = house
            .conditions
            .iter()
            .all(|condition| condition.fits(&formula.header.product, used) == Fit::Yes);
        let Some(first) = items.first().filter(|_| fits && sum > house.most) else { continue };
        let message = format!(
            "{}: {} % in all is more than the {} % that the workshop allows itself",
            house.of,
            sum.percent(),
            house.most.percent()
        );
        let adding = out
            .add(first.name_span, message)
            .level(Level::Note)
            .help("Use less, or change the house limit in the workshop file.")
            .source("the `limit` line of the workshop")
            .subject(house.of.clone())
            .rank(AFTER_LAW + 2);
        if items.len() == 1 {
            let _ = bring_to(case, first, &house.most, adding);
        }
    }
}
