//! The parsers of the parts of a line that have structure: numbers, ranges, units, amounts, changes.
//!
//! Each is built once for a block and used for all its lines. They take the tokens of a line, blanks included, and
//! leave what they do not need; names and free words are cut as plain spans.

use crate::line::{Base, Measure, Quantity, Range, RangeKind};
use crate::text::Span;
use crate::token::{Token, TokenKind};
use crate::unit::{Measures, Unit, UnitAt, known_unit};
use chumsky::prelude::*;

type In<'t> = &'t [Token];
type Boxed<'t, O> = chumsky::Boxed<'t, 't, In<'t>, O, extra::Default>;

/// What a parser took from the start of some tokens, and how many of them.
#[derive(Clone, Debug)]
pub(super) struct Taken<O> {
    pub(super) value: O,
    pub(super) tokens: usize,
}

/// The parsers of one block.
pub(super) struct Forms<'t> {
    measure: Boxed<'t, Taken<Measure>>,
    quantity: Boxed<'t, Taken<Quantity>>,
}

impl<'t> Forms<'t> {
    pub(super) fn new(text: &'t str) -> Forms<'t> {
        Forms { measure: taken(measure(text)).boxed(), quantity: taken(quantity(text)).boxed() }
    }

    /// A number or range with its unit, at the start of some tokens.
    pub(super) fn measure(&self, tokens: &'t [Token]) -> Option<Taken<Measure>> {
        self.measure.parse(tokens).into_output()
    }

    /// The amount of an ingredient line; none where the line begins with its name.
    pub(super) fn quantity(&self, tokens: &'t [Token]) -> Option<Taken<Quantity>> {
        self.quantity.parse(tokens).into_output()
    }
}

fn taken<'t, O>(
    parser: impl Parser<'t, In<'t>, O, extra::Default> + Clone + 't,
) -> impl Parser<'t, In<'t>, Taken<O>, extra::Default> + Clone + 't
where
    O: 't,
{
    parser.map_with(|value, extra| Taken { value, tokens: extra.span().end }).then_ignore(any().repeated())
}

fn kind<'t>(kind: TokenKind) -> impl Parser<'t, In<'t>, Token, extra::Default> + Copy {
    any().filter(move |token: &Token| token.kind == kind)
}

fn word<'t>(text: &'t str, wanted: &'static str) -> impl Parser<'t, In<'t>, Token, extra::Default> + Copy {
    any().filter(move |token: &Token| {
        token.kind == TokenKind::Word && token.span.of(text).eq_ignore_ascii_case(wanted)
    })
}

fn one_of_words<'t>(
    text: &'t str,
    wanted: &'static [&'static str],
) -> impl Parser<'t, In<'t>, Token, extra::Default> + Copy {
    any().filter(move |token: &Token| {
        let found = token.span.of(text);
        token.kind == TokenKind::Word && wanted.iter().any(|word| found.eq_ignore_ascii_case(word))
    })
}

fn sign<'t>(text: &'t str, wanted: &'static str) -> impl Parser<'t, In<'t>, Token, extra::Default> + Copy {
    any().filter(move |token: &Token| token.span.of(text) == wanted)
}

fn blank<'t>() -> impl Parser<'t, In<'t>, (), extra::Default> + Copy {
    kind(TokenKind::Blank).ignored()
}

fn gap<'t>() -> impl Parser<'t, In<'t>, (), extra::Default> + Copy {
    blank().or_not().ignored()
}

/// One number, together with what may only seem to belong to it (`1 1/2`, `1 000`, `1-1/2`, `1e-3`, `5.`, `-5`):
/// whether it can be read is decided on its text.
fn number(text: &str) -> impl Parser<'_, In<'_>, Span, extra::Default> + Clone {
    let fraction =
        move |token: &Token| token.span.of(text).contains(['/', '½', '¼', '¾', '⅓', '⅔', '⅛', '⅜', '⅝', '⅞']);
    let group =
        move |token: &Token| token.span.len() == 3 && token.span.of(text).bytes().all(|b| b.is_ascii_digit());
    let plain = kind(TokenKind::Number);
    let digits = plain.filter(move |t: &Token| t.span.of(text).bytes().all(|b| b.is_ascii_digit()));
    let mixed = digits.then(blank().ignore_then(plain.filter(fraction)));
    let groups = digits
        .filter(|t: &Token| t.span.len() <= 3)
        .then(blank().ignore_then(plain.filter(group)).repeated().at_least(1).collect::<Vec<_>>())
        .map(|(first, rest)| rest.last().map_or(first.span, |last| first.span.join(last.span)));
    // `1-1/2` may be one and a half; `1-1½` is a range.
    let bare_fraction = move |token: &Token| {
        let written = token.span.of(text);
        fraction(token) && (written.contains('/') || written.chars().count() == 1)
    };
    let hyphened = digits.then(kind(TokenKind::Dash).ignore_then(plain.filter(bare_fraction)));
    let exponent = plain
        .then_ignore(one_of_words(text, &["e"]))
        .then_ignore(choice((kind(TokenKind::Dash).ignored(), sign(text, "+").ignored())).or_not())
        .then(plain);
    let trailing = plain.then(sign(text, ".")).then_ignore(choice((blank(), end())).rewind());
    let signed = choice((kind(TokenKind::Dash), sign(text, "+"))).then(plain);
    let pair = |(a, b): (Token, Token)| a.span.join(b.span);
    choice((
        mixed.map(pair),
        groups,
        hyphened.map(pair),
        exponent.map(pair),
        trailing.map(pair),
        signed.map(pair),
        plain.map(|t: Token| t.span),
    ))
}

fn range(text: &str) -> impl Parser<'_, In<'_>, Range, extra::Default> + Clone {
    let number = number(text);
    let about =
        choice((one_of_words(text, &["about", "approx", "approximately", "circa", "ca"]), sign(text, "~")))
            .then_ignore(sign(text, ".").or_not())
            .then_ignore(gap())
            .to(RangeKind::About);
    let words = |first: &'static str, second: &'static str| {
        word(text, first).then(blank()).then(word(text, second)).then(blank()).ignored()
    };
    let at_least = choice((
        words("at", "least"),
        words("more", "than"),
        one_of_words(text, &["above", "over", "minimum"]).then(blank()).ignored(),
        sign(text, ">").then(gap()).ignored(),
        sign(text, "≥").then(gap()).ignored(),
    ))
    .to(RangeKind::AtLeast);
    let at_most = choice((
        words("at", "most"),
        words("up", "to"),
        words("less", "than"),
        one_of_words(text, &["below", "under", "maximum"]).then(blank()).ignored(),
        sign(text, "<").then(gap()).ignored(),
        sign(text, "≤").then(gap()).ignored(),
    ))
    .to(RangeKind::AtMost);
    let one_sided =
        choice((about, at_least, at_most)).then(number.clone()).map(|(kind, first)| (kind, first, None));
    let plus_minus = choice((
        sign(text, "±").ignored(),
        sign(text, "+").then(sign(text, "/")).then(kind(TokenKind::Dash)).ignored(),
    ))
    .to(RangeKind::PlusMinus);
    let between =
        choice((word(text, "to").ignored(), kind(TokenKind::Dash).ignored())).to(RangeKind::Between);
    let second = gap().ignore_then(choice((plus_minus, between))).then_ignore(gap()).then(number.clone());
    let two_sided = number.then(second.or_not()).map(|(first, second)| match second {
        None => (RangeKind::Exact, first, None),
        Some((kind, second)) => (kind, first, Some(second)),
    });
    choice((one_sided, two_sided)).map_with(|(kind, first, second), extra| {
        let tokens: &[Token] = extra.slice();
        let span = covered(tokens);
        Range { kind, first, second: second.unwrap_or(Span::at(first.end)), span }
    })
}

fn covered(tokens: &[Token]) -> Span {
    match (tokens.first(), tokens.last()) {
        (Some(first), Some(last)) => first.span.join(last.span),
        _ => Span::default(),
    }
}

fn kitchen(unit: Unit, whose: Measures) -> Option<Unit> {
    Some(match unit {
        Unit::FluidOunce(None) => Unit::FluidOunce(Some(whose)),
        Unit::Teaspoon(None) => Unit::Teaspoon(Some(whose)),
        Unit::Tablespoon(None) => Unit::Tablespoon(Some(whose)),
        Unit::Cup(None) => Unit::Cup(Some(whose)),
        _ => return None,
    })
}

fn unit(text: &str) -> impl Parser<'_, In<'_>, UnitAt, extra::Default> + Clone {
    let slash = sign(text, "/");
    let basis = |a: &'static str, b: &'static str| word(text, a).then(slash).then(word(text, b)).ignored();
    let percent = kind(TokenKind::Percent).ignore_then(
        gap()
            .ignore_then(choice((
                basis("w", "w").to(Unit::Percent),
                basis("w", "v").to(Unit::PercentWv),
                basis("v", "v").to(Unit::PercentVv),
            )))
            .or_not(),
    );
    let percent = percent.map(|basis| basis.unwrap_or(Unit::Percent));
    let fluid = choice((
        word(text, "fl")
            .then(sign(text, ".").or_not())
            .then(gap())
            .then(one_of_words(text, &["oz"]))
            .ignored(),
        word(text, "fluid").then(blank()).then(one_of_words(text, &["ounce", "ounces", "oz"])).ignored(),
    ))
    .to(Unit::FluidOunce(None));
    // `2 oz. shea butter`
    let point = sign(text, ".").then_ignore(blank().rewind()).or_not();
    let single = kind(TokenKind::Word)
        .filter(move |t: &Token| known_unit(t.span.of(text)).is_some())
        .map(move |t: Token| known_unit(t.span.of(text)).unwrap_or(Unit::Gram));
    let whose = choice((
        word(text, "US").to(Measures::Us),
        word(text, "metric").to(Measures::Metric),
        one_of_words(text, &["imperial", "UK"]).to(Measures::Imperial),
    ));
    let plain = choice((fluid, single)).then_ignore(point);
    let local = whose
        .then_ignore(blank())
        .then(plain)
        .filter(|(whose, unit)| kitchen(*unit, *whose).is_some())
        .map(|(whose, unit)| kitchen(unit, whose).unwrap_or(unit));
    // `g/mL` is no unit of amount, and `g-lysine` is a name.
    let ends = any()
        .filter(move |t: &Token| t.kind != TokenKind::Dash && t.span.of(text) != "/")
        .ignored()
        .or(end())
        .rewind();
    choice((percent, local, plain))
        .map_with(|unit, extra| UnitAt { unit, span: covered(extra.slice()) })
        .then_ignore(ends)
}

fn measure(text: &str) -> impl Parser<'_, In<'_>, Measure, extra::Default> + Clone {
    let ends = blank().or(end()).rewind();
    let digits = kind(TokenKind::Number).filter(|t: &Token| t.span.len() <= 2);
    let label = kind(TokenKind::Word)
        .filter(move |t: &Token| t.span.len() == 1 && t.span.of(text).bytes().all(|b| b.is_ascii_uppercase()))
        .then(digits.or_not())
        .map(|(letter, digits)| Base::Phase(digits.map_or(letter.span, |d| letter.span.join(d.span))));
    let oils = word(text, "oils").map(|t: Token| Base::Oils(t.span));
    let of = blank()
        .ignore_then(word(text, "of"))
        .ignore_then(blank())
        .ignore_then(choice((label, oils)))
        .then_ignore(ends);
    // `4-methyl…` and `2'-fucosyl…` begin a name, not an amount.
    let no_name = any()
        .filter(move |t: &Token| t.kind != TokenKind::Dash && !matches!(t.span.of(text), "'" | "’" | "′"))
        .ignored()
        .or(end())
        .rewind();
    let with_unit = choice((
        range(text).then_ignore(gap()).then(unit(text).map(Some)),
        range(text).then_ignore(no_name).map(|range| (range, None)),
    ));
    // `of B` belongs to a percent only; elsewhere it is a word before the name.
    let based = range(text)
        .then_ignore(gap())
        .then(unit(text).filter(|unit| unit.unit == Unit::Percent).map(Some))
        .then(of.map(Some));
    choice((based, with_unit.map(|measure| (measure, None)))).map_with(|((range, unit), of), extra| Measure {
        range,
        unit,
        of,
        span: covered(extra.slice()),
    })
}

/// Words for an amount that nobody can weigh.
const HANDFULS: &[&str] = &[
    "pinch", "pinches", "dash", "dashes", "splash", "splashes", "handful", "handfuls", "dollop", "dollops",
    "knob", "squirt", "squirts", "glug",
];

fn fuzzy(text: &str) -> impl Parser<'_, In<'_>, (), extra::Default> + Clone {
    let of = blank().then(word(text, "of")).then_ignore(blank().rewind()).or_not();
    let amount = choice((
        one_of_words(text, &["a", "an", "one", "two", "three", "big", "small"]).ignored(),
        number(text).ignored(),
    ))
    .then(gap());
    let handful = amount
        .or_not()
        .then(
            one_of_words(text, &["small", "large", "big", "good", "generous", "tiny"]).then(blank()).or_not(),
        )
        .then(one_of_words(text, HANDFULS))
        .ignored();
    let few = one_of_words(text, &["a"])
        .then(blank())
        .or_not()
        .then(one_of_words(text, &["few", "couple", "several", "some"]))
        .then(blank().then(word(text, "of")).then_ignore(blank().rewind()).or_not())
        .then(blank().then(one_of_words(text, &["drops", "drop", "grams", "spoons", "ml"])))
        .ignored();
    let little = one_of_words(text, &["a"])
        .then(blank())
        .then(one_of_words(text, &["little", "bit", "touch"]))
        .ignored();
    let some = word(text, "some").ignored();
    choice((few, handful, little, some)).then(of).ignored().then_ignore(blank().or(end()).rewind())
}

fn quantity(text: &str) -> impl Parser<'_, In<'_>, Quantity, extra::Default> + Clone {
    let measure = measure(text);
    let dot = sign(text, ".").or_not();
    let as_needed = choice((
        word(text, "q")
            .then(sign(text, "."))
            .then(gap())
            .then(word(text, "s"))
            .then(dot)
            .then(word(text, "p").then(dot).or_not())
            .ignored(),
        one_of_words(text, &["qs", "qsp"]).then(dot).ignored(),
    ));
    let to = one_of_words(text, &["to", "ad"]).then(blank().then(word(text, "make")).or_not()).ignored();
    let marker = choice((as_needed.then(blank().then(to).or_not()).ignored(), to));
    let balance = marker.then_ignore(blank()).ignore_then(measure.clone()).map(Some);
    let rest = one_of_words(text, &["balance", "remainder"]).then_ignore(blank().rewind()).to(None);
    let balance =
        choice((balance, rest)).map_with(|whole, extra| Quantity::Balance(whole, covered(extra.slice())));
    let as_needed = as_needed
        .then_ignore(blank().or(end()).rewind())
        .map_with(|(), extra| Quantity::AsNeeded(covered(extra.slice())));
    let fuzzy = fuzzy(text).map_with(|(), extra| Quantity::Fuzzy(covered(extra.slice())));
    let equals = gap().ignore_then(sign(text, "=")).ignore_then(gap()).ignore_then(measure.clone());
    let given = measure.then(equals.or_not()).map(|(first, second)| match second {
        None => Quantity::Given(first),
        Some(second) => Quantity::Both(first, second),
    });
    choice((balance, as_needed, fuzzy, given))
}
