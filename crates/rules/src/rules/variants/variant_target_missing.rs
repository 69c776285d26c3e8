use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::words;
use formula::GapKind;
use notation::{fold, nearest};

rule! {
    /// A variant changes something that the formula does not have.
    ///
    /// ## Why
    /// `omit lavender` omits nothing if the line reads `lavender oil`: the variant is sold as unscented and is not.
    /// ## Fires
    /// ```formula
    /// formula Weir balm
    /// product balm, body
    ///   to  100     %     jojoba oil
    ///        20     %     beeswax
    ///         0.3   %     lavender oil
    ///
    /// variant unscented
    /// omit lavender
    /// ```
    /// A phase, or a variant to put together with others:
    /// ```formula
    /// formula Weir balm
    /// product balm, body
    /// phase A oil
    ///   to  100     %     jojoba oil
    ///        20     %     beeswax
    ///
    /// variant soft
    /// add 10 % shea butter to C
    /// ```
    /// ```formula
    /// formula Weir balm
    /// product balm, body
    ///   to  100     %     jojoba oil
    ///        20     %     beeswax
    ///         0.3   %     lavender oil
    ///
    /// variant unscented
    /// omit lavender oil
    ///
    /// variant both: unscented, soft
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Weir balm
    /// product balm, body
    ///   to  100     %     jojoba oil
    ///        20     %     beeswax
    ///         0.3   %     lavender oil
    ///
    /// variant unscented
    /// omit lavender oil
    /// ```
    /// Another name of the same thing is the same thing:
    /// ```formula
    /// formula Weir balm
    /// product balm, body
    ///   to  100     %     jojoba oil
    ///        20     %     beeswax
    ///         0.3   %     lavender oil
    ///
    /// variant unscented
    /// omit lavender essential oil
    /// ```
    /// ## Fix
    /// Writes the name of a line that is near. It needs a look.
    name: "variant-target-missing",
    group: Variants,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let parent = &case.resolved.formula;
    for gap in &case.formula.gaps {
        let _ = match &gap.kind {
            GapKind::VariantTarget(name) => {
                let lines: Vec<String> = case.formula.items.iter().map(|item| item.name.clone()).collect();
                let adding = out
                    .add(gap.span, format!("the formula has no line `{name}`, so this changes nothing"))
                    .help("Write the name as it stands in its line.")
                    .subject(fold(name));
                near(name, &lines).into_iter().fold(adding, |adding, line| {
                    adding.help(format!("Did you mean `{line}`?")).replace(
                        format!("Write `{line}`"),
                        gap.span,
                        line,
                    )
                })
            }
            GapKind::VariantPhase(label) => {
                let labels: Vec<String> = parent.phases.iter().map(|phase| phase.label.clone()).collect();
                let has = match labels.as_slice() {
                    [] => "it has no phases".to_owned(),
                    [one] => format!("its phase is {one}"),
                    several => format!("its phases are {}", words::list(several)),
                };
                out.add(gap.span, format!("the formula has no phase {label}; {has}"))
                    .help("Name one of its phases, or leave the phase out.")
                    .subject(fold(label))
            }
            GapKind::VariantPart(name) => {
                let own = case.formula.variant.as_ref().map(|(name, _)| name.clone()).unwrap_or_default();
                let variants = case.resolved.variants.iter().filter_map(|formula| formula.variant.as_ref());
                let others: Vec<String> =
                    variants.map(|(name, _)| name.clone()).filter(|name| *name != own).collect();
                let adding = out
                    .add(gap.span, format!("there is no variant `{name}` to put together with others"))
                    .help("Only variants that make changes of their own can be put together.")
                    .subject(fold(name));
                near(name, &others).into_iter().fold(adding, |adding, variant| {
                    adding.replace(format!("Write `{variant}`"), gap.span, variant)
                })
            }
            _ => continue,
        };
    }
}

/// The name that is meant: the nearest by letters, else the only one that holds all its words.
fn near(name: &str, names: &[String]) -> Option<String> {
    let edits = (name.chars().count() / 4).clamp(1, 3);
    if let Some(found) = nearest(name, names.iter().map(String::as_str), edits) {
        return Some(found.to_owned());
    }
    let words = |text: &str| fold(text).split(' ').map(str::to_owned).collect::<Vec<_>>();
    let wanted = words(name);
    let mut holding = names.iter().filter(|line| {
        let line = words(line);
        wanted.iter().all(|word| line.contains(word)) || line.iter().all(|word| wanted.contains(word))
    });
    let first = holding.next()?;
    holding.next().is_none().then(|| first.clone())
}
