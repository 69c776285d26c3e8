//! The lexer: coarse, and without meaning. Every byte of a text belongs to exactly one token.

use crate::text::Span;
use logos::Logos;

/// What a token is made of.
#[derive(Logos, Clone, Copy, PartialEq, Eq, Debug, Hash)]
pub enum TokenKind {
    /// Space, tab, no-break and thin spaces, byte-order mark.
    #[regex("[ \t\u{a0}\u{2009}\u{202f}\u{feff}]+")]
    Blank,
    /// LF, CRLF or a lone CR.
    #[regex("\r\n|\n|\r")]
    LineEnd,
    /// A run of digits with its separators, or a vulgar fraction: `12`, `0,5`, `.5`, `1/2`, `1½`.
    #[regex("[0-9]+([.,'’/][0-9]+)*[½¼¾⅓⅔⅛⅜⅝⅞]?")]
    #[regex("[.,][0-9]+")]
    #[regex("[½¼¾⅓⅔⅛⅜⅝⅞]")]
    Number,
    /// Letters, marks and the degree sign.
    #[regex("[\\p{L}\\p{M}_°µμ]+")]
    Word,
    /// `%`
    #[token("%")]
    Percent,
    /// `;`
    #[token(";")]
    Semicolon,
    /// `,`
    #[token(",", priority = 10)]
    Comma,
    /// Hyphen, en dash, minus sign.
    #[regex("[-–−]")]
    Dash,
    /// `"`
    #[token("\"")]
    Quote,
    /// `#`
    #[token("#")]
    Hash,
    /// A comment from its `#` to the line's end. Made by the reader: what a `#` means depends on the line.
    Comment,
    /// Anything else, one character.
    Other,
}

/// A token and the bytes it covers.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Token {
    /// What it is made of.
    pub kind: TokenKind,
    /// Where it stands.
    pub span: Span,
}

/// Cuts a text into tokens that cover every byte, in order.
pub fn lex(text: &str) -> Vec<Token> {
    let mut tokens = Vec::with_capacity(text.len() / 4);
    for (kind, span) in TokenKind::lexer(text).spanned() {
        let span = Span::new(span.start as u32, span.end as u32);
        tokens.push(Token { kind: kind.unwrap_or(TokenKind::Other), span });
    }
    tokens
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kinds(text: &str) -> Vec<(TokenKind, &str)> {
        lex(text).into_iter().map(|t| (t.kind, t.span.of(text))).collect()
    }

    #[test]
    fn every_byte_is_kept() {
        for text in
            ["", "\u{feff}a\r\n½ tsp\u{a0}x # y", "5%\t\0\u{1F9F4}é e\u{301}", "1,2-hexanediol; \"a;b\""]
        {
            let joined: String = kinds(text).into_iter().map(|(_, t)| t).collect();
            assert_eq!(joined, text);
        }
    }

    #[test]
    fn numbers_and_their_neighbours() {
        use TokenKind::{Blank, Dash, Number, Percent, Word};
        assert_eq!(
            kinds("0,5-1 %"),
            [(Number, "0,5"), (Dash, "-"), (Number, "1"), (Blank, " "), (Percent, "%")]
        );
        assert_eq!(kinds("1½ tsp"), [(Number, "1½"), (Blank, " "), (Word, "tsp")]);
        assert_eq!(kinds(".5 µg"), [(Number, ".5"), (Blank, " "), (Word, "µg")]);
        assert_eq!(kinds("75°C"), [(Number, "75"), (Word, "°C")]);
    }
}
