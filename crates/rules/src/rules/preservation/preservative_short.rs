use crate::card::rule;
use crate::case::Case;
use crate::changes::{in_percent, takes_up};
use crate::findings::Findings;
use crate::words;

rule! {
    /// There is less of the only preservative than it takes to work.
    ///
    /// ## Why
    /// Below its effective dose a preservative slows growth at best, and breeds germs that it no longer kills. A
    /// blend counts as a whole, as its supplier doses it.
    /// ## Fires
    /// ```formula
    /// formula Morning milk
    /// product milk, face
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///        15     %     jojoba oil
    ///         4     %     cetearyl alcohol (and) ceteareth-20
    ///         0.1   %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Morning milk
    /// product milk, face
    /// pH 5.0 to 5.5
    ///   to  100     %     purified water
    ///        15     %     jojoba oil
    ///         4     %     cetearyl alcohol (and) ceteareth-20
    ///         0.8   %     phenoxyethanol (and) ethylhexylglycerin
    /// ```
    /// ## Fix
    /// Raises it to the least at which it works, where the line is in percent and another makes up the total. A
    /// matter of judgement: the dose stands on the supplier's sheet.
    /// ## Sources
    /// - the `usage` line of the preservative; the finding names where it comes from and is no louder than that
    ///   allows
    name: "preservative-short",
    group: Preservation,
    level: Error,
    since: "0.1.0",
    fixes: Sometimes,
    check: Formula(check)
}

fn check(case: &Case<'_>, out: &mut Findings<'_>) {
    let formula = case.formula;
    if !case.needs_preserving() {
        return;
    }
    let all = case.preservatives();
    let [only] = all else { return };
    if only.in_premix {
        return;
    }
    let (Some((least, figure)), Some(share), Some(item)) =
        (only.least(), &only.share, formula.items.get(only.item))
    else {
        return;
    };
    // A range is held against its lower end; an estimated weight against its middle.
    let amount = if item.is_range { &share.low } else { &share.mid };
    let boosted = formula.items.iter().any(|other| {
        let least = other
            .material
            .as_ref()
            .and_then(|material| material.usage.first())
            .and_then(|usage| usage.value.low.clone());
        other.does("preservative booster")
            && least.zip(other.mid()).is_some_and(|(least, amount)| *amount >= least)
    });
    if *amount >= least || boosted {
        return;
    }
    let Some(material) = &only.material else { return };
    let name =
        if only.inside { format!("{} (inside {})", material.name, item.name) } else { item.name.clone() };
    let message = format!(
        "{name} {} is less than the {} from which it works, and it is the only preservative here",
        words::percent(amount),
        words::percent(&least)
    );
    let adding = out
        .add(item.name_span, message)
        .help(
            "Raise it into the range on the supplier's sheet, or show by a challenge test that this is \
             enough.",
        )
        .founded_on(&figure.source)
        .subject(item.key());
    let whole = !only.inside && takes_up(case);
    if let Some(edits) = in_percent(case, item, &least).filter(|_| whole) {
        let title = format!("Raise {} to {}, the least at which it works", item.name, words::percent(&least));
        let _ = adding.judgement_fix(title, edits);
    }
}
