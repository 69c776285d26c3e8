use crate::amounts::grams;
use crate::card::rule;
use crate::case::{Case, Made};
use crate::findings::{Adding, Findings};
use formula::reckon::{pack_grams, packs, room_of, yield_of};
use formula::{Exact, Filling, Formula, Pack};
use notation::{Block, ClauseWord, Edits, Word};

rule! {
    /// What is said to be in a pack does not go into it, or the batch does not fill it.
    ///
    /// ## Why
    /// Packs are sold by volume and filled by weight. 50 g of a whipped butter need a jar of 75 mL; printed on a 50
    /// mL jar, the label promises what is not in it.
    /// ## Fires
    /// ```formula
    /// formula Whipped butter
    /// product body butter, body
    /// density 0.65 g/mL
    /// pack 50 mL jar; net 50 g
    ///    70     %     shea butter
    ///    30     %     jojoba oil
    /// ```
    /// A batch that does not fill one pack:
    /// ```formula
    /// formula Whipped butter
    /// product body butter, body
    /// batch 40 g
    /// density 0.65 g/mL
    /// pack 100 mL jar
    ///    70     %     shea butter
    ///    30     %     jojoba oil
    /// ```
    /// More filled than came out of the pot:
    /// ```formula
    /// formula Whipped butter
    /// product body butter, body
    /// density 0.65 g/mL
    ///    70     %     shea butter
    ///    30     %     jojoba oil
    ///
    /// record 26-031
    /// of Whipped butter
    /// yield 290 g
    /// filled 6 x 100 mL
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Whipped butter
    /// product body butter, body
    /// batch 300 g
    /// density 0.65 g/mL
    /// pack 100 mL jar; net 65 g
    ///    70     %     shea butter
    ///    30     %     jojoba oil
    ///
    /// record 26-031
    /// of Whipped butter
    /// yield 290 g
    /// filled 4 x 100 mL
    /// ```
    /// A jar takes a little more than its name says; without a density nothing is guessed:
    /// ```formula
    /// formula Light balm
    /// product balm, body
    /// density 0.95 g/mL
    /// pack 50 mL jar; net 50 g
    ///    80     %     jojoba oil
    ///    20     %     beeswax
    ///
    /// formula Other balm
    /// product balm, body
    /// batch 40 g
    /// pack 50 mL jar
    ///    80     %     jojoba oil
    ///    20     %     beeswax
    /// ```
    /// As much as fills the packs that are asked for, although a little stays in the pot:
    /// ```formula
    /// formula Light balm
    /// product balm, body
    /// density 0.95 g/mL
    /// batch 1 jars
    /// pack 50 mL jar
    ///    80     %     jojoba oil
    ///    20     %     beeswax
    ///
    /// workshop Reed House
    /// loss 3 %
    /// ```
    /// ## Fix
    /// Writes the grams that the pack holds behind `net`. It needs a look: a larger pack may be meant.
    /// ## Sources
    /// - a pack takes up to a tenth more than its name says: common practice
    name: "pack-mismatch",
    group: Variants,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: FormulaAndRecord(check, check_record)
}

/// The share by which a pack may be fuller, or a batch shorter, before it is told.
fn slack() -> Exact {
    Exact::fraction(11, 10)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    for pack in &formula.header.packs {
        let (Some(net), Some(room)) = (&pack.net_grams, room_of(pack, formula)) else { continue };
        if *net <= &room * &slack() {
            continue;
        }
        let density = formula.header.density.as_ref().map(|density| format!(" at {} g/mL", density.text()));
        let message = format!(
            "{} do not go into the {}, which holds {}{}",
            grams(net),
            named(pack),
            grams(&room),
            density.unwrap_or_default()
        );
        let adding = out
            .add(pack.span, message)
            .help("Write what is in it by weight, or choose a larger pack.")
            .subject("net");
        let _ = net_fix(case.block, pack, &room, adding);
    }
    batch_fills_none(case, out);
}

/// The whole batch, less what stays in the vessels, fills none of the packs.
fn batch_fills_none(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    let Some(batch) = formula.batch_grams() else { return };
    let loss = case.settings().loss.as_ref();
    let yielded = yield_of(batch, loss);
    let filled = packs(formula, Some(&yielded));
    let each: Option<Vec<&Exact>> = filled.iter().map(|filled| filled.each.as_ref()).collect();
    let Some(least) = each.and_then(|each| each.into_iter().min().cloned()) else { return };
    let Some(first) = filled.iter().find(|filled| filled.each.as_ref() == Some(&least)) else { return };
    if least <= &yielded * &slack() {
        return;
    }
    let left = loss.filter(|loss| !loss.is_zero()).map_or_else(String::new, |loss| {
        format!(", of which {} are left after {} % loss", grams(&yielded), loss.percent())
    });
    let message = format!(
        "a batch of {}{left} does not fill one {} of {}",
        grams(batch),
        named(first.pack),
        grams(&least)
    );
    let _ = out
        .add(first.pack.span, message)
        .help("Make a larger batch, or choose a smaller pack.")
        .subject("batch");
}

/// `50 mL jar`
fn named(pack: &Pack) -> String {
    let size = pack.millilitres.as_ref().map(|size| format!("{} mL ", size.text())).unwrap_or_default();
    format!("{size}{}", if pack.kind.is_empty() { "pack" } else { &pack.kind })
}

fn net_fix<'a>(block: &Block, pack: &Pack, room: &Exact, adding: Adding<'a>) -> Adding<'a> {
    let line = block.facts(Word::Pack).find(|(line, _)| line.span.start == pack.span.start);
    let net = line.and_then(|(_, fact)| fact.clause(ClauseWord::Net)?.measure);
    // Rounded down, so that it goes in.
    let places = u32::from(*room < Exact::whole(10));
    let holds = Exact::read(&room.shown(places)).filter(|holds| !holds.is_zero());
    match net.zip(holds) {
        Some((net, holds)) => {
            let written = format!("{} g", holds.text());
            adding.judgement_fix(format!("Write `net {written}`"), Edits::one(net.span, written))
        }
        None => adding,
    }
}

fn check_record(made: &Made<'_>, out: &mut Findings<'_>) {
    let (record, Some(formula)) = (made.record, made.plan()) else { return };
    let Some((came, _)) = record.yielded.as_ref().or(record.batch.as_ref()) else { return };
    let what = if record.yielded.is_some() { "came out of the pot" } else { "were made" };
    let all = record.filled.iter().chain(&record.retained);
    let Some(filled) = all.map(|filling| weight(filling, formula)).sum::<Option<Exact>>() else { return };
    let Some(first) = record.filled.first().filter(|_| filled > came * &slack()) else { return };
    let _ = out
        .add(first.span, format!("{} were filled, and {} {what}", grams(&filled), grams(came)))
        .help("Count the packs again, or weigh one: the product may be lighter than its `density` says.")
        .lines(record.filled.iter().chain(&record.retained).map(|filling| filling.span));
}

/// Grams in all packs of a line: as written, else what the formula says of a pack of this size, else by density.
fn weight(filling: &Filling, formula: &Formula) -> Option<Exact> {
    let millilitres = filling.millilitres.as_ref();
    let pack = || formula.header.packs.iter().find(|pack| pack.millilitres.as_ref() == millilitres);
    let by_density = || Some(millilitres? * formula.header.density.as_ref()?);
    let each = filling.grams.clone().or_else(|| pack_grams(pack()?, formula)).or_else(by_density)?;
    Some(&each * &filling.count)
}
