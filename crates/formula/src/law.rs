//! Limits held against a formula: which apply, how much counts, and whether the product's words decide it.
#![deny(clippy::float_arithmetic)]

mod readings;

use crate::exact::Exact;
use crate::formula::{Formula, Item};
use crate::limit::{Ceiling, Condition, Fit, Limit, Rank, Use};
use crate::material::{Material, Standing};
use crate::substances::Substance;
use crate::window::Interval;
use notation::{Date, fold};
use std::sync::Arc;

/// A limit that a formula does not keep, under all readings of the product line or only under some.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Breach {
    /// In which market.
    pub market: String,
    /// The substance whose limit it is.
    pub substance: String,
    /// The limit.
    pub limit: Limit,
    /// How much counts, as a share of the whole.
    pub amount: Interval,
    /// What it is counted as, where that is not the substance itself.
    pub counted_as: Option<String>,
    /// The lines that bring it, those that bring most first.
    pub items: Vec<usize>,
    /// Whether it is broken under every reading of what is not declared.
    pub certain: bool,
    /// What would settle it, where it is not certain.
    pub settled_by: Option<Settles>,
    /// The weakest standing that the breach hangs on.
    pub standing: Standing,
    /// The weakest standing of the shares by which the substance comes in.
    pub shares: Standing,
}

/// What a formula would have to say so that a limit is broken, or kept, for certain.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Settles {
    /// A word of the product line.
    Product(String),
    /// This grade on the ingredient's line.
    Grade(String),
    /// The strength of what is sold as a solution: as one of the usual strength it would keep to the limit.
    Strength,
}

/// The breaches of one market on one day: at most one a substance, rank, basis and group.
pub fn breaches(formula: &Formula, market: &str, day: Date) -> Vec<Breach> {
    let mut found = Vec::new();
    for substance in &formula.substances {
        let Some(material) = &substance.material else { continue };
        // The catalogue's and the maker's own lines are held apart: theirs can only tighten.
        for own in [false, true] {
            let mut limits: Vec<&Limit> = material
                .limits
                .iter()
                .filter(|limit| limit.source.own == own && limit.in_force(market, day))
                .collect();
            while let Some(first) = limits.first().copied() {
                let like = |limit: &&Limit| {
                    limit.force.rank == first.force.rank
                        && limit.counted_as == first.counted_as
                        && limit.group == first.group
                };
                let family: Vec<&Limit> = limits.iter().copied().filter(like).collect();
                limits.retain(|limit| !like(limit));
                found.extend(family_breach(formula, market, substance, material, &family));
            }
        }
    }
    found
}

/// What of a substance counts for a limit: how much, and which lines bring it.
struct Counted {
    amount: Interval,
    /// The least of it where a line says no strength of what is sold as a solution.
    as_sold: Exact,
    items: Vec<usize>,
    standing: Standing,
    functions: Vec<String>,
    said: Vec<String>,
    grades: Vec<String>,
    present: bool,
}

/// Whether a substance preserves where it comes in: by what the line says, else by its first function or by that of
/// the blend that brings it. Salicylic acid that exfoliates is no preservative, whatever else it could do.
fn preserves(formula: &Formula, substance: &Substance, via: &crate::substances::Via) -> bool {
    let is = |function: &String| crate::material::function_fits(function, "preservative");
    let item = formula.items.get(via.item);
    let said = item.map_or(&[][..], |item| item.declared.as_slice());
    let direct =
        item.and_then(|item| item.material.as_ref()).is_some_and(|own| own.key() == via.origin.key());
    if direct && !said.is_empty() {
        return said.iter().any(is);
    }
    let main = substance.material.as_ref().is_some_and(|material| crate::preservation::is_main(material));
    via.functions.iter().any(is) && (main || via.functions.first().is_some_and(is))
}

/// Whether a limit speaks of use as a preservative only.
fn is_for_preserving(limit: &Limit) -> bool {
    let preserving = |condition: &Condition| matches!(condition, Condition::As(function) if fold(function) == "preservative");
    limit.conditions.iter().any(preserving)
}

fn counted(formula: &Formula, substance: &Substance, limit: &Limit, preserving: bool) -> Counted {
    let basis = limit.counted_as.as_deref().map(fold);
    let mut out = Counted {
        amount: Interval::zero(),
        as_sold: Exact::zero(),
        items: Vec::new(),
        standing: Standing::Read,
        functions: Vec::new(),
        said: Vec::new(),
        grades: Vec::new(),
        present: false,
    };
    let mut add = |whole: &Substance, via: &crate::substances::Via| {
        if preserving && !preserves(formula, whole, via) {
            return;
        }
        let item = formula.items.get(via.item);
        if let Some(share) = &via.share {
            out.amount = out.amount.plus(share);
            let direct =
                |item: &&Item| item.material.as_ref().is_some_and(|own| own.key() == via.origin.key());
            let strength = item.filter(direct).and_then(Item::strength_when_unsaid);
            let sold = &share.mid * &strength.unwrap_or_else(Exact::one);
            out.as_sold = &out.as_sold + &sold;
        }
        if let Some(source) = &via.source {
            out.standing = out.standing.min(source.standing);
        }
        out.present |= via.share.as_ref().is_some_and(|share| !share.high.is_zero())
            || (via.itself && item.is_some() && via.share.is_none());
        out.functions.extend(via.functions.iter().cloned());
        out.said.extend(item.into_iter().flat_map(|item| item.declared.iter().cloned()));
        out.grades.extend(item.into_iter().flat_map(|item| item.grades.iter().cloned()));
        if !out.items.contains(&via.item) {
            out.items.push(via.item);
        }
    };
    if let Some(group) = &limit.group {
        let member = |origin: &Arc<Material>| origin.groups.iter().any(|own| own == group);
        for other in &formula.substances {
            let key = other.material.as_ref().map_or_else(|| fold(&other.name), |material| material.key());
            for via in &other.via {
                let counts = match &basis {
                    Some(basis) => key == *basis && (member(&via.origin) || via.itself),
                    None => via.itself && member(&via.origin),
                };
                if counts {
                    add(other, via);
                }
            }
        }
    } else {
        let own = substance.material.as_ref().map(|material| material.key());
        match basis.filter(|basis| Some(basis) != own.as_ref()) {
            // The salt's limit counted as its acid: only what this salt brings.
            Some(basis) => {
                for other in &formula.substances {
                    let key =
                        other.material.as_ref().map_or_else(|| fold(&other.name), |material| material.key());
                    for via in other.via.iter().filter(|via| key == basis && Some(via.origin.key()) == own) {
                        add(other, via);
                    }
                }
            }
            None => substance.via.iter().for_each(|via| add(substance, via)),
        }
    }
    out.functions.sort();
    out.functions.dedup();
    let size = |at: &usize| {
        formula
            .items
            .get(*at)
            .and_then(|item| item.share.as_ref())
            .map(|share| share.mid.clone())
            .unwrap_or_default()
    };
    out.items.sort_by_key(|at| std::cmp::Reverse(size(at)));
    out
}

fn family_breach(
    formula: &Formula,
    market: &str,
    substance: &Substance,
    material: &Arc<Material>,
    family: &[&Limit],
) -> Option<Breach> {
    let first = family.first()?;
    let all = counted(formula, substance, first, false);
    if all.items.is_empty() {
        return None;
    }
    let preserving =
        family.iter().any(|limit| is_for_preserving(limit)).then(|| counted(formula, substance, first, true));
    // What a limit counts: all of it, or what of it preserves.
    let of = |limit: &Limit| preserving.as_ref().filter(|_| is_for_preserving(limit)).unwrap_or(&all);
    let ph = formula.header.ph.as_ref().and_then(|(window, _)| window.high.as_ref().or(window.low.as_ref()));
    let used = |limit: &Limit, grade: Fit| {
        let counted = of(limit);
        Use { functions: &counted.functions, said: &counted.said, share: &counted.amount.high, ph, grade }
    };
    let ranged = all
        .items
        .iter()
        .filter_map(|at| formula.items.get(*at))
        .any(|item| item.is_range || item.conversion.is_some());
    let most =
        |limit: &Limit| if ranged { of(limit).amount.high.clone() } else { of(limit).amount.mid.clone() };
    let broken = |limit: &Limit| match &limit.ceiling {
        Ceiling::AtMost(ceiling) => most(limit) > *ceiling,
        Ceiling::NotAllowed => of(limit).present,
        Ceiling::Free => false,
    };
    let grade = family.iter().flat_map(|limit| &limit.conditions).find_map(|condition| match condition {
        Condition::Grade(grade) => Some(grade.as_str()),
        _ => None,
    });
    let mut worst: Option<&Limit> = None;
    let mut kept = false;
    let mut settled_by = None;
    for (product, word) in readings::of_product(&formula.header.product, family) {
        for of_it in readings::of_grade(&all.grades, grade) {
            let fitting =
                family.iter().copied().filter(|limit| limit.fits(&product, used(limit, *of_it)) == Fit::Yes);
            match applying(fitting) {
                Some(limit) if broken(limit) => {
                    if worst.is_none_or(|known| ceiling(limit) < ceiling(known)) {
                        worst = Some(limit);
                        let by_grade = grade.map(|grade| Settles::Grade(grade.to_owned()));
                        settled_by = word.clone().map(Settles::Product).or(by_grade);
                    }
                }
                _ => kept = true,
            }
        }
    }
    let limit = worst?;
    let counted = of(limit);
    // A solution of the usual strength would keep to it, and nobody says how strong it is.
    if let Ceiling::AtMost(ceiling) = &limit.ceiling
        && !kept
        && counted.as_sold <= *ceiling
        && counted.as_sold < counted.amount.mid
    {
        kept = true;
        settled_by = Some(Settles::Strength);
    }
    // A weak figure on the way counts only where the breach hangs on it: what oils contain varies by half, and more.
    let robust = match &limit.ceiling {
        Ceiling::AtMost(ceiling) if counted.standing < Standing::Read => {
            counted.amount.low.clone() * Exact::fraction(1, 2) > *ceiling
        }
        Ceiling::AtMost(ceiling) => counted.amount.low > *ceiling,
        Ceiling::NotAllowed | Ceiling::Free => counted.standing > Standing::FromMemory,
    };
    let standing = if robust { limit.source.standing } else { limit.source.standing.min(counted.standing) };
    Some(Breach {
        market: market.to_owned(),
        substance: material.name.clone(),
        limit: limit.clone(),
        amount: if ranged { counted.amount.clone() } else { Interval::exactly(counted.amount.mid.clone()) },
        counted_as: limit.counted_as.clone(),
        items: counted.items.clone(),
        certain: !kept,
        settled_by: if kept { settled_by } else { None },
        standing,
        shares: counted.standing,
    })
}

fn ceiling(limit: &Limit) -> Exact {
    match &limit.ceiling {
        Ceiling::AtMost(ceiling) => ceiling.clone(),
        Ceiling::NotAllowed => Exact::whole(-1),
        Ceiling::Free => Exact::whole(2),
    }
}

/// Of the fitting lines the one with the most conditions; of equals the stricter. What forbids gives way to an
/// exception from it only: a line with all its conditions and more.
fn applying<'l>(fitting: impl Iterator<Item = &'l Limit>) -> Option<&'l Limit> {
    let fitting: Vec<&Limit> = fitting.collect();
    let forbids = |limit: &Limit| limit.ceiling == Ceiling::NotAllowed;
    let holds = |ban: &&Limit| !fitting.iter().any(|other| !forbids(other) && is_exception(other, ban));
    let order = |limit: &&Limit| (limit.conditions.len(), std::cmp::Reverse(ceiling(limit)));
    let banned = fitting.iter().copied().filter(|limit| forbids(limit)).filter(holds).max_by_key(order);
    banned.or_else(|| fitting.iter().copied().filter(|limit| !forbids(limit)).max_by_key(order))
}

/// Whether a line has all conditions of one that forbids, and more. Of two windows of pH the one that fits is meant.
fn is_exception(limit: &Limit, ban: &Limit) -> bool {
    let narrower = |condition: &Condition| {
        limit.conditions.iter().any(|own| {
            own == condition || matches!((own, condition), (Condition::AtPh(_), Condition::AtPh(_)))
        })
    };
    limit.conditions.len() > ban.conditions.len() && ban.conditions.iter().all(narrower)
}

/// The name under which the catalogue sums the furocoumarins that Annex II entry 358 of Reg. (EC) 1223/2009 bars from
/// sun products.
pub const FUROCOUMARINS: &str = "furocoumarins";

/// The day from which a limit of law that concerns this formula changes, for each such day within a span after
/// `day`, the earliest first.
pub fn coming_days(formula: &Formula, market: &str, day: Date, within_days: i64) -> Vec<Date> {
    let last = day.days() + within_days;
    let mut days: Vec<Date> = formula
        .substances
        .iter()
        .filter_map(|substance| substance.material.as_ref())
        .flat_map(|material| &material.limits)
        .filter(|limit| limit.force.rank == Rank::Law)
        .filter(|limit| {
            limit.force.markets.is_empty()
                || limit.force.markets.iter().any(|own| own.eq_ignore_ascii_case(market))
        })
        .flat_map(|limit| {
            [limit.force.from, limit.force.until.map(|until| Date::from_days(until.days() + 1))]
        })
        .flatten()
        .filter(|from| *from > day && from.days() <= last)
        .collect();
    days.sort_unstable();
    days.dedup();
    days
}

/// One photosensitising line, with its share of its own limit.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Photosensitiser {
    /// The line.
    pub item: usize,
    /// The material.
    pub material: Arc<Material>,
    /// Its share of the product.
    pub share: Option<Interval>,
    /// Its limit as a share; none where no figure is known.
    pub limit: Option<Exact>,
    /// Whether it has its own limit, outside the common sum.
    pub outside_sum: bool,
}

/// The photosensitising materials of a formula, those inside premixes and blends included.
pub fn photosensitisers(formula: &Formula) -> Vec<Photosensitiser> {
    let mut found = Vec::new();
    for substance in &formula.substances {
        let Some(material) = &substance.material else { continue };
        let Some(figure) = &material.phototoxic else { continue };
        for via in substance.via.iter().filter(|via| via.itself) {
            let distilled =
                formula.items.get(via.item).is_some_and(|item| item.grades.iter().any(|g| g == "distilled"));
            if !distilled {
                found.push(Photosensitiser {
                    item: via.item,
                    material: Arc::clone(material),
                    share: via.share.clone(),
                    limit: figure.value.limit.clone(),
                    outside_sum: figure.value.outside_sum,
                });
            }
        }
    }
    found
}
