use crate::Level;
use crate::amounts::written;
use crate::card::rule;
use crate::case::Case;
use crate::changes::{in_percent, takes_up};
use crate::findings::Findings;
use crate::usual::{is_judged, known_use};
use formula::{Exact, Figure, Item, Standing, Window};

rule! {
    /// An amount lies outside what the ingredient is usually used at.
    ///
    /// ## Why
    /// Above its usual range an active stings, a gum turns to jelly and a powder drags; below it, an active is only a
    /// word on the label. A usual range is no limit: who has a reason may leave it.
    /// ## Fires
    /// ```formula
    /// formula Bright gel serum
    /// product gel serum, face
    ///   to  100     %     purified water
    ///        12     %     niacinamide
    /// ```
    /// Far below what does anything:
    /// ```formula
    /// formula Bright gel serum
    /// product gel serum, face
    ///   to  100     %     purified water
    ///         0.3   %     niacinamide
    /// ```
    /// ## Quiet
    /// A little outside a figure that was never measured is nothing to speak of:
    /// ```formula
    /// formula Bright gel serum
    /// product gel serum, face
    ///   to  100     %     purified water
    ///         6     %     niacinamide
    ///         0.9   %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// The usual amounts are those of what is finished, and of creams, lotions and gels:
    /// ```formula
    /// formula Bright base
    /// product premix
    ///   to  100     %     purified water
    ///        12     %     niacinamide
    /// ```
    /// ```formula
    /// formula Harbour salts
    /// product bath salts
    ///   to  100     %     sea salt
    ///        40     %     magnesium sulfate
    /// ```
    /// What makes up a third of a product is what it is made of:
    /// ```formula
    /// formula Thick glycerin gel
    /// product gel, hands
    ///   to  100     %     purified water
    ///        75     %     glycerin
    /// ```
    /// ## Fix
    /// Brings the amount to the end of the usual range, where the line is in percent and another makes up the
    /// total. A matter of judgement: the maker knows what it is for.
    /// ## Sources
    /// - the usual amounts: the source that the finding names; a figure from memory speaks only where the amount is
    ///   one and a half times of it, or a third of it
    name: "outside-usage",
    group: Limits,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    for item in formula.items.iter().filter(|item| !item.open_slot && is_judged(formula, item)) {
        let Some(material) = &item.material else { continue };
        // What makes up a third of a product is what it is made of, and what light makes harmful has a rule of its own.
        let base = item.mid().is_some_and(|share| *share > Exact::fraction(1, 3));
        if base || material.phototoxic.is_some() || material.water_share() == Some(Exact::one()) {
            continue;
        }
        if let Some((low, high, figure)) = known_use(&material.usage) {
            judge(case, item, &Window::of(low, high), figure, out);
        }
    }
}

fn judge(case: &Case<'_>, item: &Item, usual: &Window, figure: &Figure<Window>, out: &mut Findings<'_>) {
    let Some(share) = &item.share else { return };
    // What is counted of a solution is said by nobody: as it is weighed, or what is in it. Either may be meant.
    let active = item.strength.as_ref().map_or_else(|| share.low.clone(), |strength| &share.low * strength);
    // Nobody has measured where a range ends: the weaker the figure, the more it has to be left behind.
    let (slack_above, slack_below) = match figure.source.standing {
        Standing::FromMemory | Standing::Default => (Exact::fraction(3, 2), Exact::whole(3)),
        Standing::CommonPractice => (Exact::one(), Exact::whole(3)),
        Standing::SecondHand | Standing::Read => (Exact::one(), Exact::one()),
    };
    let beyond = |factor: &Exact| usual.high.as_ref().is_some_and(|high| active > high * factor);
    let short = |factor: &Exact| usual.low.as_ref().is_some_and(|low| &share.high * factor < *low);
    let above = beyond(&slack_above);
    // Less of an oil, a gum or an emulsifier is made up by another; less of an active is less of what it does.
    let below = item.does("active") && !share.high.is_zero() && short(&slack_below);
    if !above && !below {
        return;
    }
    let three = Exact::whole(3);
    let far = beyond(&three) || (figure.source.standing > Standing::CommonPractice && short(&three));
    let level = if far { Level::Warning } else { Level::Note };
    let amount = written(item);
    let amount = if amount.contains('%') { amount } else { format!("{amount} ({} %)", share.mid.percent()) };
    let more = if above { "more" } else { "less" };
    let end = if above { usual.high.clone() } else { usual.low.clone() };
    let usual = usual.scaled(&Exact::whole(100));
    let help = if above {
        "Check the amount, or keep it if it is meant: a usual range is no limit."
    } else {
        "Check the amount: so little of it may do nothing."
    };
    let adding = out
        .add(
            item.amount_span.unwrap_or(item.span),
            format!("{amount} is {more} than it is usually used at: {} %", usual.text()),
        )
        .level(level)
        .help(help)
        .founded_on(&figure.source)
        .subject(item.key())
        .lines([item.span]);
    let had = share.mid.percent();
    let end = end.filter(|_| item.strength.is_none() && takes_up(case));
    if let Some((end, edits)) = end.and_then(|end| Some((end.percent(), in_percent(case, item, &end)?))) {
        let how = if above { "Lower" } else { "Raise" };
        let title = format!("{how} {} from {had} % to {end} %, the end of what is usual", item.name);
        let _ = adding.judgement_fix(title, edits);
    }
}
