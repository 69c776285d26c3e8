//! What kind of product a formula makes, for whom, and where it is sold.

use crate::exact::Exact;
use crate::limit::Fit;
use notation::{FORMS, Span, fold, known_product_word};

/// On what occasion a product is made.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Default)]
pub enum Occasion {
    /// Nothing is said: limits count as for sale, label duties do not.
    #[default]
    Unsaid,
    /// `for sale`
    Sale,
    /// `for own use`, `for gifts`, `for teaching`
    Private,
}

/// The product line, and who it is for.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Product {
    /// The words of the product line in their canonical spelling.
    pub words: Vec<String>,
    /// Where the product line's words stand.
    pub span: Option<Span>,
    /// Who it is for, in the maker's words.
    pub people: Vec<String>,
}

impl Product {
    /// Reads the words of a `product` line.
    pub fn add_words(&mut self, written: &str) {
        for word in known_product_word(written) {
            if !self.words.iter().any(|own| own == word) {
                self.words.push((*word).to_owned());
            }
        }
    }

    /// Whether a canonical word is written.
    pub fn says(&self, word: &str) -> bool {
        self.words.iter().any(|own| own.eq_ignore_ascii_case(word))
    }

    /// The form, where one is said.
    pub fn form(&self) -> Option<&str> {
        self.words.iter().map(String::as_str).find(|word| FORMS.iter().any(|(form, _)| form == word))
    }

    /// Whether the product is a premix, which only a finished product turns into something for skin.
    pub fn is_premix(&self) -> bool {
        self.says("premix")
    }

    /// How long it stays on the skin: said, or usual for its form.
    pub fn usage(&self) -> Option<&'static str> {
        let said = ["leave-on", "rinse-off", "bath"].into_iter().find(|word| self.says(word));
        said.or_else(|| {
            let form = self.form()?;
            FORMS
                .iter()
                .find(|(known, _)| *known == form)
                .map(|(_, usage)| *usage)
                .filter(|usage| !usage.is_empty())
        })
    }

    /// The areas that are said, or that the form implies.
    pub fn areas(&self) -> Vec<&str> {
        let mut areas: Vec<&str> =
            self.words.iter().map(String::as_str).filter(|word| notation::AREAS.contains(word)).collect();
        let implied = match self.form() {
            Some("lip balm" | "lip gloss" | "lipstick") => &["lips"][..],
            Some("face oil" | "face wash") => &["face"],
            Some("body oil" | "body wash" | "body butter" | "shower gel" | "massage oil") => &["body"],
            Some("bath oil" | "bath salts" | "bath bomb" | "bath milk") => &["body"],
            Some("hand wash") => &["hands"],
            Some("shampoo") => &["scalp", "hair"],
            Some("conditioner" | "hair mask") => &["hair"],
            Some("deodorant") => &["underarm"],
            _ => &[],
        };
        if areas.is_empty() {
            areas.extend(implied);
        }
        areas
    }

    /// Whether a word of a condition fits: yes, no, or not decided by what is said. Bath products are rinsed off.
    pub fn is(&self, word: &str) -> Fit {
        let canonical = known_product_word(word);
        let word = match canonical {
            [one] => *one,
            [] => {
                // Words of the law that are no product words fit only when they are written.
                return if self.words.iter().any(|own| fold(own) == fold(word)) { Fit::Yes } else { Fit::No };
            }
            several => {
                return several.iter().map(|word| self.is(word)).fold(Fit::Yes, Fit::and);
            }
        };
        if self.says(word) {
            return Fit::Yes;
        }
        if notation::USES.contains(&word) {
            return match self.usage() {
                None => Fit::Open,
                Some("bath") if word == "rinse-off" => Fit::Yes,
                Some(usage) => {
                    if usage == word {
                        Fit::Yes
                    } else {
                        Fit::No
                    }
                }
            };
        }
        if notation::AREAS.contains(&word) {
            let areas = self.areas();
            if areas.is_empty() {
                return Fit::Open;
            }
            return if areas.contains(&word) { Fit::Yes } else { Fit::No };
        }
        if FORMS.iter().any(|(form, _)| *form == word) {
            return if self.form().is_none() && self.words.is_empty() { Fit::Open } else { Fit::No };
        }
        Fit::No
    }

    /// Whether it can be breathed in: aerosols, pump sprays and loose powders.
    pub fn inhalable(&self) -> Fit {
        let breathed = ["aerosol", "pump spray", "loose powder", "powder"].iter().any(|word| self.says(word));
        if breathed {
            Fit::Yes
        } else if self.words.is_empty() {
            Fit::Open
        } else {
            Fit::No
        }
    }

    /// Whether it is for persons under an age: babies are under 3 years unless an age is said.
    pub fn is_for_under(&self, years: &Exact) -> Fit {
        let mut young = false;
        for person in &self.people {
            let person = fold(person);
            let who = ["babies", "baby", "infants", "toddlers", "children", "kids"]
                .into_iter()
                .find(|who| person == *who || person.starts_with(&format!("{who} ")));
            let Some(who) = who else { continue };
            let number = |word: &str| {
                let at = person.find(word)? + word.len();
                person.get(at..)?.split_whitespace().next().and_then(Exact::read)
            };
            let months = person.contains("month");
            let year = |value: Exact| if months { value * Exact::fraction(1, 12) } else { value };
            // `children 3 and over`, `children from 6`: the youngest that are meant.
            let from = number("from ").or_else(|| number("over ")).map(year);
            let under = number("under ").map(year);
            let youngest = from.unwrap_or_else(Exact::zero);
            let any_child = matches!(who, "babies" | "baby" | "infants" | "toddlers") || under.is_some();
            if any_child && youngest < *years {
                young = true;
            }
            if !any_child && youngest < *years && *years > Exact::whole(3) {
                young = true;
            }
        }
        if young { Fit::Yes } else { Fit::No }
    }

    /// Whether it is for babies.
    pub fn is_for_babies(&self) -> bool {
        self.is_for_under(&Exact::whole(3)) == Fit::Yes
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn product(words: &str, people: &str) -> Product {
        let mut product = Product::default();
        for word in words.split(", ").filter(|w| !w.is_empty()) {
            product.add_words(word);
        }
        product.people = people.split(", ").filter(|p| !p.is_empty()).map(str::to_owned).collect();
        product
    }

    #[test]
    fn uses_and_areas() {
        assert_eq!(product("cream", "").is("leave-on"), Fit::Yes);
        assert_eq!(product("cream", "").is("face"), Fit::Open);
        assert_eq!(product("cream, hands", "").is("face"), Fit::No);
        assert_eq!(product("bath salts", "").is("rinse-off"), Fit::Yes);
        assert_eq!(product("", "").is("leave-on"), Fit::Open);
        assert_eq!(product("lotion, body", "").is("body lotion"), Fit::Yes);
        assert_eq!(product("lotion", "").is("body lotion"), Fit::Open);
        assert_eq!(product("sunscreen", "").is("sun care"), Fit::Yes);
        assert_eq!(product("cream", "").is("sun care"), Fit::No);
    }

    #[test]
    fn ages() {
        let three = Exact::whole(3);
        assert_eq!(product("cream", "babies").is_for_under(&three), Fit::Yes);
        assert_eq!(product("cream", "children under 3").is_for_under(&three), Fit::Yes);
        assert_eq!(product("cream", "children").is_for_under(&three), Fit::No);
        assert_eq!(product("cream", "children").is_for_under(&Exact::whole(6)), Fit::Yes);
        assert_eq!(product("cream", "dry skin").is_for_under(&three), Fit::No);
    }
}
