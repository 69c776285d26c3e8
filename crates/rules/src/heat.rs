//! What a line bears of heat, for the rules that ask what its phase or a step does to it.

use crate::Level;
use formula::{Exact, Figure, Formula, Item, Source, Window};

/// The least heat that a line or a part of it bears: whose, how much, why, and who says so.
pub(crate) fn bears(item: &Item) -> Option<(&str, &Exact, &str, &Source)> {
    let parts = item.material.iter().chain(item.blend.iter().filter_map(|(_, part)| part.as_ref()));
    parts
        .filter_map(|material| {
            let Figure { value: (most, because), source } = material.not_above.as_ref()?;
            let name = if item.material.is_some() { item.name.as_str() } else { material.name.as_str() };
            Some((name, most, because.as_str(), source))
        })
        .min_by(|a, b| a.1.cmp(b.1))
}

/// How loud it is that a line meets more than it bears; none where it is no fault.
pub(crate) fn level(formula: &Formula, item: &Item, celsius: &Exact, source: &Source) -> Option<Level> {
    if source.own {
        return Some(if item.does("preservative") { Level::Error } else { Level::Warning });
    }
    let scent = item.does("essential oil") || item.does("fragrance");
    if scent && !item.does("preservative") && formula.is_water_free() {
        // Balms and bars set too early to be scented cool.
        return (*celsius > Exact::whole(65)).then_some(Level::Hint);
    }
    // Floral waters and juices are heated with the water phase every day; what suffers is scent or a little strength.
    if item.is_watery(&Exact::fraction(1, 2)) && !item.does("active") && !item.does("preservative") {
        return Some(Level::Hint);
    }
    // The trade puts panthenol and proteins into either phase.
    if item.does("conditioner") && !item.does("preservative") {
        return Some(Level::Hint);
    }
    // Plant oils may be melted with the rest, and antioxidants go into the hot oils that they protect.
    let oily = item.does("oil") || (item.does("antioxidant") && item.dissolves_in("oil"));
    if oily && *celsius <= Exact::whole(80) {
        return None;
    }
    Some(if item.does("preservative") { Level::Error } else { Level::Warning })
}

/// The melting range of what has to melt before it can be worked in: waxes, fatty alcohols and acids, hard emulsifiers,
/// and in emulsions butters. None for what dissolves in water, for powders, and for what is carried in something else.
pub(crate) fn must_melt<'a>(formula: &Formula, item: &'a Item) -> Option<&'a Figure<Window>> {
    let material = item.material.as_ref()?;
    let hard = ["wax", "thickener", "stabiliser", "emulsifier"].iter().any(|function| item.does(function))
        || (item.does("butter") && !formula.is_water_free());
    let other = ["powder", "exfoliant", "pigment", "surfactant"].iter().any(|function| item.does(function));
    let melted = notation::fold(&item.name).contains("melted");
    if !hard || other || melted || !item.carried_in.is_empty() || material.dissolves_in("water") {
        return None;
    }
    let soft = Exact::whole(40);
    let figure = material.melts.first()?;
    let low = figure.value.low.as_ref()?;
    // What begins to melt on the skin can be worked in soft where no water is to be taken up.
    (*low >= soft || !formula.is_water_free()).then_some(figure)
}

/// A temperature at which all that has to melt is melted: five degrees above the highest melting range, and at least
/// 70 °C, as emulsions are usually made; in steps of five.
pub(crate) fn melting_bath(figures: &[&Figure<Window>]) -> Option<Exact> {
    let high =
        figures.iter().filter_map(|figure| figure.value.high.as_ref().or(figure.value.low.as_ref())).max()?;
    let wanted = high + &Exact::whole(5);
    (14..=24).map(|fives| Exact::whole(fives * 5)).find(|step| *step >= wanted)
}
