//! The formatter on whole sheets: groups, blank lines, line ends, and how small its edits are.

use notation::{LineIndex, read, tidy};

pub(crate) fn tidied(text: &str) -> String {
    tidy(text, &read(text)).apply(text)
}

/// Checks a result, and that formatting it again changes nothing.
fn check(text: &str, expected: &str) {
    let once = tidied(text);
    assert_eq!(once, expected, "\n{once}");
    assert!(tidy(&once, &read(&once)).is_empty(), "not idempotent: {once:?}");
}

const SHEET: &str = "\
# Trial sheet
formula Plain hand cream
version 3
product cream, leave-on, hands

# targets
pH 5.0 to 5.5

phase A water; heat to 75 °C
  to  100     %     purified water
        0.3   %     xanthan gum; wetted in glycerin
note Weigh the gum twice.
       12.5   %     glycerin

# the scent
phase B; room temperature
     q.s.           lactic acid 80 %; to pH 5.3

step heat A
note Slowly.
step fill

variant unscented
omit lavender oil

variant light
set pH to 5.0 to 5.2

note The second trial dragged.

# a shelf

ingredient lavender oil
drop 31 mg; source own, 2026-05-06
price 96.00 EUR per kg
";

#[test]
fn a_tidy_sheet_stays() {
    check(SHEET, SHEET);
    let windows = SHEET.replace('\n', "\r\n");
    check(&windows, &windows);
    let marked = format!("\u{feff}{SHEET}");
    check(&marked, &marked);
}

#[test]
fn a_crammed_sheet_gets_its_groups() {
    let crammed = SHEET.replace("\n\n", "\n");
    // Without blanks `# a shelf` stands directly above the opener, and `# targets` among the header lines.
    let expected = SHEET.replace("# a shelf\n\n", "# a shelf\n").replace("\n\n# targets", "\n# targets");
    check(&crammed, &expected);
}

#[test]
fn runs_of_blank_lines() {
    let airy = SHEET.replace("\n\n", "\n \n\t\n\n");
    check(&format!("\n \n{airy}\n\n  \n"), SHEET);
    check(&format!("\u{feff}\n\n{airy}"), &format!("\u{feff}{SHEET}"));
    check("\n \n", "");
    check("\u{feff}\n \n", "\u{feff}");
    check("", "");
}

#[test]
fn blank_lines_of_the_maker_stay_single() {
    check("formula T\nversion 1\n\n\nby me\n", "formula T\nversion 1\n\nby me\n");
    check("formula T\n\n1 % x\n\n\n2 % y\n", "formula T\n\n        1     %     x\n\n        2     %     y\n");
    check(
        "formula T\nphase A\n\n1 % x\nvariant v\n\nomit x\n",
        "formula T\n\nphase A\n        1     %     x\n\nvariant v\nomit x\n",
    );
    check("ingredient a\nINCI A\n\nalso b\n", "ingredient a\nINCI A\n\nalso b\n");
}

#[test]
fn comments_go_with_the_line_below() {
    check(
        "formula T\n1 % x\n# why\n# else\nstep y\n",
        "formula T\n\n        1     %     x\n\n# why\n# else\nstep y\n",
    );
    check(
        "formula T\n1 % x\n# end of A\n\nstep y\n",
        "formula T\n\n        1     %     x\n# end of A\n\nstep y\n",
    );
    check("# a\nformula T\n# b\nformula U\n", "# a\nformula T\n\n# b\nformula U\n");
    check(
        "formula T\n  #  as it   stands  \n1 % x # y\n",
        "formula T\n\n#  as it   stands\n        1     %     x  # y\n",
    );
}

#[test]
fn line_ends() {
    check("formula T\r\nversion 1\nby me", "formula T\r\nversion 1\r\nby me\r\n");
    check("formula T\nversion 1\r\nby me\r", "formula T\nversion 1\nby me\n");
    check("formula T\rby me", "formula T\rby me\r");
    check("formula T\r\r\nby me", "formula T\r\n\r\nby me\r\n");
}

#[test]
fn what_did_not_parse_stays() {
    let text = "  stray\t line \n\nformula T\n\n \u{a0}***  5  \n\n  1,000 g   x;optional\n   5  gramms x\n5 T  x\n 5  x\n-5 % x\n5 %  \"x\n";
    check(text, text);
    check("formula T\n\n  ***\nversion  2\n", "formula T\n\n  ***\nversion 2\n");
}

#[test]
fn a_changed_amount_changes_one_line() {
    let old = "        0.3   %     xanthan gum";
    let text = SHEET.replace(old, "0.35% xanthan gum");
    let edits = tidy(&text, &read(&text));
    let index = LineIndex::new(&text);
    let changed: Vec<u32> = edits.iter().map(|edit| index.line_of(edit.span.start)).collect();
    let place = text.find("0.35%").unwrap() as u32;
    assert_eq!(changed, [index.line_of(place)]);
    check(&text, &SHEET.replace(old, "        0.35  %     xanthan gum"));
}

#[test]
fn edits_are_no_larger_than_the_change() {
    let text = "formula T\nversion  3\n";
    let edits = tidy(text, &read(text));
    let all: Vec<(u32, u32, &str)> =
        edits.iter().map(|e| (e.span.start, e.span.end, e.text.as_str())).collect();
    assert_eq!(all, [(18, 19, "")]);
}
