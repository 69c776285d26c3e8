//! Names with accents, and hands without the keys for them.

use super::{cream, offer};
use desk::Candidate;

const OWN: &str = "ingredient Açaí oil\nfunction emollient\ningredient Crème base\nfunction emollient\n\
    ingredient Oat milk\nalso crème de avoine\nfunction active\n\n";

/// What is offered at the `|`, with the words that are typed there.
fn offered(line: &str) -> (Vec<Candidate>, String, bool) {
    let drawn = format!("{OWN}{}", cream(line));
    let at = drawn.find('|').expect("a cursor");
    let (text, offer) = offer(&drawn, false);
    let typed = offer.candidates.first().map(|first| text[first.span.start as usize..at].to_owned());
    (offer.candidates, typed.unwrap_or_default(), offer.partial)
}

/// What an editor shall find a candidate by.
fn sought(candidate: &Candidate) -> &str {
    candidate.filter.as_ref().unwrap_or(&candidate.label)
}

#[test]
fn a_name_is_found_without_its_accents_and_with_them() {
    for (line, name, sought_by) in [
        ("  5 % acai|", "Açaí oil", "acai oil"),
        ("  5 % ACAI|", "Açaí oil", "acai oil"),
        ("  5 % açaí|", "Açaí oil", "Açaí oil"),
        ("  5 % aca\u{301}|", "Açaí oil", "acái oil"),
        ("  5 % acaí|", "Açaí oil", "acaí oil"),
        ("  5 % a|", "Açaí oil", "Açaí oil"),
        ("  5 % açai o|", "Açaí oil", "açai oil"),
        ("  5 % creme|", "Crème base", "creme base"),
        // By another of its names.
        ("  5 % creme de|", "Oat milk", "creme de avoine"),
        // And the other way about.
        ("  5 % cupuaçu b|", "cupuacu butter", "cupuaçu butter"),
        ("  5 % jójoba|", "jojoba oil", "jójoba oil"),
        // Elsewhere than on an ingredient's line.
        ("  5 % Açaí oil\nstep stir acai|", "Açaí oil", "acai oil"),
        ("  5 % Açaí oil\nvariant a\nomit acai|", "Açaí oil", "acai oil"),
    ] {
        let (found, typed, partial) = offered(line);
        let one = found.iter().find(|found| found.label == name);
        let one = one.unwrap_or_else(|| panic!("{line}: no {name}"));
        assert_eq!(sought(one), sought_by, "{line}");
        assert_eq!(one.text, name, "{line}");
        assert!(partial, "{line}: an editor knows nothing of accents");
        assert!(!typed.is_empty(), "{line}");
    }
}

#[test]
fn an_editor_that_looks_for_what_is_typed_keeps_all_that_is_offered() {
    for line in ["  5 % acai|", "  5 % ac|", "  5 % cre|", "  5 % crè|", "  5 % cupua|", "  5 % shéa|"] {
        let (found, typed, _) = offered(line);
        assert!(!found.is_empty(), "{line}");
        for one in &found {
            let (sought, typed) = (sought(one).to_lowercase(), typed.to_lowercase());
            assert!(sought.contains(&typed), "{line}: `{sought}` does not hold `{typed}`");
        }
    }
}

#[test]
fn what_is_written_out_but_for_its_accents_is_still_offered() {
    assert!(offered("  5 % Açaí oil|").0.is_empty());
    assert_eq!(offered("  5 % acai oil|").0.first().map(|first| first.label.as_str()), Some("Açaí oil"));
}
