//! Halves of letters in incoming messages. Editors that keep their texts in UTF-16 can send one half of a surrogate pair
//! by itself: half an emoji typed, or cut off. No JSON reader of ours takes that, and a change that is lost would leave us
//! with another text than the editor's for the rest of the session.

/// Bytes of `\uXXXX`.
const ESCAPE: usize = 6;
/// U+FFFD in UTF-8.
const REPLACEMENT: [u8; 3] = [0xEF, 0xBF, 0xBD];

/// Puts U+FFFD in the place of each half that stands alone, escaped or in bytes. That is one unit of UTF-16 and three bytes
/// of UTF-8, as the half was, so that the editor's columns still hold.
pub(crate) fn replace_lone(body: &mut [u8]) {
    let mut at = 0;
    while let Some(rest) = body.get_mut(at..).filter(|rest| !rest.is_empty()) {
        at += step(rest);
    }
}

/// Looks at what a text begins with; the value is how many bytes that is.
fn step(rest: &mut [u8]) -> usize {
    match rest {
        [b'\\', b'u', ..] => escape(rest),
        // Whatever is escaped here, a backslash too, begins nothing.
        [b'\\', _, ..] => 2,
        // Half a pair written out as if it were a letter: the bytes that UTF-8 leaves out.
        [first @ 0xED, second @ 0xA0..=0xBF, third @ 0x80..=0xBF, ..] => {
            [*first, *second, *third] = REPLACEMENT;
            REPLACEMENT.len()
        }
        _ => 1,
    }
}

fn escape(rest: &mut [u8]) -> usize {
    match (unit(rest), rest.get(ESCAPE..).and_then(unit)) {
        (Some(0xD800..=0xDBFF), Some(0xDC00..=0xDFFF)) => 2 * ESCAPE,
        (Some(0xD800..=0xDFFF), _) => {
            if let Some(digits) = rest.get_mut(2..ESCAPE) {
                digits.copy_from_slice(b"fffd");
            }
            ESCAPE
        }
        (Some(_), _) => ESCAPE,
        // No escape at all: whoever reads it will say so.
        (None, _) => 2,
    }
}

/// The unit of UTF-16 that a text begins with as an escape.
fn unit(text: &[u8]) -> Option<u16> {
    let digits = text.strip_prefix(b"\\u")?.get(..4)?;
    digits.iter().try_fold(0, |unit, digit| {
        let value = char::from(*digit).to_digit(16)?;
        Some(unit << 4 | value as u16)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn replaced(text: &[u8]) -> Vec<u8> {
        let mut body = text.to_vec();
        replace_lone(&mut body);
        assert_eq!(body.len(), text.len());
        body
    }

    fn read(text: &str) -> String {
        serde_json::from_slice(&replaced(text.as_bytes())).unwrap()
    }

    #[test]
    fn halves_that_stand_alone_become_one_letter() {
        for (text, wanted) in [
            (r#""a\ud83eb""#, "a\u{fffd}b"),
            (r#""\uDDF4""#, "\u{fffd}"),
            // The wrong way round; two first halves before a second.
            (r#""\uddf4\ud83e""#, "\u{fffd}\u{fffd}"),
            (r#""\ud83e\ud83e\uddf4""#, "\u{fffd}🧴"),
            (r#""\ud83e\u0041""#, "\u{fffd}A"),
            (r#""\ud83e\n""#, "\u{fffd}\n"),
            (r#""\ud83e\\uddf4""#, "\u{fffd}\\uddf4"),
        ] {
            assert_eq!(read(text), wanted, "{text}");
        }
        assert_eq!(replaced(b"\"\xED\xA0\xBE!\xED\xB7\xB4\""), "\"\u{fffd}!\u{fffd}\"".as_bytes());
    }

    #[test]
    fn everything_else_stays_as_it_is() {
        for text in [
            r#""\ud83e\uddf4""#,
            r#""🧴 µ ½ 한 ퟿""#,
            r#""\\ud83e""#,
            r#""\\\\ud83e""#,
            r#""\u00b5\ud7ff\ue000\"\/\b""#,
            // What cannot be read is not for us to mend.
            r#""\ud83""#,
            r#""\uzzzz""#,
            r#""\ud8"#,
            "\\",
            "\\u",
            "",
        ] {
            assert_eq!(replaced(text.as_bytes()), text.as_bytes(), "{text}");
        }
        // The end of a text within such a letter.
        for cut in [&b"\xED"[..], b"\xED\xA0", b"\xED\xA0\x20"] {
            assert_eq!(replaced(cut), cut);
        }
    }
}
