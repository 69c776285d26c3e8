//! The files of the built-in catalogue.

macro_rules! files {
    ($($name:literal)*) => {
        /// Name and text of each file.
        pub(super) const FILES: &[(&str, &str)] =
            &[$(($name, include_str!(concat!("../../catalogue/", $name, ".formula"))),)*];
    };
}

files! {
    "actives"
    "antioxidants"
    "butters"
    "chelators"
    "classes"
    "emulsifiers"
    "essential-oils"
    "esters"
    "exfoliants"
    "extracts"
    "fatty-alcohols-acids"
    "gums"
    "humectants"
    "oils"
    "ph-adjusters"
    "pigments"
    "powders-clays"
    "preservative-blends"
    "preservatives"
    "silicones"
    "substances"
    "surfactants"
    "uv-filters"
    "waters"
    "waxes"
}
