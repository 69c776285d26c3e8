use crate::card::rule;
use crate::case::Case;
use crate::findings::{Adding, Findings};
use crate::words;
use formula::{Found, Item, Written};

rule! {
    /// An ingredient has no amount.
    ///
    /// ## Why
    /// What has no amount cannot be weighed, held against a limit, or added up.
    /// ## Fires
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///    60     %     jojoba oil
    ///    40     %     squalane
    ///                 bisabolol
    /// ```
    /// The amount behind the name is read as a strength:
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    /// phase A oil
    ///                 squalane 40 %
    /// ```
    /// A list without any amount is one finding:
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///                 jojoba oil
    ///                 squalane
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///    60     %     jojoba oil
    ///   to 100  %     squalane
    /// ```
    /// A variant takes the amount of what it replaces:
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///    60     %     jojoba oil
    ///    40     %     squalane
    ///
    /// variant light
    /// replace squalane with caprylic/capric triglyceride
    /// ```
    /// ## Fix
    /// An amount that stands behind the name is moved to the front. It needs a look: it may have been the strength.
    name: "amount-missing",
    group: Reading,
    level: Error,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

const HELP: &str =
    "Write the amount in front of the name: `5 % glycerin`, `20 g glycerin`; for what only adjusts: `q.s.`";

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let items = &case.formula.items;
    // What a variant leaves as it is was told of its parent.
    let told = |item: &&Item| case.is_parent() || item.changed;
    let without: Vec<&Item> =
        items.iter().filter(|item| item.written == Written::Missing).filter(told).collect();
    if without.len() == items.len()
        && let [first, others @ ..] = without.as_slice()
        && !others.is_empty()
    {
        let mut adding = out
            .add(first.name_span, format!("none of the {} lines has an amount", items.len()))
            .help(HELP)
            .lines(items.iter().map(|item| item.span));
        for other in others {
            adding = adding.related(other.name_span, format!("{} has no amount", other.name));
        }
        return;
    }
    for item in without {
        let adding = out
            .add(item.name_span, format!("{} has no amount", item.name))
            .help(HELP)
            .subject(item.key())
            .lines([item.span]);
        let _ = moved(case, item, adding);
    }
}

/// `glycerin 5 %`: offers `5 % glycerin`, unless the whole is a name that is known.
fn moved<'a>(case: &Case<'_>, item: &Item, adding: Adding<'a>) -> Adding<'a> {
    let written = case.at(item.name_span);
    match words::amount_behind(written) {
        Some((name, amount)) if !matches!(case.known.find(written), Found::Known(_)) => adding.replace(
            format!("Move `{amount}` to the front"),
            item.name_span,
            format!("{amount} {name}"),
        ),
        _ => adding,
    }
}
