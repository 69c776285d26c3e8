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
        preservative_inactivated
        not_a_preservative
        fresh_food
        shelf_life_too_long
        no_antioxidant
        pack_light_or_air
    }
    ph {
        ph_unstated
        ph_clash
        ph_unreachable
        ph_harsh
        alkaline_on_skin
        ph_without_water
        ph_no_adjuster
    }
    heat {
        too_hot
        temperature_contradiction
        not_melted
        wrong_phase
        phase_no_heat
        phase_temperature_gap
        water_not_topped_up
    }
    emulsion {
        no_emulsifier
        not_an_emulsifier
        emulsifier_short
        hlb_off
        emulsifier_wrong_type
        water_in_oil_unstable
    }
    dissolving {
        will_not_dissolve
        needs_solubiliser
        solubiliser_short
        powder_not_wetted
        gum_not_wetted
        salt_thins_gel
        charge_clash
        incompatible
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
        spf_implausible
        sun_claim
        no_uva_cover
        filter_unstable
        sunburn_alert
    }
    people {
        not_for_babies
        not_in_pregnancy
        harsh_for_sensitive
        pore_clogging
        scent_too_strong
        inhaled
        near_eyes
        on_lips
        nut_or_animal
    }
    method {
        never_added
        added_not_listed
        step_too_hot
        step_against_phase
        added_twice
        phase_unused
        step_order
    }
    words {
        claim_contradicted
        claim_medicinal
        claim_unproven
        claim_barred
    }
    variants {
        variant_target_missing
        variant_total
        variant_clash
        premix_missing
        premix_circular
        premix_short
        pack_mismatch
        record_version
        lot_expired
        measured_out_of_range
        test_outdated
        price_missing
        weighed_off_plan
        lot_missing
        version_unmoved
    }
}

pub(crate) use reading::allow_unknown::RULE as ALLOW_UNKNOWN;
pub(crate) use reading::allow_unused::RULE as ALLOW_UNUSED;
