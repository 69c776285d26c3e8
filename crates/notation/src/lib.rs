//! How a formula is **written**: tokens, lines, blocks, slips of the pen, and the canonical layout.
//!
//! This crate reads any text and never fails: what cannot be read is kept as it stands and reported as a
//! [`Slip`]. It knows the words of the notation, but no ingredient, no arithmetic and no sentence for the
//! maker: meaning lives in `formula`, wording in `rules`.
//!
//! The flow is one way: text → [`lex`] → [`read`] → [`Sheet`] of [`Block`]s of [`Line`]s; [`tidy`] goes from a
//! sheet back to edits of its text.

mod date;
mod fold;
mod layout;
mod line;
mod moved;
mod number;
mod read;
mod slip;
mod text;
mod token;
mod unit;
mod vocabulary;
mod word;

pub use date::{Date, DateFault};
pub use fold::{fold, in_one_line, unaccented};
pub use layout::{LineForms, amount_columns, line_end, tidy, tidy_with};
pub use line::{
    Base, Block, BlockKind, Change, ChangeKind, Clause, Fact, Form, ItemLine, Line, Measure, Name, Opener,
    PhaseLine, Quantity, Range, RangeKind, Sheet, VariantLine,
};
pub use number::{Number, NumberFault, read_number};
pub use read::{
    is_reason, list_names, list_words, plain_blank, read, read_block, read_block_again, split_because,
    split_blocks,
};
pub use slip::{Slip, SlipKind};
pub use text::{Edit, Edits, Encoding, LineIndex, Overlap, Place, Span};
pub use token::{Token, TokenKind, lex};
pub use unit::{Dimension, Measures, Unit, UnitAt, UnitWord, find_unit, known_unit};
pub use vocabulary::{
    AREAS, FORMS, FUNCTIONS, GRADES, Letters, MARKETS, NOT_THIS_TOOL, PACKS, PEOPLE, PHASE_KINDS, PURPOSES,
    PhaseKind, TYPES, USES, WAYS, known_product_word, nearest,
};
pub use word::{ClauseWord, Shape, Word};
