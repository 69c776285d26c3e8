//! How text looks on the stream that it goes to: colour or none, and how wide.

use crate::args::Color;
use std::io::IsTerminal;
use unicode_width::UnicodeWidthStr;

/// How output looks.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Look {
    /// Whether there is colour.
    pub(crate) color: bool,
    /// The columns of the terminal; none where the text goes elsewhere and lines may be as long as they are.
    pub(crate) width: Option<usize>,
}

/// What a piece of text is, for the eye.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Ink {
    Error,
    Warning,
    Note,
    Hint,
    /// Headings and totals.
    Strong,
    /// What may be passed over: sources, examples.
    Aside,
    /// What a line is about.
    Label,
    /// A line that goes.
    Gone,
    /// A line that comes.
    Come,
}

impl Ink {
    fn code(self) -> &'static str {
        match self {
            Ink::Error => "1;31",
            Ink::Warning => "1;33",
            Ink::Note => "1;36",
            Ink::Hint | Ink::Strong => "1",
            Ink::Aside => "2",
            Ink::Label => "36",
            Ink::Gone => "31",
            Ink::Come => "32",
        }
    }
}

impl Look {
    /// The look of standard output: colour where it is a terminal, unless the maker asks otherwise.
    pub(crate) fn of_stdout(choice: Color) -> Look {
        let terminal = std::io::stdout().is_terminal();
        let said = |name: &str| std::env::var_os(name).is_some_and(|value| !value.is_empty());
        let dumb = std::env::var_os("TERM").is_some_and(|term| term == "dumb");
        let color = match choice {
            Color::Always => true,
            Color::Never => false,
            Color::Auto => terminal && !said("NO_COLOR") && !dumb,
        };
        let width = terminal_size::terminal_size_of(std::io::stdout()).map(|(width, _)| usize::from(width.0));
        Look { color, width: width.filter(|_| terminal) }
    }

    /// A text in some ink.
    pub(crate) fn paint(self, ink: Ink, text: &str) -> String {
        if self.color && !text.is_empty() {
            format!("\u{1b}[{}m{text}\u{1b}[0m", ink.code())
        } else {
            text.to_owned()
        }
    }

    /// A text broken into lines that leave `taken` columns free; whole where no width is known.
    pub(crate) fn wrap(self, text: &str, taken: usize) -> Vec<String> {
        match self.width {
            Some(width) => wrap(text, width.saturating_sub(taken).max(24)),
            None => vec![text.to_owned()],
        }
    }
}

/// The columns that a text takes.
pub(crate) fn columns(text: &str) -> usize {
    text.width()
}

/// A text broken at blanks into lines of at most `width` columns; a longer word stands alone.
pub(crate) fn wrap(text: &str, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in words(text) {
        if !line.is_empty() && columns(&line) + 1 + columns(&word) > width {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(&word);
    }
    lines.push(line);
    lines
}

/// The words of a text; a number and its unit are one.
fn words(text: &str) -> Vec<String> {
    const UNITS: &[&str] = &["%", "g", "kg", "mg", "mL", "°C", "min", "h"];
    let mut words: Vec<String> = Vec::new();
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let is_unit = UNITS.contains(&word.trim_end_matches([',', ';', '.', ':', ')']));
        match words.last_mut().filter(|last| is_unit && last.ends_with(|c: char| c.is_ascii_digit())) {
            Some(number) => {
                number.push(' ');
                number.push_str(word);
            }
            None => words.push(word.to_owned()),
        }
    }
    words
}

/// A text without characters that would steer the terminal; as many bytes as before.
pub(crate) fn harmless(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '\n' | '\r' | '\t' => c,
            // What other tools take for a line end is none of the notation.
            '\u{85}' => '\u{a0}',
            '\u{2028}' | '\u{2029}' => '\u{202f}',
            // The marks that turn the direction of writing can hide what stands on a line.
            '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{e000}'..='\u{f8ff}' => '\u{fffd}',
            '\u{80}'..='\u{9f}' => '\u{a0}',
            c if c.is_control() => '?',
            c => c,
        })
        .collect()
}

/// `1 error`, `2 errors`
pub(crate) fn counted(count: usize, word: &str) -> String {
    if count == 1 { format!("1 {word}") } else { format!("{count} {word}s") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_break_between_words_and_never_before_a_unit() {
        assert_eq!(wrap("at most 0.4 % of it", 11), ["at most", "0.4 % of it"]);
        assert_eq!(wrap("crème hydratante", 5), ["crème", "hydratante"]);
        assert_eq!(wrap("", 5), [""]);
    }

    #[test]
    fn harmless_text_is_as_long_as_before() {
        let text = "a\u{1b}[2J\u{85}\u{2028}\u{202e}\u{9b}é\u{e000}\n\t";
        let tame = harmless(text);
        assert_eq!(tame.len(), text.len());
        assert!(
            !tame.contains(['\u{1b}', '\u{85}', '\u{2028}', '\u{202e}', '\u{9b}', '\u{e000}']),
            "{tame:?}"
        );
    }
}
