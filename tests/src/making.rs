//! Heat and method: the odd cases that the pages leave out.

use crate::findings;

fn told(text: &str, rule: &str) -> Vec<String> {
    findings(text)
        .into_iter()
        .filter(|finding| finding.rule == rule)
        .map(|finding| format!("{} {}", finding.span.of(text), finding.level.word()))
        .collect()
}

fn cream(hot: &str, cool: &str, steps: &str) -> String {
    format!(
        "formula Cream\nproduct cream, body\npH 5.0 to 5.5\nphase A water\nto 100 % purified water\nphase B oil\n\
         20 % jojoba oil\n6 % cetearyl alcohol (and) ceteareth-20\n{hot}\nphase C cool-down; below 40 °C\n\
         1 % phenoxyethanol (and) ethylhexylglycerin\n{cool}\n{steps}\n"
    )
}

const HEATED: &str = "step heat A and B to 75 °C\nstep add B to A\nstep cool below 40 °C\nstep add C";

#[test]
fn heat_that_a_step_says() {
    assert_eq!(told(&cream("0.3 % lavender oil", "", HEATED), "too-hot"), ["lavender oil warning"]);
    assert!(told(&cream("", "0.3 % lavender oil", HEATED), "too-hot").is_empty());
    // From memory only.
    assert_eq!(told(&cream("0.3 % benzyl alcohol", "", HEATED), "too-hot"), ["benzyl alcohol note"]);
    for silent in ["0.3 % tocopherol", "3 % rosehip oil", "0.2 % rosemary extract", "2 % shea butter"] {
        assert!(told(&cream(silent, "", HEATED), "too-hot").is_empty(), "{silent}");
    }
}

#[test]
fn scent_in_what_is_poured_hot() {
    let balm = |heat: u32| {
        format!(
            "formula Balm\nproduct balm, body\nphase A oil; heat to {heat} °C\n20 % beeswax\n79 % jojoba oil\n1 % lavender oil\n"
        )
    };
    assert!(told(&balm(65), "too-hot").is_empty());
    assert_eq!(told(&balm(70), "too-hot"), ["lavender oil hint"]);
}

#[test]
fn everything_can_be_named_in_many_ways() {
    for steps in [
        HEATED,
        "step heat the water phase and the oil phase to 75 °C\nstep combine\nstep add the cool-down phase",
        "step melt everything but the preservative",
        "step heat A, B\nstep stir in the remaining ingredients",
        "step heat water\nstep melt jojoba and the emulsifier, pour in\nstep below 40 °C add the preservative and the scent",
        "",
        "step be clean",
    ] {
        let text = cream("", "0.3 % lavender oil", steps);
        assert!(told(&text, "never-added").is_empty(), "{steps}: {:?}", told(&text, "never-added"));
    }
}

#[test]
fn a_phase_that_is_left_out_is_told_once() {
    let text = cream("", "0.3 % lavender oil", "step heat A and B to 75 °C\nstep add B to A");
    assert_eq!(told(&text, "phase-unused"), ["C hint"]);
    assert!(told(&text, "never-added").is_empty());
    // Whoever fills is done.
    assert_eq!(told(&format!("{text}step fill\n"), "phase-unused"), ["C warning"]);
}

#[test]
fn what_is_added_has_to_be_listed() {
    let listed = |steps: &str| {
        told(&cream("", "0.3 % lavender oil", &format!("{HEATED}\n{steps}")), "added-not-listed")
    };
    assert_eq!(listed("step stir in panthenol"), ["panthenol warning"]);
    for silent in [
        "step add the scent",
        "step add water for what was lost",
        "step set in a water bath",
        "step stir in lavender",
        "step add lavender oil",
    ] {
        assert!(listed(silent).is_empty(), "{silent}: {:?}", listed(silent));
    }
}

#[test]
fn a_bench_has_short_words() {
    let wash = |steps: &str| {
        let text = format!(
            "formula Wash\nproduct shampoo\npH 4.8 to 5.2\nto 100 % water\n0.3 % polyquaternium-10\n\
             10 % cocamidopropyl betaine; strength 30 %\n0.9 % phenoxyethanol\n0.3 % ethylhexylglycerin\n{steps}\n"
        );
        told(&text, "never-added")
    };
    assert!(
        wash("step wet the polyquat in the water\nstep add the betaine and the preservatives").is_empty()
    );
    assert!(wash("step Combine in order; stir slowly").is_empty());
    assert!(wash("step Heat, combine and blend. Cool and add the preservative").is_empty());
    assert_eq!(
        wash("step wet the polyquat in the water; stir until clear\nstep add the preservatives"),
        ["cocamidopropyl betaine warning"]
    );
    let balm = |steps: &str| {
        let text = format!(
            "formula Balm\nproduct balm, body\n75 % olive oil\n24 % beeswax\n0.5 % tocopherol\n0.5 % lavender oil\n{steps}\n"
        );
        told(&text, "never-added")
    };
    assert!(balm("step melt the wax in the warm oil; cool, add the vit E and the lavender").is_empty());
    assert!(balm("step melt the beeswax with the oils").is_empty());
    assert_eq!(
        balm("step melt the beeswax; stir in the tocopherol and the lavender oil"),
        ["olive oil warning"]
    );
}

#[test]
fn an_emulsifying_wax_is_a_wax_at_the_bench() {
    let text = "formula Lotion\nproduct lotion, body\npH 5.0 to 5.5\nto 100 % purified water\n10 % sunflower oil\n\
                4 % emulsifying wax NF\n1 % sodium benzoate (and) potassium sorbate\n\
                step heat the water to 70 °C; melt the wax in the oil; pour together\n\
                step add the preservative when cool\nstep bottle\n";
    assert!(told(text, "never-added").is_empty(), "{:?}", told(text, "never-added"));
}

#[test]
fn buds_for_the_look_of_it() {
    let added = |steps: &str| told(&cream("", "", &format!("{HEATED}\n{steps}")), "added-not-listed");
    assert!(added("step add patchouli leaves to the jars").is_empty());
    assert_eq!(added("step add patchouli"), ["patchouli warning"]);
}

#[test]
fn a_step_that_repeats_itself_is_told_once() {
    let steps = format!("{HEATED}\nstep {}", "add patchouli and ".repeat(50));
    assert_eq!(told(&cream("", "", &steps), "added-not-listed"), ["patchouli warning"]);
}
