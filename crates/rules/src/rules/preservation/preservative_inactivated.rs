use crate::Level;
use crate::card::rule;
use crate::case::Case;
use crate::changes::{cool_phase, offer_move};
use crate::findings::Findings;
use crate::words;
use formula::keeping::{Held, held};
use formula::preservation::Preservative;
use formula::{Exact, Formula, Item};
use notation::PhaseKind;

rule! {
    /// Something in the product takes the preservative out of the water.
    ///
    /// ## Why
    /// A preservative works only where microbes live, in the water. Polysorbates take up parabens, clays bind acids
    /// and charged preservatives, and much oil draws away what dissolves in it, above all when it is melted with
    /// the oils.
    /// ## Fires
    /// ```formula
    /// formula Cleansing milk
    /// product lotion, face
    ///   to  100     %     purified water
    ///        10     %     sweet almond oil
    ///         6     %     polysorbate 80
    ///         3     %     cetyl alcohol
    ///         0.3   %     methylparaben
    ///         0.1   %     propylparaben
    /// ```
    /// ```formula
    /// formula Wet clay mask
    /// product mask, face
    /// pH 4.5 to 5.0
    ///   to  100     %     purified water
    ///        20     %     kaolin
    ///        10     %     bentonite
    ///         0.5   %     sodium benzoate
    ///         0.3   %     potassium sorbate
    /// ```
    /// ```formula
    /// formula Rich cream
    /// product cream, body
    /// phase A water; heat to 75 °C
    ///   to  100     %     purified water
    /// phase B oil; heat to 75 °C
    ///        35     %     sweet almond oil
    ///         8     %     cetearyl alcohol (and) ceteareth-20
    ///         0.3   %     methylparaben
    /// phase C cool-down; below 40 °C
    ///         0.2   %     lavender oil
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Cleansing milk
    /// product lotion, face
    ///   to  100     %     purified water
    ///        10     %     sweet almond oil
    ///         6     %     polysorbate 80
    ///         3     %     cetyl alcohol
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// A little solubiliser binds little, and phenoxyethanol bears clay:
    /// ```formula
    /// formula Wet clay mask
    /// product mask, face
    /// pH 5 to 6
    ///   to  100     %     purified water
    ///        20     %     kaolin
    ///         5     %     bentonite
    ///         1     %     polysorbate 20
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Fix
    /// Moves a preservative that was melted with the oils to the cool-down phase, where there is one. A matter of
    /// judgement: it has to dissolve there.
    /// ## Sources
    /// - how much is too much (3 % of solubilisers, 5 % of clay, 30 % of oils): common practice; a challenge test
    ///   decides
    /// - polysorbate 80 and PEG-40 hydrogenated castor oil inactivate methylparaben and blends of parabens,
    ///   phenoxyethanol blends far less: a challenge-test study indexed at katalog.lib.cas.cz
    ///   (edsdoj.81f5448fa3784d60ae12fd3e8974961a)
    name: "preservative-inactivated",
    group: Preservation,
    level: Note,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

/// The groups of the catalogue that this is about.
const PARABENS: &str = "parabens";
const SOLUBILISERS: &str = "polyoxyethylene solubilisers";

const NOT_BOUND: &str =
    "Take a preservative that solubilisers do not bind, or show by a challenge test that it is enough.";
const DRY: &str = "Sell the powder dry, to be mixed when it is used, or take a preservative that clay does \
    not bind and have it tested.";

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if formula.broken || !case.needs_preserving() || formula.tested(&["challenge"]) {
        return;
    }
    let mut all = case.preservatives().to_vec();
    all.retain(|one| one.material.is_some());
    // Beside one that keeps working the others are a help.
    let mut systems = all.clone();
    if systems.iter().any(words::keeps_bacteria_away) {
        systems.retain(words::keeps_bacteria_away);
    }
    if systems.is_empty() {
        return;
    }
    let lines = |fits: &dyn Fn(&Preservative) -> bool| {
        let mut lines: Vec<&Item> =
            all.iter().filter(|one| fits(one)).filter_map(|one| formula.items.get(one.item)).collect();
        lines.dedup_by_key(|item| item.span);
        lines
    };
    let held = held(formula);
    if systems.iter().all(|one| is_paraben(formula, one)) {
        let binds = |held: &&Held| held.material.groups.iter().any(|group| group == SOLUBILISERS);
        if let Some(by) = much(formula, held.iter().filter(binds), &Exact::fraction(3, 100)) {
            tell(out, &lines(&|one| is_paraben(formula, one)), &by, "can take up", NOT_BOUND);
            return;
        }
    }
    if systems.iter().all(|one| clay_binds(formula, one)) {
        let binds = |held: &&Held| held.material.does("clay");
        if let Some(by) = much(formula, held.iter().filter(binds), &Exact::fraction(5, 100)) {
            tell(out, &lines(&|one| clay_binds(formula, one)), &by, "can bind", DRY);
            return;
        }
    }
    in_the_oils(case, out, &systems);
}

/// What there is too much of: its lines, and the words for it.
struct Much<'a> {
    said: String,
    lines: Vec<&'a Item>,
}

fn much<'a, 'h>(
    formula: &'a Formula,
    all: impl Iterator<Item = &'h Held>,
    least: &Exact,
) -> Option<Much<'a>> {
    let all: Vec<&Held> = all.collect();
    let sum: Exact = all.iter().map(|held| held.share.clone()).sum();
    if sum < *least {
        return None;
    }
    let mut lines: Vec<&Item> =
        all.iter().flat_map(|held| &held.items).filter_map(|at| formula.items.get(*at)).collect();
    lines.dedup_by_key(|item| item.span);
    let names: Vec<String> = all.iter().map(|held| held.material.name.clone()).collect();
    let said = format!(
        "{} {}{}",
        words::about(&sum),
        words::list(&names),
        if names.len() > 1 { " together" } else { "" }
    );
    Some(Much { said, lines })
}

fn tell(out: &mut Findings<'_>, preserving: &[&Item], by: &Much<'_>, how: &str, help: &str) {
    let Some(item) = preserving.first() else { return };
    let names: Vec<String> = preserving.iter().map(|item| item.name.clone()).collect();
    let (carries, of) = if names.len() == 1 { ("carries", "it") } else { ("carry", "them") };
    let names = words::list(&names);
    let mut adding = out
        .add(
            item.name_span,
            format!("{names} {carries} the preservation, and {} {how} much of {of}", by.said),
        )
        .level(Level::Note)
        .help(help)
        .source("common practice")
        .subject(item.key());
    for line in &by.lines {
        adding = adding.related(line.name_span, format!("{} is here", line.name)).lines([line.span]);
    }
    let _ = adding.lines(preserving.iter().map(|item| item.span));
}

fn is_paraben(formula: &Formula, one: &Preservative) -> bool {
    let parts = words::preserving_parts(formula, one);
    !parts.is_empty() && parts.iter().all(|part| part.groups.iter().any(|group| group == PARABENS))
}

fn clay_binds(formula: &Formula, one: &Preservative) -> bool {
    let charged = one
        .material
        .as_ref()
        .and_then(|material| material.charge.as_ref())
        .is_some_and(|charge| charge.value.starts_with("cationic"));
    charged || words::only_acid(formula, one).is_some()
}

/// Preservatives that dissolve in oil and are melted with much of it.
fn in_the_oils(case: &Case<'_>, out: &mut Findings<'_>, systems: &[Preservative]) {
    let formula = case.formula;
    let oils = formula.oils();
    if formula.header.product.says("W/O") || oils < Exact::fraction(30, 100) {
        return;
    }
    let drawn = |one: &Preservative| {
        let item = formula.items.get(one.item);
        let phase = item.and_then(|item| formula.phases.get(item.phase?));
        !one.in_premix
            && phase.is_some_and(|phase| phase.kind == Some(PhaseKind::Oil))
            && one.material.as_ref().is_some_and(|material| material.dissolves_in("oil"))
    };
    if !systems.iter().all(drawn) {
        return;
    }
    let Some(item) = systems.first().and_then(|one| formula.items.get(one.item)) else { return };
    let mut adding = out
        .add(
            item.name_span,
            format!(
                "{} is melted with {} oils, and much of it stays in them",
                item.name,
                words::about(&oils)
            ),
        )
        .level(Level::Note)
        .help(
            "Dissolve it in the water phase or add it when the batch has cooled; what microbes meet is the \
             water.",
        )
        .source("common practice")
        .subject(item.key());
    if let Some((to, _)) = cool_phase(case, item, &Exact::whole(45)) {
        adding = offer_move(case, item, to, adding);
    }
    let _ = adding.lines([item.span]);
}
