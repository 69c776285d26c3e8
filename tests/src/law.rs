//! Both sides of limits of law, each with the entry that it stands on. The day is said, so that a later change of law
//! changes no test.

use crate::{LAW_DAY, findings_on};
use std::fmt::Write as _;

/// Preserved by something that is not what the case is about.
const KEPT: &str = "0.9 % phenoxyethanol (and) ethylhexylglycerin";

/// What the rules of law find in a formula with these header lines (cut at `; `; `on DATE` is the day) and lines (cut at ` + `).
fn law(product: &str, lines: &str) -> String {
    let mut text = "formula Table\n".to_owned();
    let mut day = LAW_DAY;
    for header in product.split("; ") {
        match header.strip_prefix("on ") {
            Some(on) => day = on,
            None => {
                let _ = writeln!(text, "{header}");
            }
        }
    }
    text.push_str("to 100 % purified water\n");
    for line in lines.split(" + ") {
        let _ = writeln!(text, "{}", if line == "kept" { KEPT } else { line });
    }
    let of_law = ["over-limit", "prohibited", "not-allowed-here", "law-changing"];
    findings_on(&text, day)
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
# trace
# read at second hand: a note where it is over by less than factor 2, a warning by less than 3).
III/102 | product cream, body; market EU | 0.3 % clove bud oil + kept | over-limit note
III/102 | product cream, body; market EU | 0.5 % clove bud oil + kept | over-limit warning
III/102 | product cream, body; market EU | 0.7 % clove bud oil + kept | over-limit error
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
# Annex III, entry 376, by Reg. (EU) 2024/996 from 2025-11-01 on: retinyl palmitate counts for 54.6 % of retinol.
III/376 | product cream, face; market EU | 0.2 % retinyl palmitate + kept |
III/376 | product lotion, body; market EU | 0.2 % retinyl palmitate + kept | over-limit error
III/376, the day before | product lotion, body; market EU; on 2025-10-31 | 0.2 % retinyl palmitate + kept | law-changing note
III/376, the first day | product lotion, body; market EU; on 2025-11-01 | 0.2 % retinyl palmitate + kept | over-limit error
III/376 | product lotion, body; market EU | 0.05 % retinol + kept |
III/376 | product lotion, body; market EU | 0.06 % retinol + kept | over-limit error
III/376, summed | product cream, face; market EU | 0.2 % retinol + 0.3 % retinyl palmitate + kept | over-limit error
III/376, another market | product lotion, body; market US | 0.2 % retinyl palmitate + kept |
# Annex III, entries 377 and 378, by Reg. (EU) 2024/996 from 2025-02-01 on.
III/377 | product cream, face; market EU | 2 % alpha-arbutin + kept |
III/377 | product cream, face; market EU | 2.1 % alpha-arbutin + kept | over-limit error
III/377 | product lotion, body; market EU | 0.6 % alpha-arbutin + kept | over-limit error
III/377, the day before | product cream, face; market EU; on 2025-01-31 | 2.1 % alpha-arbutin + kept | law-changing note
III/378 | product cream, face; market EU | 7.1 % arbutin + kept | over-limit error
# Annex III, entry 98: salicylic acid by kind of product.
III/98 | product shampoo; market EU | 3 % salicylic acid + kept |
III/98 | product shampoo; market EU | 3.1 % salicylic acid + kept | over-limit error
III/98 | product deodorant, roll-on; market EU | 0.5 % salicylic acid + kept |
III/98 | product deodorant, roll-on; market EU | 0.6 % salicylic acid + kept | over-limit error
III/98 | product mist, face, aerosol; market EU | 0.5 % salicylic acid + kept | not-allowed-here error
# Annex III, entry 324, through wintergreen oil (96 to 99.5 % methyl salicylate, from memory:
# no more than a note, unless half of it would still be too much).
III/324, wintergreen | product cream, body; market EU | 0.06 % wintergreen oil + kept |
III/324, wintergreen | product cream, body; market EU | 0.07 % wintergreen oil + kept | over-limit note
III/324, wintergreen | product cream, body; market EU | 2 % wintergreen oil + kept | over-limit error
III/324, lips | product lip balm; market EU | 0.03 % methyl salicylate |
III/324, lips | product lip balm; market EU | 0.04 % methyl salicylate | over-limit error
III/324, hand wash | product hand wash; market EU | 0.6 % methyl salicylate + kept |
III/324, hand wash | product hand wash; market EU | 0.61 % methyl salicylate + kept | over-limit error
III/324, shower gel | product shower gel; market EU | 0.07 % methyl salicylate + kept | over-limit error
# Annex III, entry 102, through tea tree oil (0.05 % methyl eugenol); the code limits it too.
III/102, tea tree | product cream, body; market EU | 0.3 % tea tree oil + kept |
III/102, tea tree | product cream, body; market EU | 0.6 % tea tree oil + kept | over-limit note
III/102, tea tree | product cream, body; market EU | 1 % tea tree oil + kept | over-limit warning
III/102, tea tree | product cream, body; market EU | 1.3 % tea tree oil + kept | over-limit error
III/102, rose oil of unknown content | product cream, body; market EU | 0.2 % rose oil + kept |
# Annex III, entry 321: titanium dioxide in loose powder for the face 25 %; not where it can be breathed in. The entry
# is of powder with 1 % or more of particles of at most 10 µm: as long as no line says so, no more than a note.
III/321 | product loose powder, face; market EU | 25 % titanium dioxide |
III/321 | product loose powder, face; market EU | 25.1 % titanium dioxide | over-limit note
III/321, said | product loose powder, face; market EU | 25.1 % titanium dioxide; fine powder | over-limit error
III/321 | product loose powder, body; market EU | 5 % titanium dioxide | not-allowed-here note
III/321, said | product loose powder, body; market EU | 5 % titanium dioxide; fine powder | not-allowed-here error
III/321, no powder | product cream, face; market EU | 30 % titanium dioxide; colour + kept |
# Annex V, entry 39: sold as a solution of about 1.5 %. What no line calls a strength of is over for certain only where
# that solution would be over too.
# Methylchloroisothiazolinone with methylisothiazolinone, rinse-off only.
V/39 | product cream, face; market EU | 10 ppm methylchloroisothiazolinone (and) methylisothiazolinone | not-allowed-here error
V/39 | product shampoo; market EU | 15 ppm methylchloroisothiazolinone (and) methylisothiazolinone |
V/39 | product shampoo; market EU | 0.1 % methylchloroisothiazolinone (and) methylisothiazolinone | over-limit note
V/39, said | product shampoo; market EU | 0.1 % methylchloroisothiazolinone (and) methylisothiazolinone; strength 1.5 % |
V/39, said | product shampoo; market EU | 0.12 % methylchloroisothiazolinone (and) methylisothiazolinone; strength 1.5 % | over-limit error
V/39, any strength | product shampoo; market EU | 0.2 % methylchloroisothiazolinone (and) methylisothiazolinone | over-limit error
# Annex II, entries 1395 and 1396: boric acid and borax; 436, 1133, 1136: fig leaf, costus root, crude Peru balsam.
II/1396 | product cream, body; market EU | 0.5 % borax + kept | prohibited error
II/1396, own use | product cream, body; market EU; for own use | 0.5 % borax + kept | prohibited warning
II/1396, another market | product cream, body; market US | 0.5 % borax + kept |
II/1395 | product cream, body; market EU | 0.5 % boric acid + kept | prohibited error
II/1133 | product cream, body; market EU | 0.01 % costus root oil + kept | prohibited error
II/436 | product cream, body; market EU | 0.01 % fig leaf absolute + kept | prohibited error
II/1136 | product cream, body; market EU | 0.1 % Peru balsam + kept | prohibited error
III/154 | product cream, body; market EU | 0.4 % Peru balsam oil + kept |
III/154 | product cream, body; market EU | 0.5 % Peru balsam oil + kept | over-limit error
# Annex III, entry 73: isoeugenol 0.02 %, through ylang-ylang oil (0.99 %, at second hand).
III/73 | product cream, body; market EU | 2 % ylang-ylang oil + kept |
III/73 | product cream, body; market EU | 2.1 % ylang-ylang oil + kept | over-limit warning
III/73 | product cream, body; market EU | 0.02 % isoeugenol + kept |
III/73 | product cream, body; market EU | 0.021 % isoeugenol + kept | over-limit error
# Annex III, entry 322: dihydroxyacetone 10 % in self-tanning products.
III/322 | product lotion, body, self-tan; market EU | 10 % dihydroxyacetone + kept |
III/322 | product lotion, body, self-tan; market EU | 10.1 % dihydroxyacetone + kept | over-limit error
# Reg. (EU) 2026/78, at second hand: hexyl salicylate 0.3 % leave-on, 0.5 % rinse-off from 2026-05-01.
2026/78 | product cream, body; market EU | 0.3 % hexyl salicylate + kept |
2026/78 | product cream, body; market EU | 0.31 % hexyl salicylate + kept | over-limit warning
2026/78, the day before | product cream, body; market EU; on 2026-04-30 | 0.31 % hexyl salicylate + kept | law-changing note
2026/78 | product shower gel; market EU | 0.4 % hexyl salicylate + kept |
# IFRA Standard on citral, at second hand: 0.15 % on the face, through lemongrass oil (73 %).
code, citral | product cream, face; market EU | 0.2 % lemongrass oil + kept |
code, citral | product cream, face; market EU | 0.3 % lemongrass oil + kept | over-limit warning
# Annex V, entries 33, 42 and 9: solutions, and salts counted as what the entry names.
V/33 | product shampoo; market EU | 0.6 % DMDM hydantoin |
V/33, strength not said | product shampoo; market EU | 0.8 % DMDM hydantoin | over-limit note
V/33 | product shampoo; market EU | 0.8 % DMDM hydantoin; strength 55 % |
V/33, any strength | product shampoo; market EU | 1.2 % DMDM hydantoin | over-limit error
V/42 | product cream, body; market EU | 0.53 % chlorhexidine digluconate; strength 100 % |
V/42 | product cream, body; market EU | 0.54 % chlorhexidine digluconate; strength 100 % | over-limit error
V/42 | product cream, body; market EU | 2.6 % chlorhexidine digluconate; strength 20 % |
V/42, strength not said | product cream, body; market EU | 2.6 % chlorhexidine digluconate | over-limit note
V/9 | product cream, body; market EU | 0.39 % sodium sulfite; preservative |
V/9 | product cream, body; market EU | 0.40 % sodium sulfite; preservative | over-limit error
# Annex V, entries 25 and 32: allowed in the products that they name only.
V/25 | product hand wash; market EU | 0.3 % triclosan |
V/25 | product cream, body; market EU | 0.1 % triclosan | not-allowed-here error
V/25 | product deodorant, aerosol; market EU | 0.1 % triclosan | not-allowed-here error
V/32 | product shampoo; market EU | 0.5 % climbazole |
V/32 | product cream, body; market EU | 0.1 % climbazole | not-allowed-here error
V/45 | product cream, body; market EU; pH 5 to 6 | 0.1 % dimethyl oxazolidine | not-allowed-here error
V/45 | product cream, body; market EU; pH 6.5 to 7 | 0.1 % dimethyl oxazolidine |
V/3, salts for children | product shampoo; market EU; for children under 3 | 0.3 % sodium salicylate |
V/3, salts for children | product cream, body; market EU; for children under 3 | 0.3 % sodium salicylate | not-allowed-here error
III/98, for children | product shampoo; market EU; for babies | 0.3 % salicylic acid + kept | not-allowed-here error
III/324, for children | product hand wash; market EU; for children under 6 | 0.3 % methyl salicylate + kept | not-allowed-here error
III/15a | product cream, depilatory; market EU; pH 12 to 12.5 | q.s. sodium hydroxide; to pH 12.3; about 1 % + kept |
III/15a | product cream, body; market EU; pH 12 to 12.5 | q.s. sodium hydroxide; to pH 12.3; about 1 % + kept | not-allowed-here error
V/56 | product bath milk; market EU; for babies | 0.01 % iodopropynyl butylcarbamate |
# Annex VI, entry 4: oxybenzone 6 % on the face, 2.2 % on the body, 0.5 % elsewhere.
VI/4 | product cream, feet, sun care; market EU | 0.6 % oxybenzone | over-limit error
VI/4 | product cream, body, sun care; market EU | 2.2 % oxybenzone |
VI/4 | product cream, hands, pump spray, sun care; market EU | 2 % oxybenzone | not-allowed-here error
# Annex VI, entry 23a: the nano form only.
VI/23a | product mist, body, pump spray, sun care; market EU | 5 % bisoctrizole; nano | not-allowed-here error
VI/23a | product mist, body, pump spray, sun care; market EU | 5 % bisoctrizole; non-nano |
VI/23a | product mist, body, pump spray, sun care; market EU | 5 % bisoctrizole | not-allowed-here note
# Annex III, entries 98, 102 and 324, in make-up, on lips and in perfume; 375 nowhere else than on face and hands.
III/98 | product lipstick; market EU | 0.5 % salicylic acid |
III/98 | product lipstick; market EU | 0.6 % salicylic acid | over-limit error
III/102 | product perfume; market EU | 0.01 % methyl eugenol |
III/102 | product perfume; market EU | 0.011 % methyl eugenol | over-limit error
III/324 | product perfume; market EU | 0.6 % methyl salicylate |
III/324 | product cream, make-up, eye area; market EU | 0.003 % methyl salicylate + kept | over-limit error
III/375 | product lotion, body; market EU | 1 % kojic acid + kept | not-allowed-here error
III/375, area not said | product cream; market EU | 1 % kojic acid + kept | not-allowed-here note
III/375, the day before | product lotion, body; market EU; on 2025-01-31 | 1 % kojic acid + kept | law-changing note
# SCCS/1681/25 on tea tree oil, an opinion: adults only, no sprays.
opinion | product shampoo; market EU; for children | 0.2 % tea tree oil + kept | not-allowed-here note
opinion | product cream, face; market EU | 0.2 % tea tree oil + kept | over-limit note
opinion | product cream, face; market EU | 0.1 % tea tree oil + kept |
# What the UK's own annexes say was not read: nothing is claimed.
UK, V/1 | product cream, face; market UK | 0.60 % sodium benzoate |
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
    assert!(rows >= 170, "{rows} rows");
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
