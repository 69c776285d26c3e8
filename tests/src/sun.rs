//! Photosensitising oils by the IFRA rule of summing (parts of each oil's own most add up to 1), furocoumarins in
//! products for the sun (Reg. (EC) 1223/2009 Annex II entry 358), and words that promise protection.

use crate::told;

fn balm(product: &str, lines: &str) -> Vec<String> {
    let text = format!("formula Balm\n{product}\nmarket EU\n80 % jojoba oil\n{lines}\n");
    told(&text).into_iter().filter(|line| line.starts_with("phototoxic")).collect()
}

const NONE: &[&str] = &[];

#[test]
fn parts_of_each_oils_own_most_add_up() {
    let day = "product balm, face";
    // 0.2 / 0.4 + 1.0 / 2 = 1 exactly.
    assert_eq!(balm(day, "0.2 % cold-pressed bergamot oil\n1.0 % cold-pressed lemon oil"), NONE);
    // … + 0.1 / 0.7 = 1.143.
    assert_eq!(
        balm(
            day,
            "0.2 % cold-pressed bergamot oil\n1.0 % cold-pressed lemon oil\n0.1 % cold-pressed lime oil"
        ),
        ["phototoxic error"]
    );
    // 0.3 / 0.4 + 2 / 4 = 1.25.
    assert_eq!(balm(day, "0.3 % cold-pressed bergamot oil\n2 % grapefruit oil"), ["phototoxic error"]);
    assert_eq!(balm(day, "0.4 % cold-pressed bergamot oil"), NONE);
    assert_eq!(balm(day, "0.41 % cold-pressed bergamot oil"), ["phototoxic error"]);
}

#[test]
fn oils_that_do_not_photosensitise_are_silent() {
    for line in [
        "5 % sweet orange oil",
        "5 % mandarin oil",
        "5 % distilled lemon oil",
        "5 % distilled lime oil",
        "5 % bergamot FCF oil",
        "5 % lemon oil; distilled",
        "5 % tangerine oil",
        "5 % neroli oil",
        "5 % petitgrain oil",
    ] {
        assert_eq!(balm("product balm, face", line), NONE, "{line}");
    }
}

#[test]
fn skin_that_sees_no_light() {
    let line = "1 % cold-pressed bergamot oil";
    for product in [
        "product bath oil",
        "product shower gel",
        "product cream, face, night",
        "product deodorant",
        "product balm, nappy area",
        "product oil, scalp",
        "product premix",
    ] {
        assert_eq!(balm(product, line), NONE, "{product}");
    }
    for product in
        ["product lip balm", "product cream, hands", "product body oil", "product balm, underarm, body"]
    {
        assert_eq!(balm(product, line), ["phototoxic error"], "{product}");
    }
}

#[test]
fn what_is_not_declared_and_what_is_estimated() {
    let line = "1 % cold-pressed bergamot oil";
    assert_eq!(balm("for dry skin", line), ["phototoxic note"]);
    // One document only, at second hand.
    assert_eq!(balm("product balm, face", "0.2 % rue oil"), ["phototoxic warning"]);
    // Two drops of about 33 mg are 0.066 g, at most 0.1 g; ten are 0.33 g, at most 0.5 g of 100 g.
    let drops = |count: u32| {
        let text = format!(
            "formula Balm\nproduct balm, face\nbatch 100 g\n99 g jojoba oil\n{count} drops cold-pressed bergamot oil\n"
        );
        told(&text).into_iter().filter(|line| line.starts_with("phototoxic")).collect::<Vec<_>>()
    };
    assert_eq!(drops(2), NONE);
    assert_eq!(drops(10), ["phototoxic warning"]);
    assert_eq!(drops(60), ["phototoxic error"]);
}

#[test]
fn furocoumarins_in_products_for_the_sun() {
    // 0.05 % × 0.35 % = 1.75 mg/kg.
    let line = "0.05 % cold-pressed bergamot oil";
    assert_eq!(balm("product balm, body, sun care", line), ["phototoxic-in-sun-product error"]);
    assert_eq!(balm("product balm, body, self-tan", line), ["phototoxic-in-sun-product error"]);
    assert_eq!(balm("product balm, body, tanning", line), ["phototoxic-in-sun-product error"]);
    assert_eq!(balm("product cream, face, night", line), NONE);
    assert_eq!(balm("product balm, body, after-sun", line), NONE);
    // 0.02 % × 0.35 % = 0.7 mg/kg.
    assert_eq!(balm("product balm, body, sun care", "0.02 % cold-pressed bergamot oil"), NONE);
    // No figure says how much: any amount.
    assert_eq!(
        balm("product balm, body, sun care", "0.02 % cold-pressed lemon oil"),
        ["phototoxic-in-sun-product error"]
    );
    // One cause, one finding.
    assert_eq!(
        balm("product balm, body, sun care", "1 % cold-pressed bergamot oil"),
        ["phototoxic-in-sun-product error"]
    );
    assert_eq!(
        balm("product balm, body, sun care\nfor own use", line),
        ["phototoxic-in-sun-product warning"]
    );
    let abroad = "formula Balm\nproduct balm, body, sun care\nmarket US\n99 % jojoba oil\n0.05 % cold-pressed bergamot oil\n";
    assert!(told(abroad).contains(&"phototoxic-in-sun-product warning".to_owned()));
}

#[test]
fn words_that_promise_protection() {
    let spf = |header: &str, name: &str| {
        let text = format!("formula {name}\n{header}\n60 % shea butter\n22 % jojoba oil\n18 % zinc oxide\n");
        told(&text).into_iter().filter(|line| line.starts_with("spf-untested")).collect::<Vec<_>>()
    };
    for name in
        ["Beach balm SPF 30", "Meadow SPF50+", "Mineral sunscreen", "Sun balm for the garden", "Sun milk"]
    {
        assert_eq!(spf("product balm, body", name), ["spf-untested error"], "{name}");
    }
    assert_eq!(spf("product balm, body\nfor own use", "Sun balm"), ["spf-untested warning"]);
    assert_eq!(spf("product balm, body, sun care", "Beach balm"), ["spf-untested error"]);
    assert_eq!(spf("product balm, body\nclaim SPF 15, vegan", "Beach balm"), ["spf-untested error"]);
    assert_eq!(spf("product balm, body\nversion 2\ntested SPF by ISO 24444; version 2", "Sun balm"), NONE);
    assert_eq!(
        spf("product balm, body\nversion 3\ntested SPF by ISO 24444; version 2", "Sun balm"),
        ["spf-untested error"]
    );
    for name in ["After-sun balm", "Sunflower balm", "Zinc balm", "Sunday balm", "Garden balm (no SPF)"] {
        assert_eq!(spf("product balm, body", name), NONE, "{name}");
    }
}
