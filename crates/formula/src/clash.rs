//! What a material cannot stand beside, and under which conditions.
#![deny(clippy::float_arithmetic)]

use crate::exact::Exact;
use crate::material::Material;
use notation::fold;

/// What a material cannot stand beside.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Clash {
    /// The other: a name, or `any …`.
    pub with: String,
    /// Only where there is more of the other than this share of the whole.
    pub above: Option<Exact>,
    /// Only where the pH is below this.
    pub below_ph: Option<Exact>,
    /// Why.
    pub because: String,
}

impl Clash {
    /// Reads `NAME|any … [above AMOUNT] [below pH N]`.
    pub(crate) fn read(written: &str, because: &str) -> Clash {
        let (rest, below_ph) = match written.rsplit_once(" below pH ") {
            Some((rest, ph)) => (rest, Exact::read(ph.trim())),
            None => (written, None),
        };
        let (with, above) = match rest.rsplit_once(" above ") {
            Some((with, amount)) => match amount.trim().strip_suffix('%').and_then(|n| Exact::read(n.trim()))
            {
                Some(percent) => (with, Some(percent.hundredth())),
                None => (rest, None),
            },
            None => (rest, None),
        };
        let with = with.trim().trim_matches('"').to_owned();
        Clash { with, above, below_ph, because: because.to_owned() }
    }

    /// The other with its conditions, as the line says it.
    pub fn partner(&self) -> String {
        let above = self.above.as_ref().map(|share| format!(" above {} %", share.percent()));
        let below = self.below_ph.as_ref().map(|ph| format!(" below pH {ph}"));
        format!("{}{}{}", self.with, above.unwrap_or_default(), below.unwrap_or_default())
    }

    /// Whether a material is what is meant: by name, by charge, by function; `any acid` by its first pKa, `any metal
    /// salt` by the metal that it counts as, or as an electrolyte.
    pub fn means(&self, other: &Material) -> bool {
        let with = fold(&self.with);
        let Some(kind) = with.strip_prefix("any ") else {
            return other.names().any(|name| name == with);
        };
        match kind {
            "acid" => other.is_free_acid(),
            "metal salt" => other.does("electrolyte"),
            "anionic" | "cationic" | "non-ionic" | "amphoteric" => other.has_charge(kind),
            function => other.does(function),
        }
    }
}
