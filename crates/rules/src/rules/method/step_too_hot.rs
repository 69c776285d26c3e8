use crate::Level;
use crate::card::rule;
use crate::case::Case;
use crate::changes::{line_above, only_act};
use crate::findings::Findings;
use crate::heat::{bears, level};
use crate::words;
use formula::method::Late;
use formula::{Exact, Item, Standing};
use notation::{Edits, Span};

rule! {
    /// A step brings something to more heat than it bears, although it should go in cool.
    ///
    /// ## Why
    /// The sheet keeps it out of the hot phases, and the method undoes that: it is stirred in too early, or the
    /// batch is heated again with it inside.
    /// ## Fires
    /// ```formula
    /// formula Lavender cream
    /// product cream, body
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        20     %     jojoba oil
    ///         6     %     cetearyl alcohol (and) ceteareth-20
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    ///         0.3   %     lavender oil
    /// step heat A and B to 75 °C
    /// step add B to A; homogenise 3 min
    /// step cool to 60 °C; add C
    /// ```
    /// ## Quiet
    /// A cool-down phase goes in at its own temperature, whether or not a step says so:
    /// ```formula
    /// formula Lavender cream
    /// product cream, body
    /// pH 5.0 to 5.5
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        20     %     jojoba oil
    ///         6     %     cetearyl alcohol (and) ceteareth-20
    /// phase C cool-down; below 40 °C
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    ///         0.3   %     lavender oil
    /// step heat A and B to 75 °C
    /// step add B to A; homogenise 3 min
    /// step add C
    /// ```
    /// A balm sets too early to be scented cool:
    /// ```formula
    /// formula Pine balm
    /// product balm, body
    /// phase A oil; heat to 75 °C
    ///        20     %     beeswax
    ///        79.5   %     jojoba oil
    /// phase B cool-down
    ///         0.5   %     lavender oil
    /// step melt A; cool to 60 °C; stir in B; pour
    /// step melt again at 65 °C where it has turned grainy; pour
    /// ```
    /// ## Fix
    /// Cools the batch further before the step: writes the lower temperature where one is said. A matter of
    /// judgement.
    /// ## Sources
    /// - the `not above` line of the ingredient; the finding names where it comes from and is no louder than that
    ///   allows
    name: "step-too-hot",
    group: Method,
    level: Error,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

struct Suffers<'a> {
    item: &'a Item,
    most: &'a Exact,
    words: String,
    source: String,
    level: Level,
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let mut told: Vec<Span> = Vec::new();
    for late in &case.formula.timeline.late {
        if told.contains(&late.act) {
            continue;
        }
        told.push(late.act);
        let all: Vec<Suffers<'_>> = suffering(case, late);
        let (Some(level), Some(most)) =
            (all.iter().map(|one| one.level).max(), all.iter().map(|one| one.most).min())
        else {
            continue;
        };
        let names: Vec<String> = all.iter().map(|one| one.words.clone()).collect();
        let meet = if names.len() == 1 { "meets" } else { "meet" };
        let why = if late.again { "when the batch is heated again" } else { "in this step" };
        let mut adding = out
            .add(late.act, format!("{} {meet} {} °C {why}", words::list(&names), late.celsius))
            .level(level)
            .subject(all.iter().map(|one| one.item.key()).collect::<Vec<_>>().join(", "))
            .lines(all.iter().map(|one| one.item.span));
        if !within(late.said, late.act) {
            adding = adding.related(late.said, format!("{} °C is said here", late.celsius));
        }
        for one in &all {
            adding = adding.source(one.source.clone());
        }
        adding = if late.again {
            adding.help(format!("Heat before it goes in; add it when the batch is below {most} °C."))
        } else {
            adding.help(format!("Let the batch cool below {most} °C first."))
        };
        let cool = late.item;
        let own = case.formula.items.get(cool).and_then(|item| item.phase);
        let own = own.and_then(|at| case.formula.phases.get(at)).and_then(|phase| phase.cool.as_ref());
        let target = own.map(|(celsius, _)| celsius).filter(|celsius| *celsius < most).unwrap_or(most);
        if let Some(edits) = cooled_first(case, late, target) {
            adding = adding.judgement_fix(format!("Cool to {target} °C first"), edits);
        }
        let _ = adding;
    }
}

/// What bears less than it meets in an act.
fn suffering<'a>(case: &Case<'a>, late: &Late) -> Vec<Suffers<'a>> {
    let formula = case.formula;
    let of_act = formula.timeline.late.iter().filter(|other| other.act == late.act);
    of_act
        .filter_map(|late| {
            let item = formula.items.get(late.item)?;
            let (_, most, because, source) = bears(item)?;
            // Its own phase lets it go in that warm.
            let phase = item.phase.and_then(|at| formula.phases.get(at));
            let agreed = !late.again
                && phase.and_then(|phase| phase.cool.as_ref()).is_some_and(|(cool, _)| late.celsius <= *cool);
            if late.celsius <= *most || agreed {
                return None;
            }
            let cap = match source.standing {
                Standing::Read => Level::Error,
                Standing::SecondHand | Standing::CommonPractice => Level::Warning,
                Standing::FromMemory | Standing::Default => Level::Note,
            };
            let level = level(formula, item, &late.celsius, source)?.min(cap);
            let words = format!("{} (above {most} °C {because})", item.name);
            Some(Suffers { item, most, words, source: source.text.to_string(), level })
        })
        .collect()
}

fn within(inner: Span, outer: Span) -> bool {
    outer.start <= inner.start && inner.end <= outer.end
}

/// Writes a lower temperature where a cooling step or the act itself says one; else a step that cools.
pub(super) fn cooled_first(case: &Case<'_>, late: &Late, to: &Exact) -> Option<Edits> {
    if late.again || !case.is_parent() {
        return None;
    }
    let step = case.formula.steps.get(late.step)?;
    if !within(late.said, step.span) || within(late.said, late.act) || says_cooling(case, late.said) {
        let heats = case.formula.phases.iter().filter_map(|phase| phase.heat.as_ref());
        let of_phase = heats.map(|(_, span)| *span).any(|span| span == late.said);
        if !of_phase && (within(late.said, late.act) || says_cooling(case, late.said)) {
            return Some(Edits::one(late.said, format!("{to} °C")));
        }
        return only_act(step, late.act)
            .then(|| line_above(&case.block.text, step.span, &format!("step cool below {to} °C")));
    }
    None
}

/// Whether the act that says a temperature cools to it.
fn says_cooling(case: &Case<'_>, said: Span) -> bool {
    use formula::method::{Thermal, acts};
    acts(case.formula).any(|act| {
        act.thermal == Thermal::Cools && act.celsius.as_ref().is_some_and(|(_, span)| *span == said)
    })
}
