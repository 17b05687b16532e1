//! The keys that a column can become, and what people call them in headers.

use super::spelling::Header;
use crate::diagnostic::nearest;

/// What a sheet is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SheetOf {
    /// Of items.
    Equipment,
    /// Of people and vehicles.
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
    /// What else it is called, the likeliest first: folded as by [`fold`](super::spelling::fold).
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
    use super::super::spelling::header;
    use super::*;

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
