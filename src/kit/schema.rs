//! JSON Schemas of the files, for editors. They come from the raw types.

use super::raw::{RawCarriers, RawEquipment, RawMove, RawStores, RawWeighed};
use schemars::generate::SchemaSettings;
use serde_json::Value;

/// The kinds of file in a kit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[non_exhaustive]
pub enum FileKind {
    /// The items of a kit.
    Equipment,
    /// Its people and vehicles.
    Carriers,
    /// A move order.
    Move,
    /// What things weigh by the scales.
    Weighed,
    /// What is in the stores.
    Stores,
}

impl FileKind {
    /// All of them.
    pub const ALL: [FileKind; 5] = [
        FileKind::Equipment,
        FileKind::Carriers,
        FileKind::Move,
        FileKind::Weighed,
        FileKind::Stores,
    ];

    /// As the command line calls it.
    pub fn word(self) -> &'static str {
        match self {
            FileKind::Equipment => "equipment",
            FileKind::Carriers => "carriers",
            FileKind::Move => "move",
            FileKind::Weighed => "weighed",
            FileKind::Stores => "stores",
        }
    }
}

/// The JSON Schema (draft 7) of a kind of file.
pub fn schema(kind: FileKind) -> Value {
    let generator = SchemaSettings::draft07().into_generator();
    let schema = match kind {
        FileKind::Equipment => generator.into_root_schema_for::<RawEquipment>(),
        FileKind::Carriers => generator.into_root_schema_for::<RawCarriers>(),
        FileKind::Move => generator.into_root_schema_for::<RawMove>(),
        FileKind::Weighed => generator.into_root_schema_for::<RawWeighed>(),
        FileKind::Stores => generator.into_root_schema_for::<RawStores>(),
    };
    let mut value = schema.to_value();
    if let Some(object) = value.as_object_mut() {
        object.insert("title".into(), format!("Tumpline {} file", kind.word()).into());
    }
    without_null(&mut value);
    value
}

/// A field that may be left out may not be null: the reader takes no nulls.
fn without_null(value: &mut Value) {
    match value {
        Value::Object(object) => {
            if let Some(Value::Array(kinds)) = object.get_mut("type") {
                kinds.retain(|k| k != "null");
                if let [only] = &kinds[..] {
                    let only = only.clone();
                    object.insert("type".into(), only);
                }
            }
            let mut sole = None;
            if let Some(Value::Array(choices)) = object.get_mut("anyOf") {
                let before = choices.len();
                choices.retain(|c| c.get("type").is_none_or(|t| t != "null"));
                if choices.len() < before && choices.len() == 1 {
                    sole = choices.pop();
                }
            }
            if let Some(sole) = sole {
                object.remove("anyOf");
                // Beside a `$ref` draft 7 reads nothing, so the rest stays apart.
                object.insert("allOf".into(), vec![sole].into());
            }
            object.values_mut().for_each(without_null);
        }
        Value::Array(list) => list.iter_mut().for_each(without_null),
        _ => {}
    }
}
