//! What a file has to look like, and the check that it does.
//!
//! The shapes come from the raw types themselves, so that fields, reader,
//! schema and messages cannot drift apart. The check finds every unknown,
//! missing and misplaced field in one run; the typed reader would stop at the
//! first.

use super::code::FaultCode;
use super::diagnostic::{Diagnostic, Sink, did_you_mean, one_of, quoted};
use super::tree::{At, Kind};

/// A type that can be read from a file.
pub(super) trait Shaped {
    /// Whether a record must give it.
    const REQUIRED: bool = true;
    fn shape() -> Shape;
}

impl<T: Shaped> Shaped for Option<T> {
    const REQUIRED: bool = false;
    fn shape() -> Shape {
        T::shape()
    }
}

impl<T: Shaped> Shaped for Vec<T> {
    fn shape() -> Shape {
        Shape { text: None, list: Some(T::shape), map: None, what: "a list" }
    }
}

/// Which kinds of value may stand somewhere.
pub(super) struct Shape {
    /// What the text says, if a text may stand here.
    pub text: Option<&'static str>,
    /// The shape of each entry, if a list may.
    pub list: Option<fn() -> Shape>,
    /// What a mapping holds, if one may.
    pub map: Option<Map>,
    /// All of it in words, with an article.
    pub what: &'static str,
}

pub(super) enum Map {
    /// Fixed fields.
    Record(&'static Record),
    /// Any keys, all values alike.
    Entries(fn() -> Shape),
    /// Items with counts, unless one of these keys makes it a record.
    Either(&'static Record, &'static [&'static str], fn() -> Shape),
}

pub(super) struct Record {
    /// In words, with an article: `an item`.
    pub noun: &'static str,
    pub fields: &'static [Field],
}

pub(super) struct Field {
    /// As in the source of the raw type; see [`Field::name`].
    pub ident: &'static str,
    pub required: bool,
    pub shape: fn() -> Shape,
}

impl Field {
    /// As in the file.
    pub fn name(&self) -> String {
        self.ident.trim_start_matches("r#").replace('_', "-")
    }
}

/// Defines a raw record with its reader, its schema and its shape.
macro_rules! record {
    ($(#[$meta:meta])* $name:ident, $noun:literal {
        $($(#[$field_meta:meta])* $field:ident: $type:ty,)*
    }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, serde::Deserialize, schemars::JsonSchema)]
        #[serde(rename_all = "kebab-case", deny_unknown_fields)]
        pub struct $name { $($(#[$field_meta])* pub $field: $type,)* }

        impl $name {
            pub(crate) const RECORD: &'static $crate::shape::Record =
                &$crate::shape::Record {
                    noun: $noun,
                    fields: &[$($crate::shape::Field {
                        ident: stringify!($field),
                        required: <$type as $crate::shape::Shaped>::REQUIRED,
                        shape: <$type as $crate::shape::Shaped>::shape,
                    },)*],
                };
        }

        impl $crate::shape::Shaped for $name {
            fn shape() -> $crate::shape::Shape {
                $crate::shape::Shape {
                    text: None,
                    list: None,
                    map: Some($crate::shape::Map::Record(Self::RECORD)),
                    what: $noun,
                }
            }
        }
    };
}
pub(super) use record;

/// Checks a value and all below it. The depth is capped by the vetting pass.
pub(super) fn check(at: At<'_>, shape: &Shape, sink: &mut Sink) {
    let Some(kind) = at.kind() else { return };
    match (kind, shape.text, shape.list, &shape.map) {
        (Kind::Scalar(_), Some(_), _, _) => {}
        (Kind::List(_), _, Some(entry), _) => check_entries(at, &entry(), sink),
        (Kind::Map(..), _, _, Some(Map::Record(record))) => check_record(at, record, sink),
        (Kind::Map(..), _, _, Some(Map::Entries(entry))) => check_entries(at, &entry(), sink),
        (Kind::Map(..), _, _, Some(Map::Either(record, heads, entry))) => {
            if heads.iter().any(|h| at.has(h)) {
                check_record(at, record, sink);
            } else if let Some(slip) = slip(at, heads, &entry()) {
                sink.add(slip);
            } else {
                check_entries(at, &entry(), sink);
            }
        }
        _ => sink.fault(|| {
            let given = match kind {
                Kind::Scalar(t) => quoted(t),
                Kind::List(_) => "a list".into(),
                Kind::Map(..) => "a mapping".into(),
            };
            let whose = at.key().map_or("this".into(), quoted);
            let what = format!("{whose} has to be {}, not {given}", shape.what);
            Diagnostic::error(FaultCode::WrongKind, what)
                .at(at.span(), format!("{} is wanted here", shape.what))
        }),
    }
}

fn check_entries(at: At<'_>, entry: &Shape, sink: &mut Sink) {
    for child in at.children() {
        check(child, entry, sink);
    }
}

/// A mapping of counts that holds a list is a record with a misspelt key.
fn slip(at: At<'_>, heads: &[&'static str], entry: &Shape) -> Option<Diagnostic> {
    let child = at.children().find(|c| match c.kind() {
        Some(Kind::List(_)) => entry.list.is_none(),
        Some(Kind::Map(..)) => entry.map.is_none(),
        _ => false,
    })?;
    let key = child.key().unwrap_or("");
    let allowed = heads.iter().copied().filter(|h| *h != "need");
    let d = Diagnostic::error(FaultCode::UnknownField, format!("unknown word {}", quoted(key)))
        .at(child.key_span(), "a list or mapping cannot follow this")
        .maybe_help(did_you_mean(key, allowed.clone()))
        .help(format!("allowed here: {}, or items with counts", one_of(allowed)));
    Some(d)
}

fn check_record(at: At<'_>, record: &Record, sink: &mut Sink) {
    let names: Vec<String> = record.fields.iter().map(Field::name).collect();
    for child in at.children() {
        let key = child.key().unwrap_or("");
        match record.fields.iter().zip(&names).find(|(_, n)| *n == key) {
            Some((field, _)) => check(child, &(field.shape)(), sink),
            None => sink.fault(|| {
                let all = names.iter().map(String::as_str);
                let what = format!("{} has no field {}", record.noun, quoted(key));
                Diagnostic::error(FaultCode::UnknownField, what)
                    .at(child.key_span(), "unknown field")
                    .maybe_help(did_you_mean(key, all.clone()))
                    .help(format!("allowed here: {}", one_of(all)))
            }),
        }
    }
    for (field, name) in record.fields.iter().zip(&names) {
        if field.required && !at.has(name) {
            sink.fault(|| {
                // A thing with an id is called by it, and pointed at there.
                let id = at.has("id").then(|| at.get("id"));
                let noun = match id.and_then(At::text) {
                    Some(id) => {
                        let bare = record.noun.split_once(' ').map_or("", |(_, noun)| noun);
                        format!("the {bare} {}", quoted(id))
                    }
                    None => record.noun.to_string(),
                };
                let what = format!("{noun} needs the field {}", quoted(name));
                Diagnostic::error(FaultCode::MissingField, what)
                    .at(id.unwrap_or(at).span(), format!("no {} here", quoted(name)))
            });
        }
    }
}
