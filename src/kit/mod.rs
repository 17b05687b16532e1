//! Reading kit files: equipment, carriers and moves.
//!
//! ```text
//! bytes → text        size, UTF-8                         (source)
//! text  → tree        no aliases, duplicates, depth …;     (vet, tree)
//!                     where every key and value stands
//! tree  → checked     every unknown and missing field      (shape)
//! text  → raw         typed records, still all text        (raw)
//! raw   → domain      every fault of meaning               (lower)
//! ```
//!
//! Whatever is wrong is a [`Diagnostic`] with a [`Code`] and a place; all of
//! one stage are found in one run.

mod check;
mod code;
mod diagnostic;
mod lower;
#[cfg(test)]
mod paths;
mod plan_file;
mod raw;
mod read;
mod render;
mod schema;
mod shape;
mod source;
mod tidy;
mod tree;
mod vet;
mod written;

pub use check::{Checked, FileRead, check};
pub use code::Code;
pub use diagnostic::{Diagnostic, Diagnostics, Label, MOST_FAULTS, Severity, nearest, quoted};
pub use plan_file::{ReadPlan, read_plan};
pub use read::{ReadMove, ReadWeighed, read_move, read_move_text, read_weighed};
pub use render::Style;
pub use schema::{FileKind, schema};
pub use source::{MOST_BYTES, Source, SourceId, Sources, Span};
pub use tidy::{Tidied, Untidied, tidy, tidy_text};
pub use vet::{MOST_DEPTH, MOST_NODES};
pub use written::written;
