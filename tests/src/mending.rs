//! Fixes and suppressions: what they change, what they leave alone, and when they are offered.

mod allow;
mod allowing;
pub(crate) mod fixes;
pub(crate) mod product;
mod rounds;
