//! The wording lists, each row with the document that it stands on.

use super::Wording;
use crate::finding::Level;
use formula::Standing;

const FDA: &str = "FD&C Act section 201(g); FDA, Warning letters address drug claims made for products \
    marketed as cosmetics";
const COSMETIC: &str = "Reg. (EC) 1223/2009 Art. 2 and 20; Guidelines to Reg. (EU) 655/2013, July 2013 \
    (presentation and purpose decide what is a cosmetic); FD&C Act section 201(g)";
const LETTERS: &str = "FDA warning letters on drug claims for cosmetics, as quoted by agg.com, 17 Aug \
    2017, and cfsan.fda.gov, 18 Feb 2004";
const COMMON_CRITERIA: &str = "Reg. (EU) 655/2013, Annex";
const TECHNICAL: &str = "Technical document on cosmetic claims, 3 July 2017, Annex III, as summarised by \
    cosmeticscare.eu and freyrsolutions.com";

/// Words that make a medicine of a cosmetic.
pub(crate) const MEDICINAL: &[Wording] = &[
    Wording {
        phrases: &[
            "eczema",
            "psoriasis",
            "dermatitis",
            "rosacea",
            "impetigo",
            "ringworm",
            "athlete s foot",
            "athletes foot",
            "cold sore",
            "cold sores",
            "herpes",
            "shingles",
            "wart",
            "warts",
            "arthritis",
            "rheumatism",
            "varicose veins",
            "haemorrhoids",
            "hemorrhoids",
            "fungal infection",
            "fungal infections",
            "infection",
            "infections",
            "treats acne",
            "treat acne",
            "cures acne",
            "acne treatment",
        ],
        markets: &[],
        why: "names an illness; what is said to treat or prevent one is a medicine, not a cosmetic",
        help: "Say what it does for the look and feel of skin (for dry, itchy skin: `softens`, `soothes \
            dry skin`), or take the word out.",
        settled: &[],
        most: Level::Error,
        source: COSMETIC,
        standing: Standing::Read,
    },
    Wording {
        phrases: &[
            "to heal",
            "helps heal",
            "heal skin",
            "heal cracked",
            "heal chapped",
            "heals",
            "healing",
            "cures",
            "cure for",
            "medicated",
            "medicinal",
            "pain relief",
            "relieves pain",
            "painkilling",
            "wound",
            "wounds",
            "for burns",
            "treats burns",
            "antiseptic",
            "disinfects",
            "disinfecting",
            "antifungal",
            "anti fungal",
            "antiviral",
            "anti viral",
        ],
        markets: &[],
        why: "promises to heal or to treat; that is a medicine's work, not a cosmetic's",
        help: "Say what it does for the look and feel of skin (`softens`, `comforts`, `protects dry \
            lips`), or take the word out.",
        settled: &[],
        most: Level::Error,
        source: COSMETIC,
        standing: Standing::Read,
    },
    Wording {
        phrases: &[
            "anti inflammatory",
            "antiinflammatory",
            "antibacterial",
            "anti bacterial",
            "antimicrobial",
            "kills bacteria",
            "kills germs",
            "regenerates cells",
            "cell regeneration",
            "stimulates cells",
            "stimulates collagen",
            "boosts collagen",
            "collagen production",
            "increases collagen",
            "detoxifies",
        ],
        markets: &[],
        why: "promises to change how the body works; such words have been judged to make a drug of a \
            cosmetic",
        help: "Speak of what can be seen and felt (`skin looks smoother`), or take the words out.",
        settled: &[],
        most: Level::Warning,
        source: LETTERS,
        standing: Standing::SecondHand,
    },
    Wording {
        phrases: &[
            "anti dandruff",
            "dandruff",
            "wrinkle removal",
            "removes wrinkles",
            "wrinkle remover",
            "cellulite",
            "stretch mark",
            "stretch marks",
            "hair growth",
            "regrows hair",
            "hair restoration",
            "lash growth",
            "antiperspirant",
            "anti perspirant",
        ],
        markets: &["US"],
        why: "is a drug claim in the US",
        help: "In the US this needs the drug's own rules (a monograph or an approval); else take the words \
            out.",
        settled: &[],
        most: Level::Error,
        source: FDA,
        standing: Standing::Read,
    },
    Wording {
        phrases: &[
            "skin protectant",
            "protects chapped skin",
            "nappy rash",
            "diaper rash",
            "chapped skin protectant",
        ],
        markets: &["US"],
        why: "is the claim of a skin protectant drug in the US",
        help: "In the US this needs an active of the skin protectant monograph in its range, and drug \
            labelling; else take the words out.",
        settled: &[],
        most: Level::Warning,
        source: "21 CFR 347.10, OTC monograph M016",
        standing: Standing::Read,
    },
];

/// Words that need a proof.
pub(crate) const UNPROVEN: &[Wording] = &[
    Wording {
        phrases: &[
            "clinically proven",
            "clinically tested",
            "scientifically proven",
            "laboratory tested",
            "lab tested",
        ],
        markets: &[],
        why: "says that it was tested, and no such test of this version is named",
        help: "Name the test (`tested efficacy by … on DATE; version V; report …`), or take the words out.",
        settled: &["clinical", "efficacy", "consumer", "panel", "instrumental"],
        most: Level::Error,
        source: COMMON_CRITERIA,
        standing: Standing::Read,
    },
    Wording {
        phrases: &[
            "dermatologically tested",
            "dermatologist tested",
            "dermatologist approved",
            "dermatologically approved",
            "dermatologist recommended",
            "ophthalmologist tested",
            "ophthalmologically tested",
            "doctor recommended",
        ],
        markets: &[],
        why: "says that a specialist tested it, and no such test of this version is named",
        help: "Name the test (`tested patch by … on DATE; version V; report …`), or take the words out.",
        settled: &[
            "patch",
            "dermatological",
            "dermatologist",
            "hript",
            "ophthalmological",
            "ophthalmologist",
        ],
        most: Level::Error,
        source: COMMON_CRITERIA,
        standing: Standing::Read,
    },
    Wording {
        phrases: &["hypoallergenic", "hypo allergenic", "non irritating"],
        markets: &[],
        why: "promises fewer reactions, and no test of this version on skin is named",
        help: "Name the test (`tested patch by … on DATE; version V; report …`), or take the word out; \
            nobody can promise that no one reacts.",
        settled: &["patch", "hript", "irritation", "sensitisation", "sensitization", "dermatological"],
        most: Level::Warning,
        source: "Technical document on cosmetic claims, 3 July 2017, Annex IV, as summarised by icda.ie and \
            freyrsolutions.com",
        standing: Standing::SecondHand,
    },
    Wording {
        phrases: &[
            "anti ageing",
            "anti aging",
            "antiageing",
            "antiaging",
            "anti wrinkle",
            "antiwrinkle",
            "reduces wrinkles",
            "fights wrinkles",
            "visibly younger",
            "visible results",
            "non comedogenic",
            "noncomedogenic",
            "24 h",
            "24h",
            "24 hour",
            "48 h",
            "48h",
            "48 hour",
            "72 h",
            "72h",
            "72 hour",
        ],
        markets: &[],
        why: "promises an effect, and no test of this version is named that would show it",
        help: "Keep what shows it (a test, a panel, published work on this ingredient at this amount) and \
            name the test in a `tested` line, or say less.",
        settled: &[
            "efficacy",
            "consumer",
            "panel",
            "clinical",
            "instrumental",
            "hydration",
            "comedogenicity",
            "use",
        ],
        most: Level::Note,
        source: COMMON_CRITERIA,
        standing: Standing::Read,
    },
];

/// Words that a market does not let a cosmetic say, whatever is in it.
pub(crate) const BARRED: &[Wording] = &[
    Wording {
        phrases: &[
            "fda approved",
            "approved by the fda",
            "eu approved",
            "approved by the eu",
            "approved by the authorities",
            "government approved",
            "cpnp approved",
        ],
        markets: &[],
        why: "says that an authority approved it; no authority approves cosmetics, and the claim is not \
            allowed",
        help: "Take it out.",
        settled: &[],
        most: Level::Error,
        source: "Reg. (EU) 655/2013, Annex (legal compliance)",
        standing: Standing::Read,
    },
    Wording {
        phrases: &[
            "chemical free",
            "chemicals free",
            "free from chemicals",
            "free of chemicals",
            "no chemicals",
            "without chemicals",
            "toxin free",
            "free from toxins",
            "free of toxins",
            "no toxins",
            "non toxic",
            "nontoxic",
            "no nasties",
            "nasties free",
            "free from nasties",
            "no harmful ingredients",
            "free from harmful ingredients",
        ],
        markets: &["EU", "UK"],
        why: "runs down what others lawfully use, and is true of no product",
        help: "Say what is in it instead (`with beeswax and olive oil`).",
        settled: &[],
        most: Level::Error,
        source: "Reg. (EU) 655/2013, Annex (honesty, fairness: ingredients legally used are not denigrated)",
        standing: Standing::Read,
    },
    Wording {
        phrases: &[
            "allergen free",
            "allergens free",
            "free from allergens",
            "free of allergens",
            "no allergens",
            "without allergens",
            "allergy free",
        ],
        markets: &["EU", "UK"],
        why: "promises that nobody reacts, which nobody can promise",
        help: "Name what is left out, if someone needs to know it (`without nut oils`), or take it out.",
        settled: &[],
        most: Level::Warning,
        source: TECHNICAL,
        standing: Standing::SecondHand,
    },
];

/// Words that say that something is left out, and that may not be said of what the law allows or forbids anyway.
pub(crate) struct FreeFrom {
    /// What is left out, in its forms.
    pub(crate) of: &'static [&'static str],
    /// What is wrong with saying so.
    pub(crate) why: &'static str,
}

/// Where [`FREE_FROM`] was read.
pub(crate) const FREE_FROM_SOURCE: &str = TECHNICAL;

/// What the technical document names.
pub(crate) const FREE_FROM: &[FreeFrom] = &[
    FreeFrom { of: &["paraben", "parabens"], why: "runs down preservatives that the law allows" },
    FreeFrom {
        of: &[
            "formaldehyde",
            "heavy metals",
            "heavy metal",
            "corticosteroids",
            "corticosteroid",
            "steroids",
            "hydroquinone",
        ],
        why: "boasts of what the law demands of every product",
    },
];

/// What may not be said of protection from the sun.
pub(crate) const SUN: &[Wording] = &[
    Wording {
        phrases: &[
            "sunblock",
            "sun block",
            "sun blocker",
            "sunblocker",
            "total sunblock",
            "blocks the sun",
            "blocks all uv",
            "100 protection",
            "100 uv protection",
            "total protection",
            "total sun protection",
            "complete protection",
            "full protection",
        ],
        markets: &[],
        why: "promises that no sun comes through; no product does that",
        help: "Say what was measured (`SPF 20, UVA`), or take it out.",
        settled: &[],
        most: Level::Warning,
        source: "Commission Recommendation 2006/647/EC (no “sunblock”, no 100 % or total protection)",
        standing: Standing::Read,
    },
    Wording {
        phrases: &["all day", "once a day", "no need to reapply", "no reapplication", "day long"],
        markets: &[],
        why: "lets people stay in the sun without putting on more; it wears off within hours",
        help: "Say that it has to be put on again often, and after bathing and towelling.",
        settled: &[],
        most: Level::Warning,
        source: "Commission Recommendation 2006/647/EC (no claim that it need not be put on again); common \
            practice",
        standing: Standing::CommonPractice,
    },
    Wording {
        phrases: &["waterproof", "water proof", "sweatproof", "sweat proof"],
        markets: &[],
        why: "promises that water does not take it off; it does, and the word is not accepted for sun care",
        help: "Say `water resistant` only with a test of it, or take it out.",
        settled: &[],
        most: Level::Warning,
        source: "21 CFR 201.327 (water resistance is measured and told in minutes); common practice",
        standing: Standing::CommonPractice,
    },
    Wording {
        phrases: &["water resistant", "sweat resistant"],
        markets: &[],
        why: "has to be measured, and no such test of this version is named",
        help: "Name the test (`tested water resistance by … on DATE; version V`), or take it out.",
        settled: &["water"],
        most: Level::Warning,
        source: "21 CFR 201.327 (“Water Resistant (40 minutes)” or “(80 minutes)”, by test)",
        standing: Standing::Read,
    },
    Wording {
        phrases: &[
            "reflects uv",
            "reflects the sun",
            "reflects the rays",
            "reflects rather than absorbs",
            "reflects and scatters",
            "physical blocker",
            "chemical free sunscreen",
            "works instantly",
        ],
        markets: &[],
        why: "is not how filters work: zinc oxide and titanium dioxide too absorb most of the UV and \
            reflect about 5 % of it",
        help: "Take it out, or say which filters are in it (`with zinc oxide`).",
        settled: &[],
        most: Level::Warning,
        source: "C. Cole, T. Shyr, H. Ou-Yang, Photodermatol. Photoimmunol. Photomed. 2016 (doi \
            10.1111/phpp.12214), abstract",
        standing: Standing::Read,
    },
];
