//! Ordinary, good formulas as makers write them: nothing at note or above may be said of any.

use crate::{LAW_DAY, findings_on};
use desk::Level;
use std::path::Path;

#[test]
fn good_formulas_are_left_alone() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("corpus/quiet");
    let mut files: Vec<_> =
        std::fs::read_dir(folder).expect("the folder").map(|entry| entry.expect("an entry").path()).collect();
    files.sort();
    let mut formulas = 0;
    let mut told = Vec::new();
    for file in files {
        let text = std::fs::read_to_string(&file).expect("a text");
        formulas += text.lines().filter(|line| line.starts_with("formula ")).count();
        for finding in findings_on(&text, LAW_DAY) {
            if finding.level > Level::Hint {
                let name = file.file_name().unwrap_or_default().to_string_lossy();
                told.push(format!("{name}: {} {}: {}", finding.rule, finding.level.word(), finding.message));
            }
        }
    }
    assert!(formulas >= 150, "{formulas} formulas are few");
    assert!(told.is_empty(), "{}", told.join("\n"));
}
