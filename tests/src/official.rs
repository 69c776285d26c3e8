//! Formulas of pharmacopoeias, codices and formularies, with what is to be said of each today.
//!
//! A file of `corpus/official` is written like those of `corpus/cases`; besides, each formula says in a line
//! `# from SOURCE` where it is published.

use crate::cases;

#[test]
fn official_formulas_are_told_what_they_must_be_and_no_more() {
    let all = cases::of_folder("official");
    assert!(all.len() >= 20, "{} official formulas are few", all.len());
    for case in &all {
        assert!(case.text.contains("# from "), "{}: no source", case.place);
    }
    cases::hold(&all);
}
