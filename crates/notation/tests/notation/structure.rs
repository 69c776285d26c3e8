//! Phases, steps, variants, and slips that only the order of the lines shows.

use crate::shown::{self, check};
use notation::read_block;

#[test]
fn phases() {
    check(
        "formula Trial\n",
        &[
            ("phase A2 oil base; heat to 75 °C", "phase A2 | oil | base; «heat to» 75 °C !PhaseEmpty@A2"),
            ("Phase: a", "phase A | - |  !PhaseEmpty@a"),
            ("phase B cool down; below 40C", "phase B | cool-down | ; «below» 40 °C !PhaseEmpty@B"),
            ("phase B; cool to 40", "phase B | - | ; «cool to» 40 !PhaseEmpty@B !DegreesMissing@40"),
            ("phase B; hold for 20 min", "phase B | - | ; «hold» 20 min !PhaseEmpty@B"),
            ("phase 1 water", "broken phase 1 water !PhaseLabel@1"),
            ("phase AB water", "broken phase AB water !PhaseLabel@AB"),
            ("phase", "broken phase !PhaseLabel@phase"),
            (
                "phase A watr",
                r#"phase A | - | watr !PhaseEmpty@A !WordUnknown("kind of phase", Some("water"))@watr"#,
            ),
            (
                "phase A \"oil; heat to 75 °C",
                "phase A | - | \"oil; heat to 75 °C !PhaseEmpty@A !QuoteOpen@\"",
            ),
        ],
    );
}

#[test]
fn steps_are_plain_words() {
    check(
        "formula Trial\n",
        &[
            ("step heat A; hold 20 min # slowly", "step heat A; hold 20 min # slowly"),
            ("Step: fill", "step fill"),
            ("step use lot #12", "step use lot #12"),
            ("step", "step  !NameMissing@step"),
        ],
    );
}

#[test]
fn variants_and_changes() {
    check(
        "formula Trial\nphase A\n5 % x\nvariant light\n",
        &[
            ("variant both: nut-free, light", "variant both | nut-free, light"),
            ("variant : a", "variant a | "),
            ("variant", "broken variant !NameMissing@variant"),
            ("replace x in A with 3 % y", "replace x @A → 3 % | y"),
            ("replace \"x with z\" with y", "replace x with z → - | y"),
            ("swap x for y", "replace x → - | y"),
            ("substitute x for y", "broken substitute x for y !Substitute@substitute x for y"),
            ("omit x in a2", "omit x @A2"),
            ("omit xanthan in glycerin", "omit xanthan in glycerin"),
            ("add 1 % y to B; optional", "add 1 % | y @B; «optional»"),
            ("add 3 drops of y to B", "add 3 drops | y @B"),
            ("set x in A to 2 to 3 %", "set x @A → 2..3 %"),
            ("set x to 5", "set x → ?5 !UnitMissing@5"),
            ("set pH to 5.0 to 5.5", "set pH = 5.0..5.5"),
            ("set pack to 50 mL jar; net 50 g", "set pack = 50 mL | jar; «net» 50 g"),
            ("set for to dry skin", "set for | dry skin"),
            ("set shelf life to 6 months # x", "set shelf life = 6 months # x"),
            ("set warning to a # b", "set warning | a # b"),
            ("replace x", "broken replace x !Unreadable@replace x"),
            ("set x to more", "broken set x to more !Unreadable@set x to more"),
            ("omit \"x", "omit \"x !QuoteOpen@\""),
        ],
    );
}

fn slips(text: &str) -> Vec<String> {
    let block = read_block(text);
    let text: &str = &block.text;
    block.slips.iter().map(|slip| format!("{}@{}", shown::slip(text, slip), slip.span.of(text))).collect()
}

#[test]
fn repeated_lines() {
    assert_eq!(slips("formula T\nversion 1\nVersion 2\n"), ["!Repeated@Version"]);
    assert_eq!(slips("formula T\nkeeps 1 year\nshelf life 2 years\n"), ["!Repeated@shelf life"]);
    assert!(slips("formula T\nnote a\nnote b\nclaim vegan\nclaim UVA\nfor sale\nfor dry skin\n").is_empty());
    assert!(slips("ingredient t\nalso a\nalso b\nlimit 1 %\nlimit 2 %\n").is_empty());
    assert!(
        slips("formula T\nversion 1\nvariant v\nset version to 2\n").is_empty(),
        "a change is no second line"
    );
    assert_eq!(
        slips("workshop T\nscales 1 g\nscales 2 g\nscales 3 g\n"),
        ["!Repeated@scales", "!Repeated@scales"]
    );
}

#[test]
fn phases_that_are_empty_or_repeated() {
    assert_eq!(slips("formula T\nphase A\nphase B\n5 % x\n"), ["!PhaseEmpty@A"]);
    assert_eq!(slips("formula T\nphase A\n5 % x\nphase a\n5 % y\n"), ["!PhaseRepeated@a"]);
    assert_eq!(slips("formula T\nphase A\nnote x\nstep y\nvariant v\nomit x\n"), ["!PhaseEmpty@A"]);
    assert!(slips("formula T\nphase A\nnote x\n5 % y\n").is_empty(), "a note does not close a phase");
    let broken = slips("formula T\nphase A\n* 5 % x\n");
    assert_eq!(broken, ["!Unreadable@* 5 % x"], "one cause, one slip");
}

#[test]
fn lines_out_of_place() {
    assert_eq!(slips("formula T\nphase A\n5 % x\nvariant v\n3 % y\n"), ["!Misplaced@3 % y"]);
    assert_eq!(slips("formula T\nphase A\n5 % x\nvariant v\nomit x\nphase B\n3 % y\n"), ["!Misplaced@B"]);
    assert_eq!(slips("formula T\n5 % x\nomit x y z\n"), Vec::<String>::new(), "outside a variant a name");
    assert_eq!(slips("formula T\nshea butter\nphase A\n5 % x\n"), ["!Unreadable@shea butter"]);
}
