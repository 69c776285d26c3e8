//! Limits of law, industry code, opinion and advice, each with its market, condition, dates and source.

use crate::exact::Exact;
use crate::material::Source;
use crate::product::Product;
use notation::{Date, fold};

/// What a limit says.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Ceiling {
    /// At most this share of the product, 0 to 1.
    AtMost(Exact),
    /// Not at all.
    NotAllowed,
    /// No limit under these conditions.
    Free,
}

/// Who says it. Ordered: the strongest last.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, PartialOrd, Ord)]
pub enum Rank {
    /// Advice.
    Advice,
    /// An opinion of a scientific committee.
    Opinion,
    /// A code of the industry.
    Code,
    /// Law.
    Law,
}

impl Rank {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Rank::Advice => "advice",
            Rank::Opinion => "opinion",
            Rank::Code => "code",
            Rank::Law => "law",
        }
    }
}

/// When a limit holds.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Condition {
    /// One of these product, use, area or way words fits.
    Words(Vec<String>),
    /// None of these words fits.
    NotIn(Vec<String>),
    /// For persons under so many years.
    Under(Exact),
    /// Where it can be breathed in.
    Inhalable,
    /// Where it is used as this.
    As(String),
    /// Of this grade, such as `nano` or `fine powder`.
    Grade(String),
    /// At a pH in this window.
    AtPh(crate::window::Window),
    /// Only from this share on.
    AtLeast(Exact),
    /// A condition that this version cannot read; the limit is then never applied.
    Unread(String),
}

/// Whose word something is, in which markets and on which days it counts.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Force {
    /// Who says it.
    pub rank: Rank,
    /// Where; empty or `all` for everywhere.
    pub markets: Vec<String>,
    /// From which day.
    pub from: Option<Date>,
    /// Until which day, included.
    pub until: Option<Date>,
}

impl Force {
    /// Whether it counts in a market on a day.
    fn holds(&self, market: &str, day: Date) -> bool {
        let names = |own: &String| own.eq_ignore_ascii_case(market) || own.eq_ignore_ascii_case("all");
        let here = self.markets.is_empty() || self.markets.iter().any(names);
        here && self.from.is_none_or(|from| from <= day) && self.until.is_none_or(|until| day <= until)
    }
}

/// One limit.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Limit {
    /// What it says.
    pub ceiling: Ceiling,
    /// The substance that it counts; none for the material itself.
    pub counted_as: Option<String>,
    /// The sum that it counts with.
    pub group: Option<String>,
    /// When it holds.
    pub conditions: Vec<Condition>,
    /// Whose word it is, where and when.
    pub force: Force,
    /// Where it was read.
    pub source: Source,
}

/// Words that the label has to carry.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct LabelDuty {
    /// The words.
    pub text: String,
    /// From which share on.
    pub above: Option<Exact>,
    /// Whether it is a fragrance allergen that the list of ingredients must name.
    pub allergen: bool,
    /// When.
    pub conditions: Vec<Condition>,
    /// Whose word it is, where and when.
    pub force: Force,
    /// Where it was read.
    pub source: Source,
}

/// Whether a condition holds for a product.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Fit {
    /// It does.
    Yes,
    /// It does not.
    No,
    /// What the product says does not decide it.
    Open,
}

impl Fit {
    fn of(answer: bool) -> Fit {
        if answer { Fit::Yes } else { Fit::No }
    }

    fn not(self) -> Fit {
        match self {
            Fit::Yes => Fit::No,
            Fit::No => Fit::Yes,
            Fit::Open => Fit::Open,
        }
    }

    /// Both have to hold.
    pub fn and(self, other: Fit) -> Fit {
        match (self, other) {
            (Fit::No, _) | (_, Fit::No) => Fit::No,
            (Fit::Yes, Fit::Yes) => Fit::Yes,
            _ => Fit::Open,
        }
    }

    fn or(self, other: Fit) -> Fit {
        self.not().and(other.not()).not()
    }
}

/// What a limit is held against besides the product's words.
#[derive(Clone, Copy, Debug)]
pub struct Use<'a> {
    /// The functions in which the substance is used here.
    pub functions: &'a [String],
    /// Those of them that the lines themselves say.
    pub said: &'a [String],
    /// Its share of the product.
    pub share: &'a Exact,
    /// The product's pH, upper end of its target.
    pub ph: Option<&'a Exact>,
    /// Whether it is of the grade that is asked for.
    pub grade: Fit,
}

impl Condition {
    /// Whether the condition holds.
    pub fn fits(&self, product: &Product, used: Use<'_>) -> Fit {
        match self {
            Condition::Words(words) => words.iter().map(|word| product.is(word)).fold(Fit::No, Fit::or),
            Condition::NotIn(words) => words.iter().map(|word| product.is(word)).fold(Fit::No, Fit::or).not(),
            Condition::Under(years) => product.is_for_under(years),
            Condition::Inhalable => product.inhalable(),
            Condition::As(function) => as_function(function, product, used),
            Condition::Grade(_) => used.grade,
            Condition::AtPh(window) => used.ph.map_or(Fit::Open, |ph| Fit::of(window.holds(ph))),
            Condition::AtLeast(least) => Fit::of(used.share >= least),
            Condition::Unread(_) => Fit::No,
        }
    }
}

/// `as UV filter` holds where the line or the product says so; `as preservative` where the substance is one of the
/// product's preservatives. Other functions hold where the material has them.
fn as_function(function: &str, product: &Product, used: Use<'_>) -> Fit {
    let functions = used.functions;
    let folded = fold(function);
    let asked = match folded.as_str() {
        "colourant" | "colorant" => "colour",
        "ph adjuster" => "ph adjuster",
        other => other,
    };
    let has = functions.iter().any(|own| crate::material::function_fits(own, asked));
    if asked == "uv filter" && product.is("sun care") != Fit::Yes {
        return Fit::of(used.said.iter().any(|own| crate::material::function_fits(own, asked)));
    }
    if asked == "colour" {
        return Fit::of(functions.iter().any(|own| matches!(fold(own).as_str(), "colour" | "pigment")));
    }
    Fit::of(has)
}

impl Limit {
    /// Whether the limit is in force in a market on a day.
    pub fn in_force(&self, market: &str, day: Date) -> bool {
        self.force.holds(market, day)
    }

    /// Whether its conditions hold.
    pub fn fits(&self, product: &Product, used: Use<'_>) -> Fit {
        all_fit(&self.conditions, product, used)
    }
}

impl LabelDuty {
    /// Whether the duty is in force in a market on a day.
    pub fn in_force(&self, market: &str, day: Date) -> bool {
        self.force.holds(market, day)
    }

    /// Whether its conditions hold; the share from which it counts is not asked.
    pub fn fits(&self, product: &Product, used: Use<'_>) -> Fit {
        all_fit(&self.conditions, product, used)
    }
}

fn all_fit(conditions: &[Condition], product: &Product, used: Use<'_>) -> Fit {
    conditions.iter().map(|condition| condition.fits(product, used)).fold(Fit::Yes, Fit::and)
}
