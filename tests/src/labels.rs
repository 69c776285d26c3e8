//! What a label has to say: allergens from their thresholds on, on both sides of them and by the day; warnings; and
//! amounts outside the usual. Thresholds: Annex III of Reg. (EC) 1223/2009, 0.001 % leave-on, 0.01 % rinse-off; the
//! long list of Reg. (EU) 2023/1545 counts for new products from 2026-07-31 on.

use crate::{LAW_DAY, findings_on, told};

/// What one rule says on a formula with these header lines and lines, all cut at `; ` and ` + `.
fn said(rule: &str, header: &str, lines: &str, day: &str) -> String {
    let header = header.replace("; ", "\n");
    let lines = lines.replace(" + ", "\n");
    let text = format!("formula Table\n{header}\n{lines}\n");
    let found = findings_on(&text, day);
    let messages: Vec<String> =
        found.into_iter().filter(|finding| finding.rule == rule).map(|finding| finding.message).collect();
    assert!(messages.len() < 2, "{messages:?}");
    messages.concat()
}

fn allergens(header: &str, lines: &str, day: &str) -> String {
    let message = said("allergens-to-declare", header, lines, day);
    message.split_once("list of ingredients: ").map_or_else(String::new, |(_, list)| list.to_owned())
}

const OIL: &str = "product body oil; for sale; market EU";
const WASH: &str = "product body wash; for sale; market EU";

#[test]
fn allergens_on_both_sides_of_their_thresholds() {
    let table = [
        // 0.001 % where it stays on the skin: more than it, not as much as it.
        (OIL, "to 100 % jojoba oil + 0.001 % linalool", ""),
        (OIL, "to 100 % jojoba oil + 0.0011 % linalool", "Linalool 0.0011 %"),
        // 0.01 % where it is rinsed off.
        (WASH, "to 100 % purified water + 0.01 % linalool", ""),
        (WASH, "to 100 % purified water + 0.011 % linalool", "Linalool 0.011 %"),
        // Through an oil that is itself listed: lemongrass oil with 73 % citral and 5.25 % geraniol.
        (OIL, "to 100 % jojoba oil + 0.001 % lemongrass oil", ""),
        (OIL, "to 100 % jojoba oil + 0.002 % lemongrass oil", "Lemongrass Oil 0.002 %, Citral 0.00146 %"),
        // Summed over two oils: geranium oil has 17.7 % geraniol and 0.5 % citral, palmarosa oil an unknown share.
        (
            WASH,
            "to 100 % purified water + 0.05 % lemongrass oil + 0.05 % geranium oil",
            "Lemongrass Oil 0.05 %, Pelargonium Graveolens Flower Oil 0.05 %, Citral 0.0368 %, Geraniol 0.0115 %, \
             Citronellol 0.0106 %; present, share unknown: Linalool",
        ),
        // Nobody says how much: only where all of the oil could be above the threshold.
        (WASH, "to 100 % purified water + 0.01 % ho wood oil", ""),
        (WASH, "to 100 % purified water + 0.02 % ho wood oil", "present, share unknown: Linalool"),
        // A scent of which only the name is known.
        (OIL, "to 100 % jojoba oil + 0.3 % parfum", "present, share unknown: scent allergens"),
        // Benzyl alcohol that preserves stands in the list under its own name anyway.
        (WASH, "to 100 % purified water + 0.8 % benzyl alcohol; preservative", ""),
        // Not sold, or not in the EU, or no product for skin yet.
        ("product body oil; market EU", "to 100 % jojoba oil + 0.1 % linalool", ""),
        ("product body oil; for own use; market EU", "to 100 % jojoba oil + 0.1 % linalool", ""),
        ("product body oil; for sale; market US", "to 100 % jojoba oil + 0.1 % linalool", ""),
        ("product premix; for sale; market EU", "to 100 % jojoba oil + 0.1 % linalool", ""),
        // Unless it is for babies.
        ("product body oil; for babies; market EU", "to 100 % jojoba oil + 0.1 % linalool", "Linalool 0.1 %"),
    ];
    for (header, lines, expected) in table {
        assert_eq!(allergens(header, lines, LAW_DAY), expected, "{header}: {lines}");
    }
}

#[test]
fn the_long_list_counts_from_its_day_on() {
    let lines = "to 100 % jojoba oil + 0.1 % vanillin + 0.1 % coumarin";
    assert_eq!(allergens(OIL, lines, "2026-07-30"), "Coumarin 0.1 %");
    assert_eq!(allergens(OIL, lines, "2026-07-31"), "Coumarin 0.1 %, Vanillin 0.1 %");
    let lines = "to 100 % jojoba oil + 0.1 % patchouli oil";
    assert_eq!(allergens(OIL, lines, "2026-07-30"), "");
    assert_eq!(allergens(OIL, lines, "2026-07-31"), "Pogostemon Cablin Oil 0.1 %");
}

#[test]
fn what_is_not_said_of_the_product_is_said() {
    let open = "for sale; market EU";
    let told = allergens(open, "to 100 % purified water + 0.005 % linalool", LAW_DAY);
    assert_eq!(told, "Linalool 0.005 %; the product line does not say whether it stays on the skin");
}

#[test]
fn names_that_are_written_down_are_not_told_again() {
    let lines = "to 100 % jojoba oil + 0.1 % linalool + 0.1 % coumarin";
    let header = format!("{OIL}; caution Contains linalool");
    assert_eq!(allergens(&header, lines, LAW_DAY), "Coumarin 0.1 %");
    // `lavender` is no `lavender oil`: a name counts as a whole.
    let header = format!("{OIL}; note Contains coumarins and linalyl acetate");
    assert_eq!(allergens(&header, lines, LAW_DAY), "Coumarin 0.1 %, Linalool 0.1 %");
}

#[test]
fn warnings_on_both_sides_of_their_conditions() {
    let kept = "to 100 % purified water + 1 % phenoxyethanol (and) ethylhexylglycerin";
    let face = "product cream, face; for sale; market EU";
    let table = [
        // Annex III, entry 376: through the palmitate too; from 2025-11-01 on.
        (face, "0.2 % retinyl palmitate", LAW_DAY, true),
        (face, "0.2 % retinyl palmitate", "2025-10-31", false),
        ("product cream, face; for sale; market US", "0.2 % retinyl palmitate", LAW_DAY, false),
        ("product cream, face; market EU", "0.2 % retinyl palmitate", LAW_DAY, false),
        ("product cream, face; for gifts; market EU", "0.2 % retinyl palmitate", LAW_DAY, false),
        // Annex VI, entry 4: benzophenone-3 above 0.5 %.
        (face, "0.5 % benzophenone-3", LAW_DAY, false),
        (face, "0.6 % benzophenone-3", LAW_DAY, true),
        // Annex III, entry 4: ammonia above 2 %.
        (face, "2 % ammonia", LAW_DAY, false),
        (face, "2.1 % ammonia", LAW_DAY, true),
        // Annex V: releasers of formaldehyde.
        (face, "0.3 % DMDM hydantoin", LAW_DAY, true),
        // Annex III, entry 59: talc, only for children under three.
        ("product pressed powder, body; for sale; market EU", "5 % talc", LAW_DAY, false),
        ("product pressed powder, body; for sale, babies; market EU", "5 % talc", LAW_DAY, true),
    ];
    for (header, line, day, expected) in table {
        let message = said("label-warning", header, &format!("{kept} + {line}"), day);
        assert_eq!(!message.is_empty(), expected, "{header}: {line}: {message}");
    }
}

#[test]
fn words_are_compared_loosely() {
    let lines = "to 100 % squalane + 0.2 % retinol";
    let with = |words: &str| {
        said("label-warning", &format!("product face oil; for sale; market EU; {words}"), lines, LAW_DAY)
    };
    assert_eq!(with("warning CONTAINS VITAMIN A - consider your daily intake, before use!"), "");
    assert_eq!(with("directions Before use consider your daily intake. It contains vitamin A."), "");
    assert!(!with("warning Contains vitamin A.").is_empty());
    assert!(!with("note Contains Vitamin A. Consider your daily intake before use").is_empty());
}

#[test]
fn amounts_outside_the_usual() {
    let own = "ingredient Wickmere powder\nfunction active\nusage 1 to 2 %\n";
    let with = |percent: &str| {
        told(&format!(
            "{own}\nformula Table\nproduct cream, face\nto 100 % purified water\n{percent} % Wickmere powder\n\
             0.9 % phenoxyethanol (and) ethylhexylglycerin\n"
        ))
    };
    // The maker's own figure is taken at its word.
    assert_eq!(with("1"), Vec::<String>::new());
    assert_eq!(with("2"), Vec::<String>::new());
    assert_eq!(with("2.1"), ["outside-usage note"]);
    assert_eq!(with("0.9"), ["outside-usage note"]);
    assert_eq!(with("6"), ["outside-usage note"]);
    assert_eq!(with("6.1"), ["outside-usage warning"]);
    assert_eq!(with("0.3"), ["outside-usage warning"]);
    assert_eq!(with("20.1"), ["amount-implausible warning"]);
    // A range that touches it is inside.
    assert_eq!(with("2 to 4"), ["amount-range note"]);
    // From memory (dipotassium glycyrrhizate, at most 1 %): a note, from one and a half times on.
    let memory = |percent: &str| {
        told(&format!(
            "formula Table\nproduct cream, face\nto 100 % purified water\n{percent} % dipotassium glycyrrhizate\n\
             0.9 % phenoxyethanol (and) ethylhexylglycerin\n"
        ))
    };
    assert_eq!(memory("1.5"), Vec::<String>::new());
    assert_eq!(memory("1.51"), ["outside-usage note"]);
    assert_eq!(memory("4"), ["outside-usage note"]);
}

#[test]
fn usual_amounts_do_not_hold_everywhere() {
    for (product, lines) in [
        ("bath salts", "to 100 % sea salt\n30 % sodium bicarbonate\n20 % citric acid"),
        ("loose powder, body", "to 100 % corn starch\n40 % kaolin"),
        ("scrub, body, water-free", "to 100 % sugar\n30 % jojoba oil\n6 % polysorbate 80"),
        ("body oil", "to 100 % jojoba oil\n30 % isopropyl myristate"),
        ("premix", "to 100 % purified water\n5 % allantoin"),
    ] {
        let told = told(&format!("formula Table\nproduct {product}\n{lines}\n"));
        assert!(!told.iter().any(|said| said.starts_with("outside-usage")), "{product}: {told:?}");
    }
}
