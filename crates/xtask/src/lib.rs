//! What is made from other sources and committed, so that it can be read without the tool.

#![forbid(unsafe_code)]
#![warn(clippy::pedantic)]

mod families;
mod rule_pages;

pub use families::{FOLDER as FAMILIES, families};
pub use rule_pages::{FOLDER as RULES, rule_pages};
