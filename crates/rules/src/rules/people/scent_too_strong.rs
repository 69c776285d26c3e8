use crate::card::rule;
use crate::case::Case;
use crate::findings::Findings;
use crate::people::{by_occasion, is_for, is_rinsed};
use crate::usual::known_use;
use crate::{Level, words};
use formula::people::scent;
use formula::{Exact, Fit, Item, Written};

rule! {
    /// All essential oils and perfume together are more than suits the place and the people.
    ///
    /// ## Why
    /// Every essential oil and perfume is a mixture of sensitisers; who once reacts does so for life. What counts
    /// is the sum, not each oil, and a face bears less than a foot.
    /// ## Fires
    /// ```formula
    /// formula Garland face oil
    /// product face oil
    ///   to  100     %     jojoba oil
    ///         2     %     lavender oil
    ///         2     %     frankincense oil
    ///         1     %     geranium oil
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Garland face oil
    /// product face oil
    ///   to  100     %     jojoba oil
    ///         0.4   %     lavender oil
    ///         0.3   %     frankincense oil
    /// ```
    /// Rinsed off:
    /// ```formula
    /// formula Garland shower oil
    /// product body wash, water-free
    ///   to  100     %     jojoba oil
    ///        10     %     polysorbate 80
    ///         1     %     lavender oil
    ///         1     %     rosemary oil
    ///         1     %     sweet orange oil
    ///         1     %     frankincense oil
    /// ```
    /// A perfume:
    /// ```formula
    /// formula Garland scent
    /// product perfume, roll-on
    ///   to  100     %     jojoba oil
    ///        15     %     lavender oil
    /// ```
    /// Waters distilled with the plant are no scent oils:
    /// ```formula
    /// formula Garland mist
    /// product toner, face
    /// pH 5.0 to 5.5
    ///   to  100     %     rose hydrosol
    ///         1     %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Fix
    /// None: which oil gives way is a matter of taste.
    /// ## Sources
    /// - common practice, of which the sources differ: face 1 to 1.5 %, body 2 to 3 %, lips 1 to 2 %, sensitive
    ///   skin 0.5 to 1 %, children 1 to 1.5 % (R. Tisserand and R. Young 2014, as quoted by earthessences.co.uk;
    ///   raddy.com). Between the two a hint, above both a warning
    /// - what single oils and substances may reach is told by `over-limit` and `phototoxic`
    name: "scent-too-strong",
    group: People,
    level: Warning,
    since: "0.1.0",
    fixes: None,
    check: Formula(check)
}

/// From where on some advise against it, and above what all do, in hundredths of a percent; and for whom.
struct Advice {
    where_worn: &'static str,
    some: i128,
    all: i128,
}

fn advice(case: &Case<'_>) -> Advice {
    let product = &case.formula.header.product;
    if is_for(case, &["sensitive"]) {
        return Advice { where_worn: "for sensitive skin", some: 50, all: 100 };
    }
    if is_for(case, &["children", "kids"]) {
        return Advice { where_worn: "for children", some: 100, all: 150 };
    }
    if is_for(case, &["pregnan"]) {
        return Advice { where_worn: "for pregnancy", some: 100, all: 200 };
    }
    if product.is("lips") == Fit::Yes {
        return Advice { where_worn: "on lips", some: 100, all: 200 };
    }
    if product.is("face") == Fit::Yes {
        return Advice { where_worn: "on the face", some: 100, all: 150 };
    }
    Advice { where_worn: "on the body", some: 200, all: 300 }
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    let product = &formula.header.product;
    let perfume = product.says("perfume") || product.says("fragrance");
    // For babies and near eyes any scent is told by the rules for them; drops are an estimate, and told as such.
    let told = product.is_for_babies() || product.is("eye area") == Fit::Yes;
    let stays = product.usage() == Some("leave-on");
    if !stays || is_rinsed(case) || perfume || told || formula.is_premix() {
        return;
    }
    let scent = scent(formula);
    let Advice { where_worn, some, all } = advice(case);
    if scent.share <= Exact::fraction(some, 10_000) {
        return;
    }
    let mut lines: Vec<&Item> = scent.items.iter().filter_map(|at| formula.items.get(*at)).collect();
    lines.sort_by_key(|item| std::cmp::Reverse(item.mid().cloned()));
    let Some(first) = lines.first() else { return };
    let estimated = lines
        .iter()
        .any(|item| item.conversion.is_some() || !matches!(item.written, Written::Amount(_) | Written::Both));
    let level =
        if scent.share > Exact::fraction(all, 10_000) && !estimated { Level::Warning } else { Level::Hint };
    // What is but disputed in the sum says nothing where a single oil is out of its own range.
    if level == Level::Hint && lines.iter().any(|item| is_out_of_range(item)) {
        return;
    }
    let about = if estimated { "about " } else { "" };
    let share = if estimated { words::about(&scent.share) } else { words::percent(&scent.share) };
    let names: Vec<String> = lines.iter().map(|item| item.name.clone()).collect();
    let together = if names.len() == 1 { "" } else { " together" };
    let message = format!(
        "{}{together} bring {about}{share} of scent {where_worn}; advice ends between {} and {}",
        words::list(&names),
        words::percent(&Exact::fraction(some, 10_000)),
        words::percent(&Exact::fraction(all, 10_000)),
    )
    .replacen(" bring ", if names.len() == 1 { " brings " } else { " bring " }, 1);
    let mut adding = out
        .add(first.name_span, message)
        .level(by_occasion(case, level))
        .help(format!(
            "Take less scent: up to {}, all oils together, is within all the advice that was read. Single \
             oils may have lower limits of their own.",
            words::percent(&Exact::fraction(some, 10_000))
        ))
        .source(
            "common practice: R. Tisserand and R. Young 2014, as quoted by earthessences.co.uk; raddy.com",
        )
        .subject("scent")
        .lines(lines.iter().map(|item| item.span));
    for item in lines.iter().skip(1) {
        adding = adding.related(
            item.name_span,
            format!("{} {}", item.name, item.mid().map(words::percent).unwrap_or_default()),
        );
    }
}

/// Whether a line holds more of an oil than it is usually used at.
fn is_out_of_range(item: &Item) -> bool {
    let most =
        item.material.as_ref().and_then(|material| known_use(&material.usage)).and_then(|(_, most, _)| most);
    most.zip(item.mid()).is_some_and(|(most, share)| *share > most)
}
