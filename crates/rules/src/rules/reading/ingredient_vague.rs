use crate::Level;
use crate::card::rule;
use crate::case::Case;
use crate::changes::qualified;
use crate::findings::Findings;
use crate::words;
use formula::{Fit, Found, Item, Material};
use notation::{Span, fold};
use std::sync::Arc;

rule! {
    /// A name means several things with different facts, or only a class of ingredients.
    ///
    /// ## Why
    /// Pressed lemon oil burns skin in the sun, distilled lemon oil does not; "emulsifier" says neither how much of
    /// it nor which oils it holds. What is not named cannot be weighed, checked, or made again.
    /// ## Fires
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///    99.9   %     jojoba oil
    ///     0.1   %     lemon oil
    /// ```
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///    60     %     jojoba oil
    ///    40     %     oil of choice
    /// ```
    /// A mineral sun filter without its grade:
    /// ```formula
    /// formula Shore paste
    /// product paste, sun care
    ///    80     %     jojoba oil
    ///    20     %     zinc oxide
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///    99.9   %     jojoba oil
    ///     0.1   %     lemon oil; distilled
    /// ```
    /// A slot that is left open on purpose:
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///    60     %     jojoba oil
    ///    40     %     any light oil
    /// ```
    /// ## Fix
    /// Writes one of the meanings. Only the maker, or the supplier's paper, can say which one is in the bottle.
    name: "ingredient-vague",
    group: Reading,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    for item in case.formula.items.iter().filter(|item| !item.open_slot) {
        if item.is_ambiguous() {
            several(case, item, out);
        } else if let Some(material) = &item.material
            && case.formula.header.product.is("sun care") == Fit::Yes
        {
            grade(case, item, material, out);
        }
        parts(case, item, out);
    }
}

fn several(case: &Case<'_>, item: &Item, out: &mut Findings<'_>) {
    let Some(material) = &item.material else { return };
    let len = (item.name.len() as u32).min(item.name_span.len());
    let span = Span::new(item.name_span.start, item.name_span.start + len);
    tell(case, &item.name, span, material, item, out);
}

/// A blend of which only the parts are known: each part is named for itself.
fn parts(case: &Case<'_>, item: &Item, out: &mut Findings<'_>) {
    let written = case.at(item.name_span);
    for (name, material) in &item.blend {
        let Some(material) = material.as_ref().filter(|material| !material.ambiguous.is_empty()) else {
            continue;
        };
        let Some(at) = written.find(name.as_str()) else { continue };
        let start = item.name_span.start + at as u32;
        tell(case, name, Span::new(start, start + name.len() as u32), material, item, out);
    }
}

fn tell(case: &Case<'_>, name: &str, span: Span, material: &Material, item: &Item, out: &mut Findings<'_>) {
    let meanings = &material.ambiguous;
    // A class is named after one of its kind ("an oil"); the meanings are then examples, not all there is.
    let class = ["a ", "an "].iter().any(|article| fold(&material.name).starts_with(article))
        || !material.functions.is_empty();
    let (message, help) = if class {
        // What keeps a product from spoiling, or is held to a limit, is no slot to be left open.
        let open = !material.does("preservative") && !material.does("UV filter");
        let slot =
            if open { format!("; or leave it open with `any {}`", plain(name)) } else { String::new() };
        (
            format!("{name} names a class, not an ingredient"),
            format!("Write which one it is, for example {}{slot}.", words::either(meanings)),
        )
    } else {
        (format!("{name} can mean {}", words::either(meanings)), "Write which one it is.".to_owned())
    };
    let mut adding = out.add(span, message).help(help).subject(fold(name)).lines([item.span]);
    if alike(case, name, meanings) {
        adding = adding.level(Level::Hint);
    }
    for meaning in meanings {
        adding = adding.replace(format!("Write `{meaning}`"), span, meaning.clone());
    }
}

fn plain(name: &str) -> &str {
    ["a ", "an ", "your "].iter().find_map(|article| name.strip_prefix(article)).unwrap_or(name)
}

/// Whether a name is the INCI of all its meanings, and no limit tells them apart: it is right on a label, and only the
/// finer facts stay unknown.
fn alike(case: &Case<'_>, name: &str, meanings: &[String]) -> bool {
    let found: Option<Vec<Arc<Material>>> = meanings
        .iter()
        .map(|meaning| match case.known.find(meaning) {
            Found::Known(material) => Some(material),
            Found::Unknown => None,
        })
        .collect();
    let Some(found) = found else { return false };
    let Some(first) = found.first() else { return false };
    found.iter().all(|material| {
        material.inci.as_deref().map(fold) == Some(fold(name))
            && material.limits == first.limits
            && material.groups == first.groups
            && material.avoid == first.avoid
            && material.phototoxic.is_some() == first.phototoxic.is_some()
    })
}

const GRADES: &[&str] = &["coated", "uncoated", "nano", "non-nano", "micronised", "micronized"];

/// Zinc oxide and titanium dioxide in a sun product: coating and particle size decide what law and skin make of them.
fn grade(case: &Case<'_>, item: &Item, material: &Material, out: &mut Findings<'_>) {
    let mineral = material.does("UV filter") && material.origin.as_deref() == Some("mineral");
    let says = |text: &str| {
        fold(text).split(|c: char| !c.is_alphanumeric() && c != '-').any(|word| GRADES.contains(&word))
    };
    let said = says(&item.name)
        || says(&material.name)
        || item.grades.iter().any(|grade| says(grade))
        || item.inci.as_deref().is_some_and(says);
    if !mineral || said {
        return;
    }
    let mut adding = out
        .add(item.name_span, format!("{} does not say its grade: coated or uncoated, nano or not", item.name))
        .help(
            "The supplier's paper says it. Nano grades have their own entries in the law, and coatings \
             decide which phase wets the powder.",
        )
        .subject(item.key())
        .lines([item.span]);
    for grade in ["non-nano", "nano", "coated", "uncoated"] {
        adding = adding.judgement_fix(format!("Write `{grade}`"), qualified(&case.block.text, item, grade));
    }
}
