//! `allow` lines and qualifiers: what they silence, and those that say nothing, name nothing, or do nothing.

use crate::changes::take_out;
use crate::engine::{rule, rule_name};
use crate::findings::{Adding, Findings, Raised, Untold};
use crate::rules::{ALLOW_UNKNOWN, ALLOW_UNUSED};
use formula::{Formula, Known, Resolved};
use notation::{
    Block, BlockKind, Date, Edits, Span, Word, fold, is_reason, list_words, nearest, split_because,
};

/// All that decides what is silenced.
pub(crate) struct All<'a> {
    pub(crate) block: &'a Block,
    pub(crate) resolved: Option<&'a Resolved>,
    /// Findings that are not told, because others speak for them: who allows one of them has a reason to.
    pub(crate) untold: &'a [Untold],
    pub(crate) known: &'a dyn Known,
    pub(crate) law_day: Date,
}

/// One suppression: where it stands, what it silences, and where.
struct Allow {
    span: Span,
    /// Rule names with the places where they stand.
    rules: Vec<(String, Span)>,
    /// The rule that each name means.
    meant: Vec<Option<&'static str>>,
    because: String,
    /// The line it is tied to; none for the whole block.
    line: Option<Span>,
    until: Option<Date>,
    used: Vec<bool>,
}

impl Allow {
    fn new(span: Span, rules: Vec<(String, Span)>, because: &str, line: Option<Span>) -> Allow {
        let (because, until) = dated(because);
        let meant = rules.iter().map(|(name, _)| rule(name).map(|rule| rule.name)).collect();
        let used = vec![false; rules.len()];
        Allow { span, rules, meant, because, line, until, used }
    }

    /// Whether it silences a finding of a rule at a place; what it silences it is used for.
    fn silences(&mut self, told: &str, span: Span, law_day: Date) -> bool {
        let here = self.line.is_none_or(|line| line.start <= span.start && span.end <= line.end);
        let alive = self.until.is_none_or(|until| law_day <= until);
        let Some(at) = self.meant.iter().position(|rule| *rule == Some(told)) else { return false };
        if !here || !alive {
            return false;
        }
        if let Some(used) = self.used.get_mut(at) {
            *used = true;
        }
        true
    }
}

pub(crate) fn apply(all: &All<'_>, raised: &mut Vec<Raised>) {
    let All { block, resolved, untold, known, law_day } = *all;
    let mut allows = written(block, resolved);
    for raised in raised.iter_mut() {
        let told = raised.finding.rule;
        for allow in &mut allows {
            if allow.silences(told, raised.finding.span, law_day) {
                raised.finding.allowed.get_or_insert_with(|| allow.because.clone());
            }
        }
        let house = known
            .settings()
            .allows
            .iter()
            .find(|allow| allow.rules.iter().any(|name| rule_name(name) == told));
        if let Some(house) = house {
            raised.finding.allowed.get_or_insert_with(|| house.because.clone());
        }
    }
    for untold in untold {
        for allow in &mut allows {
            let _ = allow.silences(untold.rule, untold.span, law_day);
        }
    }
    let mut own = Vec::new();
    let whole = resolved.is_some_and(is_whole);
    for allow in &allows {
        tell(block, allow, law_day, whole, &mut own);
    }
    if let Some(workshop) = (block.kind == BlockKind::Workshop).then_some(block) {
        unknown_in_workshop(workshop, &mut own);
    }
    for raised in &mut own {
        block.name().clone_into(&mut raised.finding.block);
        if resolved.is_some() {
            raised.finding.formula = Some(block.name().to_owned());
        }
    }
    raised.extend(own);
}

/// Whether all that is written is read and known, so that no rule is silent for want of a fact.
fn is_whole(resolved: &Resolved) -> bool {
    let complete = |formula: &Formula| {
        let open = |item: &formula::Item| {
            !(item.is_known() || item.open_slot)
                || item.premix_missing
                || item.blend.iter().any(|part| part.1.is_none())
        };
        !formula.unfinished && !formula.broken && formula.gaps.is_empty() && !formula.items.iter().any(open)
    };
    complete(&resolved.formula) && resolved.variants.iter().all(complete)
}

fn written(block: &Block, resolved: Option<&Resolved>) -> Vec<Allow> {
    let mut allows = Vec::new();
    // What a workshop allows, its formulas are told.
    if block.kind == BlockKind::Workshop {
        return allows;
    }
    for (line, fact) in block.facts(Word::Allow) {
        let Some(because) = fact.because.filter(|because| is_reason(block.at(*because))) else { continue };
        allows.push(Allow::new(line.span, names(block, fact.rest), block.at(because), None));
    }
    let formulas = resolved.into_iter().flat_map(Resolved::all);
    for item in formulas.flat_map(|formula| &formula.items) {
        for (_, because, span) in &item.allows {
            if allows.iter().any(|allow| allow.span == *span) {
                continue;
            }
            allows.push(Allow::new(*span, names_in_clause(block, *span), because, Some(item.span)));
        }
    }
    allows
}

fn names(block: &Block, span: Span) -> Vec<(String, Span)> {
    list_words(&block.text, span).into_iter().map(|span| (fold(block.at(span)), span)).collect()
}

/// The names between `allow` and `because` of a qualifier.
fn names_in_clause(block: &Block, clause: Span) -> Vec<(String, Span)> {
    let (before, _) = split_because(&block.text, clause);
    let word = Word::Allow.spelling().len() as u32;
    let rest = Span::new(before.start + word, before.end);
    let rest = if block.at(rest).starts_with(':') { Span::new(rest.start + 1, rest.end) } else { rest };
    names(block, rest)
}

/// A reason that ends in `until DATE`.
fn dated(because: &str) -> (String, Option<Date>) {
    match because.rsplit_once(" until ") {
        Some((reason, date)) if Date::read(date).is_ok() => (reason.trim().to_owned(), Date::read(date).ok()),
        _ => (because.to_owned(), None),
    }
}

fn tell(block: &Block, allow: &Allow, law_day: Date, whole: bool, own: &mut Vec<Raised>) {
    for (at, ((name, span), used)) in allow.rules.iter().zip(&allow.used).enumerate() {
        if allow.meant.get(at).is_none_or(Option::is_none) {
            unknown(name, *span, own);
        } else if !used {
            let ran_out = allow.until.filter(|until| *until < law_day);
            let message = match ran_out {
                Some(until) => format!("`allow {name}` ran out on {until}"),
                None => format!("`allow {name}` silences nothing: there is no such finding here"),
            };
            let help =
                "Take the name out, or the whole line, so that a later finding is not silenced unseen.";
            let mut out = Findings::of(&ALLOW_UNUSED, own);
            let adding = out.add(*span, message).help(help).subject(name.clone());
            // What ran out may be given more time; and what cannot be read yet may need it again.
            let _ = without(block, allow, at, adding, whole && ran_out.is_none());
        }
    }
}

/// Offers to take one name out of a suppression; all of it, where there is no other name.
fn without<'a>(block: &Block, allow: &Allow, at: usize, adding: Adding<'a>, safe: bool) -> Adding<'a> {
    let places: Vec<Span> = allow.rules.iter().map(|(_, span)| *span).collect();
    let (title, edits) = match (places.as_slice(), allow.line) {
        ([_], None) => ("Take this `allow` line out".to_owned(), take_out(&block.text, allow.span)),
        ([_], Some(_)) => {
            let before = block.text.get(..allow.span.start as usize).unwrap_or("");
            let cut = before
                .rfind(';')
                .map_or(before.len(), |semicolon| before.get(..semicolon).unwrap_or("").trim_end().len());
            ("Take this `allow` out".to_owned(), Edits::one(Span::new(cut as u32, allow.span.end), ""))
        }
        (several, _) => {
            let Some(own) = several.get(at) else { return adding };
            let previous = at.checked_sub(1).and_then(|before| several.get(before));
            let cut = match (several.get(at + 1), previous) {
                (Some(next), _) => Span::new(own.start, next.start),
                (None, Some(previous)) => Span::new(previous.end, own.end),
                (None, None) => *own,
            };
            (format!("Take `{}` out of this `allow`", block.at(*own)), Edits::one(cut, ""))
        }
    };
    if safe { adding.safe_fix(title, edits) } else { adding.judgement_fix(title, edits) }
}

fn unknown(name: &str, span: Span, own: &mut Vec<Raised>) {
    let near = nearest(name, crate::rules::ALL.iter().map(|rule| rule.name), 3);
    let message = format!("no rule is called `{name}`");
    let mut out = Findings::of(&ALLOW_UNKNOWN, own);
    let adding = out.add(span, message).subject(name.to_owned());
    let _ = match near {
        Some(near) => adding
            .help(format!("Did you mean `{near}`? `levigate explain --all` lists the rules."))
            .replace(format!("Write `{near}`"), span, near),
        None => adding.help("`levigate explain --all` lists the rules."),
    };
}

fn unknown_in_workshop(block: &Block, own: &mut Vec<Raised>) {
    for (_, fact) in block.facts(Word::Allow) {
        for (name, span) in names(block, fact.rest) {
            if rule(&name).is_none() {
                unknown(&name, span, own);
            }
        }
    }
    for (_, fact) in block.facts(Word::Treat) {
        let Some((name, _)) = block.at(fact.rest).split_once(" as ") else { continue };
        if rule(name).is_none() {
            unknown(&fold(name), fact.rest, own);
        }
    }
}
