//! Allowing any finding: where it is written, and that it silences that finding and nothing else.

use super::product::products;
use crate::pages::fires;
use crate::{LAW_DAY, cases, findings, page_on};
use desk::{Finding, Fix, REASON, allowing};

/// The first finding of a rule with the change that allows it.
fn offered(text: &str, rule: &str) -> (Finding, Fix) {
    let page = page_on(text, LAW_DAY);
    let finding = page.findings().into_iter().find(|finding| finding.rule == rule).expect("told");
    let fix = allowing(&page, &finding).expect("it can be allowed");
    (finding, fix)
}

fn after(text: &str, rule: &str) -> String {
    offered(text, rule).1.edits.apply(text)
}

#[test]
fn on_the_line_where_it_is_about_a_line() {
    let text = "formula Oil\n 60 % jojoba oil\n 40 % jojoba oil ; refined # the rest\n";
    let strong = text.replace(" ; refined", "");
    assert_eq!(
        after(&strong, "ingredient-twice"),
        "formula Oil\n 60 % jojoba oil\n 40 % jojoba oil; allow ingredient-twice because … # the rest\n"
    );
    let gel = "formula Gel\nproduct gel, face\nto 100 % purified water\n12 % niacinamide;\n0.9 % phenoxyethanol (and) ethylhexylglycerin";
    assert!(after(gel, "outside-usage").contains("12 % niacinamide; allow outside-usage because …\n"));
    // A variant's own line takes it, too.
    let varied = gel.replace("12 %", "3 %") + "\n\nvariant strong\nreplace niacinamide with 14 % niacinamide";
    assert!(
        after(&varied, "outside-usage").ends_with("with 14 % niacinamide; allow outside-usage because …")
    );
}

#[test]
fn in_the_header_where_it_is_about_the_whole() {
    let text = "formula Oil\r\n\r\nproduct body oil # plain\r\n 60 % jojoba oil\r\n";
    assert_eq!(
        after(text, "total-not-100"),
        "formula Oil\r\n\r\nproduct body oil # plain\r\nallow total-not-100 because …\r\n 60 % jojoba oil\r\n"
    );
    let bare = "formula Oil\n 60 % jojoba oil\n";
    assert_eq!(
        after(bare, "total-not-100"),
        "formula Oil\nallow total-not-100 because …\n 60 % jojoba oil\n"
    );
    let second =
        "formula Oil\nproduct body oil\nversion 1\nallow ingredient-vague because so\n 60 % jojoba oil\n";
    assert!(after(second, "total-not-100").contains("because so\nallow total-not-100 because …\n"));
    // What a variant sets stands on no ingredient's line.
    let set = "formula Gel\nproduct gel, face\nto 100 % purified water\n3 % niacinamide\n0.9 % phenoxyethanol (and) ethylhexylglycerin\n\nvariant strong\nset niacinamide to 14 %\n";
    assert!(after(set, "outside-usage").contains("product gel, face\nallow outside-usage because …\n"));
    // In a later block of the file, places count from the file's start.
    let later = format!("{bare}\nformula Other\n 50 % squalane\n").replace("60", "100");
    assert!(
        after(&later, "total-not-100")
            .ends_with("formula Other\nallow total-not-100 because …\n 50 % squalane\n")
    );
}

#[test]
fn the_title_says_where_and_names_the_law() {
    let toner = "formula Toner\nproduct toner, face\nmarket EU\npH 4 to 4.5\nto 100 % purified water\n0.7 % sodium benzoate\n0.2 % potassium sorbate\n";
    let (finding, fix) = offered(toner, "over-limit");
    assert!(finding.law);
    assert_eq!(fix.title, "Allow `over-limit` on this line, with a reason; the law stays as it is");
    let house = format!("workshop Bench\nlimit 0.5 % sodium benzoate\n\n{}", toner.replace("0.7", "0.55"));
    let (finding, fix) = offered(&house, "over-limit");
    assert!(!finding.law);
    assert_eq!(fix.title, "Allow `over-limit` on this line, with a reason");
    let short = offered("formula Oil\n 60 % jojoba oil\n", "total-not-100").1;
    assert_eq!(short.title, "Allow `total-not-100` in this formula, with a reason");
    for (rule, text) in [
        (
            "label-warning",
            "formula Drops\nproduct oil serum, face, night\nfor sale\nmarket EU\nto 100 % squalane\n0.2 % retinol\n",
        ),
        (
            "allergens-to-declare",
            "formula Oil\nproduct body oil\nfor sale\nmarket EU\nto 100 % jojoba oil\n0.2 % geranium oil\n",
        ),
    ] {
        assert!(offered(text, rule).1.title.ends_with("the law stays as it is"), "{rule}");
    }
}

#[test]
fn not_where_nothing_can_be_allowed() {
    for (rule, text) in [
        // What is said of suppressions, and outside formulas.
        ("allow-unused", "formula Oil\nallow too-hot because so\n 100 % jojoba oil\n"),
        ("allow-unknown", "formula Oil\nallow too-hott because so\n 100 % jojoba oil\n"),
        ("line-unreadable", "workshop Bench\nscalse 0.1 g\n"),
        ("line-unreadable", "60 % jojoba oil\n"),
        // It is allowed, or waits for its reason.
        ("total-not-100", "formula Oil\nallow total-not-100 because so\n 60 % jojoba oil\n"),
        ("total-not-100", "formula Oil\nallow total-not-100 because …\n 60 % jojoba oil\n"),
        ("total-not-100", "formula Oil\nallow total-not-100\n 60 % jojoba oil\n"),
        (
            "ingredient-twice",
            "formula Oil\n 60 % jojoba oil\n 40 % jojoba oil; allow ingredient-twice because …\n",
        ),
    ] {
        let page = page_on(text, LAW_DAY);
        let finding = page.findings().into_iter().find(|finding| finding.rule == rule).expect("told");
        assert_eq!(allowing(&page, &finding), None, "{text}");
    }
}

/// Every finding of every rule's page and of the small cases can be allowed: silent with a reason, told without.
#[test]
fn each_finding_can_be_allowed() {
    let mut allowed = 0;
    for text in fires().into_iter().chain(cases::texts().into_iter().step_by(4)) {
        let page = page_on(&text, LAW_DAY);
        for finding in page.findings().into_iter().filter(|finding| finding.allowed.is_none()) {
            let Some(fix) = allowing(&page, &finding) else { continue };
            let waiting = fix.edits.apply(&text);
            let same = |other: &&Finding| {
                (other.rule, &other.message, &other.variant)
                    == (finding.rule, &finding.message, &finding.variant)
            };
            let told = |text: &str| findings(text).iter().filter(same).count();
            assert_eq!(told(&waiting), told(&text), "{}: dots silence nothing\n{waiting}", finding.rule);
            assert!(findings(&waiting).iter().any(|other| other.rule == "allow-unreasoned"), "{waiting}");
            let place = fix.edits.iter().next().expect("an edit").span.start as usize;
            let reasoned = waiting[..place].to_owned() + &waiting[place..].replacen(REASON, "it is meant", 1);
            assert!(told(&reasoned) < told(&text), "{}: not silenced\n{reasoned}", finding.rule);
            let unused = |text: &str| findings(text).iter().filter(|f| f.rule == "allow-unused").count();
            assert_eq!(unused(&reasoned), unused(&text), "{reasoned}");
            assert_eq!(products(&text), products(&reasoned), "{reasoned}");
            allowed += 1;
        }
    }
    assert!(allowed > 60, "{allowed}");
}
