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
        allow_unknown
        allow_unused
    }
    amounts {
        total_not_100
    }
    limits {
        over_limit
    }
}

pub(crate) use reading::allow_unknown::RULE as ALLOW_UNKNOWN;
pub(crate) use reading::allow_unused::RULE as ALLOW_UNUSED;
