//! What a formula can see: names, included formulas, and the workshop's settings. Nothing else.

use crate::catalogue::Found;
use crate::exact::Exact;
use crate::formula::Formula;
use crate::record::Record;
use crate::resolve::Resolved;
use crate::window::Window;
use notation::Measures;
use std::sync::Arc;

/// Why an included formula is not there.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum IncludeFault {
    /// No such file, or it cannot be read.
    NoFile,
    /// The file holds no formula, or none of that name.
    NoFormula,
    /// It includes this formula in turn.
    Circular,
}

/// The answers that a formula can ask for.
pub trait Known {
    /// What a name means.
    fn find(&self, name: &str) -> Found;

    /// Names near one that means nothing, the nearest first.
    fn near(&self, name: &str) -> Vec<String>;

    /// The formula at a path, by name where the file holds several.
    ///
    /// # Errors
    /// Why it is not there.
    fn include(&self, path: &str, formula: Option<&str>) -> Result<Arc<Formula>, IncludeFault>;

    /// The formula of a name in the same file, which a record is of. A block that stands alone sees none.
    fn formula(&self, _name: &str) -> Option<Arc<Resolved>> {
        None
    }

    /// The records of a formula that are seen with it, in written order.
    fn records(&self, _formula: &str) -> Vec<Arc<Record>> {
        Vec::new()
    }

    /// The workshop's settings.
    fn settings(&self) -> &Settings;
}

/// A house limit of the workshop.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct HouseLimit {
    /// At most this share.
    pub most: Exact,
    /// Of what: a name or a function.
    pub of: String,
    /// When.
    pub conditions: Vec<crate::limit::Condition>,
}

/// A suppression that the workshop gives for all its formulas.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct HouseAllow {
    /// Rule names.
    pub rules: Vec<String>,
    /// The reason.
    pub because: String,
}

/// What the workshop block says, the nearer file winning line by line.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Settings {
    /// Markets of all formulas that name none.
    pub markets: Vec<String>,
    /// Whose kitchen measures.
    pub measures: Option<Measures>,
    /// Currency of costs.
    pub currency: Option<String>,
    /// The smallest step that the scales show, grams.
    pub scales: Option<Exact>,
    /// The least batch that the mixer takes, grams.
    pub mixer: Option<Exact>,
    /// Temperature of the water bath, °C.
    pub water_bath: Option<Exact>,
    /// Share lost in making, 0 to 1.
    pub loss: Option<Exact>,
    /// Milligrams in a drop.
    pub drop: Option<Window>,
    /// House limits.
    pub limits: Vec<HouseLimit>,
    /// Suppressions.
    pub allows: Vec<HouseAllow>,
    /// Rule name → the level that the workshop gives it.
    pub treats: Vec<(String, String)>,
    /// Files with prices, lots and records.
    pub stock: Vec<String>,
}

impl Settings {
    /// These settings, with what a nearer workshop says laid over them.
    #[must_use]
    pub fn under(self, nearer: Settings) -> Settings {
        fn joined<T>(mut near: Vec<T>, far: Vec<T>) -> Vec<T> {
            near.extend(far);
            near
        }
        Settings {
            markets: if nearer.markets.is_empty() { self.markets } else { nearer.markets },
            measures: nearer.measures.or(self.measures),
            currency: nearer.currency.or(self.currency),
            scales: nearer.scales.or(self.scales),
            mixer: nearer.mixer.or(self.mixer),
            water_bath: nearer.water_bath.or(self.water_bath),
            loss: nearer.loss.or(self.loss),
            drop: nearer.drop.or(self.drop),
            limits: joined(nearer.limits, self.limits),
            allows: joined(nearer.allows, self.allows),
            treats: joined(nearer.treats, self.treats),
            stock: joined(nearer.stock, self.stock),
        }
    }
}
