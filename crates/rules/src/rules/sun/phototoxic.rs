use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::law::bring_to;
use crate::{Level, words};
use formula::law::{Photosensitiser, photosensitisers};
use formula::{Exact, Item, Source, Standing};

rule! {
    /// There is more photosensitising oil than skin bears in the light.
    ///
    /// ## Why
    /// Furocoumarins of pressed citrus oils, angelica, rue and others burn skin that meets sunlight hours later:
    /// blisters and dark marks that stay for months. Each such oil has its own most; several together share one
    /// allowance.
    /// ## Fires
    /// ```formula
    /// formula Sunday balm
    /// product balm, body
    ///    20     %     beeswax
    ///    79     %     jojoba oil
    ///     1     %     cold-pressed bergamot oil
    /// ```
    /// Each within its own, together too much:
    /// ```formula
    /// formula Sunday balm
    /// product balm, body
    ///    20     %     beeswax
    ///    77.7   %     jojoba oil
    ///     0.3   %     cold-pressed bergamot oil
    ///     2     %     grapefruit oil
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Sunday balm
    /// product balm, body
    ///    20     %     beeswax
    ///    78.8   %     jojoba oil
    ///     0.2   %     cold-pressed bergamot oil
    ///     1     %     cold-pressed lemon oil
    /// ```
    /// Worn at night:
    /// ```formula
    /// formula Evening balm
    /// product balm, body, night
    ///    20     %     beeswax
    ///    79     %     jojoba oil
    ///     1     %     cold-pressed bergamot oil
    /// ```
    /// Rinsed off:
    /// ```formula
    /// formula Bath oil
    /// product bath oil
    ///    98     %     jojoba oil
    ///     1     %     polysorbate 80
    ///     1     %     cold-pressed bergamot oil
    /// ```
    /// Without furocoumarins:
    /// ```formula
    /// formula Sunday balm
    /// product balm, body
    ///    20     %     beeswax
    ///    78     %     jojoba oil
    ///     1     %     bergamot FCF oil
    ///     1     %     sweet orange oil
    /// ```
    /// ## Fix
    /// Lowers a single oil to its most, where its line is in percent and another makes up the total. A matter of
    /// judgement: a distilled or furocoumarin-free oil may be the better answer.
    /// ## Sources
    /// - the IFRA Standards on single oils and their rule of summing (parts of each oil's own most may add up to
    ///   1), and R. Tisserand and R. Young, Essential Oil Safety, 2nd ed. 2014, as quoted; two documents that agree
    name: "phototoxic",
    group: Sun,
    level: Error,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

/// Skin that sees no light.
const COVERED: &[&str] = &["underarm", "nappy area", "scalp", "hair", "intimate area"];

/// One photosensitising line with its part of what is allowed.
struct Part<'a> {
    item: &'a Item,
    one: Photosensitiser,
    limit: Exact,
    most: Exact,
    least: Exact,
    source: Source,
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    let product = &formula.header.product;
    let usage = product.usage();
    let areas = product.areas();
    let covered = !areas.is_empty() && areas.iter().all(|area| COVERED.contains(area));
    if formula.is_premix() || matches!(usage, Some("rinse-off" | "bath")) || product.says("night") || covered
    {
        return;
    }
    let parts: Vec<Part<'_>> =
        photosensitisers(formula).into_iter().filter_map(|one| part(case, one)).collect();
    let (alone, together): (Vec<Part<'_>>, Vec<Part<'_>>) =
        parts.into_iter().partition(|part| part.one.outside_sum);
    for part in alone {
        told(case, out, usage.is_some(), vec![part]);
    }
    told(case, out, usage.is_some(), together);
}

fn part<'a>(case: &'a Case<'_>, one: Photosensitiser) -> Option<Part<'a>> {
    let item = case.formula.items.get(one.item)?;
    let limit = one.limit.clone()?;
    let share = one.share.as_ref()?;
    let ranged = item.is_range || item.conversion.is_some();
    let (most, least) = if ranged { (&share.high, &share.low) } else { (&share.mid, &share.mid) };
    let source = one.material.phototoxic.as_ref()?.source.clone();
    Some(Part { item, limit, most: most.clone(), least: least.clone(), source, one })
}

/// Of the parts' own mosts, added up.
fn sum<'p, 'a: 'p>(parts: impl Iterator<Item = &'p Part<'a>>, amount: impl Fn(&Part<'a>) -> Exact) -> Exact {
    parts.filter_map(|part| amount(part).over(&part.limit)).sum()
}

/// Read at the source, or quoted alike by two documents.
fn is_firm(part: &Part<'_>) -> bool {
    part.source.standing == Standing::Read
        || (part.source.standing == Standing::SecondHand && part.source.text.contains(" and "))
}

fn told(case: &Case<'_>, out: &mut Findings<'_>, declared: bool, mut parts: Vec<Part<'_>>) {
    let total = sum(parts.iter(), |part| part.most.clone());
    if total <= Exact::one() {
        return;
    }
    parts.sort_by_key(|part| std::cmp::Reverse(part.most.over(&part.limit)));
    let Some(first) = parts.first() else { return };
    let shown = |part: &Part<'_>| {
        let estimated = part.item.conversion.is_some() || part.item.is_range;
        let up_to = if estimated { "up to " } else { "" };
        let inside = if part.item.key() == part.one.material.key() {
            String::new()
        } else {
            format!(" in {}", part.item.name)
        };
        format!("{up_to}{} {}{inside}", words::percent(&part.most), part.one.material.name)
    };
    let message = if parts.len() == 1 {
        format!(
            "{} is more than the {} that skin in the light bears",
            shown(first),
            words::percent(&first.limit)
        )
    } else {
        let each: Vec<String> = parts
            .iter()
            .map(|part| format!("{} (of at most {})", shown(part), words::percent(&part.limit)))
            .collect();
        format!("{}: together {} times what skin in the light bears", words::list(&each), total.shown(2))
    };
    // Firm only where the figures of two documents, and the least that the amounts can be, say so.
    let firm = sum(parts.iter().filter(|part| is_firm(part)), |part| part.most.clone()) > Exact::one();
    let surely = sum(parts.iter(), |part| part.least.clone()) > Exact::one();
    let mut help = if parts.len() == 1 {
        format!(
            "At most {} of it, or take the distilled or furocoumarin-free oil.",
            words::percent(&first.limit)
        )
    } else {
        "Lower them until the parts add up to 1 at most, or take distilled or furocoumarin-free oils."
            .to_owned()
    };
    if !surely {
        help.push_str(" The amount is an estimate, and its upper end was taken: weigh it to be sure.");
    }
    let level = match (declared, surely) {
        (false, _) => {
            help.push_str(
                " Say in the product line whether it stays on the skin (`leave-on`) or is rinsed off.",
            );
            Level::Note
        }
        (true, true) => Level::Error,
        (true, false) => Level::Warning,
    };
    let mut adding = out.add(first.item.name_span, message).level(level).help(help).subject(first.item.key());
    for part in &parts {
        if !firm {
            adding = adding.standing(part.source.standing);
        }
        adding = adding.source(part.source.text.to_string());
    }
    for part in parts.iter().skip(1) {
        let ratio = part.most.over(&part.limit).unwrap_or_default();
        adding = adding.related(
            part.item.name_span,
            format!("{} takes {} of the allowance", part.item.name, ratio.shown(2)),
        );
    }
    adding = adding.lines(parts.iter().map(|part| part.item.span));
    let whole = |part: &&Part<'_>| part.item.key() == part.one.material.key();
    if let [only] = parts.as_slice()
        && declared
        && whole(&only)
    {
        let _ = bring_to(case, only.item, &only.limit, adding);
    }
}
