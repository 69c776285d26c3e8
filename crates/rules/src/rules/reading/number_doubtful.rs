use crate::card::rule;
use crate::case::Writing;
use crate::findings::Findings;
use crate::words;
use notation::SlipKind;

rule! {
    /// A number has two readings: thousands or decimals, a fraction or a range.
    ///
    /// ## Why
    /// `1,000 g` is a kilogram to one reader and a gram to another. A guess would be wrong by a factor of a
    /// thousand for one of them, so the line is left out of the sums until one reading is written.
    /// ## Fires
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///    1,000   g     jojoba oil
    ///      500   g     squalane
    /// ```
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///    1-1/2   oz    jojoba oil
    ///    3       oz    squalane
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///    1000    g     jojoba oil
    ///     500    g     squalane
    /// ```
    /// A decimal comma, and a point with three digits behind it, have one reading:
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///    66,5    %     jojoba oil
    ///    33.375  %     squalane
    ///     0,125  %     bisabolol
    /// ```
    /// So have digits and commas inside a name:
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///    60      %     C12-15 alkyl benzoate
    ///    40      %     squalane
    /// ```
    /// ## Fix
    /// Each reading is offered; only the maker can know which one was meant.
    name: "number-doubtful",
    group: Reading,
    level: Error,
    since: "0.1.0",
    fixes: Always,
    check: Writing(check)
}

fn check(writing: &Writing<'_>, out: &mut Findings<'_>) {
    for slip in &writing.block.slips {
        let SlipKind::NumberDoubtful(readings) = &slip.kind else { continue };
        let text = writing.block.at(slip.span);
        let quoted: Vec<String> = readings.iter().map(|reading| format!("`{reading}`")).collect();
        let either = words::either(&quoted);
        let message = match quoted.len() {
            1 => format!("`{text}` is not written as one number"),
            _ => format!("`{text}` can be read as {either}"),
        };
        let mut adding = out.add(slip.span, message).help(format!(
            "Write {either}, without blanks or marks between thousands. Until then the line counts in no sum."
        ));
        for reading in readings {
            adding = adding.replace(format!("Write `{reading}`"), slip.span, reading.clone());
        }
    }
}
