//! How names are compared.

use std::borrow::Cow;
use unicode_normalization::UnicodeNormalization;

/// A name as it is compared: NFC, without case, blanks folded to one space.
pub fn fold(name: &str) -> String {
    if name.is_ascii() {
        let trimmed = name.trim_ascii();
        let plain = !trimmed.bytes().any(|b| b.is_ascii_whitespace() && b != b' ') && !trimmed.contains("  ");
        if plain {
            return trimmed.to_ascii_lowercase();
        }
    }
    let mut out = String::with_capacity(name.len());
    let mut gap = false;
    for c in name.nfc() {
        if c.is_whitespace() || crate::text::is_blank(c) {
            gap = true;
        } else {
            if gap && !out.is_empty() {
                out.push(' ');
            }
            gap = false;
            out.extend(c.to_lowercase());
        }
    }
    out
}

/// A text with single blanks between its words: columns and line ends are no part of what is said.
pub fn in_one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A folded name without the accents of its letters, as it is found by who has no such keys: `acai` for `açaí`. Letters
/// that are no others with an accent are written as they usually are without them.
pub fn unaccented(folded: &str) -> Cow<'_, str> {
    if folded.is_ascii() {
        return Cow::Borrowed(folded);
    }
    let mut out = String::with_capacity(folded.len());
    for c in folded.nfd().filter(|c| !('\u{300}'..='\u{36f}').contains(c)) {
        match c {
            'ø' => out.push('o'),
            'ł' => out.push('l'),
            'đ' | 'ð' => out.push('d'),
            'ı' => out.push('i'),
            'æ' => out.push_str("ae"),
            'œ' => out.push_str("oe"),
            'ß' => out.push_str("ss"),
            'þ' => out.push_str("th"),
            '’' => out.push('\''),
            other => out.push(other),
        }
    }
    Cow::Owned(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn folding() {
        assert_eq!(fold("  Crème\u{a0} Base "), "crème base");
        assert_eq!(fold("Cre\u{300}me"), "crème");
    }

    #[test]
    fn letters_without_accents() {
        for (name, bare) in [
            ("Açaí", "acai"),
            ("cupuac\u{327}u", "cupuacu"),
            ("Crème de l’Été", "creme de l'ete"),
            ("smør", "smor"),
            ("Weiße Öle", "weisse ole"),
            ("œillet", "oeillet"),
            // No accents, and other letters.
            ("shea butter", "shea butter"),
            ("µ-crystals ½", "µ-crystals ½"),
            ("椿油", "椿油"),
        ] {
            assert_eq!(unaccented(&fold(name)), bare, "{name}");
        }
    }
}
