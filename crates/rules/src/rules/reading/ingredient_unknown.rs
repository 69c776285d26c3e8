use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::words;
use formula::Written;
use notation::{Edits, Span, fold};

rule! {
    /// An ingredient is in neither the catalogue nor the workshop's own blocks.
    ///
    /// ## Why
    /// Of a name that is not known only the amount can be checked: no water, no limit, no heat. Rules that would need
    /// such facts stay silent about it.
    /// ## Fires
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///    60     %     jojoba oil
    ///    40     %     squalene oill of the olive
    /// ```
    /// ## Quiet
    /// A few lines say what it is:
    /// ```formula
    /// ingredient marsh samphire oil
    /// INCI Salicornia Herbacea Seed Oil
    /// function oil
    /// phase oil
    /// soluble in oil
    /// origin plant
    /// density 0.92 g/mL
    ///
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///    60     %     jojoba oil
    ///    40     %     marsh samphire oil
    /// ```
    /// An open slot needs no name:
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///    60     %     jojoba oil
    ///    40     %     any light oil
    /// ```
    /// ## Fix
    /// Writes a name that is near. It needs a look: names that differ by a letter can be different things. Or begins a block
    /// below the formula that says what it is; its lines wait for the maker.
    name: "ingredient-unknown",
    group: Reading,
    level: Hint,
    since: "0.1.0",
    fixes: Always,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let mut told: Vec<String> = Vec::new();
    let text: &str = &case.block.text;
    for item in &case.formula.items {
        if item.material.is_some() || item.premix.is_some() || item.premix_missing || item.open_slot {
            continue;
        }
        // Where the amount does not read, or stands behind the name, the name may hold more than the name.
        let behind =
            item.written == Written::Missing && words::amount_behind(case.at(item.name_span)).is_some();
        if item.written == Written::Unread || behind {
            continue;
        }
        if item.blend.is_empty() {
            // A strength behind the name is no part of it.
            let len = (item.name.len() as u32).min(item.name_span.len());
            let span = Span::new(item.name_span.start, item.name_span.start + len);
            tell(text, &item.name, span, &item.near, &mut told, out);
            continue;
        }
        let mut from = 0usize;
        let written = case.at(item.name_span);
        for (part, material) in &item.blend {
            let at = written
                .get(from..)
                .and_then(|rest| rest.find(part.as_str()))
                .map_or(from, |found| from + found);
            from = at + part.len();
            if material.is_some() {
                continue;
            }
            let start = item.name_span.start + at as u32;
            let near = case.known.near(part);
            tell(text, part, Span::new(start, start + part.len() as u32), &near, &mut told, out);
        }
    }
}

fn tell(text: &str, name: &str, span: Span, near: &[String], told: &mut Vec<String>, out: &mut Findings<'_>) {
    let folded = fold(name);
    if told.contains(&folded) {
        return;
    }
    let mut adding = out.add(span, format!("{name} is not known here")).subject(folded.clone());
    told.push(folded);
    adding = match near {
        [] => adding.help(format!(
            "Describe it in six lines: `ingredient {name}`, then `INCI …`, `function …`, `phase …`, \
             `soluble in …`, `origin …`. Until then the rules that need such facts leave it out."
        )),
        [nearest, ..] => adding.help(format!(
            "Did you mean `{nearest}`? If not, describe it in a block of its own: `ingredient {name}`."
        )),
    };
    for name in near {
        adding = adding.replace(format!("Write `{name}`"), span, name.clone());
    }
    if !name.contains([';', '"', '#']) {
        let edits = described(text, name);
        let _ = adding.judgement_fix("Describe it in a block of its own, below this formula", edits);
    }
}

/// What a block of the maker's own is for, each line waiting behind a `#` until it is filled in.
const FACTS: [&str; 5] = ["INCI …", "function …", "phase oil", "soluble in oil", "origin plant"];

/// The beginning of a block for an ingredient, at the end of the formula's own.
fn described(text: &str, name: &str) -> Edits {
    let end = notation::line_end(text);
    let kept = text.trim_end_matches(['\n', '\r', ' ', '\t']).len();
    // What stood between this formula and the next stands behind the new block now.
    let tail = text.get(kept..).unwrap_or("");
    let close = if tail.contains(['\n', '\r']) { "" } else { end };
    let facts = FACTS.map(|fact| format!("{end}# {fact}")).concat();
    Edits::one(Span::at(kept as u32), format!("{end}{end}ingredient {name}{facts}{close}"))
}
