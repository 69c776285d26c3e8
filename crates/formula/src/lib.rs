//! What a formula **means**: names looked up, amounts worked out exactly, variants made, substances counted.
//!
//! Pure functions of a block and of what it can see ([`Known`]). No input or output, no sentence for the maker: what
//! cannot be resolved is a [`Gap`], which `rules` puts into words. Floating point only in [`reckon`].

pub mod acidity;
mod amount;
mod catalogue;
mod clash;
pub mod compare;
mod draft;
mod exact;
pub mod factor;
mod formula;
mod header;
pub mod keeping;
mod known;
pub mod labels;
pub mod law;
mod limit;
mod material;
pub mod method;
pub mod mixing;
pub mod people;
pub mod possible;
pub mod preservation;
mod product;
pub mod reckon;
mod record;
mod resolve;
mod settings;
mod shares;
mod substances;
pub mod sun;
mod totals;
mod window;

pub use catalogue::{Catalogue, Found, LAW_READ_ON, is_ingredient, own_material};
pub use clash::Clash;
pub use exact::Exact;
pub use formula::{
    Batch, Conversion, Formula, Gap, GapKind, Header, Include, Item, Pack, Phase, Test, Written,
};
pub use header::is_sun_product;
pub use known::{HouseAllow, HouseLimit, IncludeFault, Known, Settings};
pub use limit::{Ceiling, Condition, Fit, Force, LabelDuty, Limit, Rank, Use};
pub use material::{
    Avoid, DEFAULT_OF_THE_TABLES, Figure, Lot, Material, Part, Phototoxic, Price, Solubility, Source,
    Standing,
};
pub use product::{Occasion, Product};
pub use record::{Filling, MadeOf, Measured, Observed, Record, Verdict, Weighed, is_older, read_record};
pub use resolve::{Resolved, resolve, resolve_again};
pub use settings::read_settings;
pub use substances::{Substance, Via};
pub use totals::{Basis, Totals, Unknown};
pub use window::{Interval, Window};
