use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::{Level, words};
use formula::acidity::{Acidity, By, acidity};
use formula::preservation::Preservative;
use formula::{Exact, Figure, Formula, Item, Standing, Window, reckon};
use notation::{Edits, Word};

rule! {
    /// The pH of the product lies outside the window in which its preservative works.
    ///
    /// ## Why
    /// Benzoic, sorbic and dehydroacetic acid work only as far as they are undissociated; with every unit of pH above
    /// their pKa ten times less of them is. Other preservatives break down or lose their form outside their window.
    /// ## Fires
    /// ```formula
    /// formula Milk for hands
    /// product lotion, hands
    /// pH 6.5 to 7.0
    ///   to  100     %     purified water
    ///        15     %     jojoba oil
    ///         4     %     cetearyl alcohol (and) ceteareth-20
    ///         0.5   %     sodium benzoate
    ///         0.3   %     potassium sorbate
    /// ```
    /// An ingredient can set the pH:
    /// ```formula
    /// formula Zinc cream
    /// product cream, nappy area
    ///   to  100     %     purified water
    ///        15     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    ///        12     %     zinc oxide
    ///         1     %     sodium benzoate (and) potassium sorbate
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Milk for hands
    /// product lotion, hands
    /// pH 4.5 to 4.8
    ///   to  100     %     purified water
    ///        15     %     jojoba oil
    ///         4     %     cetearyl alcohol (and) ceteareth-20
    ///         0.5   %     sodium benzoate
    ///         0.3   %     potassium sorbate
    /// ```
    /// One that does not mind the pH stands beside it:
    /// ```formula
    /// formula Milk for hands
    /// product lotion, hands
    /// pH 6.0 to 6.5
    ///   to  100     %     purified water
    ///        15     %     jojoba oil
    ///         4     %     cetearyl alcohol (and) ceteareth-20
    ///         0.8   %     phenoxyethanol
    ///         0.3   %     potassium sorbate
    /// ```
    /// The ends of the windows are round figures; a quarter of a unit beyond one is no fault, half a unit a note:
    /// ```formula
    /// formula Milk for hands
    /// product lotion, hands
    /// pH 4.8 to 5.2
    ///   to  100     %     purified water
    ///        15     %     jojoba oil
    ///         4     %     cetearyl alcohol (and) ceteareth-20
    ///         0.5   %     sodium benzoate
    ///         0.3   %     potassium sorbate
    /// ```
    /// ## Fix
    /// Writes a target as wide as the old one at the near end of the window, where the target alone says the pH and
    /// skin bears the new one. A matter of judgement: actives and skin may want another preservative instead.
    /// ## Sources
    /// - undissociated share by Henderson and Hasselbalch, pKa as in D. C. Steinberg, J. Cosmet. Sci. 56(5) (2005)
    ///   361
    /// - windows: the `works at pH` lines; the finding names where each comes from. A quarter and half a unit beyond
    ///   them: common practice
    name: "preservative-outside-ph",
    group: Preservation,
    level: Error,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

/// The pH that the product has, in words, and how well that is known.
fn said_by(formula: &Formula, acidity: &Acidity) -> (String, Standing) {
    let ph = acidity.window.text();
    let item = |at: &usize| formula.items.get(*at);
    match &acidity.by {
        By::Target => (format!("the target, pH {ph},"), Standing::Read),
        By::EndPoint(at) => {
            let name = item(at).map_or("", |item| item.name.as_str());
            (format!("pH {ph}, to which {name} brings it,"), Standing::Read)
        }
        By::Step => (format!("pH {ph}, to which a step brings it,"), Standing::Read),
        By::Imposed(at, source) => {
            let name = item(at).map_or("", |item| item.name.as_str());
            let share = item(at).and_then(Item::mid).map(words::percent).unwrap_or_default();
            (format!("pH {ph} or above, which {name} {share} brings,"), source.standing)
        }
    }
}

/// How a preservative's window lies to the product's pH.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Lies {
    /// Or beyond it by no more than a quarter of a unit: the windows are round figures ("about pH 5").
    Inside,
    /// With one end beyond it by up to half a unit.
    Edge,
    /// Wholly beyond it, by up to half a unit.
    Beyond,
    Partly,
    Outside,
}

fn lies(works: &Window, target: &Window) -> Lies {
    let (low, high) = match (&target.low, &target.high) {
        (Some(low), Some(high)) => (low, high),
        (Some(one), None) | (None, Some(one)) => (one, one),
        (None, None) => return Lies::Inside,
    };
    let (least, most) = (works.low.as_ref(), works.high.as_ref());
    // How far a pH lies beyond the window.
    let beyond = |ph: &Exact| {
        let over = most.map(|most| ph.clone() - most.clone());
        let under = least.map(|least| least.clone() - ph.clone());
        over.into_iter().chain(under).max().unwrap_or_default()
    };
    let farther = beyond(low).max(beyond(high));
    let above = most.is_some_and(|most| low > most);
    let below = least.is_some_and(|least| high < least);
    if farther <= Exact::fraction(1, 4) {
        Lies::Inside
    } else if farther <= Exact::fraction(1, 2) {
        if above || below { Lies::Beyond } else { Lies::Edge }
    } else if above || below {
        Lies::Outside
    } else {
        Lies::Partly
    }
}

fn window(one: &Preservative) -> Option<&Figure<Window>> {
    one.material.as_ref()?.works_at_ph.as_ref()
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if !case.needs_preserving() || formula.header.product.says("W/O") {
        return;
    }
    let Some(acidity) = acidity(formula) else { return };
    let all = case.preservatives();
    let place =
        |one: &Preservative| window(one).map_or(Lies::Inside, |figure| lies(&figure.value, &acidity.window));
    let (working, mut failing): (Vec<&Preservative>, Vec<&Preservative>) =
        all.iter().partition(|one| place(one) == Lies::Inside);
    // An exfoliant that could preserve as well is judged as what it is there for.
    failing.retain(|one| one.main);
    // Beside one that works at this pH the others are a help, not the system. One that leaves bacteria alone is not
    // enough for that.
    if working.iter().any(|one| words::keeps_bacteria_away(one)) || failing.is_empty() {
        return;
    }
    failing.sort_by_key(|one| std::cmp::Reverse(one.share.as_ref().map(|share| share.mid.clone())));
    let Some(first) = failing.first() else { return };
    let all_are = |places: &[Lies]| failing.iter().all(|one| places.contains(&place(one)));
    let level = if all_are(&[Lies::Edge]) {
        Level::Note
    } else if all_are(&[Lies::Outside, Lies::Beyond]) && !all_are(&[Lies::Beyond]) {
        Level::Error
    } else {
        Level::Warning
    };
    tell(case, out, &acidity, first, &failing, level);
}

fn tell(
    case: &Case<'_>,
    out: &mut Findings<'_>,
    acidity: &Acidity,
    first: &Preservative,
    failing: &[&Preservative],
    level: Level,
) {
    let formula = case.formula;
    let (Some(item), Some(figure)) = (formula.items.get(first.item), window(first)) else { return };
    let (by, standing) = said_by(formula, acidity);
    let how = match lies(&figure.value, &acidity.window) {
        Lies::Outside => "lies outside",
        Lies::Partly | Lies::Inside => "lies only partly in",
        Lies::Edge | Lies::Beyond => "lies a little beyond",
    };
    let acids = acids(formula, first, &acidity.window);
    let mut message = format!("{by} {how} pH {}, where {} works", figure.value.text(), named(first, item));
    for acid in &acids {
        message.push_str(&acid.said);
    }
    let mut adding = out
        .add(item.name_span, message)
        .level(level)
        .help(format!(
            "Bring the target to pH {} or below, or choose a preservative that works at this pH.",
            figure.value.high.as_ref().map(Exact::text).unwrap_or_default()
        ))
        .standing(standing)
        .source(figure.source.text.to_string());
    // A window at second hand and a pKa read at its source, from two documents, say the same: next to nothing works.
    let agreed = acids.iter().any(|acid| acid.next_to_nothing && acid.standing == Standing::Read);
    if !(agreed && figure.source.standing == Standing::SecondHand) {
        adding = adding.standing(figure.source.standing);
    }
    if let Some(acid) = acids.first() {
        adding = adding.source(acid.source.clone());
    }
    let mut lines = vec![item.span];
    for other in failing.iter().filter(|other| other.item != first.item) {
        let (Some(item), Some(figure)) = (formula.items.get(other.item), window(other)) else { continue };
        let more: String =
            self::acids(formula, other, &acidity.window).iter().map(|acid| acid.said.clone()).collect();
        adding = adding
            .related(item.name_span, format!("{} works at pH {}{more}", item.name, figure.value.text()));
        lines.push(item.span);
    }
    if let Some((window, edits)) = other_target(case, failing) {
        let works =
            if failing.len() == 1 { format!("{} works", named(first, item)) } else { "they work".to_owned() };
        adding = adding.judgement_fix(format!("Write `pH {window}`, where {works}"), edits);
    }
    let _ =
        adding.related(acidity.span, by.trim_end_matches(',').to_owned()).subject(item.key()).lines(lines);
}

fn named(one: &Preservative, item: &Item) -> String {
    match &one.material {
        Some(material) if one.inside || one.in_premix => format!("{} inside {}", material.name, item.name),
        _ => item.name.clone(),
    }
}

/// How much of an acid is in the form that works.
struct Acid {
    said: String,
    next_to_nothing: bool,
    standing: Standing,
    source: String,
}

/// The acids that a preservative brings, with what of each is undissociated at the upper end of the pH.
fn acids(formula: &Formula, one: &Preservative, target: &Window) -> Vec<Acid> {
    let Some(high) = target.high.as_ref().or(target.low.as_ref()) else { return Vec::new() };
    let low = target.low.as_ref().unwrap_or(high);
    let mut found = Vec::new();
    for substance in &formula.substances {
        let Some(material) = &substance.material else { continue };
        let ([pka], true) = (material.pka.as_slice(), material.does("preservative")) else { continue };
        let share: Exact = substance
            .via
            .iter()
            .filter(|via| via.item == one.item)
            .filter_map(|via| via.share.as_ref().map(|share| share.mid.clone()))
            .sum();
        if share.is_zero() {
            continue;
        }
        let part = reckon::undissociated(&pka.value, high);
        let most = reckon::undissociated(&pka.value, low);
        if part > 0.5 {
            continue;
        }
        found.push(Acid {
            said: format!(
                "; at pH {high} only {} of its {} {} is undissociated and works",
                if part < 0.001 { "less than 0.1 %".to_owned() } else { format!("{:.1} %", part * 100.0) },
                words::percent(&share),
                material.name
            ),
            next_to_nothing: most < 0.1,
            standing: pka.source.standing,
            source: format!("pKa {}: {}", pka.value, pka.source.text),
        });
    }
    found
}

/// What leave-on products may be without harm: the range that `ph-harsh` stays silent about.
const MILD: (i128, i128) = (35, 80);

/// A target of the same width within the windows of all that fail, at the end that is near the old one.
fn other_target(case: &Case<'_>, failing: &[&Preservative]) -> Option<(String, Edits)> {
    let formula = case.formula;
    let (target, _) = formula.header.ph.as_ref().filter(|_| case.is_parent())?;
    // The adjuster and the steps would say another pH than the target.
    let said_elsewhere = formula.items.iter().any(|item| item.to_ph.is_some());
    let mut facts = case.block.facts(Word::Ph);
    let measure = facts.next()?.1.measure?;
    if said_elsewhere || facts.next().is_some() {
        return None;
    }
    let windows: Vec<&Window> =
        failing.iter().filter_map(|one| window(one)).map(|figure| &figure.value).collect();
    let tenth = |tenths: i128| Exact::fraction(tenths, 10);
    let least = windows.iter().filter_map(|window| window.low.clone()).chain([tenth(MILD.0)]).max()?;
    let most = windows.iter().filter_map(|window| window.high.clone()).chain([tenth(MILD.1)]).min()?;
    let (low, high) = (target.low.as_ref()?, target.high.as_ref()?);
    let width = high - low;
    let (low, high) = if *high > most {
        ((&most - &width).max(least.clone()), most.clone())
    } else {
        (least.clone(), (&least + &width).min(most.clone()))
    };
    let window = Window::between(low.clone(), high.clone());
    (low <= high && low >= least).then(|| (window.text(), Edits::one(measure.span, window.text())))
}
