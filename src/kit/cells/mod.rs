//! The cells of a spreadsheet, whatever they are read for: CSV in every usual
//! separator and encoding, and workbooks (XLSX). What the cells mean is for
//! whoever asked: items and carriers (`sheets`), or counts (`count`).
//!
//! A workbook is anybody's file and its reader somebody else's. `unzip.rs` unfolds
//! every part once, counting what comes out, and refuses announced sizes that the
//! reader would make room for; cells come one by one, never as a rectangle, since
//! one cell at the far corner would be a rectangle of 17 billion; and all of it
//! runs in a thread of its own ([`SHEET_THREAD`]) where a panic is caught.
//!
//! The feature `spreadsheets` (on by default) adds workbooks and 29 crates, 154 in
//! all instead of 125; CSV works without. The release binary with it has 75.6 MB,
//! 12.1 MB without its line tables.

mod csv;
mod grid;
mod open;
#[cfg(feature = "spreadsheets")]
mod unzip;
#[cfg(feature = "spreadsheets")]
mod xlsx;

pub(crate) use grid::{Cell, Content, Grid, Row, decimal, letters, trimmed};
pub(crate) use open::open;
#[cfg(feature = "spreadsheets")]
pub use xlsx::SHEET_THREAD;

/// How the cells of a file are to be read, where the file itself does not tell.
#[derive(Debug, Clone, Default)]
pub struct CellsFrom {
    /// The sheet of a workbook with several.
    pub sheet: Option<String>,
    /// What parts the cells of a CSV file.
    pub separator: Option<u8>,
    /// Bytes of a CSV file are Windows-1252 and not UTF-8.
    pub western: bool,
}

/// The most that is read of a table.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Most {
    pub rows: usize,
    pub columns: usize,
    pub cells: usize,
}

impl Most {
    /// In words, for help.
    fn told(self) -> String {
        format!("at most {} rows and {} columns are read", self.rows, self.columns)
    }
}
