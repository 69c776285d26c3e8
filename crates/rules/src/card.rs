//! The card of a rule: its name, its page, and its check, in one place.

use crate::Level;
use crate::case::{Case, Made, Writing};
use crate::findings::Findings;

/// What a rule is about; the order of the groups is the reading order of the rule book.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, PartialOrd, Ord)]
pub enum Group {
    /// How it is written.
    Reading,
    /// Arithmetic and units.
    Amounts,
    /// Water and preservation.
    Preservation,
    /// pH.
    Ph,
    /// Heat and phases.
    Heat,
    /// Emulsions.
    Emulsion,
    /// Dissolving and compatibility.
    Dissolving,
    /// Law and limits.
    Limits,
    /// Sun and light.
    Sun,
    /// Who it is for, and where it goes.
    People,
    /// The method.
    Method,
    /// Words and claims.
    Words,
    /// Variants, premixes, packs and records.
    Variants,
}

impl Group {
    /// Its heading.
    pub fn title(self) -> &'static str {
        match self {
            Group::Reading => "Reading",
            Group::Amounts => "Arithmetic and units",
            Group::Preservation => "Water and preservation",
            Group::Ph => "pH",
            Group::Heat => "Heat and phases",
            Group::Emulsion => "Emulsions",
            Group::Dissolving => "Dissolving and compatibility",
            Group::Limits => "Law and limits",
            Group::Sun => "Sun and light",
            Group::People => "People",
            Group::Method => "Method",
            Group::Words => "Words and claims",
            Group::Variants => "Variants, premixes, packs and records",
        }
    }
}

/// Whether a rule offers changes of the text.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Fixes {
    /// It never does.
    None,
    /// It does for some of its findings.
    Sometimes,
    /// It does for every finding.
    Always,
}

/// What a rule looks at.
#[derive(Clone, Copy)]
pub enum Check {
    /// The writing of a block of any kind.
    Writing(fn(&Writing<'_>, &mut Findings<'_>)),
    /// A formula, and each of its variants.
    Formula(fn(&Case<'_>, &mut Findings<'_>)),
    /// A record of a batch.
    Record(fn(&Made<'_>, &mut Findings<'_>)),
    /// A formula with its variants, and a record.
    FormulaAndRecord(fn(&Case<'_>, &mut Findings<'_>), fn(&Made<'_>, &mut Findings<'_>)),
    /// Nothing by itself: the engine raises it.
    Engine,
}

impl Check {
    pub(crate) fn of_formula(self) -> Option<fn(&Case<'_>, &mut Findings<'_>)> {
        match self {
            Check::Formula(check) | Check::FormulaAndRecord(check, _) => Some(check),
            Check::Writing(_) | Check::Record(_) | Check::Engine => None,
        }
    }

    pub(crate) fn of_record(self) -> Option<fn(&Made<'_>, &mut Findings<'_>)> {
        match self {
            Check::Record(check) | Check::FormulaAndRecord(_, check) => Some(check),
            Check::Writing(_) | Check::Formula(_) | Check::Engine => None,
        }
    }
}

/// A rule.
#[derive(Clone, Copy)]
pub struct Rule {
    /// Its name, as it stands in outputs and `allow` lines.
    pub name: &'static str,
    /// What it is about.
    pub group: Group,
    /// The loudest it can be.
    pub level: Level,
    /// The version that brought it.
    pub since: &'static str,
    /// The doc comment of its file.
    pub(crate) doc: &'static str,
    /// Whether it offers fixes.
    pub fixes: Fixes,
    /// What it does.
    pub check: Check,
}

impl Rule {
    /// Its page, as Markdown, with the name as heading.
    pub fn page(&self) -> String {
        let mut page = format!("# {}\n\n", self.name);
        for line in self.doc.lines() {
            page.push_str(line.strip_prefix(' ').unwrap_or(line));
            page.push('\n');
        }
        page
    }

    /// The first sentence of its page.
    pub fn summary(&self) -> &'static str {
        self.doc.lines().next().unwrap_or("").trim()
    }
}

/// Writes a rule's card: the doc comment is its page.
macro_rules! rule {
    (
        $(#[doc = $line:expr])*
        name: $name:literal,
        group: $group:ident,
        level: $level:ident,
        since: $since:literal,
        fixes: $fixes:ident,
        check: $($check:tt)+
    ) => {
        $(#[doc = $line])*
        pub(crate) const RULE: $crate::Rule = $crate::Rule {
            name: $name,
            group: $crate::Group::$group,
            level: $crate::Level::$level,
            since: $since,
            doc: concat!($($line, "\n"),*),
            fixes: $crate::Fixes::$fixes,
            check: $crate::Check::$($check)+,
        };
    };
}
pub(crate) use rule;
