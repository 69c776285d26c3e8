//! Changes that stand ready at a place of a text, the cursor drawn as `|`, a selection as two.

mod properties;

use crate::LAW_DAY;
use desk::{Action, Date, Desk, MemoryShelf, Span};
use std::path::Path;
use std::sync::Arc;

const PATH: &str = "/w/cream.formula";

fn desk(text: &str, files: &[(&str, &str)]) -> Desk {
    let shelf = MemoryShelf::new(files.to_vec());
    let mut desk = Desk::new(Arc::new(shelf), Date::read(LAW_DAY).expect("a day"));
    desk.set_roots(vec!["/w".into()]);
    desk.open(Path::new(PATH), text.to_owned());
    desk
}

/// A text without its marks, and what they select.
fn undrawn(drawn: &str) -> (String, Span) {
    let mut marks: Vec<u32> = drawn.match_indices('|').map(|(at, _)| at as u32).collect();
    for (before, mark) in marks.iter_mut().enumerate() {
        *mark -= before as u32;
    }
    let start = *marks.first().expect("a cursor");
    (drawn.replace('|', ""), Span::new(start, *marks.last().expect("a cursor")))
}

fn actions_with(drawn: &str, files: &[(&str, &str)], creates: bool) -> (String, Vec<Action>) {
    let (text, within) = undrawn(drawn);
    let mut desk = desk(&text, files);
    let path = Path::new(PATH);
    let page = desk.page(path).expect("a page");
    let mut actions = page.fixes(within);
    actions.extend(page.rewritings(within));
    actions.extend(desk.describing(path, within, creates));
    actions.extend(desk.swaps(path, within));
    (text, actions)
}

fn actions(drawn: &str) -> (String, Vec<Action>) {
    actions_with(drawn, &[], true)
}

/// What the only action whose title begins so makes of a text.
fn after(drawn: &str, title: &str) -> String {
    let (text, actions) = actions(drawn);
    let found: Vec<&Action> = actions.iter().filter(|action| action.title == title).collect();
    let [action] = found.as_slice() else {
        let titles: Vec<&str> = actions.iter().map(|action| action.title.as_str()).collect();
        panic!("not one `{title}` among {titles:#?}\n{drawn}");
    };
    action.edits.apply(&text)
}

/// A table of `text with cursor`, `title`, `text afterwards`.
fn each(table: &[(&str, &str, &str)]) {
    for (drawn, title, expected) in table {
        assert_eq!(after(drawn, title), *expected, "{title}\n{drawn}");
    }
}

fn offered(drawn: &str) -> Vec<String> {
    actions(drawn).1.into_iter().map(|action| action.title).collect()
}

#[test]
fn percents_become_grams_and_grams_percents() {
    each(&[
        (
            "formula A|\nproduct lotion\nbatch 200 g\nphase A\n  to  100     %     purified water\n        2.5   %     glycerin\n      500     ppm   tocopherol; about it\n",
            "Turn percents into grams, for a batch of 200 g",
            "formula A\nproduct lotion\nbatch 200 g\nphase A\n  to  200     g     purified water\n        5     g     glycerin\n        0.1   g     tocopherol; about it\n",
        ),
        (
            "formula A|\nproduct balm\n  80%  shea butter\n  12.5 to 20 % jojoba oil # as it comes\nvariant hard\nset jojoba oil to 10 %\n",
            "Turn percents into grams, for a batch of 100 g",
            "formula A\nproduct balm\nbatch 100 g\n  80 g shea butter\n  12.5 to 20 g jojoba oil # as it comes\nvariant hard\nset jojoba oil to 10 g\n",
        ),
        (
            "formula A\n  to  500     g     purified water|\n       30     g     glycerin\n      1/4     kg    squalane\n     q.s.           lactic acid; to pH 5; about 1 g\n",
            "Turn grams into percents",
            "formula A\nbatch 500 g\n  to  100     %     purified water\n        6     %     glycerin\n       50     %     squalane\n     q.s.           lactic acid; to pH 5; about 0.2 %\n",
        ),
        (
            "formula A\n10 g shea butter|\n20 g jojoba oil\n",
            "Turn grams into percents, rounded to 0.001 %",
            "formula A\nbatch 30 g\n33.333 % shea butter\n66.667 % jojoba oil\n",
        ),
    ]);
}

#[test]
fn a_line_is_written_in_another_unit() {
    each(&[
        (
            "formula A\nbatch 200 g\n        2.5   %     gly|cerin\n  to  100     %     purified water\n",
            "Write 2.5 % as 5 g",
            "formula A\nbatch 200 g\n        5     g     glycerin\n  to  100     %     purified water\n",
        ),
        (
            "formula A\n     1500     g     water|\n  500 g glycerin\n",
            "Write 1500 g as 1.5 kg",
            "formula A\n        1.5   kg    water\n  500 g glycerin\n",
        ),
        (
            "formula A\n 2 oz jojoba| oil\n",
            "Write 2 oz as 56.69904625 g",
            "formula A\n 56.69904625 g jojoba oil\n",
        ),
        (
            "formula A\n 100 g jojoba| oil\n",
            "Write 100 g as 3.527 oz, rounded to 0.001 oz",
            "formula A\n 3.527 oz jojoba oil\n",
        ),
        (
            "formula A\n        0.05  %     toco|pherol\n  to  100     %     squalane\n",
            "Write 0.05 % as 500 ppm",
            "formula A\n      500     ppm   tocopherol\n  to  100     %     squalane\n",
        ),
    ]);
    assert!(
        !offered("formula A\n 5 % of oils beeswax|\n 95 % jojoba oil\n")
            .iter()
            .any(|t| t.starts_with("Write 5"))
    );
}

#[test]
fn a_line_makes_up_the_rest() {
    each(&[
        (
            "formula A\n       90     %     wat|er\n       10     %     glycerin\n",
            "Let water make up the rest, `to 100 %`",
            "formula A\n  to  100     %     water\n       10     %     glycerin\n",
        ),
        (
            "formula A\n       80     %     wat|er\n       10     %     glycerin\n",
            "Let water make up the rest, `to 100 %`: 90 % instead of 80 %",
            "formula A\n  to  100     %     water\n       10     %     glycerin\n",
        ),
        (
            "formula A\n       40     g     jojoba| oil\n       10     g     beeswax\n",
            "Let jojoba oil make up the rest, `to 50 g`",
            "formula A\n  to   50     g     jojoba oil\n       10     g     beeswax\n",
        ),
        (
            "formula A\n  to  100     %     water\n       10     %     glyc|erin\n        0.5   %     xanthan gum\n",
            "Let glycerin make up the rest; water stays at 89.5 %",
            "formula A\n       89.5   %     water\n  to  100     %     glycerin\n        0.5   %     xanthan gum\n",
        ),
    ]);
    let none = |drawn: &str| !offered(drawn).iter().any(|title| title.starts_with("Let "));
    assert!(none("formula A\n 80 to 90 % wat|er\n 10 % glycerin\n"), "a range is no single amount");
    assert!(none("formula A\n 80 % wat|er\n 1 tsp glycerin\n"), "nothing joins the two");
    assert!(none("formula A\n 5 % wat|er\n 110 % glycerin\n"), "nothing is left");
}

const CREAM: &str = "formula Cream
batch 200 g
phase A water
  to  100     %     purified water
        3     %     glycerin
phase B oil
       12     %     sunflower oil
        1     %     tocopherol
step add B to A
variant plain
omit glycerin in A
";

/// The cream with marks before the first, and behind the last of two pieces.
fn cream(from: &str, to: &str) -> String {
    let start = CREAM.find(from).expect("the words");
    let end = CREAM.find(to).expect("the words") + to.len();
    format!("{}|{}|{}", &CREAM[..start], &CREAM[start..end], &CREAM[end..])
}

#[test]
fn lines_move_to_another_phase() {
    let glycerin = "        3     %     glycerin\n";
    let tocopherol = "        1     %     tocopherol\n";
    let moved = CREAM.replace(glycerin, "").replace(tocopherol, &format!("{tocopherol}{glycerin}"));
    assert_eq!(
        after(&cream("glycerin", "glycerin"), "Move glycerin to phase B (oil)"),
        moved.replace("glycerin in A", "glycerin in B")
    );
    let moved = CREAM.replace(tocopherol, "").replace(glycerin, &format!("{glycerin}{tocopherol}"));
    assert_eq!(after(&cream("tocopherol", "tocopherol"), "Move tocopherol to phase A (water)"), moved);
    // A phase would be empty; an amount is measured by the phase.
    assert!(!offered(&cream("    12 ", "tocopherol")).iter().any(|title| title.starts_with("Move")));
    let measured = CREAM.replace("12     %     sun", "12     % of B sun");
    let drawn = measured.replace("tocopherol", "toco|pherol");
    assert!(!offered(&drawn).iter().any(|title| title.starts_with("Move")));
}

#[test]
fn what_is_selected_can_be_left_out_in_a_variant() {
    let end = "omit glycerin in A\n\nvariant without sunflower oil and tocopherol\nomit sunflower oil\nomit tocopherol\n";
    assert_eq!(
        after(&cream("sunflower", "tocopherol"), "Make a variant without sunflower oil and tocopherol"),
        CREAM.replace("omit glycerin in A\n", end)
    );
    assert!(!offered(&cream("purified", "glycerin")).iter().any(|title| title.starts_with("Make a variant")));
    let taken = CREAM.replace("variant plain", "variant without tocopherol").replace("toco", "to|co");
    assert!(
        offered(
            &taken
                .replacen("to|co", "toco", 1)
                .replacen("tocopherol\nstep", "|tocopherol\nstep", 1)
                .replace("to|co", "toco")
        )
        .iter()
        .any(|t| t == "Make a variant without tocopherol 2"),
        "{taken}"
    );
}

#[test]
fn a_formula_is_scaled() {
    each(&[
        (
            "formula A|\nbatch 50 g\n  to   50     g     jojoba oil\n       12.5   g     beeswax\n",
            "Scale to twice the batch, 100 g",
            "formula A\nbatch 100 g\n  to  100     g     jojoba oil\n       25     g     beeswax\n",
        ),
        (
            "formula A|\nbatch 500 g\n 90 % jojoba oil\n 10 % beeswax\n",
            "Scale to half the batch, 250 g",
            "formula A\nbatch 250 g\n 90 % jojoba oil\n 10 % beeswax\n",
        ),
    ]);
    let scaled = |text: &str, batch: &str| {
        let page = crate::page_on(text, LAW_DAY);
        page.scaled(None, batch).map(|scaled| (scaled.edits.apply(text), scaled.rounded))
    };
    let spoons = "formula A\n 90 g jojoba oil\n 2 tsp glycerin\n 3 drops lavender oil\n";
    let (text, rounded) = scaled(spoons, "1 kg").expect("scaled");
    assert!(rounded > 0 && text.contains(" g jojoba oil"), "{text}");
    let made_as = "formula A\nbatch 500 g\n to 100 g jojoba oil\n 10 g beeswax\n";
    assert_eq!(scaled(made_as, "2 kg"), Ok((made_as.replace("500 g", "2 kg"), 0)));
    let unsaid = "formula A\nproduct balm\n 90 % jojoba oil\n 10 % beeswax\n";
    assert_eq!(scaled(unsaid, "1 lb"), Ok((unsaid.replace("balm\n", "balm\nbatch 1 lb\n"), 0)));
    for wrong in ["", "2", "5 mL", "0 g", "many kg"] {
        assert!(scaled(unsaid, wrong).expect_err(wrong).contains("by weight"), "{wrong}");
    }
    assert!(scaled("formula A\n 90 % jojoba oil\n 10 g beeswax\n", "1 kg").is_err());
    assert!(crate::page_on(unsaid, LAW_DAY).scaled(Some("B"), "1 kg").is_err());
}

#[test]
fn an_unknown_ingredient_is_described_where_the_workshop_keeps_its_stock() {
    let drawn = "formula A\nphase A water\n  5 % Kitchen well| water; humectant\n  to 100 % purified water";
    let block = "ingredient Kitchen well water\n# INCI …\nfunction humectant\nphase water\n# soluble in oil\n# origin plant\n";
    let workshop = ("/w/workshop.formula", "workshop Ours\nstock things/stock.formula\n");
    let describing = |files: &[(&str, &str)], creates: bool| {
        let actions = actions_with(drawn, files, creates).1;
        actions.into_iter().find(|action| action.file.is_some())
    };
    // Without a stock file the finding's own fix writes it here.
    assert_eq!(describing(&[], true), None);
    assert!(offered(drawn).iter().any(|title| title.starts_with("Describe it in a block of its own")));
    assert_eq!(describing(&[workshop], false), None);
    let new = describing(&[workshop], true).expect("an action");
    assert_eq!(new.title, "Describe Kitchen well water in a new file stock.formula");
    let file = new.file.expect("a file");
    assert!(file.creates && file.path == Path::new("/w/things/stock.formula") && new.edits.is_empty());
    assert_eq!(file.edits.apply(""), block);
    let stock = "ingredient Other\nphase oil\n";
    let more = describing(&[workshop, ("/w/things/stock.formula", stock)], false).expect("an action");
    assert_eq!(more.title, "Describe Kitchen well water in stock.formula");
    let file = more.file.expect("a file");
    assert!(!file.creates);
    let stock = file.edits.apply(stock);
    assert_eq!(stock, format!("ingredient Other\nphase oil\n\n{block}"));
    // Described, it is known, and the finding is settled.
    let text = undrawn(drawn).0;
    let unknown = |files: &[(&str, &str)]| {
        let page = desk(&text, files).page(Path::new(PATH)).expect("a page");
        page.findings().iter().filter(|finding| finding.rule == "ingredient-unknown").count()
    };
    assert_eq!(unknown(&[workshop]), 1);
    assert_eq!(unknown(&[workshop, ("/w/things/stock.formula", &stock)]), 0);
    assert!(!offered("formula A\n 5 % gly|cerin\n").iter().any(|title| title.starts_with("Describe K")));
}

#[test]
fn an_ingredient_is_swapped_for_a_like_one() {
    let drawn = "formula Balm\n  60 % shea| butter\n  40 % jojoba oil\nstep melt the shea butter\nvariant light\nset shea butter to 50 %\n";
    let (text, actions) = actions(drawn);
    let swaps: Vec<&Action> = actions.iter().filter(|action| action.title.starts_with("Swap")).collect();
    assert!((1..=5).contains(&swaps.len()), "{}", swaps.len());
    let mango = swaps.iter().find(|swap| swap.title.starts_with("Swap shea butter for mango butter"));
    let mango = mango.unwrap_or_else(|| panic!("{:?}", swaps.iter().map(|s| &s.title).collect::<Vec<_>>()));
    assert!(mango.title.contains(": "), "what would change is told: {}", mango.title);
    assert_eq!(mango.edits.apply(&text), text.replace("shea butter", "mango butter"));
    // What the maker owns comes first, and what is not for the light is told before anything else.
    let text = "formula Oil\n  99 % jojoba oil\n  1 % lavender oil|\n\ningredient cold-pressed bergamot oil\nprice 14 EUR per 100 mL\n";
    let swaps = offered(text);
    let first = swaps.iter().find(|title| title.starts_with("Swap")).expect("a swap");
    assert!(first.starts_with("Swap lavender oil for cold-pressed bergamot oil: phototoxic: "), "{swaps:?}");
    for title in swaps.iter().filter(|title| title.starts_with("Swap")) {
        let name =
            title.strip_prefix("Swap lavender oil for ").expect("it").split(':').next().expect("a name");
        let material = formula::Catalogue::built_in().get(name).expect("known");
        assert_eq!(material.phototoxic.is_some(), title.contains(": phototoxic: "), "{title}");
    }
    assert!(!offered("formula Balm\n 60 % Kitchen fat|\n").iter().any(|title| title.starts_with("Swap")));
}

#[test]
fn fixes_come_first_and_the_first_safe_one_is_preferred() {
    let (_, actions) = actions("formula A\nversion 1\nvers|ion 1\n 100 % jojoba oil\n");
    let titles: Vec<(&str, bool)> =
        actions.iter().take(2).map(|action| (action.title.as_str(), action.preferred)).collect();
    assert!(titles[0].1 && !titles[1].1, "{titles:?}");
    assert!(titles[1].0.starts_with("Allow `line-repeated`"), "{titles:?}");
    assert!(actions.iter().take(2).all(|action| action.finding.is_some()));
}
