//! Numbers as makers write them, read exactly: `12`, `0.5`, `0,5`, `.5`, `1/2`, `1 1/2`, `½`, `1½`.

/// An exact number, as the digits say it: `whole + numerator / denominator`.
///
/// The parts are kept as text of digits, so that this crate needs no arithmetic of its own.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Number {
    /// Digits before the point, or of the whole part; may be empty.
    pub whole: String,
    /// Digits after the point; empty where there is none.
    pub decimals: String,
    /// Numerator and denominator of a written fraction.
    pub fraction: Option<(String, String)>,
}

/// Why a number cannot be taken as it stands.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum NumberFault {
    /// Thousands or decimals? Both readings, ready to be written.
    Doubtful(Vec<String>),
    /// Cannot be read; what could be written instead, where that is known.
    Unreadable(Option<String>),
}

fn vulgar(c: char) -> Option<(&'static str, &'static str)> {
    Some(match c {
        '½' => ("1", "2"),
        '¼' => ("1", "4"),
        '¾' => ("3", "4"),
        '⅓' => ("1", "3"),
        '⅔' => ("2", "3"),
        '⅛' => ("1", "8"),
        '⅜' => ("3", "8"),
        '⅝' => ("5", "8"),
        '⅞' => ("7", "8"),
        _ => return None,
    })
}

fn digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit())
}

/// Reads one number; blanks only between a whole number and a fraction.
///
/// # Errors
/// A [`NumberFault`] that says which readings there are, or what to write.
pub fn read_number(text: &str) -> Result<Number, NumberFault> {
    if let Some(positive) = text.strip_prefix(['-', '–', '−', '+']) {
        return Err(NumberFault::Unreadable(Some(positive.to_owned())));
    }
    if let Some((whole, fraction)) = text.split_once(['-', '–', '−']).filter(|(_, f)| read_number(f).is_ok())
    {
        let readings = vec![format!("{whole} {fraction}"), format!("{fraction} to {whole}")];
        return Err(if text.contains(['e', 'E']) {
            NumberFault::Unreadable(None)
        } else {
            NumberFault::Doubtful(readings)
        });
    }
    if text.contains(['e', 'E']) {
        return Err(NumberFault::Unreadable(None));
    }
    if let Some((whole, fraction)) = text.split_once(crate::text::is_blank) {
        let fraction = fraction.trim_matches(crate::text::is_blank);
        if digits(whole) && fraction.contains(['/', '½', '¼', '¾', '⅓', '⅔', '⅛', '⅜', '⅝', '⅞'])
        {
            let part = read_number(fraction)?;
            if part.whole.is_empty() && part.fraction.is_some() {
                return Ok(Number { whole: whole.to_owned(), ..part });
            }
        }
        return Err(grouped(text));
    }
    let last = text.chars().next_back().unwrap_or(' ');
    if let Some((numerator, denominator)) = vulgar(last) {
        let whole = text.trim_end_matches(last);
        if whole.is_empty() || digits(whole) {
            let fraction = Some((numerator.to_owned(), denominator.to_owned()));
            return Ok(Number { whole: whole.to_owned(), decimals: String::new(), fraction });
        }
        return Err(NumberFault::Unreadable(None));
    }
    if let Some((numerator, denominator)) = text.split_once('/') {
        if !digits(numerator) || !digits(denominator) || denominator.bytes().all(|b| b == b'0') {
            return Err(NumberFault::Unreadable(None));
        }
        let fraction = Some((numerator.to_owned(), denominator.to_owned()));
        return Ok(Number { whole: String::new(), decimals: String::new(), fraction });
    }
    if digits(text) {
        return Ok(Number { whole: text.to_owned(), decimals: String::new(), fraction: None });
    }
    decimal(text)
}

fn decimal(text: &str) -> Result<Number, NumberFault> {
    let separators: Vec<char> = text.chars().filter(|c| !c.is_ascii_digit()).collect();
    match separators.as_slice() {
        [separator @ ('.' | ',')] => {
            let (whole, decimals) = text.split_once(*separator).unwrap_or((text, ""));
            if decimals.is_empty() {
                return Err(NumberFault::Unreadable(Some(whole.to_owned())));
            }
            let zero = whole.bytes().all(|b| b == b'0');
            let grouped_like =
                *separator == ',' && decimals.len() == 3 && (1..=3).contains(&whole.len()) && !zero;
            if grouped_like {
                return Err(NumberFault::Doubtful(vec![
                    format!("{whole}{decimals}"),
                    format!("{whole}.{decimals}"),
                ]));
            }
            Ok(Number { whole: whole.to_owned(), decimals: decimals.to_owned(), fraction: None })
        }
        _ => Err(grouped(text)),
    }
}

/// Several groups: the reading without separators, and the one that takes the last separator as the point.
fn grouped(text: &str) -> NumberFault {
    let mark = |c: char| !c.is_ascii_digit();
    if text.contains('/') || !text.chars().any(|c| c.is_ascii_digit()) {
        return NumberFault::Unreadable(None);
    }
    let plain: String = text.chars().filter(char::is_ascii_digit).collect();
    let groups: Vec<&str> = text.split(mark).collect();
    let even = groups.len() > 1
        && groups.iter().skip(1).all(|g| g.len() == 3)
        && groups.first().is_some_and(|g| (1..=3).contains(&g.len()));
    let pointed = text.rsplit_once(mark).map(|(whole, decimals)| {
        let whole: String = whole.chars().filter(char::is_ascii_digit).collect();
        format!("{whole}.{decimals}")
    });
    match (even, pointed) {
        (true, Some(pointed)) if groups.len() == 2 => NumberFault::Doubtful(vec![plain, pointed]),
        (true, _) => NumberFault::Doubtful(vec![plain]),
        (false, Some(pointed)) => NumberFault::Doubtful(vec![pointed, plain]),
        (false, None) => NumberFault::Unreadable(None),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn value(text: &str) -> String {
        match read_number(text) {
            Ok(n) => {
                let decimals = if n.decimals.is_empty() { String::new() } else { format!(".{}", n.decimals) };
                let fraction = n.fraction.map(|(a, b)| format!("+{a}/{b}")).unwrap_or_default();
                format!("{}{decimals}{fraction}", n.whole)
            }
            Err(fault) => format!("{fault:?}"),
        }
    }

    #[test]
    fn forms() {
        for (text, expected) in [
            ("12", "12"),
            ("0.5", "0.5"),
            ("0,5", "0.5"),
            ("5,0", "5.0"),
            (".5", ".5"),
            ("1/2", "+1/2"),
            ("1 1/2", "1+1/2"),
            ("½", "+1/2"),
            ("1½", "1+1/2"),
            ("0,125", "0.125"),
            ("1.250", "1.250"),
            ("1,000", r#"Doubtful(["1000", "1.000"])"#),
            ("1 000", r#"Doubtful(["1000", "1.000"])"#),
            ("1'000", r#"Doubtful(["1000", "1.000"])"#),
            ("1,000,000", r#"Doubtful(["1000000"])"#),
            ("1.000,50", r#"Doubtful(["1000.50", "100050"])"#),
            ("1/0", "Unreadable(None)"),
            ("1/2/3", "Unreadable(None)"),
            ("1-1/2", r#"Doubtful(["1 1/2", "1/2 to 1"])"#),
            ("1e-3", "Unreadable(None)"),
            ("5.", r#"Unreadable(Some("5"))"#),
            ("-5", r#"Unreadable(Some("5"))"#),
        ] {
            assert_eq!(value(text), expected, "{text}");
        }
    }
}
