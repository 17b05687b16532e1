//! Words as people spell them in headers: case, accents, units.

/// A header taken apart.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Header {
    /// Folded: lower case, no accents, words joined by hyphens.
    pub word: String,
    pub unit: Option<&'static str>,
}

/// Spellings of units in headers, folded, and the unit as it is read.
const UNITS: &[(&str, &str)] = &[
    ("kg", "kg"),
    ("kgs", "kg"),
    ("kilo", "kg"),
    ("kilos", "kg"),
    ("kilogram", "kg"),
    ("kilograms", "kg"),
    ("kilogramme", "kg"),
    ("kilogrammes", "kg"),
    ("g", "g"),
    ("gr", "g"),
    ("gram", "g"),
    ("grams", "g"),
    ("gramme", "g"),
    ("grammes", "g"),
    ("mg", "mg"),
    ("t", "t"),
    ("tonne", "t"),
    ("tonnes", "t"),
    ("lb", "lb"),
    ("lbs", "lb"),
    ("pound", "lb"),
    ("pounds", "lb"),
    ("oz", "oz"),
    ("ounce", "oz"),
    ("ounces", "oz"),
    ("l", "L"),
    ("litre", "L"),
    ("litres", "L"),
    ("liter", "L"),
    ("liters", "L"),
    ("ml", "mL"),
    ("cl", "cL"),
    ("dl", "dL"),
    ("mm", "mm"),
    ("cm", "cm"),
    ("m", "m"),
    ("in", "in"),
    ("inch", "in"),
    ("inches", "in"),
    ("%", "%"),
];

pub(super) fn unit(word: &str) -> Option<&'static str> {
    let word = fold(word);
    UNITS.iter().find(|(spelt, _)| *spelt == word).map(|(_, unit)| *unit)
}

/// `Mass (kg)`, `Weight [lb]`, `weight/g`, `mass_kg`, `Weight kg each`.
pub(super) fn header(text: &str) -> Header {
    let folded = fold(text);
    let mut words: Vec<&str> = folded.split('-').filter(|w| !w.is_empty()).collect();
    let mut unit_found = None;
    // The unit is one of the words; the first is what it is of.
    if let Some(at) = (1..words.len()).rev().find(|at| unit(words[*at]).is_some()) {
        unit_found = unit(words[at]);
        words.remove(at);
        if at > 1 && words.get(at - 1) == Some(&"in") {
            words.remove(at - 1);
        }
    }
    Header { word: words.join("-"), unit: unit_found }
}

/// Lower case, without accents; whatever is neither letter nor digit parts
/// words.
pub(super) fn fold(text: &str) -> String {
    let mut out = String::new();
    for c in text.trim().chars().flat_map(char::to_lowercase) {
        let plain = match c {
            'à' | 'á' | 'â' | 'ã' | 'å' | 'ä' => "a",
            'è' | 'é' | 'ê' | 'ë' => "e",
            'ì' | 'í' | 'î' | 'ï' => "i",
            'ò' | 'ó' | 'ô' | 'õ' | 'ö' | 'ø' => "o",
            'ù' | 'ú' | 'û' | 'ü' => "u",
            'ç' => "c",
            'ñ' => "n",
            'ß' => "ss",
            'æ' => "ae",
            'œ' => "oe",
            // Combining accents, as some programs write them.
            '\u{300}'..='\u{36f}' => "",
            '%' => "-%",
            c if c.is_alphanumeric() => {
                out.push(c);
                continue;
            }
            _ => "-",
        };
        if plain != "-" || !out.ends_with('-') {
            out.push_str(plain);
        }
    }
    out.trim_matches('-').to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headers_are_told_from_their_units() {
        for (text, word, unit) in [
            ("Mass (kg)", "mass", Some("kg")),
            ("Weight [lb]", "weight", Some("lb")),
            ("weight/g", "weight", Some("g")),
            ("mass_kg", "mass", Some("kg")),
            ("Weight kg each", "weight-each", Some("kg")),
            ("Weight, in kilograms", "weight", Some("kg")),
            ("QUANTITÉ", "quantite", None),
            ("  Qty. ", "qty", None),
            ("Limit (%)", "limit", Some("%")),
            ("L", "l", None),
            ("l x w x h (cm)", "l-x-w-x-h", Some("cm")),
        ] {
            assert_eq!(header(text), Header { word: word.into(), unit }, "{text}");
        }
    }
}
