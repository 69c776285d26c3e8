//! What is told of the thing under the cursor, as Markdown.

use crate::Page;
use crate::facts::{self, Topic};
use crate::mentions::{Mention, Thing, mention_at, mentions};
use crate::page::Leaf;
use formula::{Exact, Formula, Item, Material, Resolved, Written};
use notation::{Form, Line, Quantity, Span, fold};
use rules::rule;
use std::fmt::Write;
use std::sync::Arc;

/// The most limits that a card lists.
const MOST_LIMITS: usize = 8;

/// A card, and the text that it is about.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Hover {
    /// Bytes from the file's start.
    pub span: Span,
    /// Markdown.
    pub text: String,
}

impl Page {
    /// What is known of the thing at a byte of the text: an ingredient, an amount, a phase, a rule, a formula. None
    /// where nothing is to be told.
    pub fn hover(&self, at: u32) -> Option<Hover> {
        let leaf = self.leaf_at(at)?;
        let local = at.checked_sub(leaf.start)?;
        let block = leaf.block();
        let line = block.lines.iter().find(|line| line.span.touches(local))?;
        if line.comment.is_some_and(|comment| comment.start <= local) {
            return None;
        }
        let (span, text) = amount(leaf, line, local).or_else(|| self.named(leaf, line, local))?;
        Some(Hover { span: span.shifted(leaf.start), text })
    }

    fn named(&self, leaf: Leaf<'_>, line: &Line, at: u32) -> Option<(Span, String)> {
        let mentions = mentions(leaf.reviewed(), &self.around);
        let mention = mention_at(&mentions, at)?;
        let text = match &mention.thing {
            Thing::Ingredient(_) => self.ingredient(leaf, line, mention),
            Thing::Phase(label) => phase(&leaf.resolved()?.formula, label)?,
            Thing::Variant(name) => variant(leaf.resolved()?, name)?,
            Thing::Formula(_) if mention.declares => whole(&leaf.resolved()?.formula),
            Thing::Formula(_) => return None,
            Thing::Rule(name) => rule_card(name)?,
        };
        Some((mention.span, text))
    }

    fn ingredient(&self, leaf: Leaf<'_>, line: &Line, mention: &Mention) -> String {
        let name = leaf.block().at(mention.span);
        let item = leaf.resolved().and_then(|resolved| {
            item_on(&resolved.formula, line)
                .or_else(|| resolved.variants.iter().find_map(|variant| item_on(variant, line)))
                .filter(|item| item.name_span == mention.span || item.name_span.touches(mention.span.start))
                .map(|item| (resolved, item))
        });
        let mut out = format!("**{name}**\n");
        if let Some((_, Item { premix: Some(premix), .. })) = &item {
            let _ = writeln!(out, "\na formula of your own, used as an ingredient\n");
            let _ = write!(out, "{}", contents(premix));
        } else if let Some(material) = self.around.material(name) {
            let markets = leaf.resolved().map_or(&[][..], |resolved| &resolved.formula.header.markets);
            self.card(&mut out, &material, markets);
        } else if let Some((_, item)) = &item
            && !item.blend.is_empty()
        {
            let _ = writeln!(out, "\na blend of its parts; how much of each is not known\n");
            for (part, known) in &item.blend {
                let inci = known.as_ref().and_then(|known| known.inci.clone()).unwrap_or_default();
                let _ = writeln!(out, "- {part} {inci}");
            }
        } else {
            let _ = writeln!(out, "\nneither in the catalogue nor described in your workshop");
            if let Some((_, item)) = &item
                && !item.near.is_empty()
            {
                let _ = writeln!(out, "\nnear it: {}", item.near.join(", "));
            }
        }
        if let Some((resolved, item)) = item {
            here(&mut out, &resolved.formula, item);
        }
        out
    }

    /// The card of an ingredient by its name, whether it stands in this text or not; limits of these markets only.
    pub(crate) fn ingredient_card(&self, name: &str, markets: &[String]) -> Option<String> {
        let material = self.around.material(name)?;
        let mut out = format!("**{name}**\n");
        self.card(&mut out, &material, markets);
        Some(out)
    }

    /// What is known of a material; limits of these markets only.
    fn card(&self, out: &mut String, material: &Material, markets: &[String]) {
        if !material.ambiguous.is_empty() {
            let _ = writeln!(out, "\nThe name can mean several things:\n");
            for name in &material.ambiguous {
                let _ = writeln!(out, "- {name}");
            }
            return;
        }
        let mut head = Vec::new();
        head.extend(material.inci.clone().map(|inci| format!("INCI {inci}")));
        if !material.functions.is_empty() {
            head.push(material.functions.join(", "));
        }
        if material.own {
            head.push("described in a block of your own".to_owned());
        }
        let _ = writeln!(out, "\n{}\n", head.join(" · "));
        for known in facts::known(material) {
            let behind = match (&known.source, known.standing) {
                (Some(_), Some("second-hand")) => " *(second-hand)*".to_owned(),
                (None, Some(standing)) => format!(" *({standing})*"),
                _ => String::new(),
            };
            let shown = matches!(known.topic, Topic::Use | Topic::Care | Topic::Brings | Topic::Shelf)
                || ["soluble in", "solubility", "melts at", "density", "charge", "own pH"]
                    .contains(&known.what);
            if shown {
                let _ = writeln!(out, "- {}: {}{behind}", known.what, known.value);
            }
        }
        self.limits(out, material, markets);
    }

    fn limits(&self, out: &mut String, material: &Material, markets: &[String]) {
        let parts: Vec<Arc<Material>> = material
            .counts_as
            .iter()
            .chain(&material.contains)
            .filter_map(|figure| self.around.material(&figure.value.name))
            .filter(|part| part.key() != material.key())
            .collect();
        let own = material.limits.iter().map(|limit| (None, limit));
        let brought = parts
            .iter()
            .flat_map(|part| part.limits.iter().map(move |limit| (Some(part.name.as_str()), limit)));
        let concerns = |limit: &formula::Limit| {
            markets.is_empty()
                || limit.force.markets.is_empty()
                || limit.force.markets.iter().any(|market| market == "all" || markets.contains(market))
        };
        let rows: Vec<String> = own
            .chain(brought)
            .filter(|(_, limit)| {
                limit.force.until.is_none_or(|until| until >= self.law_day) && concerns(limit)
            })
            .map(|(of, limit)| {
                let conditions = facts::conditions(&limit.conditions);
                let place =
                    if conditions.is_empty() { "any product".to_owned() } else { conditions.join("; ") };
                let days = facts::days(limit);
                let days = if days.is_empty() { days } else { format!(", {days}") };
                let market = facts::markets(limit);
                let most = facts::most(limit, of);
                format!("- {market} {}: {most} ({place}{days})", limit.force.rank.word())
            })
            .collect();
        if rows.is_empty() {
            return;
        }
        let _ = writeln!(out, "\n**Limits**, as read on {}\n", formula::LAW_READ_ON);
        for row in rows.iter().take(MOST_LIMITS) {
            let _ = writeln!(out, "{row}");
        }
        if rows.len() > MOST_LIMITS {
            let more = rows.len() - MOST_LIMITS;
            let _ = writeln!(out, "- {more} more: `levigate ingredient {}`", material.name);
        }
    }
}

/// The amount of an ingredient line.
fn amount(leaf: Leaf<'_>, line: &Line, at: u32) -> Option<(Span, String)> {
    let Form::Item(written) = &line.form else { return None };
    let span = written.quantity.span().filter(|span| span.touches(at))?;
    // A place between amount and name belongs to the name.
    if at >= written.name.span.start {
        return None;
    }
    let formula = &leaf.resolved()?.formula;
    let item = item_on(formula, line)?;
    Some((span, worked_out(formula, item, &written.quantity)))
}

/// The item that stands on a line.
fn item_on<'f>(formula: &'f Formula, line: &Line) -> Option<&'f Item> {
    formula.items.iter().find(|item| line.span.start <= item.span.start && item.span.end <= line.span.end)
}

fn percent(share: &Exact) -> String {
    format!("{} %", share.percent().shown(4))
}

fn grams(grams: &Exact) -> String {
    format!("{} g", grams.shown(3))
}

/// `3 % = 15 g`, as far as it is known.
fn both(formula: &Formula, share: &Exact) -> String {
    match formula.batch_grams() {
        Some(batch) => format!("{} = {} of {}", percent(share), grams(&(share * batch)), grams(batch)),
        None => percent(share),
    }
}

/// What a line comes to in this formula.
fn here(out: &mut String, formula: &Formula, item: &Item) {
    let Some(share) = item.mid() else { return };
    let _ = writeln!(out, "\n**Here** {}", both(formula, share));
    if let Some(strength) = &item.strength {
        let active = share * strength;
        let _ = writeln!(
            out,
            "\nactive content {} at a strength of {}",
            both(formula, &active),
            percent(strength)
        );
    }
    let at = formula.items.iter().position(|other| std::ptr::eq(other, item));
    let brought: Vec<String> = formula
        .substances
        .iter()
        .filter_map(|substance| {
            let via = substance.via.iter().find(|via| Some(via.item) == at && !via.itself)?;
            let share = via.share.as_ref().map(|share| percent(&share.mid));
            let allergen = if via.allergen { ", an allergen" } else { "" };
            Some(format!(
                "{} {}{allergen}",
                substance.name,
                share.unwrap_or_else(|| "(share unknown)".into())
            ))
        })
        .collect();
    let water = formula.water.lines.iter().find(|(line, _)| Some(*line) == at);
    let mut brings: Vec<String> =
        water.iter().map(|(_, water)| format!("water {}", percent(&water.mid))).collect();
    brings.extend(brought);
    brings.truncate(10);
    if !brings.is_empty() {
        let _ = writeln!(out, "\nbrings {}", brings.join(", "));
    }
}

/// How an amount is worked out.
fn worked_out(formula: &Formula, item: &Item, quantity: &Quantity) -> String {
    let written = &item.amount_text;
    let mut out = match item.mid() {
        Some(share) => format!("**{}** {}\n", item.name, both(formula, share)),
        None => format!("**{}** {written}: how much that is cannot be worked out\n", item.name),
    };
    match (&item.written, quantity) {
        (Written::Balance, _) => {
            let _ = writeln!(out, "\nwhat the other lines leave");
        }
        (Written::AsNeeded, _) => {
            let _ = writeln!(out, "\nas much as its end point needs; counted as the `about` that is said");
        }
        _ if item.is_range => {
            let low = item.share.as_ref().map(|share| percent(&share.low)).unwrap_or_default();
            let high = item.share.as_ref().map(|share| percent(&share.high)).unwrap_or_default();
            let _ =
                writeln!(out, "\na range, {low} to {high}: totals count its middle, limits its upper end");
        }
        _ => {}
    }
    if let Some(conversion) = &item.conversion {
        let _ = writeln!(
            out,
            "\n{written} is about {} with {}, from {}",
            conversion.grams.scaled(&Exact::one()).text() + " g",
            conversion.figure.text(),
            conversion.source.text
        );
    }
    let _ = writeln!(out, "\n{}", total(formula));
    out
}

fn total(formula: &Formula) -> String {
    let known: Exact = formula.items.iter().filter_map(|item| item.mid().cloned()).sum();
    let open = formula.items.iter().filter(|item| item.mid().is_none()).count();
    let open = match open {
        0 => String::new(),
        1 => "; 1 line has no weight".to_owned(),
        several => format!("; {several} lines have no weight"),
    };
    format!("all lines together {}{open}", both(formula, &known))
}

fn phase(formula: &Formula, label: &str) -> Option<String> {
    let (at, phase) = formula.phases.iter().enumerate().find(|(_, phase)| phase.label == label)?;
    let mut out = format!("**phase {}**", phase.label);
    let words = [phase.kind.map_or("", notation::PhaseKind::spelling), &phase.heading];
    for word in words.into_iter().filter(|word| !word.is_empty()) {
        let _ = write!(out, " {word}");
    }
    let sum: Exact = formula.items_of(at).filter_map(|(_, item)| item.mid().cloned()).sum();
    let _ = writeln!(out, "\n\n{} in {} lines", both(formula, &sum), formula.items_of(at).count());
    if let Some((heat, _)) = &phase.heat {
        let _ = writeln!(out, "\nheated to {heat} °C");
    }
    if let Some((cool, _)) = &phase.cool {
        let _ = writeln!(out, "\nbelow {cool} °C");
    }
    if phase.cold {
        let _ = writeln!(out, "\nmade cold");
    }
    Some(out)
}

fn variant(resolved: &Resolved, name: &str) -> Option<String> {
    let variant = resolved
        .variants
        .iter()
        .find(|variant| variant.variant.as_ref().is_some_and(|(own, _)| fold(own) == *name))?;
    let (written, _) = variant.variant.as_ref()?;
    let mut out = format!("**variant {written}** of {}\n\n{}\n", variant.name, total(variant));
    let keys = |formula: &Formula| formula.items.iter().map(Item::key).collect::<Vec<_>>();
    let (before, after) = (keys(&resolved.formula), keys(variant));
    let names = |formula: &Formula, not: &[String]| {
        let names = formula.items.iter().filter(|item| !not.contains(&item.key()));
        names.map(|item| item.name.clone()).collect::<Vec<_>>()
    };
    for (word, names) in [("without", names(&resolved.formula, &after)), ("with", names(variant, &before))] {
        if !names.is_empty() {
            let _ = writeln!(out, "\n{word} {}", names.join(", "));
        }
    }
    Some(out)
}

/// A formula at a glance.
fn whole(formula: &Formula) -> String {
    let mut out = format!("**{}**", formula.name);
    if let Some((version, _)) = &formula.header.version {
        let _ = write!(out, ", version {version}");
    }
    let _ = writeln!(out, "\n\n{}", total(formula));
    let _ = writeln!(
        out,
        "\nfree water {}, oils {}",
        percent(&formula.water.share.mid),
        percent(&formula.oils())
    );
    let markets = formula.header.markets.join(", ");
    let assumed = if formula.header.market_assumed { " (nobody says a market: assumed)" } else { "" };
    let _ = writeln!(out, "\nlimits of {markets}{assumed}");
    out
}

fn contents(formula: &Formula) -> String {
    let mut out = format!("{}\n\n", total(formula));
    for item in &formula.items {
        let share = item.mid().map_or_else(|| "?".to_owned(), percent);
        let _ = writeln!(out, "- {share} {}", item.name);
    }
    out
}

fn rule_card(name: &str) -> Option<String> {
    let rule = rule(name)?;
    let page = rule.page();
    let why = page.split("\n## ").find_map(|part| part.strip_prefix("Why\n")).unwrap_or("").trim();
    Some(format!("**{}** ({})\n\n{}\n\n{why}\n", rule.name, rule.level.word(), rule.summary()))
}
