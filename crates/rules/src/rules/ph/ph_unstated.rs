use crate::Level;
use crate::card::rule;
use crate::case::Case;
use crate::changes::ph_target;
use crate::findings::Findings;
use crate::words;
use formula::acidity::{Need, needs, stated};
use formula::preservation::Preservative;
use formula::{Exact, Figure, Formula, Source, Standing, Window, reckon};

rule! {
    /// No pH is said, and the preservative or an active depends on it.
    ///
    /// ## Why
    /// Benzoic and sorbic acid work only in an acid product; vitamin C does little above pH 3.5, and its phosphates
    /// fall apart below pH 6. Without a target nobody can tell whether they do their work, and nobody measures.
    /// ## Fires
    /// ```formula
    /// formula Elder lotion
    /// product lotion, body
    ///   to  100     %     purified water
    ///        15     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    ///         0.5   %     sodium benzoate
    ///         0.3   %     potassium sorbate
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Elder lotion
    /// product lotion, body
    /// pH 4.5 to 5.0
    ///   to  100     %     purified water
    ///        15     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    ///         0.5   %     sodium benzoate
    ///         0.3   %     potassium sorbate
    /// ```
    /// The end point of an adjuster says it too, and so does a step:
    /// ```formula
    /// formula Elder lotion
    /// product lotion, body
    ///   to  100     %     purified water
    ///        15     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    ///         0.5   %     sodium benzoate
    ///         0.3   %     potassium sorbate
    ///   q.s.              lactic acid; to pH 4.8; about 0.3 %
    /// ```
    /// ```formula
    /// formula Elder lotion
    /// product lotion, body
    ///   to  100     %     purified water
    ///        15     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    ///         0.5   %     sodium benzoate
    ///         0.3   %     potassium sorbate
    /// step Blend everything at 75 °C.
    /// step Cool, and adjust the pH to 4.8 with lactic acid.
    /// ```
    /// A preservative that does not mind the pH:
    /// ```formula
    /// formula Elder lotion
    /// product lotion, body
    ///   to  100     %     purified water
    ///        15     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Fix
    /// Writes a pH line that suits what depends on it. A matter of judgement: it has to be measured, and may need
    /// an acid or an alkali.
    /// ## Sources
    /// - the `works at pH` and `stable at pH` lines of what depends on it; the finding names where they come from
    /// - undissociated share by Henderson and Hasselbalch, pKa as in D. C. Steinberg, J. Cosmet. Sci. 56(5) (2005)
    ///   361
    name: "ph-unstated",
    group: Ph,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

/// What depends on the pH.
struct Depends<'a> {
    item: usize,
    window: &'a Figure<Window>,
    verb: &'static str,
    /// How sure it is that it depends on it.
    standing: Standing,
    acid: Option<(String, Exact, Source)>,
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if formula.broken || !case.needs_preserving() || formula.header.product.says("W/O") {
        return;
    }
    if stated(formula).is_some() {
        return;
    }
    let systems = case.preservatives();
    let needs = needs(formula);
    let mut all = preserving(formula, systems);
    all.extend(needs.iter().filter(|need| is_touchy(need)).map(|need| Depends {
        item: need.item,
        window: &need.window,
        verb: if need.works { "works" } else { "is stable" },
        standing: need.window.source.standing,
        acid: None,
    }));
    all.sort_by_key(|one| std::cmp::Reverse(one.standing));
    let Some((first, item)) = all.first().and_then(|first| Some((first, formula.items.get(first.item)?)))
    else {
        return;
    };
    let message = format!(
        "{} {} at pH {}, and nothing says which pH this product has",
        item.name,
        first.verb,
        first.window.value.text()
    );
    let target = suits(&all);
    let example = target.as_ref().map(|ph| format!(", as in `pH {}`", ph.text())).unwrap_or_default();
    let mut help = format!("Say a target{example}; measure it in a 10 % dilution and adjust it.");
    if let Some((name, pka, _)) = &first.acid {
        let part = |ph| reckon::undissociated(pka, &Exact::whole(ph)) * 100.0;
        help = format!(
            "{help} Of {name} only what is undissociated works: {:.0} % at pH 4, {:.0} % at pH 5, {:.1} % \
             at pH 6.",
            part(4),
            part(5),
            part(6)
        );
    }
    let mut adding = out
        .add(item.name_span, message)
        .level(Level::Warning)
        .help(help)
        .standing(first.standing)
        .source(first.window.source.text.to_string())
        .subject(item.key());
    if let Some((_, pka, source)) = &first.acid {
        adding = adding.source(format!("pKa {pka}: {}", source.text));
    }
    for other in all.iter().skip(1) {
        let Some(item) = formula.items.get(other.item) else { continue };
        let window = other.window.value.text();
        adding = adding.related(item.name_span, format!("{} {} at pH {window}", item.name, other.verb));
    }
    if let Some(target) = target
        && let Some(edits) = ph_target(case, &target)
    {
        adding = adding.judgement_fix(format!("Say that the pH is {}", target.text()), edits);
    }
    let _ = adding.lines([item.span]);
}

/// The preservatives that depend on the pH; none where one beside them works in any ordinary product.
fn preserving<'a>(formula: &Formula, systems: &'a [Preservative]) -> Vec<Depends<'a>> {
    let everywhere = |one: &Preservative| {
        let Some(material) = &one.material else { return true };
        let wide = material.works_at_ph.as_ref().is_none_or(|figure| is_wide(&figure.value));
        wide && words::keeps_bacteria_away(one)
    };
    if systems.iter().any(everywhere) {
        return Vec::new();
    }
    let mut found = Vec::new();
    for one in systems.iter().filter(|one| one.main) {
        let Some(window) = one.material.as_ref().and_then(|material| material.works_at_ph.as_ref()) else {
            continue;
        };
        if is_wide(&window.value) {
            continue;
        }
        let acid = words::only_acid(formula, one);
        // That an acid stops working above its pKa does not hang on the ends of the window.
        let standing = match &acid {
            Some((_, _, source)) => source.standing.min(Standing::SecondHand).max(window.source.standing),
            None => window.source.standing,
        };
        found.push(Depends { item: one.item, window, verb: "works", standing, acid });
    }
    found
}

/// Whether a window holds every pH that an ordinary product comes out at by itself.
fn is_wide(window: &Window) -> bool {
    window.high.as_ref().is_none_or(|high| *high >= Exact::fraction(13, 2))
        && window.low.as_ref().is_none_or(|low| *low <= Exact::fraction(9, 2))
}

/// Whether an active works, or stays as it is, only at a pH that an ordinary product does not have.
fn is_touchy(need: &Need) -> bool {
    need.material.does("active") && !need.window.value.holds(&Exact::fraction(11, 2))
}

/// A target that all of them bear: half a unit wide, as near to skin's own pH as it can be.
fn suits(all: &[Depends<'_>]) -> Option<Window> {
    let lows = all.iter().filter_map(|one| one.window.value.low.clone());
    let highs = all.iter().filter_map(|one| one.window.value.high.clone());
    let low = lows.max().unwrap_or_else(|| Exact::whole(4));
    let high = highs.min().unwrap_or_else(|| Exact::whole(6));
    let half = Exact::fraction(1, 2);
    let skin = Window::between(Exact::whole(5), Exact::fraction(11, 2));
    if low > high {
        return None;
    }
    if low <= Exact::whole(5) && high >= Exact::fraction(11, 2) {
        return Some(skin);
    }
    // Below skin's pH as high as it may be, above it as low.
    Some(if high < Exact::fraction(11, 2) {
        let from = (&high - &half).max(low);
        Window::between(from, high)
    } else {
        let to = (&low + &half).min(high);
        Window::between(low, to)
    })
}
