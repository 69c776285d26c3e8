//! The rule book: every rule, in reading order. One rule, one file; adding one means the file and two words here.

use crate::card::Rule;

macro_rules! book {
    ($($group:ident { $($file:ident)* })*) => {
        $(mod $group { $(pub(crate) mod $file;)* })*

        /// Every rule, in reading order.
        pub static ALL: &[&Rule] = &[$($(&$group::$file::RULE,)*)*];
    };
}

book! {
    reading {
        line_unreadable
        number_doubtful
        unit_unknown
        word_unknown
        amount_missing
        amount_unweighable
        amount_range
        ingredient_unknown
        ingredient_vague
        ingredient_twice
        line_misplaced
        line_repeated
        phase_repeated
        phase_empty
        allow_unreasoned
        allow_unknown
        allow_unused
    }
    amounts {
        total_not_100
    }
    limits {
        over_limit
        law_not_known
    }
}

pub(crate) use reading::allow_unknown::RULE as ALLOW_UNKNOWN;
pub(crate) use reading::allow_unused::RULE as ALLOW_UNUSED;
