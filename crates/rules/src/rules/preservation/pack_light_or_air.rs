use crate::Level;
use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::words;
use formula::Formula;
use formula::keeping::{Held, held};
use formula::preservation::is_watery;
use notation::{Edits, Word, fold};

rule! {
    /// The pack lets in the light or the air that destroys an active.
    ///
    /// ## Why
    /// Vitamin C turns brown in an open jar, retinol loses its strength in clear glass. What is left after some
    /// weeks is colour and, at worst, irritation.
    /// ## Fires
    /// ```formula
    /// formula Vitamin cream
    /// product cream, face, night
    /// pack 50 mL jar
    /// pH 5.5 to 6.0
    ///   to  100     %     purified water
    ///        15     %     squalane
    ///         6     %     cetearyl alcohol (and) ceteareth-20
    ///         0.2   %     retinol
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ```formula
    /// formula Night oil
    /// product oil serum, face, night
    /// pack 30 mL clear bottle
    ///   to  100     %     squalane
    ///         0.2   %     retinol
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Vitamin cream
    /// product cream, face, night
    /// pack 50 mL airless pump
    /// pH 5.5 to 6.0
    ///   to  100     %     purified water
    ///        15     %     squalane
    ///         6     %     cetearyl alcohol (and) ceteareth-20
    ///         0.2   %     retinol
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// Antioxidants are there to be used up, scents do not count, and dry vitamin C keeps:
    /// ```formula
    /// formula Hand balm
    /// product balm, hands
    /// pack 30 mL tin
    ///   to  100     %     jojoba oil
    ///        20     %     beeswax
    ///         0.5   %     tocopherol
    ///         0.3   %     tea tree oil
    ///
    /// formula Vitamin powder
    /// product powder, face
    /// pack 30 mL jar
    ///        80     %     rice starch
    ///        20     %     ascorbic acid
    /// ```
    /// ## Fix
    /// Names another pack. A matter of judgement: it has to be bought, and may cost more.
    /// ## Sources
    /// - the `light-sensitive` and `air-sensitive` lines of the catalogue; common practice
    name: "pack-light-or-air",
    group: Preservation,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    for pack in &formula.header.packs {
        let (open, clear) = (is_open(&pack.kind), is_clear(&pack.kind));
        let suffering: Vec<Held> = held(formula)
            .into_iter()
            .filter(|held| suffers(formula, held))
            .filter(|held| (open && held.material.air_sensitive) || (clear && held.material.light_sensitive))
            .collect();
        let Some(first) = suffering.first() else { continue };
        let by_air = open && first.material.air_sensitive;
        let names: Vec<String> = suffering.iter().map(|held| name_of(formula, held)).collect();
        let (what, better) = if by_air { ("air", "airless pump") } else { ("light", "amber bottle") };
        let verb = if names.len() == 1 { "does" } else { "do" };
        let mut adding = out
            .add(
                pack.span,
                format!(
                    "{} {verb} not keep in a {}: {what} destroys {}",
                    words::list(&names),
                    pack.kind,
                    if names.len() == 1 { "it" } else { "them" }
                ),
            )
            .level(Level::Warning)
            .help(format!(
                "Fill it into a pack that keeps {what} out, such as an {better}, or take a form of the \
                 active that keeps."
            ))
            .source("common practice")
            .subject(first.material.key());
        for item in suffering.iter().filter_map(|held| formula.items.get(*held.items.first()?)) {
            adding = adding.related(item.name_span, format!("{} suffers from {what}", item.name));
        }
        let kind = case
            .block
            .facts(Word::Pack)
            .find(|(line, _)| line.span == pack.span || line.span.start == pack.span.start);
        if let Some((_, fact)) = kind.filter(|_| case.is_parent()) {
            adding = adding.judgement_fix(format!("Take an {better}"), Edits::one(fact.rest, better));
        }
        let _ = adding;
        return;
    }
}

fn name_of(formula: &Formula, held: &Held) -> String {
    let item = held.items.first().and_then(|at| formula.items.get(*at));
    item.map_or_else(|| held.material.name.clone(), |item| item.name.clone())
}

/// Whether it is there to act; what dissolves only in water suffers only where there is water.
fn suffers(formula: &Formula, held: &Held) -> bool {
    let in_oil = held.material.dissolves_in("oil");
    held.material.does("active") && !held.share.is_zero() && (in_oil || is_watery(formula))
}

fn has(kind: &str, words: &[&str]) -> bool {
    fold(kind).split(|c: char| !c.is_alphabetic()).any(|word| words.contains(&word))
}

fn is_open(kind: &str) -> bool {
    has(kind, &["jar", "jars", "tin", "pot", "shaker"]) && !has(kind, &["airless"])
}

fn is_clear(kind: &str) -> bool {
    has(kind, &["clear", "transparent", "flint"])
}
