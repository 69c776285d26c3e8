//! Whom a product is for, and what it says of itself, held against documents of the outside.

use crate::{findings, told};
use formula::Catalogue;

fn of(rule: &str, text: &str) -> Vec<String> {
    told(text).into_iter().filter(|line| line.starts_with(rule)).collect()
}

const NONE: &[&str] = &[];

/// Afssaps (France) 2008, as reported by premiumbeautynews.com: in products for children under three, camphor and
/// eucalyptol only as unavoidable content, at most 0.015 % and 0.1 %; menthol is not added.
#[test]
fn terpenes_for_children_under_three() {
    let balm = |line: &str| {
        format!("formula Balm\nproduct balm, body\nfor children under 3\nto 100 % sunflower oil\n{line}\n")
    };
    for (line, told) in [
        ("0.015 % camphor", NONE),
        ("0.016 % camphor", &["not-for-babies error"]),
        ("0.1 % eucalyptol", NONE),
        ("0.11 % eucalyptol", &["not-for-babies error"]),
        ("0.05 % menthol", &["not-for-babies error"]),
    ] {
        assert_eq!(of("not-for-babies", &balm(line)), told, "{line}");
    }
}

/// Tree nuts: Reg. (EU) 1169/2011 Annex II point 8 (almonds, hazelnuts, walnuts, cashews, pecans, Brazil nuts, pistachios,
/// macadamia), and the FDA's table of January 2025 as quoted by foodallergy.org, which no longer holds coconut, palm nut
/// and shea nut.
#[test]
fn families_are_those_of_the_lists() {
    let listed = ["prunus amygdalus dulcis", "corylus", "juglans", "macadamia"];
    let catalogue = Catalogue::built_in();
    for material in catalogue.all() {
        let inci = material.label_name().to_lowercase();
        let nut = material.families.iter().any(|family| family == "tree nut");
        assert_eq!(nut, listed.iter().any(|genus| inci.starts_with(genus)), "{}: {inci}", material.name);
    }
    for name in ["coconut oil", "shea butter", "argan oil", "apricot kernel oil", "palm oil"] {
        let material = catalogue.get(name).expect("known");
        assert!(material.families.is_empty(), "{name}");
    }
}

/// Shea stood on the FDA's list until January 2025: a hint, no more.
#[test]
fn shea_is_a_hint() {
    let text =
        "formula Balm\nproduct balm, hands\nfor nut allergy\nto 100 % sunflower oil\n20 % shea butter\n";
    let hints: Vec<String> = findings(text)
        .into_iter()
        .filter(|finding| finding.rule == "nut-or-animal")
        .map(|finding| finding.level.word().to_owned())
        .collect();
    assert_eq!(hints, ["hint"]);
}

/// FDA guidance of 2005 on alpha hydroxy acids: what stays on the skin carries the alert.
#[test]
fn acids_that_stay_on_ask_for_the_alert() {
    let with = |header: &str| {
        let text =
            format!("formula Gel\n{header}\npH 3.5 to 4\nto 100 % purified water\n5 % glycolic acid\n");
        told(&text).iter().any(|line| line.starts_with("sunburn-alert"))
    };
    assert!(with("product serum, face\nfor sale\nmarket US"));
    assert!(with("product serum, face\nfor sale\nmarket EU"));
    assert!(!with("product face wash\nfor sale\nmarket US"));
    assert!(!with("product serum, face\nfor own use"));
    assert!(!with("product serum, face\ndirections Use sunscreen by day."));
}

/// Half the doses that published sun creams of a number hold are not enough: 20 % zinc oxide was measured at SPF 30, 15 to
/// 20 % at SPF 20 to 30 and more (cosmeticsandtoiletries.com, articles 211066211 and 202356261). Those themselves stay
/// silent, and nothing is ever predicted.
#[test]
fn published_sun_creams_are_plausible() {
    let cream = |spf: u32, filters: &str| {
        let text =
            format!("formula Balm\nproduct balm, face\nclaim SPF {spf}\nto 100 % jojoba oil\n{filters}\n");
        of("spf-implausible", &text)
    };
    assert_eq!(cream(30, "20 % zinc oxide"), NONE);
    assert_eq!(cream(30, "15 % zinc oxide"), NONE);
    assert_eq!(cream(20, "15 % zinc oxide"), NONE);
    assert_eq!(cream(50, "12 % zinc oxide\n5 % titanium dioxide"), NONE);
    assert_eq!(cream(30, "5 % zinc oxide"), ["spf-implausible warning"]);
    assert_eq!(cream(50, "3 % zinc oxide\n3 % titanium dioxide"), ["spf-implausible warning"]);
    // Organic filters, unknown lines, unknown amounts: silent.
    assert_eq!(cream(50, "3 % zinc oxide\n5 % octocrylene"), NONE);
    assert_eq!(cream(50, "3 % zinc oxide\n5 % what the shop sells"), NONE);
    assert_eq!(cream(50, "some zinc oxide"), NONE);
}

#[test]
fn no_message_calls_anything_safe_or_tells_a_number_of_its_own() {
    let text = "formula Balm SPF 30\nproduct balm, face, sun care\nfor babies\nclaim SPF 30, hypoallergenic\n\
                to 100 % jojoba oil\n5 % zinc oxide\n0.5 % lavender oil\n";
    for finding in findings(text) {
        let all = format!("{} {}", finding.message, finding.help.unwrap_or_default());
        assert!(!all.contains("safe"), "{all}");
        for part in all.split("SPF ").skip(1) {
            let number: String = part.chars().take_while(char::is_ascii_digit).collect();
            assert!(number.is_empty() || number == "30", "{all}");
        }
    }
}

/// Names of the trade, of plants and of places that only look like illness.
#[test]
fn words_inside_words() {
    for name in [
        "Self-heal salve",
        "Woundwort balm",
        "Thrush Lane balm",
        "Heel balm",
        "Curecumin mask",
        "Eczema-prone skin balm",
        "Not for eczema",
    ] {
        let text = format!("formula {name}\nproduct balm, feet\nto 100 % sunflower oil\n20 % beeswax\n");
        assert_eq!(of("claim", &text), NONE, "{name}");
    }
}

/// For own use, gifts and teaching one level lower, unless it is for babies.
#[test]
fn own_use_is_quieter_unless_for_babies() {
    let text = |header: &str| {
        format!(
            "formula Balm\nproduct balm, eye area\n{header}\nto 100 % sunflower oil\n0.5 % lavender oil\n"
        )
    };
    assert_eq!(of("near-eyes", &text("for sale")), ["near-eyes warning"]);
    assert_eq!(of("near-eyes", &text("for gifts")), ["near-eyes note"]);
    assert_eq!(of("not-for-babies", &text("for babies, own use")), ["not-for-babies warning"]);
}

#[test]
fn what_a_premix_brings_counts() {
    let text = "formula Scented base\nproduct premix\n\
                95 % sunflower oil\n5 % lavender oil\n";
    assert_eq!(of("scent", text), NONE);
    let text = "ingredient my blend\ncontains 50 % lavender oil\n\n\
                formula Balm\nproduct face oil\nto 100 % jojoba oil\n5 % my blend\n";
    assert_eq!(of("scent", text), ["scent-too-strong warning"]);
}

/// Drops are an estimate: what they are thought to weigh is no ground for a warning.
#[test]
fn drops_do_not_warn_of_scent() {
    let text = "formula Oil\nproduct face oil\nbatch 30 g\n29 g jojoba oil\n30 drops lavender oil\n";
    assert_eq!(of("scent", text), NONE);
}
