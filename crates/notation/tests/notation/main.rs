//! Reading and formatting, from outside: tables of lines, whole sheets, and properties of any text.

mod blocks;
mod facts;
mod items;
mod layout;
mod layout_lines;
mod properties;
mod shown;
mod spans;
mod structure;
