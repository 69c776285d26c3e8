use crate::Level;
use crate::card::rule;
use crate::case::Case;
use crate::changes::ph_target;
use crate::findings::Findings;
use crate::words;
use formula::acidity::{Acidity, By, Need, gap, has_ph, needs, stated};
use formula::preservation::preservatives;
use formula::{Exact, Figure, Formula, Item, Window};

rule! {
    /// Two ingredients need pH windows that do not meet, or one needs another pH than the target.
    ///
    /// ## Why
    /// What only works or only keeps at one pH is wasted at another: carbomer stays thin below pH 5, phosphates of
    /// vitamin C fall apart below pH 6, and vitamin C itself does little above 3.5. At a low pH an acid can also fall
    /// out of the water that was to hold its salt.
    /// ## Fires
    /// The target is not where an ingredient works:
    /// ```formula
    /// formula Larch gel
    /// product gel, face
    /// pH 4.0 to 4.2
    ///   to  100     %     purified water
    ///         0.5   %     carbomer
    ///         3     %     glycerin
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    ///   q.s.              sodium hydroxide; to pH 4.2; about 0.1 %
    /// ```
    /// No pH suits both:
    /// ```formula
    /// formula Larch serum
    /// product serum, face
    ///   to  100     %     purified water
    ///         5     %     sodium ascorbyl phosphate
    ///         3     %     glycerin
    ///         0.5   %     sodium benzoate
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Larch gel
    /// product gel, face
    /// pH 5.8 to 6.2
    ///   to  100     %     purified water
    ///         0.5   %     carbomer
    ///         3     %     glycerin
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    ///   q.s.              sodium hydroxide; to pH 6; about 0.2 %
    /// ```
    /// Niacinamide beside vitamin C; the ends of the windows are round figures:
    /// ```formula
    /// formula Larch serum
    /// product serum, face
    /// pH 3.2 to 3.5
    ///   to  100     %     purified water
    ///        10     %     ascorbic acid
    ///         4     %     niacinamide
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// Oils take up the acid that water does not hold:
    /// ```formula
    /// formula Larch lotion
    /// product lotion, body
    /// pH 4.6 to 4.8
    ///   to  100     %     purified water
    ///        15     %     jojoba oil
    ///         5     %     cetearyl alcohol (and) ceteareth-20
    ///         0.5   %     sodium benzoate
    ///         0.4   %     potassium sorbate
    /// ```
    /// ## Fix
    /// Moves the target to a pH that all of them bear, where there is one. A matter of judgement: another pH is
    /// another product.
    /// ## Sources
    /// - the `works at pH` and `stable at pH` lines; the finding names where each comes from and is no louder than
    ///   that allows; half a unit beyond a window, or one for what is only less stable there, is no fault
    /// - where an acid separates: `pKa + log10((total − free) / free)`, the equation of pharmacy textbooks for weak
    ///   acids, with its solubility in water alone
    name: "ph-clash",
    group: Ph,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if !has_ph(formula) {
        return;
    }
    let needs = needs(formula);
    match stated(formula) {
        Some(acidity) => against_target(case, out, &needs, &acidity),
        None => among_themselves(case, out, &needs),
    }
}

/// How far a need lies from a window, where that is more than the round ends of windows leave open: half a unit for what
/// works only there and for what holds the product together, a whole unit for what is merely less stable.
fn apart(need: &Need, other: &Window) -> Option<Exact> {
    let gap = gap(&need.window.value, other)?;
    let strict = need.works || need.material.does("thickener") || need.material.does("emulsifier");
    let far = if strict { gap > Exact::fraction(1, 2) } else { gap >= Exact::one() };
    far.then_some(gap)
}

fn verb(need: &Need) -> &'static str {
    if need.works { "works" } else { "is stable" }
}

fn against_target(case: &Case<'_>, out: &mut Findings<'_>, needs: &[Need], acidity: &Acidity) {
    let formula = case.formula;
    let mut failing: Vec<(Exact, &Need, &Item)> = needs
        .iter()
        .filter_map(|need| {
            let gap = apart(need, &acidity.window)?;
            Some((gap, need, formula.items.get(need.item)?))
        })
        .collect();
    failing.sort_by(|a, b| b.0.cmp(&a.0));
    let Some((_, need, item)) = failing.first() else { return };
    let window = &need.window.value;
    let side =
        if window.low.as_ref().is_some_and(|low| acidity.window.high.as_ref().is_some_and(|high| high < low))
        {
            "below"
        } else {
            "above"
        };
    let message = format!(
        "{} {} at pH {}; {} lies {side} that",
        item.name,
        verb(need),
        window.text(),
        said(formula, acidity)
    );
    let mut adding = out
        .add(item.name_span, message)
        .level(Level::Warning)
        .help(format!(
            "Bring the target into pH {}, or take something else that bears pH {}.",
            window.text(),
            acidity.window.text()
        ))
        .founded_on(&need.window.source)
        .subject(item.key())
        .related(acidity.span, format!("pH {} is said here", acidity.window.text()));
    for (_, need, item) in failing.iter().skip(1) {
        let window = need.window.value.text();
        adding = adding
            .related(item.name_span, format!("{} {} at pH {window}", item.name, verb(need)))
            .lines([item.span]);
    }
    let ends = formula.items.iter().any(|item| item.to_ph.is_some());
    if let Some(common) = common(formula, needs).filter(|_| acidity.by == By::Target && !ends)
        && let Some(edits) = ph_target(case, &common)
    {
        adding = adding.judgement_fix(format!("Move the target to pH {}", common.text()), edits);
    }
    let _ = adding.lines([item.span]);
}

/// `the target, pH 4 to 4.5,`
fn said(formula: &Formula, acidity: &Acidity) -> String {
    let ph = acidity.window.text();
    match &acidity.by {
        By::EndPoint(at) => {
            let name = formula.items.get(*at).map_or("", |item| item.name.as_str());
            format!("pH {ph}, to which {name} brings this,")
        }
        By::Step => format!("pH {ph}, to which a step brings this,"),
        _ => format!("the target, pH {ph},"),
    }
}

/// The pH that all lines and all main preservatives bear, at most one unit wide.
fn common(formula: &Formula, needs: &[Need]) -> Option<Window> {
    let systems = preservatives(formula);
    let preserving = systems
        .iter()
        .filter(|one| one.main)
        .filter_map(|one| one.material.as_ref()?.works_at_ph.as_ref())
        .map(|figure| &figure.value);
    let windows: Vec<&Window> = needs.iter().map(|need| &need.window.value).chain(preserving).collect();
    let low = windows.iter().filter_map(|window| window.low.clone()).max()?;
    let high = windows.iter().filter_map(|window| window.high.clone()).min()?;
    let one = Exact::one();
    if low > high {
        return None;
    }
    // Near skin's own pH where the common window is wide.
    let middle = Exact::fraction(11, 2).max(low.clone()).min(high.clone());
    let from = (&middle - &Exact::fraction(1, 2)).max(low);
    let to = (&from + &one).min(high);
    Some(Window::between(from, to))
}

fn among_themselves(case: &Case<'_>, out: &mut Findings<'_>, needs: &[Need]) {
    let formula = case.formula;
    let mut systems = case.preservatives().to_vec();
    // One system that bears this pH is enough, if it keeps bacteria away.
    if systems.iter().any(words::keeps_bacteria_away) {
        systems.retain(words::keeps_bacteria_away);
    }
    for need in needs {
        let Some(item) = formula.items.get(need.item) else { continue };
        let preserving: Option<Vec<(&Item, &Figure<Window>)>> = systems
            .iter()
            .map(|one| {
                let window = one.material.as_ref()?.works_at_ph.as_ref()?;
                apart(need, &window.value)?;
                Some((formula.items.get(one.item)?, window))
            })
            .collect();
        let preserving = preserving.unwrap_or_default().into_iter().next();
        let other = preserving.map(|(item, window)| (item, window, "works")).or_else(|| {
            needs.iter().filter(|other| other.item > need.item).find_map(|other| {
                apart(need, &other.window.value)?;
                apart(other, &need.window.value)?;
                Some((formula.items.get(other.item)?, &other.window, verb(other)))
            })
        });
        let Some((other, window, does)) = other else { continue };
        let message = format!(
            "no pH suits both: {} {} at pH {}, {} {does} at pH {}",
            item.name,
            verb(need),
            need.window.value.text(),
            other.name,
            window.value.text()
        );
        let _ = out
            .add(item.name_span, message)
            .level(Level::Warning)
            .help(
                "Decide for one pH and write it down, and take another preservative or another form of the \
                 active for it.",
            )
            .founded_on(&need.window.source)
            .founded_on(&window.source)
            .related(other.name_span, format!("{} {does} at pH {}", other.name, window.value.text()))
            .subject(item.key())
            .lines([item.span, other.span]);
        return;
    }
}
