//! The schemas that editors use: fresh, and of one mind with the reader.
//!
//! To write the committed files anew after a change of the raw types:
//! `TUMPLINE_WRITE_SCHEMAS=1 cargo test --test reading schema::`.

use serde_json::Value;
use std::path::PathBuf;
use tumpline::kit::{self, FileKind};

fn path(kind: FileKind) -> PathBuf {
    let name = format!("kits/schema/{}.schema.json", kind.word());
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(name)
}

#[test]
fn the_committed_schemas_are_fresh() {
    for kind in FileKind::ALL {
        let text = serde_json::to_string_pretty(&kit::schema(kind)).unwrap() + "\n";
        if std::env::var_os("TUMPLINE_WRITE_SCHEMAS").is_some() {
            std::fs::write(path(kind), &text).unwrap();
        }
        let committed = std::fs::read_to_string(path(kind)).unwrap();
        assert!(committed == text, "{} is stale; see the top of this file", path(kind).display());
    }
}

fn accepts(kind: FileKind, yaml: &str) -> bool {
    let schema = kit::schema(kind);
    let value: Value = serde_yaml::from_str(yaml).unwrap();
    jsonschema::draft7::new(&schema).unwrap().is_valid(&value)
}

const EQUIPMENT: &str = "
units: metric
equipment:
  - id: relay-set
    name: VHF relay set
    mass: 9 lb 4 oz
    bulk: 21 L
    held: 1
    carry: [pair, back]
    hands: 2
    pair-shares: [60 %, 40 %]
    keeper: operator
    requires: {power-lead: 1, mallet: shared}
    supplies: {power: 390 Wh, ration: 3}
    uses: {power: 14 W, water: 0.5 L/h}
    contents: {headset: 2}
    tags: [signal]
  - {id: box, mass: 0.5 kg, size: 42 x 31 x 17 cm}
";

const CARRIERS: &str = "
people:
  - {id: a, body-mass: 74 kg, limit: 30 %, worn: 4.1 kg, pack: 65 L, duties: [operator],
     slots: {back: 6, hand: 2}, uses: {water: 0.25 L/h}}
  - {id: b, limit: 20 kg}
vehicles:
  - {id: pickup, payload: 650 kg, bed: 1400 L, seats: 3, hauled: false}
";

const WEIGHED: &str = "
weighed:
  - {id: battery, mass: 4.9 kg}
  - {id: lamp, mass: 1 lb 3 oz}
";

const STORES: &str = "
stores: Hill store
equipment: equipment.yaml
scale: {lamp: 6}
holdings:
  - {id: lamp, held: 5, shelf: 2, issued: {ann: 1, 'hill club': 1}, unserviceable: 1, on-loan: {club: 0}}
  - {id: rope, shelf: 2}
cases:
  - {case: satchel, found: {headset: 1}}
  - {case: trauma-pack 1 / pouch 2, found: {}}
";

const MOVE: &str = "
move: Forward
equipment: equipment.yaml
carriers: {people: [{id: a, limit: 20 kg}]}
parties:
  ridge: {travel: foot, who: [a]}
  road: {travel: vehicle, who: pickup}
stays-with: road
needs:
  ridge:
    - {need: one, item: radio}
    - {need: two, item: {radio: 2}}
    - {need: three, all: [radio, {radio: 2, mast: 1}, {any: [mast, {supply: line, for: 2 h}]}]}
    - {need: four, at-least: 1, of: [radio, mast]}
    - {need: five, supply: line, amount: 350 m, per-person: 2 m, slack: 10 %}
wants:
  ridge: {tarpaulin: 5, lamp: {value: 2, up-to: 3}}
rules:
  - {apart: [a, 'tag:medical']}
  - {together: [a, b]}
  - {at-most: 2, of: [battery], for: [a]}
  - {fixed: bag, to: a, count: 1}
  - {keep-off: bag, from: [a]}
  - {hands-free: 1}
  - {reserve: 10 %, for: a}
goals: [wants, {even: 2 %}]
";

#[test]
fn the_schemas_take_what_the_reader_takes() {
    assert!(accepts(FileKind::Equipment, EQUIPMENT));
    assert!(accepts(FileKind::Carriers, CARRIERS));
    assert!(accepts(FileKind::Move, MOVE));
    assert!(accepts(FileKind::Weighed, WEIGHED));
    assert!(accepts(FileKind::Stores, STORES));
}

#[test]
fn the_schemas_refuse_slips() {
    let slips = [
        (FileKind::Equipment, EQUIPMENT, "mass: 9 lb 4 oz", "mas: 9 kg"),
        (FileKind::Equipment, EQUIPMENT, "9 lb 4 oz", "4,2 kg"),
        (FileKind::Equipment, EQUIPMENT, "9 lb 4 oz", "9"),
        (FileKind::Equipment, EQUIPMENT, "id: relay-set", "id: Relay Set"),
        (FileKind::Equipment, EQUIPMENT, "[pair, back]", "[head]"),
        (FileKind::Equipment, EQUIPMENT, "units: metric", "units: ~"),
        (FileKind::Equipment, EQUIPMENT, "mallet: shared", "mallet: share"),
        (FileKind::Carriers, CARRIERS, "limit: 20 kg", "body-mass: 20 kg"),
        (FileKind::Carriers, CARRIERS, "hauled: false", "hauled: maybe"),
        (FileKind::Weighed, WEIGHED, "4.9 kg", "4.9"),
        (FileKind::Stores, STORES, "shelf: 2,", "shelves: 2,"),
        (FileKind::Stores, STORES, "scale: {lamp: 6}", "scale: {lamp: many}"),
        (FileKind::Stores, STORES, "on-loan: {club: 0}", "on-loan: 0"),
        (FileKind::Stores, STORES, "1 / pouch 2", "1 pouch 2"),
        (FileKind::Stores, STORES, ", shelf: 2}", "}"),
        (FileKind::Weighed, WEIGHED, "mass: 4.9", "weight: 4.9"),
        (FileKind::Move, MOVE, "travel: foot", "travel: walk"),
        (FileKind::Move, MOVE, "item: radio}", "itm: radio}"),
        (FileKind::Move, MOVE, "item: radio}", "item: radio, all: [radio]}"),
        (FileKind::Move, MOVE, "at-least: 1, of", "of"),
        (FileKind::Move, MOVE, ", for: 2 h", ""),
        (FileKind::Move, MOVE, "{any: [mast", "{an: [mast"),
        (FileKind::Move, MOVE, "fixed: bag, to: a", "fixed: bag"),
        (FileKind::Move, MOVE, "{even: 2 %}", "{evn: 2 %}"),
    ];
    for (kind, text, from, to) in slips {
        assert!(text.contains(from), "{from}");
        assert!(!accepts(kind, &text.replacen(from, to, 1)), "{to}");
    }
}

#[test]
fn every_field_is_described() {
    fn walk(value: &Value, path: &str, bare: &mut Vec<String>) {
        if let Some(properties) = value.get("properties").and_then(Value::as_object) {
            for (name, field) in properties {
                let said = field.get("description").is_some() || field.get("$ref").is_some();
                if !said && !path.contains("oneOf") {
                    bare.push(format!("{path}.{name}"));
                }
            }
        }
        match value {
            Value::Object(o) => {
                o.iter().for_each(|(k, v)| walk(v, &format!("{path}/{k}"), bare));
            }
            Value::Array(a) => a.iter().for_each(|v| walk(v, path, bare)),
            _ => {}
        }
    }
    for kind in FileKind::ALL {
        let mut bare = Vec::new();
        walk(&kit::schema(kind), kind.word(), &mut bare);
        assert!(bare.is_empty(), "{bare:?}");
    }
}
