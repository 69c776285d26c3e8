//! Both sides of limits of law, each with the entry that it stands on. The day is said, so that a later change of law
//! changes no test.

use crate::{LAW_DAY, findings_on};
use std::fmt::Write as _;

/// Preserved by something that is not what the case is about.
const KEPT: &str = "0.9 % phenoxyethanol (and) ethylhexylglycerin";

/// What the rules of law find in a formula with these header lines (cut at `; `) and lines (cut at ` + `).
fn law(product: &str, lines: &str) -> String {
    let mut text = "formula Table\n".to_owned();
    for header in product.split("; ") {
        let _ = writeln!(text, "{header}");
    }
    text.push_str("to 100 % purified water\n");
    for line in lines.split(" + ") {
        let _ = writeln!(text, "{}", if line == "kept" { KEPT } else { line });
    }
    let of_law = ["over-limit", "prohibited", "not-allowed-here", "law-changing"];
    findings_on(&text, LAW_DAY)
        .into_iter()
        .filter(|finding| of_law.contains(&finding.rule))
        .map(|finding| format!("{} {}", finding.rule, finding.level.word()))
        .collect::<Vec<_>>()
        .join(", ")
}

/// Entry | header | lines | what is told; `kept` stands for a preservative of which the row does not speak.
const TABLE: &str = "
# Annex V, entry 1: benzoic acid 0.5 % leave-on, 2.5 % rinse-off, as acid.
V/1 | product cream, face; market EU | 0.58 % sodium benzoate |
V/1 | product cream, face; market EU | 0.60 % sodium benzoate | over-limit error
V/1 | product shampoo; market EU | 2.94 % sodium benzoate |
V/1 | product shampoo; market EU | 2.96 % sodium benzoate | over-limit error
V/1, own use | product cream, face; market EU; for own use | 0.60 % sodium benzoate | over-limit warning
V/1, babies | product cream, face; market EU; for own use, babies | 0.60 % sodium benzoate | over-limit error
V/1, nothing declared | market EU | 0.60 % sodium benzoate | over-limit note
V/1, another market | product cream, face; market US | 0.60 % sodium benzoate |
# Annex V, entry 4: sorbic acid 0.6 % as acid.
V/4 | product cream, face; market EU | 0.80 % potassium sorbate |
V/4 | product cream, face; market EU | 0.81 % potassium sorbate | over-limit error
# Annex V, entry 13: dehydroacetic acid 0.6 % as acid; not in aerosols.
V/13 | product cream, face; market EU | 0.67 % sodium dehydroacetate |
V/13 | product cream, face; market EU | 0.69 % sodium dehydroacetate | over-limit error
V/13 | product mist, aerosol; market EU | 0.3 % dehydroacetic acid | not-allowed-here error
# Annex V, entry 29: phenoxyethanol 1 %, summed over what brings it.
V/29 | product cream, face; market EU | 1 % phenoxyethanol |
V/29 | product cream, face; market EU | 1.01 % phenoxyethanol | over-limit error
V/29 | product cream, face; market EU | 1 % phenoxyethanol (and) ethylhexylglycerin + 0.05 % phenoxyethanol |
# Annex V, entry 12 and 12a: parabens as acid, 0.4 % each, 0.8 % in all, propyl and butyl 0.14 % in all.
V/12 | product cream, face; market EU | 0.44 % methylparaben |
V/12 | product cream, face; market EU | 0.45 % methylparaben | over-limit error
V/12a | product cream, face; market EU | 0.44 % methylparaben + 0.18 % propylparaben |
V/12a | product cream, face; market EU | 0.13 % propylparaben + 0.07 % butylparaben | over-limit error
V/12, sum | product cream, face; market EU | 0.44 % methylparaben + 0.48 % ethylparaben + 0.05 % propylparaben | over-limit error
V/12a | product cream, nappy area; market EU; for babies | 0.1 % propylparaben | not-allowed-here error
# Annex V, entry 50: chlorphenesin 0.3 %.
V/50 | product cream, face; market EU | 0.3 % chlorphenesin |
V/50 | product cream, face; market EU | 0.31 % chlorphenesin | over-limit error
# Annex V, entry 57: methylisothiazolinone 0.0015 % and only where it is rinsed off.
V/57 | product shampoo; market EU | 15 ppm methylisothiazolinone |
V/57 | product shampoo; market EU | 16 ppm methylisothiazolinone | over-limit error
V/57 | product cream, face; market EU | 15 ppm methylisothiazolinone | not-allowed-here error
# Annex V, entry 3, and Annex III, entry 98: salicylic acid.
III/98 | product serum, face; market EU | 2 % salicylic acid + kept |
III/98 | product serum, face; market EU | 2.1 % salicylic acid + kept | over-limit error
III/98 | product lotion, body; market EU | 0.5 % salicylic acid + kept |
III/98 | product lotion, body; market EU | 0.6 % salicylic acid + kept | over-limit error
III/98 | product serum, face; market EU; for children under 3 | 0.1 % salicylic acid + kept | not-allowed-here error
V/3 | product serum, face; market EU | 0.5 % salicylic acid; preservative |
V/3 | product serum, face; market EU | 0.6 % salicylic acid; preservative | over-limit error
V/3 | product serum, face; market EU | 0.57 % sodium salicylate |
V/3 | product serum, face; market EU | 0.59 % sodium salicylate | over-limit error
III/98 and V/3 side by side | product serum, face; market EU | 1 % salicylic acid + 0.3 % sodium salicylate |
# Annex VI, entries 30 and 30a: zinc oxide 25 %, nano and non-nano together; entry 27: titanium dioxide apart.
VI/30 | product cream, body, sun care; market EU | 25.0 % zinc oxide |
VI/30 | product cream, body, sun care; market EU | 25.1 % zinc oxide | over-limit error
VI/30a | product cream, body, sun care; market EU | 15 % zinc oxide + 12 % zinc oxide (nano) | over-limit error
VI/27 | product cream, body, sun care; market EU | 25 % zinc oxide + 25 % titanium dioxide |
VI/30, no UV filter | product cream, nappy area; market EU | 30 % zinc oxide |
VI/30 | product loose powder, face, sun care; market EU | 10 % zinc oxide | not-allowed-here error
VI/30, said on the line | product loose powder, body; market EU | 10 % zinc oxide; UV filter | not-allowed-here error
VI/30, no UV filter | product loose powder, body; market EU | 10 % zinc oxide |
21 CFR 352.10 | product cream, body, sun care; market US | 25.1 % zinc oxide | over-limit error
# Annex VI, entry 8, and 21 CFR 352.10: avobenzone 5 % in the EU, 3 % in the US.
VI/8 | product cream, body, sun care; market EU | 5 % avobenzone |
VI/8 | product cream, body, sun care; market EU | 5.1 % avobenzone | over-limit error
21 CFR 352.10 | product cream, body, sun care; market US | 3.1 % avobenzone | over-limit error
# Annex VI, entry 3: homosalate 7.34 %, in products for the face only.
VI/3 | product cream, face, sun care; market EU | 7.3 % homosalate |
VI/3 | product cream, body, sun care; market EU | 1 % homosalate | not-allowed-here error
# Annex III, entry 376: vitamin A as retinol, 0.05 % in body lotions, 0.3 % elsewhere.
III/376 | product cream, face; market EU | 0.54 % retinyl palmitate + kept |
III/376 | product cream, face; market EU | 0.56 % retinyl palmitate + kept | over-limit error
III/376 | product lotion, body; market EU | 0.10 % retinyl palmitate + kept | over-limit error
III/376 | product lotion, body; market EU | 0.09 % retinyl palmitate + kept |
# Annex III, entry 102: methyl eugenol 0.0002 % leave-on, 0.001 % rinse-off, through clove bud oil (0.1 % of it, a
# figure at second hand: no more than a warning where half of it would do).
III/102 | product cream, body; market EU | 0.3 % clove bud oil + kept | over-limit warning
III/102 | product cream, body; market EU | 0.5 % clove bud oil + kept | over-limit error
III/102 | product cream, body; market EU | 0.2 % clove bud oil + kept |
III/102 | product shower gel; market EU | 0.9 % clove bud oil + kept |
# Annex III, entry 62: triethanolamine 2.5 % leave-on, no limit rinse-off.
III/62 | product cream, body; market EU | 2.5 % triethanolamine + kept |
III/62 | product cream, body; market EU | 2.6 % triethanolamine + kept | over-limit error
III/62 | product shampoo; market EU | 2.6 % triethanolamine + kept |
# Annex III, entry 375: kojic acid 1 % on face and hands.
III/375 | product cream, face; market EU | 1 % kojic acid + kept |
III/375 | product cream, face; market EU | 1.1 % kojic acid + kept | over-limit error
# Annex III, entry 324: methyl salicylate, almost all of wintergreen oil; not under 6 years.
III/324 | product cream, body; market EU | 0.06 % methyl salicylate + kept |
III/324 | product cream, body; market EU | 0.07 % methyl salicylate + kept | over-limit error
III/324 | product cream, body; market EU; for babies | 0.01 % methyl salicylate + kept | not-allowed-here error
# Annex II, entry 1339.
II/1339 | product cream, face; market EU | 0.5 % hydroquinone + kept | prohibited error
II/1339, another market | product cream, face; market US | 0.5 % hydroquinone + kept |
# Reg. (EU) 2026/909: citral on lips 0.11 % from 2027-01-01, through lemongrass oil (73 % of it).
III/70 of 2027 | product lip balm; market EU | 0.15 % lemongrass oil + kept |
III/70 of 2027 | product lip balm; market EU | 0.2 % lemongrass oil + kept | law-changing note
";

#[test]
fn both_sides_of_each_limit() {
    let mut wrong = String::new();
    let mut rows = 0;
    for row in TABLE.lines().filter(|row| !row.is_empty() && !row.starts_with('#')) {
        let cells: Vec<&str> = row.split('|').map(str::trim).collect();
        let [entry, product, lines, expected] = cells.as_slice() else { panic!("not four cells: {row}") };
        let told = law(product, lines);
        rows += 1;
        if told != *expected {
            let _ = writeln!(wrong, "{entry}: {product} with {lines}: `{told}`, expected `{expected}`");
        }
    }
    assert!(rows > 60, "{rows} rows");
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn what_is_not_declared_names_the_word_that_settles_it() {
    let text =
        "formula Table\nto 100 % purified water\n0.001 % methylisothiazolinone\n0.8 % phenoxyethanol\n";
    let found = findings_on(text, LAW_DAY);
    let told = found
        .iter()
        .find(|finding| finding.rule == "not-allowed-here")
        .map(|finding| finding.message.clone())
        .unwrap_or_default();
    assert!(told.contains("leave-on"), "{told}");
}

#[test]
fn a_market_that_was_assumed_is_said() {
    let text = "formula Table\nproduct cream, face\nto 100 % purified water\n0.60 % sodium benzoate\n";
    let found = findings_on(text, LAW_DAY);
    let told = found
        .iter()
        .find(|finding| finding.rule == "over-limit")
        .map(|finding| finding.message.clone())
        .unwrap_or_default();
    assert!(told.contains("EU law (as of 2026-11-24; assumed, since no market is said)"), "{told}");
}

#[test]
fn a_change_speaks_of_itself_until_it_is_law() {
    let text =
        "formula Table\nproduct lip balm\nmarket EU\n20 % beeswax\n79.8 % jojoba oil\n0.2 % lemongrass oil\n";
    let rules =
        |day: &str| findings_on(text, day).into_iter().map(|finding| finding.rule).collect::<Vec<_>>();
    assert!(rules("2026-12-31").contains(&"law-changing"));
    assert!(rules("2027-01-01").contains(&"over-limit"));
    assert!(!rules("2027-01-01").contains(&"law-changing"));
}
