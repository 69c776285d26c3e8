//! Lines that begin with a word of their block: header lines, ingredients, workshops, records.

use crate::shown::check;

#[test]
fn header_lines_of_a_formula() {
    check(
        "formula Trial\n",
        &[
            ("version 3", "version | 3"),
            ("Version: 3b", "version | 3b"),
            ("by A. Maker  # for now", "by | A. Maker # for now"),
            ("product cream, leave-on,face", "product | cream, leave-on, face"),
            ("product soap", "product | soap !NotThisTool@soap"),
            ("product crem", r#"product | crem !WordUnknown("product word", Some("cream"))@crem"#),
            ("market EU, UK", "market | EU, UK"),
            ("batch 500g", "batch = 500 g"),
            ("batch 24 jars", "batch = 24 | jars"),
            ("batch 500 gramms", r#"batch = 500 | gramms !UnitMisspelt("g")@gramms"#),
            ("batch 500", "batch = 500 !UnitMissing@500"),
            ("batch 1,000 g", r#"broken batch 1,000 g !NumberDoubtful(["1000", "1.000"])@1,000"#),
            ("batch", "broken batch !ValueMissing(Batch)@batch"),
            ("pack 50 mL jar; net 50 g; cost 0,45 EUR", "pack = 50 mL | jar; «net» 50 g; «cost» 0.45 | EUR"),
            ("density 0.6 g/mL", "density = 0.6 | g/mL"),
            ("ph 5.0-5.5", "pH = 5.0..5.5"),
            ("pH at least 5", "pH = ≥5"),
            ("pH below 5", "pH = ≤5"),
            ("pH 5.2 ± 0.2", "pH = 5.2±0.2"),
            ("pH 5.2 +/- 0.2", "pH = 5.2±0.2"),
            ("color pale straw", "colour | pale straw"),
            ("keeps 9 months", "shelf life = 9 months"),
            ("shelf\u{a0} life 1 year", "shelf life = 1 years"),
            ("dated 2026-02-30", "dated | 2026-02-30 !DateUnreadable@2026-02-30"),
            (
                "tested challenge by ISO 11930 on 2026-01-20; version 3; result criteria A; report 41",
                "tested | challenge by ISO 11930 on 2026-01-20; «version» | 3; «result» | criteria A; «report» | 41",
            ),
            ("note a; b # c \"d", "note | a; b # c \"d"),
            ("include sub/base.formula#Base as base", "include | sub/base.formula#Base as base"),
            (
                "allow too-hot because it is; stable until 2027-01-01",
                "allow | too-hot because it is; stable until 2027-01-01",
            ),
            ("allow too-hot because # of it", "allow | too-hot because # of it"),
            ("allow too-hot", "allow | too-hot !AllowUnreasoned@allow too-hot"),
            ("version 3 # because", "version | 3 # because"),
            ("by \"x", "by | \"x !QuoteOpen@\""),
        ],
    );
}

#[test]
fn lines_of_an_ingredient() {
    check(
        "ingredient trial acid\n",
        &[
            (
                "limit 0.5 % as benzoic acid; leave-on; law; market EU; from 2025-11-01; source Annex V; entry 1 # x",
                "limit = 0.5 % | as benzoic acid; «» | leave-on; «law»; «market» | EU; «from» | 2025-11-01; «source» | Annex V; entry 1 # x",
            ),
            ("limit not allowed; under 3 years; law", "limit | not allowed; «under» 3 years; «law»"),
            ("limit 1 %; from May; law", "limit = 1 %; «from» | May; «law» !DateUnreadable@May"),
            ("limit 1 %; at pH 3.5 or above; law", "limit = 1 %; «at pH» 3.5 | or above; «law»"),
            ("limit 1 %; source: a; b", "limit = 1 %; «source» | a; b"),
            ("not above 45 °C because it turns brown", "not above = 45 °C because it turns brown"),
            (
                "not above 45 because it turns brown",
                "not above = 45 because it turns brown !DegreesMissing@45",
            ),
            ("not above 113F because it turns brown", "not above = 113 °F because it turns brown"),
            ("contains rest water", "contains | rest water"),
            ("contains 40-60 % linalool; allergen", "contains = 40..60 % | linalool; «allergen»"),
            ("contains 1,2-hexanediol", "contains | 1,2-hexanediol"),
            (
                "incompatible with any cationic above 2 % because it clouds",
                "incompatible with | any cationic above 2 % because it clouds",
            ),
            ("counts as 84.746 % benzoic acid", "counts as = 84.746 % | benzoic acid"),
            ("works at pH 2 to 5", "works at pH = 2..5"),
            ("melts 32–36 °C; default", "melts = 32..36 °C; «default»"),
            ("price 14.20 EUR per kg", "price = 14.20 | EUR per kg"),
            ("price 14.20€ per kg", "price = 14.20 | € per kg"),
            (
                "solubility 0.57 g per 100 mL water at 25 °C",
                "solubility = 0.57 g | per 100 mL water at 25 °C",
            ),
            ("solubility miscible with water", "solubility | miscible with water"),
            ("also 1,2-hexanediol, hexylene glycol", "also | 1,2-hexanediol, hexylene glycol"),
            ("ambiguous: A or B", "ambiguous: | A or B"),
            ("light-sensitive", "light-sensitive"),
            (
                "phototoxic limit 0.4 %; contains 0.35 % furocoumarins",
                "phototoxic | limit 0.4 %; «contains» 0.35 % | furocoumarins",
            ),
            ("lot SQ-77; 1 kg; received 2026-05-04", "lot | SQ-77; «» 1 kg; «received» | 2026-05-04"),
            ("label Contains x.; above 0.001 %", "label | Contains x.; «above» 0.001 %"),
            ("glycerin", "broken glycerin !Unreadable@glycerin"),
            ("densty 0.9 g/mL", r#"broken densty 0.9 g/mL !MisspeltLine("density")@densty"#),
            ("usage 5-ish %", "broken usage 5-ish % !ValueMissing(Usage)@5-ish %"),
        ],
    );
}

#[test]
fn lines_of_a_workshop_and_a_record() {
    check(
        "workshop Trial\n",
        &[
            ("scales 0.01 g", "scales = 0.01 g"),
            ("mixer at least 150 g", "mixer = ≥150 g"),
            ("limit 0.5 % essential oils; leave-on", "limit = 0.5 % | essential oils; «» | leave-on"),
            ("drops 34 per g", "drops = 34 | per g"),
            ("stock shelf  one/stock.formula", "stock | shelf  one/stock.formula"),
            ("treat dose-high as hint", "treat | dose-high as hint"),
        ],
    );
    check(
        "record T-1\n",
        &[
            ("of Trial version 3; variant plain", "of | Trial version 3; «variant» | plain"),
            ("weighed 20.02 g glycerin; lot GL-204", "weighed = 20.02 g | glycerin; «lot» | GL-204"),
            ("measured pH 5.4 at 22 °C", "measured | pH 5.4 at 22 °C"),
            ("observed 2026-04-14 a ring; thin # x", "observed | 2026-04-14 a ring; thin # x"),
            ("filled 9 x 50 mL", "filled | 9 x 50 mL"),
            ("released", "released"),
        ],
    );
}
