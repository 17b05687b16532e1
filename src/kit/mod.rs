//! Files: equipment, carriers, moves and stores, spreadsheets, and plans in JSON; each
//! format in one place, whether it is read or written.
//!
//! ```text
//! bytes → text        size, UTF-8                         (source, take_in)
//! text  → tree        no aliases, duplicates, depth …;     (vet, tree)
//!                     where every key and value stands
//! tree  → checked     every unknown and missing field      (shape)
//! text  → raw         typed records, still all text        (raw)
//! raw   → domain      every fault of meaning               (lower)
//! ```
//!
//! Whatever is wrong is a [`Diagnostic`] with a [`FaultCode`] and a place; all of
//! one stage are found in one run.

#![deny(missing_docs, unnameable_types)]

// So that `crate::load` is the domain here as everywhere.
use tumpline_core::{load, quantity};

mod case_text;
mod cells;
mod check;
mod code;
mod count;
mod diagnostic;
mod lower;
mod patch;
#[cfg(test)]
mod paths;
mod plan_file;
// What these three have is for `report`, which is in another package, and may be
// another from release to release.
#[doc(hidden)]
pub mod plan_json;
mod raw;
mod read;
mod render;
#[doc(hidden)]
pub mod rule_forms;
mod schema;
mod shape;
mod sheets;
mod source;
mod stock;
mod stores_file;
mod take_in;
mod tidy;
mod tree;
mod vet;
#[doc(hidden)]
pub mod yaml_text;

pub use cells::CellsFrom;
#[cfg(feature = "spreadsheets")]
pub use cells::SHEET_THREAD;
pub use check::{Checked, FileRead, check};
pub use code::FaultCode;
pub use count::{ReadCount, read_count};
pub use diagnostic::{Diagnostic, Diagnostics, Label, MOST_FAULTS, Severity};
// How messages put things, for the command line.
#[doc(hidden)]
pub use diagnostic::{counted, nearest, quoted};
pub use patch::patched;
pub use plan_file::{MadeGoal, MadePlan, ReadPlan, read_made, read_plan};
pub use read::{ReadMove, ReadWeighed, read_move, read_move_text, read_weighed};
pub use render::FaultStyle;
pub use schema::{FileKind, schema};
pub use sheets::{Asked, ColumnUse, Decimal, Imported, Said, SheetOf, import, sheet_keys};
pub use source::{Source, SourceId, Sources, TextSpan};
pub use stock::{ReadStock, read_stock, read_stock_text};
pub use stores_file::{ReadStores, read_stores};
pub use take_in::MOST_BYTES;
pub use tidy::{Tidied, Untidied, tidy, tidy_text};
pub use vet::{MOST_DEPTH, MOST_NODES};
