use crate::Level;
use crate::card::rule;
use crate::case::Made;
use crate::findings::Findings;
use formula::{Formula, MadeOf, is_older};
use notation::{Edits, Span, fold, nearest};

rule! {
    /// A record names no version, or one that cannot have been made.
    ///
    /// ## Why
    /// A batch that comes back with a complaint leads to nothing if nobody knows which sheet it was made from; a
    /// batch from an old sheet repeats what the new one has mended.
    /// ## Fires
    /// Made from the old sheet:
    /// ```formula
    /// formula Gorse balm
    /// version 3
    /// dated 2026-06-08
    /// product balm, body
    ///    80     %     jojoba oil
    ///    20     %     beeswax
    ///
    /// record 26-044
    /// of Gorse balm version 2
    /// date 2026-09-01
    /// ```
    /// A version that is not written yet:
    /// ```formula
    /// formula Gorse balm
    /// version 3
    /// product balm, body
    ///    80     %     jojoba oil
    ///    20     %     beeswax
    ///
    /// record 26-044
    /// of Gorse balm version 4
    /// ```
    /// No version, and no such variant:
    /// ```formula
    /// formula Gorse balm
    /// version 3
    /// product balm, body
    ///    80     %     jojoba oil
    ///    20     %     beeswax
    ///
    /// record 26-044
    /// of Gorse balm
    /// ```
    /// ```formula
    /// formula Gorse balm
    /// version 3
    /// product balm, body
    ///    80     %     jojoba oil
    ///    20     %     beeswax
    ///
    /// variant firm
    /// set jojoba oil to 75 %
    /// set beeswax to 25 %
    ///
    /// record 26-044
    /// of Gorse balm version 3; variant frim
    /// ```
    /// ## Quiet
    /// A batch of an older version, made when that was the sheet:
    /// ```formula
    /// formula Gorse balm
    /// version 3
    /// dated 2026-06-08
    /// product balm, body
    ///    80     %     jojoba oil
    ///    20     %     beeswax
    ///
    /// record 26-012
    /// of Gorse balm version 2
    /// date 2026-02-17
    ///
    /// record 26-044
    /// of Gorse balm version 3
    /// date 2026-09-01
    /// ```
    /// The new version is still being tried, a sheet without versions, and a formula of another file:
    /// ```formula
    /// formula Gorse balm
    /// version 3
    /// dated 2026-06-08
    /// status trial
    /// product balm, body
    ///    80     %     jojoba oil
    ///    20     %     beeswax
    ///
    /// formula Heath balm
    /// product balm, body
    ///    80     %     jojoba oil
    ///    20     %     beeswax
    ///
    /// record 26-044
    /// of Gorse balm version 2
    /// date 2026-09-01
    ///
    /// record 26-045
    /// of Heath balm
    ///
    /// record 26-046
    /// of Broom balm
    /// ```
    /// ## Fix
    /// Writes the version of the sheet, or the name of the variant that is near. It needs a look: a record says
    /// what was done, not what should have been.
    name: "record-version",
    group: Variants,
    level: Warning,
    since: "0.1.0",
    fixes: Sometimes,
    check: Record(check)
}

fn check(made: &Made<'_>, out: &mut Findings<'_>) {
    let (Some(of), Some(resolved)) = (&made.record.of, made.resolved) else { return };
    let sheet = &resolved.formula;
    let Some((now, _)) = &sheet.header.version else {
        return variant(made, of, out);
    };
    let Some((said, span)) = &of.version else {
        return unsaid(made, of, sheet, now, out);
    };
    if fold(said) == fold(now) {
        return variant(made, of, out);
    }
    let fix =
        |span: Span| (format!("Write `version {now}`, if that was made"), Edits::one(span, now.clone()));
    if is_older(now, said) == Some(true) {
        let (title, edits) = fix(*span);
        let message = format!(
            "this batch is said to be of version {said}, and the sheet of {} is version {now}",
            of.name
        );
        let _ = out
            .add(*span, message)
            .help("Set the record right, or give the sheet the version that was made.")
            .judgement_fix(title, edits);
        return;
    }
    let trial = sheet.header.status.as_deref() == Some("trial");
    if let (Some((_, dated)), Some((date, _))) = (sheet.header.dated, made.record.date)
        && dated < date
        && !trial
    {
        let (title, edits) = fix(*span);
        let message =
            format!("made on {date} from version {said}, when version {now} of {dated} was the sheet");
        let _ = out
            .add(*span, message)
            .help(
                "Look whether the old sheet still lies at the bench; if the new one was used, set the \
                 record right.",
            )
            .judgement_fix(title, edits);
    }
}

/// No version is said, and the sheet has one.
fn unsaid(made: &Made<'_>, of: &MadeOf, sheet: &Formula, now: &str, out: &mut Findings<'_>) {
    let message =
        format!("which version of {} was made is not said; the sheet is now version {now}", of.name);
    let adding = out
        .add(of.span, message)
        .level(Level::Note)
        .help(format!("Write it behind the name: `of {} version {now}`.", of.name));
    if !crate::records::is_younger(sheet, made.record) {
        let edits = Edits::one(Span::at(of.span.end), format!(" version {now}"));
        let _ = adding.judgement_fix(format!("Write `version {now}`, if that was made"), edits);
    }
}

/// The variant that was made is none of the formula's.
fn variant(made: &Made<'_>, of: &MadeOf, out: &mut Findings<'_>) {
    let (Some((name, span)), Some(resolved), None) = (&of.variant, made.resolved, made.formula) else {
        return;
    };
    let names: Vec<&str> = resolved
        .variants
        .iter()
        .filter_map(|own| own.variant.as_ref())
        .map(|(name, _)| name.as_str())
        .collect();
    let has =
        if names.is_empty() { "it has none".to_owned() } else { format!("it has {}", names.join(", ")) };
    let adding = out
        .add(*span, format!("{} has no variant `{name}`; {has}", of.name))
        .help("Write the variant as the formula names it.");
    if let Some(near) = nearest(name, names.iter().copied(), 2) {
        let _ = adding.replace(format!("Write `{near}`"), *span, near);
    }
}
