use crate::amounts::written;
use crate::card::rule;
use crate::case::Case;
use crate::changes::{in_percent, takes_up};
use crate::findings::Findings;
use crate::usual::{is_judged, known_use, may_be_little};
use formula::{Exact, Window};

rule! {
    /// An amount lies ten times outside every known use.
    ///
    /// ## Why
    /// A point in the wrong place makes 5 % of 0.5 %, or 0.03 % of 0.3 %: a gel that cannot be stirred, or an active
    /// that does nothing.
    /// ## Fires
    /// ```formula
    /// formula Harbour lotion
    /// product lotion, body
    ///   to  100     %     purified water
    ///         3     %     disodium EDTA
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Harbour base
    /// product premix
    ///   to  100     %     purified water
    ///         3     %     disodium EDTA
    /// ```
    /// Usual amounts are those of creams, lotions and gels; a bath is another matter:
    /// ```formula
    /// formula Harbour salts
    /// product bath salts
    ///   to  100     %     sea salt
    ///        40     %     magnesium sulfate
    /// ```
    /// ## Fix
    /// Moves the point by as many places as bring the amount into a known use. A matter of judgement: what was
    /// meant has to be said.
    /// ## Sources
    /// - the usual amounts: the source that the finding names
    name: "amount-implausible",
    group: Amounts,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    for item in &formula.items {
        let Some(share) = item.share.as_ref().filter(|_| is_judged(formula, item)) else { continue };
        let Some(material) = &item.material else { continue };
        let Some((low, high, figure)) = known_use(&material.usage) else { continue };
        let ten = Exact::whole(10);
        let above = high.as_ref().is_some_and(|high| share.low > high * &ten);
        let little = may_be_little(item);
        let below =
            !little && low.as_ref().is_some_and(|low| &share.high * &ten < *low) && !share.high.is_zero();
        if !above && !below {
            continue;
        }
        let used = Window::of(low, high);
        let usual = used.scaled(&Exact::whole(100));
        let percent = share.mid.percent();
        let what = written(item);
        let amount = if what.contains('%') { what } else { format!("{what} ({percent} %)") };
        let (more, slip) = if above { ("more", "too many") } else { ("less", "too few") };
        let message =
            format!("{amount} is over ten times {more} than it is ever used at: {} %", usual.text());
        let adding = out
            .add(item.amount_span.unwrap_or(item.span), message)
            .help(format!("Look for a point in the wrong place, or a zero {slip}."))
            .founded_on(&figure.source)
            .subject(item.key())
            .lines([item.span]);
        let tenth = if above { Exact::fraction(1, 10) } else { Exact::whole(10) };
        let meant =
            [&share.mid * &tenth, &share.mid * &tenth * &tenth].into_iter().find(|share| used.holds(share));
        let meant = meant.filter(|_| takes_up(case));
        if let Some((meant, edits)) =
            meant.and_then(|meant| in_percent(case, item, &meant).map(|edits| (meant, edits)))
        {
            let _ =
                adding.judgement_fix(format!("Write {} % instead of {percent} %", meant.percent()), edits);
        }
    }
}
