//! Ingredient lines: amounts, units, names, qualifiers.

use crate::shown::check;

const UNDER_A_PHASE: &str = "formula Trial\nphase A\n";

#[test]
fn names_hold_digits_commas_and_signs() {
    check(
        UNDER_A_PHASE,
        &[
            ("5 % C12-15 Alkyl Benzoate", "item 5 % | C12-15 Alkyl Benzoate"),
            ("1 % polysorbate 20", "item 1 % | polysorbate 20"),
            ("1 % PEG-40 Hydrogenated Castor Oil", "item 1 % | PEG-40 Hydrogenated Castor Oil"),
            ("2 % lactic acid 80 %", "item 2 % | lactic acid 80 %"),
            ("0.5 % vitamin E T-50", "item 0.5 % | vitamin E T-50"),
            ("2 % 1,2-hexanediol", "item 2 % | 1,2-hexanediol"),
            ("1,2-hexanediol", "item - | 1,2-hexanediol"),
            ("4-methylbenzylidene camphor", "item - | 4-methylbenzylidene camphor"),
            ("0.1 % FD&C Blue #1", "item 0.1 % | FD&C Blue #1"),
            (
                "2 % glyceryl stearate (and) PEG-100 stearate",
                "item 2 % | glyceryl stearate (and) PEG-100 stearate",
            ),
            ("2 % \"half; half\"; optional", "item 2 % | half; half; «optional»"),
            ("1 % cre\u{300}me base", "item 1 % | cre\u{300}me base"),
            ("5\u{a0}%\tshea\u{a0} butter", "item 5 % | shea butter"),
            ("2 % 3 in 1 base", "item 2 % | 3 in 1 base"),
        ],
    );
}

#[test]
fn amounts_and_units() {
    check(
        UNDER_A_PHASE,
        &[
            ("5,0 % x", "item 5.0 % | x"),
            ("½ tsp x", "item 1/2 tsp | x"),
            ("1½ tsp x", "item 1 1/2 tsp | x"),
            ("1 1/2 tsp x", "item 1 1/2 tsp | x"),
            ("1\t1/2 tsp x", "item 1 1/2 tsp | x"),
            (".5 % x", "item 0.5 % | x"),
            ("5% x", "item 5 % | x"),
            ("300g x", "item 300 g | x"),
            ("2 Grams x", "item 2 g | x"),
            ("2 oz. shea butter", "item 2 oz | shea butter"),
            ("2 fl oz. shea butter", "item 2 fl oz | shea butter"),
            ("1 fl. oz x", "item 1 fl oz | x"),
            ("1 US cup x", "item 1 US cup | x"),
            ("5 % w/v x", "item 5 % w/v | x"),
            ("5 % w/w x", "item 5 % | x"),
            ("1000 IU vitamin A", "item 1000 IU | vitamin A"),
            ("3 parts x", "item 3 parts | x"),
            ("3 drops of tea tree oil", "item 3 drops | tea tree oil"),
            ("3 drops of B complex", "item 3 drops | B complex"),
            ("3 g of oils and butters", "item 3 g | oils and butters"),
            ("12 % any light oil", "item 12 % | any light oil"),
            ("30 g = 6 % x", "item 30 g = 6 % | x"),
            ("10 % of B x", "item 10 % of B | x"),
            ("10 % of B2 x", "item 10 % of B2 | x"),
            ("25 % of oils x", "item 25 % of oils | x"),
            ("10 % of BHT", "item 10 % | BHT"),
            ("about 2 % x", "item ~2 % | x"),
            ("~2 % x", "item ~2 % | x"),
            ("up to 2 % x", "item ≤2 % | x"),
            ("0.5 to 1 % x", "item 0.5..1 % | x"),
            ("0.5–1 % x", "item 0.5..1 % | x"),
            ("0.5-1 % x", "item 0.5..1 % | x"),
            ("1-1½ % x", "item 1..1 1/2 % | x"),
        ],
    );
}

#[test]
fn makes_up_and_as_needed() {
    check(
        UNDER_A_PHASE,
        &[
            ("to 100 % x", "item rest to 100 % | x"),
            ("q.s. to 100 % x", "item rest to 100 % | x"),
            ("q.s. to 100 x", "item rest to 100 | x"),
            ("qs 100 % x", "item rest to 100 % | x"),
            ("q.s.p. 100 % x", "item rest to 100 % | x"),
            ("ad 100 % x", "item rest to 100 % | x"),
            ("to make 500 g x", "item rest to 500 g | x"),
            ("to 100 tap water", "item rest to 100 | tap water"),
            ("balance x", "item rest | x"),
            ("remainder x", "item rest | x"),
            ("q.s. x; to pH 5.3; about 0.3 %", "item q.s. | x; «to pH» 5.3; «about» 0.3 %"),
            ("q. s. x; to pH 5.3", "item q.s. | x; «to pH» 5.3"),
            ("QS x; to  pH 5,0–5,5", "item q.s. | x; «to pH» 5.0..5.5"),
        ],
    );
}

#[test]
fn amounts_that_nobody_can_weigh() {
    check(
        UNDER_A_PHASE,
        &[
            ("a few drops of x", "item (a few drops of) | x"),
            ("a pinch of x", "item (a pinch of) | x"),
            ("some x", "item (some) | x"),
            ("3 dashes x", "item (3 dashes) | x"),
            ("a preservative", "item - | a preservative"),
            ("shea butter", "item - | shea butter"),
            ("\"5 oils\"", "item - | 5 oils"),
        ],
    );
}

#[test]
fn faulty_amounts_say_what_to_write() {
    check(
        UNDER_A_PHASE,
        &[
            ("1,000 g x", r#"item ?1,000 g | x !NumberDoubtful(["1000", "1.000"])@1,000"#),
            ("1 000 g x", r#"item ?1 000 g | x !NumberDoubtful(["1000", "1.000"])@1 000"#),
            ("1'000 g x", r#"item ?1'000 g | x !NumberDoubtful(["1000", "1.000"])@1'000"#),
            ("1-1/2 tsp x", r#"item ?1-1/2 tsp | x !NumberDoubtful(["1 1/2", "1/2 to 1"])@1-1/2"#),
            ("1e-3 % x", "item ?1e-3 % | x !NumberUnreadable(None)@1e-3"),
            ("1/0 % x", "item ?1/0 % | x !NumberUnreadable(None)@1/0"),
            ("5. % x", r#"item ?5. % | x !NumberUnreadable(Some("5"))@5."#),
            ("-5 % x", r#"item ?-5 % | x !NumberUnreadable(Some("5"))@-5"#),
            ("5 T x", r#"item ?5 T | x !UnitRefused(["tbsp", "tsp"])@T"#),
            ("5 gr x", r#"item ?5 gr | x !UnitRefused(["g", "mg"])@gr"#),
            ("5 gramms x", r#"item ?5 gramms | x !UnitMisspelt("g")@gramms"#),
            ("to 100 gramms x", r#"item ?to 100 gramms | x !UnitMisspelt("g")@gramms"#),
            ("5 x", "item ?5 | x !UnitMissing@5"),
            ("5 min x", "item ?5 | min x !UnitMissing@5"),
            ("30 = 6 % x", "item ?30 = 6 % | x !UnitMissing@30"),
            ("5 %", "broken 5 % !NameMissing@5 %"),
            (
                "5 % glycerin, 3 % urea",
                "broken 5 % glycerin, 3 % urea !TwoItems(3 % urea)@glycerin, 3 % urea",
            ),
            ("varsion 3", r#"broken varsion 3 !MisspeltLine("version")@varsion"#),
            ("* 5 % x", "broken * 5 % x !Unreadable@* 5 % x"),
            ("5 % \"x", "item 5 % | \"x !QuoteOpen@\""),
        ],
    );
}

#[test]
fn a_comma_in_a_name_is_no_second_ingredient() {
    check(
        UNDER_A_PHASE,
        &[
            ("5 % oil, sweet almond", "item 5 % | oil, sweet almond"),
            ("5 % extract, 3 g/L", "item 5 % | extract, 3 g/L"),
            ("5 % \"glycerin, 3 % urea\"", "item 5 % | glycerin, 3 % urea"),
        ],
    );
}

#[test]
fn qualifiers() {
    check(
        UNDER_A_PHASE,
        &[
            ("5 % x; strength 80 % in glycerin", "item 5 % | x; «strength» 80 % | in glycerin"),
            ("5 % x; strength 1700000 IU/g", "item 5 % | x; «strength» 1700000 | IU/g"),
            ("5 % x; uv filter; Coated", "item 5 % | x; «» | uv filter; «» | coated"),
            ("5 % x; INCI: Aqua", "item 5 % | x; «INCI» | Aqua"),
            ("5 % x; wetted in 1,2-hexanediol", "item 5 % | x; «wetted in» | 1,2-hexanediol"),
            ("5 % x; lot 12-3", "item 5 % | x; «lot» | 12-3"),
            ("5 % x; lot #12", "item 5 % | x; «lot» | #12"),
            ("5 % x; grade 2x refined", "item 5 % | x; «grade» | 2x refined"),
            ("5 % x;; optional;", "item 5 % | x; «optional»"),
            ("5 % x; optional # a guess", "item 5 % | x; «optional» # a guess"),
            (
                "5 % x; limit 1.2 %; certificate 2026-03-01",
                "item 5 % | x; «limit» 1.2 %; «certificate» | 2026-03-01",
            ),
            (
                "5 % x; allow dose-high because it is rinsed off",
                "item 5 % | x; «allow» | dose-high because it is rinsed off",
            ),
            ("5 % x; allow dose-high", "item 5 % | x; «allow» | dose-high !AllowUnreasoned@allow dose-high"),
            (
                "5 % x; humectent",
                r#"item 5 % | x; «» | humectent !WordUnknown("qualifier", Some("humectant"))@humectent"#,
            ),
        ],
    );
}
