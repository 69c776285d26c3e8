//! The rule book: every rule, in reading order. One rule, one file; adding one means the file and two words here.

use crate::card::Rule;

macro_rules! book {
    ($($group:ident { $($file:ident)* })*) => {
        $(pub(crate) mod $group { $(pub(crate) mod $file;)* })*

        /// Every rule, in reading order.
        pub static ALL: &[&Rule] = &[$($(&$group::$file::RULE,)*)*];
    };
}

book! {
    reading {
        line_unreadable
        number_doubtful
        number_impossible
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
        total_not_batch
        nothing_left_to_100
        to_100_twice
        units_mixed
        volume_not_weight
        drops_not_weight
        weight_unknown
        percent_base_mixed
        strength_unstated
        amount_implausible
        too_small_to_weigh
        mixer_too_big
    }
    preservation {
        no_preservative
        preservative_unnamed
        preservative_short
        preservative_outside_ph
        preservative_narrow
        not_a_preservative
    }
    ph {
    }
    heat {
        too_hot
    }
    emulsion {
    }
    dissolving {
    }
    limits {
        over_limit
        prohibited
        not_allowed_here
        law_changing
        outside_usage
        label_warning
        allergens_to_declare
        law_not_known
    }
    sun {
        phototoxic
        phototoxic_in_sun_product
        spf_untested
    }
    people {
    }
    method {
        never_added
        added_not_listed
    }
    words {
    }
    variants {
        premix_missing
        premix_circular
        variant_target_missing
        variant_total
    }
}

pub(crate) use reading::allow_unknown::RULE as ALLOW_UNKNOWN;
pub(crate) use reading::allow_unused::RULE as ALLOW_UNUSED;
