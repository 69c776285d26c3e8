//! What is made from other sources and committed, so that it can be read without the tool.

#![forbid(unsafe_code)]
#![warn(clippy::pedantic)]

mod families;

pub use families::{FOLDER, families};
