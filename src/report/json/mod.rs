//! JSON for other programs.
//!
//! The same fast move prints the same bytes: keys keep their order, and the
//! one thing that differs from run to run, the time taken, is given in tens of
//! seconds.

mod anew;
mod build;
mod compare;
mod explained;
mod muster;
mod shed;
mod why;

pub(super) use compare::compare;
pub use compare::compare_schema;
pub(super) use muster::muster;
pub use muster::muster_schema;
pub(super) use shed::shed;
pub use shed::shed_schema;

use super::More;
use super::pretty_json::pretty;
use crate::ask::Why;
use crate::kit::plan_json::Document;
use crate::load::MoveOrder;
use crate::split::Answer;
use schemars::JsonSchema;

pub(super) fn render(order: &MoveOrder, answer: &Answer, more: &More) -> String {
    pretty(&build::document(order, answer, more))
}

/// Why an item is where it is, as JSON (see [`why_schema`]), with a line feed at its
/// end.
pub fn why_json(order: &MoveOrder, why: &Why) -> String {
    pretty(&why::Document::new(order, why))
}

/// The JSON Schema (draft-07) of the JSON report, with a line feed at its end.
pub fn plan_schema() -> String {
    schema_of::<Document>()
}

/// The JSON Schema of what [`why_json`] prints.
pub fn why_schema() -> String {
    schema_of::<why::Document>()
}

fn schema_of<T: JsonSchema>() -> String {
    // That we let pass some of it when we read it is nothing to whoever reads it.
    let as_written = |schema: &mut schemars::Schema| {
        schema.remove("readOnly");
        schema.remove("default");
    };
    let settings = schemars::generate::SchemaSettings::draft07()
        .for_serialize()
        .with_transform(schemars::transform::RecursiveTransform(as_written));
    let schema = settings.into_generator().into_root_schema_for::<T>();
    let mut text = serde_json::to_string_pretty(&schema).unwrap_or_default();
    text.push('\n');
    text
}
