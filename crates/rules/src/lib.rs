//! What is **wrong** with a formula: the rules, each a page and a check in one file, and the engine that runs them.

mod finding;

pub use finding::{Finding, Fix, Level, Related, Safety};
