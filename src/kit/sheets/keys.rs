//! The keys that a column can become, and what people call them in headers.

use crate::kit::diagnostic::nearest;

/// What a sheet is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SheetOf {
    Equipment,
    Carriers,
}

/// How the cells of a key are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Id,
    Name,
    Mass,
    Bulk,
    Size,
    Count,
    /// One id.
    Word,
    /// Ids, or ways, parted by commas or semicolons.
    Words,
    Percents,
    MassOrShare,
    /// `power 390 Wh; line 20 m`
    Amounts,
    /// `headset x2; logbook`
    Counts,
    /// The same, with `shared`.
    Required,
    Slots,
    Flag,
    /// `person` or `vehicle`
    Riding,
}

/// A key of a file.
#[derive(Debug)]
pub(super) struct Key {
    pub name: &'static str,
    pub kind: Kind,
    /// What else it is called, the likeliest first: folded as by [`fold`].
    pub words: &'static [&'static str],
}

const fn key(name: &'static str, kind: Kind, words: &'static [&'static str]) -> Key {
    Key { name, kind, words }
}

/// In the order in which they are written. The other names are what people
/// write in lists of stores: common practice, no source.
const EQUIPMENT: &[Key] = &[
    key("id", Kind::Id, &["code", "item-code", "item-id", "ref", "reference", "key"]),
    key(
        "name",
        Kind::Name,
        &[
            "item-name",
            "description",
            "designation",
            "item",
            "article",
            "equipment",
            "thing",
            "nom",
            "bezeichnung",
        ],
    ),
    key(
        "mass",
        Kind::Mass,
        &[
            "weight",
            "unit-mass",
            "unit-weight",
            "mass-each",
            "weight-each",
            "each-weight",
            "mass-of-one",
            "weight-of-one",
            "packed-mass",
            "packed-weight",
            "masse",
            "gewicht",
            "poids",
            "peso",
        ],
    ),
    key(
        "bulk",
        Kind::Bulk,
        &["volume", "vol", "unit-volume", "volume-each", "bulk-each", "volumen"],
    ),
    key(
        "size",
        Kind::Size,
        &["dimensions", "dimension", "dims", "l-x-w-x-h", "lxwxh", "outer-size", "box"],
    ),
    key(
        "held",
        Kind::Count,
        &[
            "quantity",
            "qty",
            "quantity-held",
            "on-hand",
            "in-stock",
            "stock",
            "count",
            "pieces",
            "pcs",
            "pc",
            "number",
            "quantite",
            "menge",
            "anzahl",
            "cantidad",
        ],
    ),
    key("carry", Kind::Words, &["way", "ways", "carried", "how-carried", "carrying"]),
    key("hands", Kind::Count, &["hands-needed"]),
    key("pair-shares", Kind::Percents, &["pair-share", "shares"]),
    key("keeper", Kind::Word, &["kept-by", "keeper-duty"]),
    key("requires", Kind::Required, &["needs", "required", "goes-with"]),
    key("supplies", Kind::Amounts, &["gives", "provides"]),
    key("uses", Kind::Amounts, &["draws", "consumes", "consumption"]),
    key("contents", Kind::Counts, &["contains", "content", "inside", "packed-in-it"]),
    key("tags", Kind::Words, &["tag", "category", "categories", "group", "type", "class"]),
];

const CARRIERS: &[Key] = &[
    key("kind", Kind::Riding, &["type", "person-or-vehicle"]),
    key("id", Kind::Id, &["code", "ref", "reference", "key"]),
    key("name", Kind::Name, &["full-name", "person", "who", "carrier", "vehicle", "nom"]),
    key(
        "body-mass",
        Kind::Mass,
        &["body-weight", "mass", "weight", "masse", "gewicht", "poids", "peso"],
    ),
    key(
        "limit",
        Kind::MassOrShare,
        &["load-limit", "max-load", "maximum-load", "most", "carry-limit"],
    ),
    key("emergency-limit", Kind::MassOrShare, &["limit-in-an-emergency", "emergency-load"]),
    key("worn", Kind::Mass, &["worn-mass", "worn-weight", "clothing", "clothes"]),
    key("pack", Kind::Bulk, &["pack-volume", "pack-size", "rucksack", "backpack", "pack-room"]),
    key("duties", Kind::Words, &["duty", "role", "roles", "task", "tasks"]),
    key("slots", Kind::Slots, &["slot"]),
    key("uses", Kind::Amounts, &["draws", "consumes", "consumption"]),
    key("payload", Kind::Mass, &["max-payload", "load-capacity", "capacity"]),
    key("bed", Kind::Bulk, &["bed-volume", "bed-room", "cargo-volume", "load-volume"]),
    key("seats", Kind::Count, &["seat", "passengers"]),
    key("hauled", Kind::Flag, &["pulled", "pushed", "sledge"]),
];

/// What our own lists have that is made of other columns.
const RECKONED: [&str; 5] = ["total", "total-bulk", "bears", "total-mass", "total-weight"];

pub(super) fn keys(of: SheetOf) -> &'static [Key] {
    match of {
        SheetOf::Equipment => EQUIPMENT,
        SheetOf::Carriers => CARRIERS,
    }
}

/// The names of all keys of a kind of sheet.
pub fn sheet_keys(of: SheetOf) -> impl Iterator<Item = &'static str> {
    keys(of).iter().map(|k| k.name)
}

pub(super) fn find(of: SheetOf, name: &str) -> Option<&'static Key> {
    keys(of).iter().find(|k| k.name == name)
}

pub(super) fn near(of: SheetOf, name: &str) -> Option<&'static str> {
    nearest(name, sheet_keys(of))
}

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

/// What a header says: the key and how sure that is, 0 for its own name and
/// then by its place among the others.
pub(super) fn meant(of: SheetOf, header: &Header) -> Option<(&'static Key, usize)> {
    let same = |word: &str| {
        let (a, b) = (header.word.as_str(), word);
        a == b || a.strip_suffix('s') == Some(b) || b.strip_suffix('s') == Some(a)
    };
    let rank = |key: &Key| {
        if same(key.name) { Some(0) } else { key.words.iter().position(|w| same(w)).map(|p| p + 1) }
    };
    keys(of).iter().filter_map(|k| Some((k, rank(k)?))).min_by_key(|(_, rank)| *rank)
}

pub(super) fn is_reckoned(header: &Header) -> bool {
    RECKONED.contains(&header.word.as_str())
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

    #[test]
    fn every_key_is_meant_by_its_own_name_and_no_other() {
        for of in [SheetOf::Equipment, SheetOf::Carriers] {
            for key in keys(of) {
                let (found, rank) = meant(of, &header(key.name)).unwrap();
                assert_eq!((found.name, rank), (key.name, 0));
                for word in key.words {
                    let found = meant(of, &Header { word: (*word).into(), unit: None }).unwrap().0;
                    assert_eq!(found.name, key.name, "{word}");
                }
            }
        }
    }

    #[test]
    fn what_people_write_is_understood() {
        let key = |text| meant(SheetOf::Equipment, &header(text)).map(|(k, _)| k.name);
        assert_eq!(key("Qty"), Some("held"));
        assert_eq!(key("Quantities"), None);
        assert_eq!(key("Weights (lb)"), Some("mass"));
        assert_eq!(key("Description"), Some("name"));
        assert_eq!(key("Total weight (kg)"), None);
        assert!(is_reckoned(&header("total-bulk (L)")) && is_reckoned(&header("Total mass (kg)")));
    }
}
