//! Two texts side by side, held against what a maker who wrote both would say has changed.

mod properties;

use crate::{LAW_DAY, page_on};
use desk::{BlockChange, Comparison, Exact, LineChange, News, SumChange, Turn};

const CREAM: &str = "\
formula Wicket Lane cream
version 2
product cream, leave-on, hands
market EU
batch 500 g
pH 5.0 to 5.5
claim vegan

phase A water; heat to 75 °C
  to  100     %     purified water
        5     %     glycerin
        0.5   %     sodium benzoate

phase B oil; heat to 75 °C
       10     %     jojoba oil
        4     %     glyceryl stearate (and) PEG-100 stearate
        3     %     cetyl alcohol

phase C cool-down; below 40 °C
        1     %     panthenol; strength 75 %

step heat A and B to 75 °C
step add B to A; homogenise 3 min
step cool below 40 °C; add C

variant light
set jojoba oil to 6 %
";

fn comparison(before: &str, after: &str) -> Comparison {
    Comparison::of(&page_on(before, LAW_DAY), &page_on(after, LAW_DAY))
}

/// Everything that changed, one line each, in figures and words of the data alone.
fn outline(before: &str, after: &str) -> Vec<String> {
    comparison(before, after).blocks.iter().filter(|block| !block.is_empty()).flat_map(lines_of).collect()
}

fn arrow(turn: &Turn<String>) -> String {
    match (&turn.from, &turn.to) {
        (None, Some(to)) => format!("+{to}"),
        (Some(from), None) => format!("-{from}"),
        (from, to) if from == to => to.clone().unwrap_or_default(),
        (from, to) => format!("{}>{}", from.as_deref().unwrap_or("?"), to.as_deref().unwrap_or("?")),
    }
}

fn shares(turn: &Turn<Exact>) -> String {
    let text = |share: &Option<Exact>| share.as_ref().map(|share| share.percent().data());
    arrow(&Turn { from: text(&turn.from), to: text(&turn.to) })
}

fn line(change: &LineChange) -> String {
    let mut out = arrow(&change.name);
    if let Some(from) = &change.moved_from {
        out.push_str(&format!(" from {from}"));
    }
    if change.is_resized() || change.name.is_new() || change.name.is_gone() {
        let share = |amount: &Option<desk::Amount>| {
            amount.as_ref().and_then(|amount| amount.share.as_ref()).map(|share| share.mid.clone())
        };
        let turn = Turn { from: share(&change.amount.from), to: share(&change.amount.to) };
        out.push_str(&format!(" {}", shares(&turn)));
    }
    for mark in &change.marks {
        out.push_str(&format!(" [{}]", arrow(mark)));
    }
    out
}

fn lines_of(block: &BlockChange) -> Vec<String> {
    let mut out = Vec::new();
    if block.name.differs() {
        out.push(format!("block {}", arrow(&block.name)));
    }
    if block.version.differs() && !block.name.is_new() && !block.name.is_gone() {
        out.push(format!("version {}", arrow(&block.version)));
    }
    let facts = |facts: &[desk::FactChange], lead: &str| -> Vec<String> {
        let word = |fact: &desk::FactChange| fact.word.map_or("?", desk::Word::spelling);
        facts.iter().map(|fact| format!("{lead}{} {}", word(fact), arrow(&fact.said))).collect()
    };
    let phases = |phases: &[desk::PhaseChange], lead: &str| -> Vec<String> {
        let mut out = Vec::new();
        for phase in phases {
            let label = format!("{lead}{}", arrow(&phase.label));
            if phase.label.differs() {
                out.push(format!("{label}:"));
            }
            out.extend(phase.words.iter().map(|words| format!("{label}: [{}]", arrow(words))));
            out.extend(phase.lines.iter().map(|change| format!("{label}: {}", line(change))));
        }
        out
    };
    out.extend(facts(&block.facts, ""));
    out.extend(phases(&block.phases, ""));
    out.extend(block.steps.iter().map(|step| {
        let number = |at: Option<usize>| at.map_or("?".to_owned(), |at| at.to_string());
        format!("step {}>{} {}", number(step.number.from), number(step.number.to), arrow(&step.words))
    }));
    out.extend(block.sums.iter().map(sum));
    for variant in &block.variants {
        let name = format!("{}: ", arrow(&variant.name));
        out.extend(variant.written.iter().map(|line| format!("{name}{line}")));
        out.extend(facts(&variant.facts, &name));
        out.extend(phases(&variant.phases, &name));
    }
    out
}

fn sum(change: &SumChange) -> String {
    match change {
        SumChange::Total(turn) => format!("total {}", shares(turn)),
        SumChange::Batch(turn) => {
            let grams = |grams: &Option<Exact>| grams.as_ref().map(Exact::data);
            format!("batch {}", arrow(&Turn { from: grams(&turn.from), to: grams(&turn.to) }))
        }
        SumChange::Water(turn) => format!("water {}", shares(turn)),
        SumChange::Oils(turn) => format!("oils {}", shares(turn)),
        SumChange::Preservative { name, acid, share } => {
            format!("{name} as {} {}", acid.as_deref().unwrap_or("itself"), shares(share))
        }
        SumChange::Undissociated { acid, at } => {
            let text = |at: &Option<(String, Exact)>| at.as_ref().map(|(part, ph)| format!("{part} at {ph}"));
            format!("undissociated {acid} {}", arrow(&Turn { from: text(&at.from), to: text(&at.to) }))
        }
    }
}

#[track_caller]
fn check(after: &str, expected: &[&str]) {
    assert_eq!(outline(CREAM, after), expected);
}

fn with(changes: &[(&str, &str)]) -> String {
    changes.iter().fold(CREAM.to_owned(), |text, (old, new)| {
        assert!(text.contains(old), "{old}");
        text.replacen(old, new, 1)
    })
}

#[test]
fn amounts_are_told_with_what_follows() {
    // By hand: the rest was 100 − 23.5 = 76.5 and is 74.5; a quarter of 1 % panthenol is water, too.
    check(
        &with(&[("        5     %     glycerin", "        7     %     glycerin")]),
        &["A: purified water 76.5>74.5", "A: glycerin 5>7", "water 76.75>74.75"],
    );
    // 1 % panthenol of 75 % strength brings 0.25 % water; of 50 % it brings 0.5 %.
    check(
        &with(&[("strength 75 %", "strength 50 %")]),
        &["C: panthenol [strength 75 %>strength 50 %]", "water 76.75>77"],
    );
}

#[test]
fn the_same_thing_said_otherwise_is_no_change() {
    for (old, new) in [
        ("batch 500 g", "batch 0.5 kg"),
        ("pH 5.0 to 5.5", "ph 5 to 5.50 # as before"),
        ("heat to 75 °C", "heat to 167 °F"),
        ("        5     %     glycerin", " 25 g Glycerin"),
        ("        5     %     glycerin", " 2 % glycerin\n 3 % glycerin"),
        ("product cream, leave-on, hands", "product hands, cream, leave-on"),
        ("step heat A", "\n# now the pots\nstep  Heat A"),
        ("panthenol; strength 75 %", "panthenol 75 %"),
        (
            "       10     %     jojoba oil\n        4     %     glyceryl stearate (and) PEG-100 stearate\n",
            " 4 % glyceryl stearate (and) PEG-100 stearate\n 10 % jojoba oil\n",
        ),
    ] {
        check(&with(&[(old, new)]), &[]);
        assert!(!comparison(CREAM, &with(&[(old, new)])).is_same_text, "{new}");
    }
    // So is a name that was written wrong.
    let wrong = with(&[("glycerin\n", "glicerin\n")]);
    assert_eq!(outline(&wrong, CREAM).first().map(String::as_str), Some("A: glicerin>glycerin"));
    // Another name of the same thing is told, and nothing else.
    check(&with(&[("glycerin\n", "glycerine\n")]), &["A: glycerin>glycerine"]);
}

#[test]
fn what_was_taken_out_stands_at_its_old_place() {
    check(
        &with(&[
            ("        4     %     glyceryl stearate (and) PEG-100 stearate\n", ""),
            ("cetyl alcohol\n", "cetyl alcohol\n 4 % cetearyl alcohol\n"),
        ]),
        &["B: -glyceryl stearate (and) PEG-100 stearate -4", "B: +cetearyl alcohol +4", "oils 13>17"],
    );
}

#[test]
fn an_ingredient_that_moves_is_told_where_it_is() {
    let text = with(&[
        ("        1     %     panthenol; strength 75 %\n", "        1     %     phenoxyethanol\n"),
        (
            "        5     %     glycerin\n",
            "        5     %     glycerin\n        2     %     panthenol; strength 75 %\n",
        ),
    ]);
    check(
        &text,
        &[
            "A: purified water 76.5>74.5",
            "A: panthenol from C 1>2",
            "C: +phenoxyethanol +1",
            "water 76.75>75",
            "phenoxyethanol as itself +1",
        ],
    );
}

#[test]
fn phases_are_known_by_what_is_in_them() {
    let text = with(&[
        ("phase C cool-down", "phase D cool-down"),
        ("phase B oil; heat to 75 °C", "phase C oil; heat to 80 °C"),
        ("phase C oil", "phase B powder\n 2 % kaolin\nphase C oil"),
    ]);
    assert_eq!(
        outline(CREAM, &text),
        [
            "A: purified water 76.5>74.5",
            "+B:",
            "+B: +kaolin +2",
            "B>C:",
            "B>C: [heat to 75 °C>heat to 80 °C]",
            "C>D:",
            "water 76.75>74.75",
        ]
    );
}

#[test]
fn header_lines_are_told_by_their_words() {
    check(
        &with(&[
            ("version 2", "version 3"),
            ("batch 500 g", "batch 600 g"),
            ("claim vegan", "claim fragrance-free, vegan\nnote Softer."),
            ("market EU", "market EU, UK"),
        ]),
        &["version 2>3", "market EU>EU, UK", "batch 500 g>600 g", "claim +fragrance-free", "note +Softer."],
    );
}

#[test]
fn a_lower_ph_lets_more_of_the_acid_work() {
    // Henderson–Hasselbalch with the pKa of benzoic acid, 4.20 (CRC Handbook of Chemistry and Physics): at pH 5.5
    // 1 / (1 + 10^1.3) = 4.77 %, at pH 5.0 1 / (1 + 10^0.8) = 13.7 %.
    check(
        &with(&[("pH 5.0 to 5.5", "pH 4.5 to 5.0")]),
        &["pH 5.0 to 5.5>4.5 to 5.0", "undissociated benzoic acid 4.77 at 5.5>13.7 at 5"],
    );
    // 122.12 / 144.11 of sodium benzoate is benzoic acid: 0.847 of it (molar masses as in the CRC Handbook).
    let told = outline(CREAM, &with(&[("0.5   %     sodium", "0.4   %     sodium")]));
    let acid =
        told.iter().find(|line| line.starts_with("sodium benzoate as benzoic acid ")).expect("an acid");
    let (from, to) = acid.rsplit(' ').next().and_then(|turn| turn.split_once('>')).expect("a turn");
    for (told, salt) in [(from, 0.5), (to, 0.4)] {
        let told: f64 = told.parse().expect("a number");
        assert!((told - salt * 122.12 / 144.11).abs() < 0.0005, "{acid}");
    }
}

#[test]
fn steps_are_added_taken_out_reworded_and_moved() {
    check(
        &with(&[("homogenise 3 min", "homogenise 5 min"), ("add C\n", "add C\nstep fill\n")]),
        &["step 2>2 add B to A; homogenise 3 min>add B to A; homogenise 5 min", "step ?>4 +fill"],
    );
    check(&with(&[("step heat A and B to 75 °C\n", "")]), &["step 1>? -heat A and B to 75 °C"]);
    let moved =
        with(&[("step heat A and B to 75 °C\n", ""), ("add C\n", "add C\nstep heat A and B to 75 °C\n")]);
    check(&moved, &["step 1>3 heat A and B to 75 °C"]);
}

#[test]
fn a_variant_tells_only_what_its_formula_does_not() {
    // The rest shrinks in the variant, too, and cetyl alcohol is the same line: nothing of the variant's own.
    let told = outline(CREAM, &with(&[("        3     %     cetyl", "        4     %     cetyl")]));
    assert!(!told.iter().any(|line| line.starts_with("light")), "{told:?}");
    check(&with(&[("set jojoba oil to 6 %", "set jojoba oil to 5 %")]), &["light: B: jojoba oil 6>5"]);
    check(
        &format!("{CREAM}\nvariant warm\nset pH to 5.5\nomit panthenol\n"),
        &["+warm: set pH to 5.5", "+warm: omit panthenol"],
    );
    check(&with(&[("to 6 %\n", "to 6 %\nset for to dry skin\n")]), &["light: for +dry skin"]);
    // A variant that puts others together changes with them, and that is told with them.
    let three =
        format!("{CREAM}\nvariant warm\nset pH to 5.5\nomit panthenol\n\nvariant both: light, warm\n");
    let lighter = three.replace("oil to 6 %", "oil to 5 %").replace("omit panthenol", "set panthenol to 2 %");
    assert_eq!(outline(&three, &lighter), ["light: B: jojoba oil 6>5", "warm: C: +panthenol +2"]);
    check(&with(&[("variant light\nset jojoba oil to 6 %\n", "")]), &["-light: set jojoba oil to 6 %"]);
}

#[test]
fn formulas_are_matched_by_name_and_one_that_is_left_was_renamed() {
    let balm = "formula Balm\n 60 % shea butter\n 40 % jojoba oil\n";
    let two = format!("{CREAM}\n{balm}");
    assert_eq!(outline(CREAM, &two), ["block +Balm"]);
    assert_eq!(outline(&two, CREAM), ["block -Balm"]);
    assert_eq!(outline(&two, &format!("{balm}\n{CREAM}")), [""; 0]);
    let renamed = two.replace("formula Balm", "formula Evening balm").replace("60 %", "61 %");
    assert_eq!(
        outline(&two, &renamed),
        ["block Balm>Evening balm", ": shea butter 60>61", "total 100>101", "oils 100>101"]
    );
}

#[test]
fn weights_are_told_where_the_maker_changed_them() {
    let balm = "formula Balm\n 60 g shea butter\n 40 g jojoba oil\n";
    // 70 of 110 g is 63.6 %; the other line is as it was, although its share of the whole shrank.
    assert_eq!(
        outline(balm, &balm.replace("60 g", "70 g")),
        [": shea butter 60>63.6363636364", "batch 100>110"]
    );
    // Twice as much of everything is another batch of the same balm.
    let double = balm.replace("60 g", "120 g").replace("40 g", "80 g");
    assert_eq!(outline(balm, &double), ["batch 100>200"]);
}

#[test]
fn other_blocks_are_told_line_by_line() {
    let stock = "ingredient Oat milk\nphase water\nprice 4 EUR per kg\n\nworkshop Loft\nmarket EU\n";
    let dearer = stock.replace("price 4", "price 5").replace("phase water\n", "");
    assert_eq!(outline(stock, &dearer), ["phase -water", "price 4 EUR per kg>5 EUR per kg"]);
}

#[test]
fn lines_that_do_not_read_are_told_as_they_stand() {
    check(&with(&[("pH 5.0 to 5.5", "= 5")]), &["pH -5.0 to 5.5", "? += 5"]);
}

/// `news rule` of each finding.
fn news(before: &str, after: &str) -> Vec<String> {
    let told = comparison(before, after).findings;
    told.iter()
        .map(|change| {
            let rule = change.last().map_or("", |finding| finding.rule);
            format!("{:?} {rule}", change.news().expect("news"))
        })
        .collect()
}

#[test]
fn findings_come_go_and_change() {
    const OVER: &str = "formula Lotion\nproduct lotion, leave-on, feet\nmarket EU\npH 4.4 to 4.8\nphase A water\n to 100 % purified water\n 0.6 % sodium benzoate\n 0.2 % potassium sorbate\n";
    let within = OVER.replace("0.6 %", "0.5 %");
    let more = OVER.replace("0.6 %", "0.7 %");
    let only = |told: Vec<String>| -> Vec<String> {
        told.into_iter().filter(|line| line.ends_with(" over-limit")).collect()
    };
    assert_eq!(only(news(&within, OVER)), ["Came over-limit"]);
    assert_eq!(only(news(OVER, &within)), ["Went over-limit"]);
    assert_eq!(only(news(OVER, &more)), ["Figures over-limit"]);
    let allowed =
        OVER.replace("market EU\n", "market EU\nallow over-limit because a trial that is thrown away\n");
    assert_eq!(only(news(OVER, &allowed)), ["Allowed over-limit"]);
    assert_eq!(only(news(&allowed, OVER)), ["Came over-limit"]);
    // A finding whose line moved, or whose formula has another name, is no news.
    let elsewhere =
        OVER.replace("phase A", "# a word\n\nphase A").replace("formula Lotion", "formula Foot lotion");
    assert_eq!(news(OVER, &elsewhere), [""; 0]);
    // Two of one rule: the one that is left is known by what it is about.
    let two = "formula Oil\n 50 % jojobba oilx\n 50 % sqqualane\n";
    let one = "formula Oil\n 50 % jojoba oil\n 50 % sqqualane\n";
    let change = comparison(two, one).findings;
    let gone: Vec<&str> = change
        .iter()
        .filter(|change| change.news() == Some(News::Went))
        .filter_map(|change| change.last().map(|finding| finding.message.as_str()))
        .collect();
    assert_eq!(gone.len(), 1, "{change:?}");
    assert!(gone[0].contains("jojobba"), "{gone:?}");
}
