//! The cells of a spreadsheet, whatever they are read for: CSV in every usual
//! separator and encoding, and workbooks (XLSX). What the cells mean is for
//! whoever asked: items and carriers (`sheets`), or counts (`count`).

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
