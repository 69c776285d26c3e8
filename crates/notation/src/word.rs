//! The first words of lines, and the words that open a qualifier after `;`.

use crate::line::BlockKind;

/// What a line word is followed by; decides which parser reads the line.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Shape {
    /// The rest of the line is text, `;` and `#` included.
    Text,
    /// Words or names up to the first `;`.
    Words,
    /// A number or a range with its unit, then words.
    Measure,
    /// A number where there is one, then words.
    Maybe,
    /// Nothing.
    Bare,
}

macro_rules! words {
    ($($(#[doc = $doc:literal])* $word:ident $shape:ident $many:literal [$($block:ident),*] $spelling:literal $(| $other:literal)*;)*) => {
        /// The first word, or words, of a line.
        #[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
        pub enum Word { $($(#[doc = $doc])* $word,)* }

        impl Word {
            /// Every word.
            pub const ALL: &'static [Word] = &[$(Word::$word,)*];

            /// The canonical spelling.
            pub fn spelling(self) -> &'static str { match self { $(Word::$word => $spelling,)* } }

            /// An example of such a line, between backticks, with a word on it where it needs one.
            pub fn example(self) -> &'static str { match self { $(Word::$word => concat!($($doc),*).trim_ascii(),)* } }

            /// All spellings that are read, the canonical one first.
            pub fn spellings(self) -> &'static [&'static str] { match self { $(Word::$word => &[$spelling $(, $other)*],)* } }

            /// What follows the word.
            pub fn shape(self) -> Shape { match self { $(Word::$word => Shape::$shape,)* } }

            /// Whether a block may hold several such lines.
            pub fn repeats(self) -> bool { match self { $(Word::$word => $many,)* } }

            /// The kinds of block in which the word is a line word.
            pub fn blocks(self) -> &'static [BlockKind] { match self { $(Word::$word => &[$(BlockKind::$block),*],)* } }
        }
    };
}

words! {
    /// `code HC-014`
    Code Words false [Formula] "code";
    /// `version 3`
    Version Words false [Formula] "version";
    /// `dated 2026-03-01`
    Dated Words false [Formula] "dated";
    /// `by NAME`
    By Words false [Formula] "by";
    /// `based on NAME version 2`
    BasedOn Words false [Formula] "based on";
    /// `status trial`
    Status Words false [Formula] "status";
    /// `product cream, leave-on, face`
    Product Words false [Formula] "product";
    /// `for dry skin`, `for sale`
    For Words true [Formula] "for";
    /// `market EU, UK`
    Market Words false [Formula, Workshop] "market" | "markets";
    /// `batch 500 g`
    Batch Measure false [Formula, Record] "batch";
    /// `pack 50 mL jar; net 50 g`
    Pack Measure true [Formula] "pack";
    /// `density 0.6 g/mL`
    Density Measure true [Formula, Ingredient] "density";
    /// `pH 5.0 to 5.5`
    Ph Measure false [Formula] "pH";
    /// `viscosity …`
    Viscosity Words false [Formula] "viscosity";
    /// `appearance …`
    Appearance Words false [Formula] "appearance";
    /// `colour …`
    Colour Words false [Formula] "colour" | "color";
    /// `odour …`
    Odour Words false [Formula] "odour" | "odor";
    /// `water activity 0.6`
    WaterActivity Measure false [Formula] "water activity";
    /// `shelf life 9 months`
    ShelfLife Measure false [Formula, Ingredient] "shelf life" | "keeps";
    /// `after opening 6 months`
    AfterOpening Measure false [Formula] "after opening";
    /// `claim SPF 15, UVA`
    Claim Words true [Formula] "claim" | "claims";
    /// `tested challenge by ISO 11930 on 2026-01-20; …`
    Tested Words true [Formula] "tested";
    /// `directions TEXT`
    Directions Text true [Formula] "directions";
    /// `store TEXT`
    Store Text true [Formula] "store";
    /// `warning TEXT`
    Warning Text true [Formula] "warning";
    /// `caution TEXT`
    Caution Text true [Formula] "caution";
    /// `note TEXT`
    Note Text true [Formula, Ingredient, Workshop, Record] "note" | "notes";
    /// `private note TEXT`
    PrivateNote Text true [Formula, Ingredient, Workshop, Record] "private note";
    /// `include PATH as NAME`
    Include Words true [Formula] "include";
    /// `allow RULE because REASON`
    Allow Words true [Formula, Workshop, Record] "allow";

    /// `INCI Glycerin`
    Inci Words false [Ingredient] "INCI";
    /// `also glycerol, glycerine`
    Also Words true [Ingredient] "also";
    /// `CAS 56-81-5`
    Cas Words true [Ingredient] "CAS";
    /// `function humectant`
    Function Words true [Ingredient] "function" | "functions";
    /// `phase water`, in an ingredient
    PhaseKind Words false [Ingredient] "phase";
    /// `soluble in water`
    SolubleIn Words false [Ingredient] "soluble in";
    /// `solubility 0.57 g per 100 mL water at 25 °C`
    Solubility Maybe true [Ingredient] "solubility";
    /// `water 95 %`
    Water Measure false [Ingredient] "water";
    /// `usual strength 50 %`
    UsualStrength Measure false [Ingredient] "usual strength";
    /// `drop 30 mg`
    Drop Measure false [Ingredient] "drop";
    /// `melts 32 to 36 °C`
    Melts Measure true [Ingredient] "melts";
    /// `not above 45 °C because …`
    NotAbove Measure false [Ingredient] "not above";
    /// `required HLB 7 for W/O`
    RequiredHlb Measure true [Ingredient] "required HLB";
    /// `HLB 15`
    Hlb Measure true [Ingredient] "HLB";
    /// `charge anionic when neutralised`
    Charge Words false [Ingredient] "charge";
    /// `works at pH 2 to 5`
    WorksAtPh Measure false [Ingredient] "works at pH";
    /// `stable at pH 5 to 7`
    StableAtPh Measure false [Ingredient] "stable at pH";
    /// `own pH 7 to 8`
    OwnPh Measure false [Ingredient] "own pH";
    /// `pKa 4.20`
    Pka Measure true [Ingredient] "pKa";
    /// `molar mass 122.12 g/mol`
    MolarMass Measure false [Ingredient] "molar mass";
    /// `counts as 84.746 % benzoic acid`
    CountsAs Measure true [Ingredient] "counts as";
    /// `contains 40 to 60 % NAME`
    Contains Maybe true [Ingredient] "contains";
    /// `active 0.3 µg per IU`
    Active Measure false [Ingredient] "active";
    /// `usage 1 to 3 %`
    Usage Measure true [Ingredient] "usage";
    /// `needs 20 to 25 % of oils`
    Needs Measure true [Ingredient] "needs";
    /// `oils at most 20 %`
    Oils Measure true [Ingredient] "oils";
    /// `works on bacteria, yeast, mould`
    WorksOn Words false [Ingredient] "works on";
    /// `incompatible with any cationic because …`
    IncompatibleWith Words true [Ingredient] "incompatible with";
    /// `avoid babies because …; warning`
    Avoid Words true [Ingredient] "avoid";
    /// `family tree nut`
    Family Words true [Ingredient] "family";
    /// `phototoxic limit 0.4 %`
    Phototoxic Words false [Ingredient] "phototoxic";
    /// `light-sensitive`
    LightSensitive Bare false [Ingredient] "light-sensitive";
    /// `air-sensitive`
    AirSensitive Bare false [Ingredient] "air-sensitive";
    /// `origin plant`
    Origin Words false [Ingredient] "origin";
    /// `pore-clogging 2`
    PoreClogging Measure false [Ingredient] "pore-clogging";
    /// `ambiguous: A or B`
    Ambiguous Words true [Ingredient] "ambiguous:" | "ambiguous";
    /// `price 14.20 EUR per kg`
    Price Measure true [Ingredient] "price";
    /// `lot SQ-77; 1 kg; received DATE`
    Lot Words true [Ingredient] "lot";
    /// `limit 0.5 %; leave-on; law; market EU`
    Limit Maybe true [Ingredient, Workshop] "limit";
    /// `group parabens`
    Group Words true [Ingredient] "group";
    /// `label TEXT; above 0.001 %`
    Label Words true [Ingredient] "label";
    /// `source TEXT`
    Source Text true [Ingredient] "source";

    /// `measures metric`
    Measures Words false [Workshop] "measures";
    /// `currency EUR`
    Currency Words false [Workshop] "currency";
    /// `scales 0.01 g`
    Scales Measure false [Workshop] "scales";
    /// `mixer at least 150 g`
    Mixer Measure false [Workshop] "mixer";
    /// `water bath 85 °C`
    WaterBath Measure false [Workshop] "water bath";
    /// `loss 3 %`
    Loss Measure false [Workshop] "loss";
    /// `drops 34 per g`
    Drops Measure false [Workshop] "drops";
    /// `stock PATH`
    Stock Words true [Workshop] "stock";
    /// `treat RULE as warning`
    Treat Words true [Workshop] "treat";

    /// `of NAME version 3; variant N`
    Of Words false [Record] "of";
    /// `date 2026-03-14`
    DateOf Words false [Record] "date";
    /// `made by NAME`
    MadeBy Words true [Record] "made by";
    /// `checked by NAME`
    CheckedBy Words true [Record] "checked by";
    /// `weighed 20.02 g glycerin; lot GL-204`
    Weighed Measure true [Record] "weighed";
    /// `topped up 9 g purified water`
    ToppedUp Measure true [Record] "topped up";
    /// `measured pH 5.4 at 22 °C`
    Measured Words true [Record] "measured";
    /// `observed 2026-04-14 TEXT`
    Observed Text true [Record] "observed";
    /// `yield 478 g`
    Yield Measure false [Record] "yield";
    /// `filled 9 x 50 mL`
    Filled Words true [Record] "filled";
    /// `retained 1 x 50 mL`
    Retained Words true [Record] "retained";
    /// `deviation TEXT`
    Deviation Text true [Record] "deviation";
    /// `released`
    Released Words false [Record] "released";
    /// `held`
    Held Words false [Record] "held";
    /// `rejected`
    Rejected Words false [Record] "rejected";
}

macro_rules! clauses {
    ($($(#[doc = $doc:literal])* $word:ident $spelling:literal $(| $other:literal)*;)*) => {
        /// The word that opens a qualifier.
        #[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
        pub enum ClauseWord { $($(#[doc = $doc])* $word,)* }

        impl ClauseWord {
            /// Every word.
            pub const ALL: &'static [ClauseWord] = &[$(ClauseWord::$word,)*];

            /// The canonical spelling.
            pub fn spelling(self) -> &'static str { match self { $(ClauseWord::$word => $spelling,)* } }

            /// An example of such a qualifier, between backticks, with a word on it where it needs one.
            pub fn example(self) -> &'static str { match self { $(ClauseWord::$word => concat!($($doc),*).trim_ascii(),)* } }

            /// All spellings that are read, the canonical one first.
            pub fn spellings(self) -> &'static [&'static str] { match self { $(ClauseWord::$word => &[$spelling $(, $other)*],)* } }
        }
    };
}

clauses! {
    /// `to pH 5.3`: the end point of an adjuster
    ToPh "to pH";
    /// `about 0.3 %`
    About "about";
    /// `strength 80 %`
    Strength "strength";
    /// `INCI TEXT`
    Inci "INCI";
    /// `as TEXT`
    As "as";
    /// `supplier TEXT`
    Supplier "supplier";
    /// `lot TEXT`
    Lot "lot";
    /// `dissolved in NAME`
    DissolvedIn "dissolved in";
    /// `wetted in NAME`
    WettedIn "wetted in";
    /// `dispersed in NAME`
    DispersedIn "dispersed in";
    /// `optional`
    Optional "optional";
    /// `limit 1.2 %`
    Limit "limit";
    /// `certificate DATE`
    Certificate "certificate";
    /// `allow RULE because REASON`
    Allow "allow";
    /// `grade TEXT`
    Grade "grade";
    /// `source TEXT`
    Source "source";
    /// `second-hand`
    SecondHand "second-hand";
    /// `common practice`
    CommonPractice "common practice";
    /// `from memory`
    FromMemory "from memory";
    /// `default`
    Default "default";
    /// `heat to 75 °C`
    HeatTo "heat to";
    /// `hold 20 min`
    Hold "hold" | "hold for";
    /// `below 40 °C`
    Below "below";
    /// `cool to 40 °C`
    CoolTo "cool to";
    /// `room temperature`
    RoomTemperature "room temperature";
    /// `cold process`
    ColdProcess "cold process";
    /// `version 3`
    Version "version";
    /// `result R`
    Result "result";
    /// `report TEXT`
    Report "report";
    /// `lab NAME`
    Lab "lab";
    /// `net 50 g`
    Net "net";
    /// `cost 0.45 EUR`
    Cost "cost";
    /// `allergen`
    Allergen "allergen";
    /// `contains 0.35 % furocoumarins`
    Contains "contains";
    /// `law`
    Law "law";
    /// `code`: an industry code
    Code "code";
    /// `opinion`
    Opinion "opinion";
    /// `advice`
    Advice "advice";
    /// `market EU`
    Market "market";
    /// `from 2025-11-01`
    From "from";
    /// `until 2027-05-01`
    Until "until";
    /// `not in WORDS`
    NotIn "not in";
    /// `under 3 years`
    Under "under";
    /// `inhalable`
    Inhalable "inhalable";
    /// `at pH 3.5 or above`
    AtPh "at pH";
    /// `at least AMOUNT`
    AtLeast "at least";
    /// `above 0.001 %`
    Above "above";
    /// `received DATE`
    Received "received";
    /// `opened DATE`
    Opened "opened";
    /// `expires DATE`
    Expires "expires";
    /// `variant N`
    Variant "variant";
    /// `error`
    Error "error";
    /// `warning`
    Warning "warning";
    /// `note`
    Note "note";
    /// `hint`
    Hint "hint";
}
