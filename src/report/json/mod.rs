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
use crate::ask::Why;
use crate::kit::plan_json::Document;
use crate::load::MoveOrder;
use crate::split::Answer;
use schemars::JsonSchema;
use serde::Serialize;
use tumpline_core::text::acts;

pub(super) fn render(order: &MoveOrder, answer: &Answer, more: &More) -> String {
    pretty(&build::document(order, answer, more))
}

/// Why an item is where it is, as JSON (see [`why_schema`]), with a line feed at its
/// end.
pub fn why_json(order: &MoveOrder, why: &Why) -> String {
    pretty(&why::Document::new(order, why))
}

pub(super) fn pretty(document: &impl Serialize) -> String {
    // Nothing in a document can fail to serialise: no map with odd keys.
    let text = serde_json::to_string_pretty(document).unwrap_or_default();
    let mut out = escape(&text);
    out.push('\n');
    out
}

/// JSON lets DEL, C1 controls and bidi overrides stand in a string; a terminal
/// would act on them. Written as `\u....` the string is the same.
fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if acts(c) && c != '\n' {
            let mut units = [0u16; 2];
            for unit in c.encode_utf16(&mut units) {
                out.push_str(&format!("\\u{unit:04x}"));
            }
        } else {
            out.push(c);
        }
    }
    out
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn escaped_text_reads_back_the_same() {
        let name = "a\u{7f}b\u{9b}c\u{202e}d\u{2028}e\u{e0001}f\n\u{1b}[31m 担架";
        let text = escape(&serde_json::to_string(name).unwrap());
        assert!(!text.chars().any(acts), "{text}");
        assert_eq!(serde_json::from_str::<String>(&text).unwrap(), name);
    }
}
