//! The pH of a product: what is said of it, what an ingredient imposes, and which pH the ingredients need.
#![deny(clippy::float_arithmetic)]

use crate::exact::Exact;
use crate::formula::{Formula, Item};
use crate::material::{Figure, Material, Source};
use crate::preservation::{is_watery, preservatives};
use crate::window::Window;
use notation::{Span, fold};
use std::sync::Arc;

/// The pH of a product as far as it is known.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Acidity {
    /// The pH.
    pub window: Window,
    /// Where it is said, or the line that imposes it.
    pub span: Span,
    /// How it is known.
    pub by: By,
}

/// How the pH is known.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum By {
    /// The `pH` line.
    Target,
    /// The end point of this line.
    EndPoint(usize),
    /// A step of the method.
    Step,
    /// This line's own pH: at least so much.
    Imposed(usize, Source),
}

/// The pH that somebody decided on: the target, the end point of an adjuster, or a step.
pub fn stated(formula: &Formula) -> Option<Acidity> {
    if let Some((window, span)) = &formula.header.ph {
        return Some(Acidity { window: window.clone(), span: *span, by: By::Target });
    }
    let ended =
        formula.items.iter().enumerate().find_map(|(at, item)| Some((at, item, item.to_ph.as_ref()?)));
    if let Some((at, item, window)) = ended {
        return Some(Acidity { window: window.clone(), span: item.name_span, by: By::EndPoint(at) });
    }
    formula
        .steps
        .iter()
        .find_map(|step| Some(Acidity { window: in_words(&step.text)?, span: step.span, by: By::Step }))
}

/// The pH that is stated, else the one that an ingredient holds up. An ingredient can only be trusted to hold a pH up;
/// how far down an acid brings it depends on all the rest. Whoever adds an acid or an alkali has a pH in mind that
/// nobody wrote down.
pub fn acidity(formula: &Formula) -> Option<Acidity> {
    stated(formula).or_else(|| {
        if formula.items.iter().any(|item| item.does("pH adjuster")) {
            return None;
        }
        let (at, item, figure, low) = imposing(formula).into_iter().max_by(|a, b| a.3.cmp(&b.3))?;
        Some(Acidity {
            window: Window::at(low),
            span: item.name_span,
            by: By::Imposed(at, figure.source.clone()),
        })
    })
}

/// Lines of 1 % or more whose own pH is above 6, with its lower end. A buffer holds what it is set to.
fn imposing(formula: &Formula) -> Vec<(usize, &Item, &Figure<Window>, Exact)> {
    let enough = |item: &Item| item.mid().is_some_and(|share| *share >= Exact::fraction(1, 100));
    formula
        .items
        .iter()
        .enumerate()
        .filter(|(_, item)| enough(item) && !item.does("buffer"))
        .filter_map(|(at, item)| {
            let figure = item.material.as_ref()?.own_ph.as_ref()?;
            let low = figure.value.low.clone()?;
            (low > Exact::whole(6)).then_some((at, item, figure, low))
        })
        .collect()
}

/// Lines that hold the pH up against a target: 1 % or more, a pH of their own above 6, and nothing beside them that was
/// put in to use them up. Coated powders react slowly if at all; strong alkalis are what adjusts.
pub fn holding_up(formula: &Formula) -> Vec<(usize, &Item, &Figure<Window>, Exact)> {
    let strong = Exact::whole(12);
    let acids = acids(formula);
    imposing(formula)
        .into_iter()
        .filter(|(_, item, _, low)| {
            let coated = item.grades.iter().any(|grade| grade == "coated");
            let used_up = item.mid().is_some_and(|share| acids >= *share);
            !coated && !used_up && item.to_ph.is_none() && *low < strong
        })
        .collect()
}

/// Whether a formula is one of which a pH can be planned: water that can be measured, all of it read, and a product by
/// itself. In water in oil no meter reaches the water.
pub fn has_ph(formula: &Formula) -> bool {
    !formula.broken && is_watery(formula) && !formula.is_premix() && !formula.header.product.says("W/O")
}

/// How much there is of acids that bring the pH down.
pub fn acids(formula: &Formula) -> Exact {
    let acid = |item: &&Item| item.material.as_ref().is_some_and(|material| lowers_ph(material));
    formula.items.iter().filter(acid).filter_map(|item| item.mid().cloned()).sum()
}

/// Whether a material brings a pH down: a pKa below 5.5, or a pH of its own below 5. What it is by itself, a free acid or
/// not, is for [`Material::is_free_acid`] to say.
pub fn lowers_ph(material: &Material) -> bool {
    let weak = Exact::fraction(11, 2);
    // A preservative that counts as another acid is that acid's salt.
    let salt = material.does("preservative") && !material.counts_as.is_empty();
    let strong = material.pka.iter().any(|pka| pka.value < weak) && !salt;
    let sour = material.own_ph.as_ref().and_then(|own| own.value.high.clone());
    strong || sour.is_some_and(|high| high < Exact::whole(5))
}

/// Whether a material brings a pH up: a pH of its own above 7, or an adjuster that is no acid.
pub fn raises_ph(material: &Material) -> bool {
    let own = material.own_ph.as_ref().and_then(|own| own.value.low.clone());
    own.is_some_and(|low| low >= Exact::whole(7)) || (material.does("pH adjuster") && !lowers_ph(material))
}

/// `adjust the pH to 5.3`, `bring to pH 5-5.5`: the pH that a step sets. Not what it only asks for (`if the pH is above
/// 6`).
fn in_words(text: &str) -> Option<Window> {
    const SETS: [&str; 11] = [
        "adjust",
        "set",
        "bring",
        "lower",
        "raise",
        "correct",
        "neutralise",
        "neutralize",
        "until",
        "reach",
        "to ph",
    ];
    const BETWEEN: [&str; 12] =
        ["to", "of", "at", "is", "about", "around", "between", "near", "down", "up", "the", "reaches"];
    let text = fold(text);
    let at = text.find("ph ").filter(|at| {
        *at == 0 || text.get(..*at).is_some_and(|before| !before.ends_with(|c: char| c.is_alphanumeric()))
    })?;
    let (before, after) = (text.get(..at)?, text.get(at + 3..)?);
    let clause = before.rsplit([';', '.', ',']).next().unwrap_or(before);
    let asks = clause.split(|c: char| !c.is_alphanumeric()).any(|word| word == "if" || word == "when");
    let set = SETS.iter().any(|word| clause.contains(word)) || clause.trim_end().ends_with("to");
    if asks || !set {
        return None;
    }
    let mut numbers = Vec::new();
    for word in after.split([' ', '-', '–']).filter(|word| !word.is_empty()) {
        let number = word.trim_end_matches([',', '.', ';', ')']);
        match Exact::read(number) {
            Some(value) if value <= Exact::whole(14) => numbers.push(number),
            None if numbers.is_empty() && BETWEEN.contains(&word) => {}
            None if numbers.len() == 1 && matches!(word, "to" | "and") => {}
            _ => break,
        }
        if numbers.len() == 2 || number != word {
            break;
        }
    }
    match numbers.as_slice() {
        [one] => Window::read_words(one, None),
        [low, high] => Window::read_words(low, Some(high)),
        _ => None,
    }
}

/// A pH that a line needs to work, or to stay as it is.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Need {
    /// The line.
    pub item: usize,
    /// What it is.
    pub material: Arc<Material>,
    /// Its window.
    pub window: Figure<Window>,
    /// Whether it works there; else it is only stable there.
    pub works: bool,
}

/// What the lines need, preservatives left out: 0.1 % or more, adjusters 1 % or more. What dissolves in oil alone does
/// not see the pH, unless it stands between oil and water.
pub fn needs(formula: &Formula) -> Vec<Need> {
    let preserving: Vec<usize> =
        preservatives(formula).iter().filter(|one| one.main).map(|one| one.item).collect();
    let mut found = Vec::new();
    for (at, item) in formula.items.iter().enumerate() {
        let Some(material) = &item.material else { continue };
        let adjusts = item.does("pH adjuster");
        let least = if adjusts { Exact::fraction(1, 100) } else { Exact::fraction(1, 1000) };
        let in_oil =
            material.dissolves_in("oil") && !material.dissolves_in("water") && !material.does("emulsifier");
        let declared = item.declared.iter().any(|function| fold(function) == "ph adjuster");
        let enough = item.mid().is_some_and(|share| *share >= least);
        if !enough || in_oil || declared || item.to_ph.is_some() || preserving.contains(&at) {
            continue;
        }
        let works = material.works_at_ph.as_ref().map(|window| (window, true));
        let stable = material.stable_at_ph.as_ref().map(|window| (window, false));
        if let Some((window, works)) = works.or(stable) {
            found.push(Need { item: at, material: Arc::clone(material), window: window.clone(), works });
        }
    }
    found
}

/// How far two windows lie apart; none where they meet.
pub fn gap(one: &Window, other: &Window) -> Option<Exact> {
    let above = one.low.as_ref().zip(other.high.as_ref()).map(|(low, high)| low - high);
    let below = other.low.as_ref().zip(one.high.as_ref()).map(|(low, high)| low - high);
    above.into_iter().chain(below).max().filter(|gap| *gap > Exact::zero())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_step_sets() {
        let set = |text: &str| in_words(text).map(|window| window.text());
        assert_eq!(set("cool to 25 °C; adjust pH to 5.3 with lactic acid").as_deref(), Some("5.3"));
        assert_eq!(set("Bring to pH 5-5.5.").as_deref(), Some("5 to 5.5"));
        assert_eq!(set("Bring to pH 5.0 to 5.5.").as_deref(), Some("5.0 to 5.5"));
        assert_eq!(set("Bring to pH 5.5 to 5.0."), None);
        assert_eq!(set("adjust the pH to between 4.5 and 5").as_deref(), Some("4.5 to 5"));
        assert_eq!(set("Add citric acid until the pH is 5,2").as_deref(), Some("5.2"));
        assert_eq!(set("lower to pH 5 with 2 drops of lactic acid").as_deref(), Some("5"));
        assert_eq!(set("if the pH is 6, add citric acid"), None);
        assert_eq!(set("Check the pH and adjust if needed"), None);
        assert_eq!(set("Test with pH strips, adding a drop of lactic acid if it is above 5.5."), None);
        assert_eq!(set("add 2 drops of tea tree"), None);
    }
}
