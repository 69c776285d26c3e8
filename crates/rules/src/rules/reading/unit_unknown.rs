use crate::Adding;
use crate::Level;
use crate::card::rule;
use crate::case::Writing;
use crate::findings::Findings;
use crate::words;
use formula::Exact;
use notation::{Block, Form, ItemLine, Quantity, SlipKind, Span, TokenKind, Unit, UnitWord, find_unit, lex};

rule! {
    /// An amount has no unit, a misspelt one, or one with several readings; or a temperature lacks its degrees.
    ///
    /// ## Why
    /// `5 T` is a tablespoon to one maker and a teaspoon to another, `5 gr` a gram or a grain. `heat to 75` is hot
    /// water in Celsius and a warm room in Fahrenheit. What cannot be told apart is not weighed.
    /// ## Fires
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///    60  gramms    jojoba oil
    ///    40  g         squalane
    /// ```
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///     2  T         jojoba oil
    ///    40  g         squalane
    /// ```
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///    60            jojoba oil
    ///    40  %         squalane
    /// ```
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    /// phase A oil; heat to 40
    ///    60  %         jojoba oil
    ///    40  %         squalane
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    /// phase A oil; heat to 40 °C
    ///    60  grams     jojoba oil
    ///    40G           squalane
    /// ```
    /// Names that begin with a number, or with a word that resembles a unit:
    /// ```formula
    /// formula Oil for dry hands
    /// product body oil, water-free
    ///    99.5  %       C12-15 alkyl benzoate
    ///     0.5  %       bisabolol
    /// ```
    /// ## Fix
    /// Writes the unit that is one letter away, or each of the readings; `gr` as grains is worked out in
    /// milligrams. All need a look.
    /// ## Sources
    /// - a grain: the 7000th part of a pound of 453.59237 g, 64.79891 mg exactly (international yard and pound
    ///   agreement, 1 July 1959)
    name: "unit-unknown",
    group: Reading,
    level: Error,
    since: "0.1.0",
    fixes: Sometimes,
    check: Writing(check)
}

fn check(writing: &Writing<'_>, out: &mut Findings<'_>) {
    let block = writing.block;
    for slip in &block.slips {
        let text = block.at(slip.span);
        match &slip.kind {
            SlipKind::UnitMisspelt(unit) => {
                let _ = out
                    .add(slip.span, format!("`{text}` is no unit"))
                    .help(format!(
                        "Did you mean `{unit}`? If it is part of the name, write a unit before it."
                    ))
                    .replace(format!("Write `{unit}`"), slip.span, *unit);
            }
            SlipKind::UnitRefused(readings) => refused(block, slip.span, readings, out),
            SlipKind::UnitMissing => missing(block, slip.span, out),
            SlipKind::DegreesMissing => {
                let adding = out.add(slip.span, format!("`{text}` does not say which degrees"));
                degrees(block, slip.span, adding);
            }
            _ => {}
        }
    }
    for line in &block.lines {
        let Form::Step(words) = line.form else { continue };
        for number in bare_temperatures(block.at(words)) {
            let span = number.shifted(words.start);
            let message = format!("`{}` does not say which degrees", block.at(span));
            let adding = out.add(span, message).level(Level::Warning);
            degrees(block, span, adding);
        }
    }
}

fn refused(block: &Block, span: Span, readings: &[&'static str], out: &mut Findings<'_>) {
    let text = block.at(span);
    if text == "gr" {
        let mut adding = out
            .add(span, "`gr` is read as gram and as grain (64.8 mg)")
            .help("Write `g`, or the grains in milligrams.")
            .source(
                "a grain is 64.79891 mg exactly, the 7000th part of a pound (international yard and pound \
                 agreement, 1 July 1959)",
            )
            .replace("Write `g`", span, "g");
        if let Some((number, milligrams)) = grains(block, span) {
            adding = adding.replace(
                format!("Write it as grains: `{milligrams} mg`"),
                number.join(span),
                format!("{milligrams} mg"),
            );
        }
        let _ = adding;
        return;
    }
    let quoted: Vec<String> = readings.iter().map(|reading| format!("`{reading}`")).collect();
    let mut adding = out
        .add(span, format!("`{text}` is read as {} in the trade", words::list(&quoted)))
        .help(format!("Write {}.", words::either(&quoted)));
    for reading in readings {
        adding = adding.replace(format!("Write `{reading}`"), span, *reading);
    }
}

/// The number before `gr`, and its grains in milligrams.
fn grains(block: &Block, unit: Span) -> Option<(Span, String)> {
    let (item, whole) = block.lines.iter().find_map(|line| match &line.form {
        Form::Item(ItemLine { quantity: Quantity::Unread(whole), name, .. })
            if whole.start < unit.start && unit.end <= whole.end =>
        {
            Some((name, *whole))
        }
        _ => None,
    })?;
    let number = Span::new(whole.start, unit.start).trimmed(&block.text);
    let value = Exact::read(block.at(number))?;
    let milligrams = value * Exact::fraction(6_479_891, 100_000);
    (!item.span.is_empty()).then(|| (number, milligrams.data()))
}

fn missing(block: &Block, number: Span, out: &mut Findings<'_>) {
    let text = block.at(number);
    let mut adding = out
        .add(number, format!("`{text}` has no unit"))
        .help("Write the unit after the number: `%`, `g`, `mL`, `drops` …");
    let item = block.lines.iter().find_map(|line| match &line.form {
        Form::Item(item @ ItemLine { quantity: Quantity::Unread(whole), .. })
            if whole.start <= number.start && number.end <= whole.end =>
        {
            Some(item)
        }
        _ => None,
    });
    let Some(item) = item else { return };
    // `5 min lavender oil`: a unit that weighs nothing stands there; what was meant is not known.
    let first = block.at(item.name.span).split_whitespace().next().unwrap_or("");
    let other = matches!(find_unit(first), UnitWord::Known(_));
    if let Some(unit) = usual_unit(block).filter(|_| !other) {
        let gap = if number.end == item.name.span.start { " " } else { "" };
        adding = adding.replace(
            format!("Write `{unit}`, as the other lines do"),
            Span::at(number.end),
            format!(" {unit}{gap}"),
        );
    }
    let _ = adding;
}

/// The one unit that all other lines are written in.
fn usual_unit(block: &Block) -> Option<&'static str> {
    let mut units = block.lines.iter().filter_map(|line| match &line.form {
        Form::Item(ItemLine { quantity: Quantity::Given(measure), .. }) => {
            measure.unit.map(|unit| unit.unit.spelling())
        }
        Form::Item(ItemLine { quantity: Quantity::Balance(Some(measure), _), .. }) => {
            measure.unit.map(|unit| unit.unit.spelling())
        }
        _ => None,
    });
    let first = units.next()?;
    units.all(|unit| unit == first).then_some(first)
}

/// Offers both degrees; what stands after the number in its place is taken out.
fn degrees(block: &Block, span: Span, adding: Adding<'_>) {
    let text = block.at(span);
    let digits = text.rfind(|c: char| c.is_ascii_digit()).map_or(text.len(), |at| at + 1);
    let rest = Span::new(span.start + digits as u32, span.end);
    let mut adding = adding.help("Write `°C` or `°F` after the number.");
    for unit in [Unit::Celsius, Unit::Fahrenheit] {
        let unit = unit.spelling();
        adding = adding.replace(format!("Write `{unit}`"), rest, format!(" {unit}"));
    }
}

const THERMAL: &[&str] = &["heat", "heated", "warm", "warmed", "cool", "cooled", "chill", "chilled"];
const BEFORE: &[&str] = &["to", "at", "below", "under", "above", "until", "about"];
const AFTER: &[&str] = &["and", "then", "while", "for", "until", "with", "before", "degrees", "°"];

/// Numbers of a step that can only be temperatures and do not say which degrees: `cool to 40`.
fn bare_temperatures(step: &str) -> Vec<Span> {
    let tokens: Vec<_> = lex(step).into_iter().filter(|token| token.kind != TokenKind::Blank).collect();
    let lower =
        |at: usize| tokens.get(at).map(|token| token.span.of(step).to_lowercase()).unwrap_or_default();
    let mut found = Vec::new();
    let mut thermal = false;
    for (at, token) in tokens.iter().enumerate() {
        match token.kind {
            TokenKind::Semicolon | TokenKind::Comma => thermal = false,
            TokenKind::Word if THERMAL.contains(&lower(at).as_str()) => thermal = true,
            TokenKind::Number if thermal && at > 0 && BEFORE.contains(&lower(at - 1).as_str()) => {
                let next = tokens.get(at + 1);
                let word = lower(at + 1);
                let ends = next.is_none_or(|next| {
                    matches!(next.kind, TokenKind::Semicolon | TokenKind::Comma | TokenKind::Hash)
                });
                let joined = AFTER.contains(&word.as_str()) || word == ".";
                let said = matches!(word.as_str(), "degrees" | "°")
                    && matches!(lower(at + 2).as_str(), "c" | "f" | "celsius" | "fahrenheit");
                let value = Exact::read(token.span.of(step));
                let plausible =
                    value.is_some_and(|value| value >= Exact::whole(20) && value <= Exact::whole(212));
                if (ends || joined) && !said && plausible {
                    let vague = matches!(word.as_str(), "degrees" | "°");
                    let span = next.filter(|_| vague).map_or(token.span, |next| token.span.join(next.span));
                    found.push(span);
                }
            }
            _ => {}
        }
    }
    found
}
