//! Where the commands meet the reader of the files.

use super::exit::Failure;
use crate::kit::{self, Diagnostics, FaultStyle};
use crate::load::MoveOrder;
use std::path::{Path, PathBuf};

/// A move order, and what else came of reading it.
pub(super) struct Read {
    pub order: MoveOrder,
    /// Warnings, rendered for the terminal.
    pub warnings: String,
    /// Every file read, the move order first.
    pub files: Vec<PathBuf>,
}

/// Reads the move order in a file, and the files that it names.
pub(super) fn read_move(path: &Path, colour: bool) -> Result<Read, Failure> {
    match kit::read_move(path) {
        Ok(read) => Ok(Read {
            order: read.order,
            warnings: rendered(&read.warnings, colour),
            files: read.sources.iter().map(|s| PathBuf::from(&s.name)).collect(),
        }),
        Err(faults) => Err(failure(&faults, colour)),
    }
}

/// Faults as a failure: of the file system if it alone is at fault. Where there
/// are many, the last line says how many: it is what a terminal shows.
pub(super) fn failure(faults: &Diagnostics, colour: bool) -> Failure {
    let mut text = rendered(faults, colour);
    if faults.errors() > 1 {
        text.push_str(&format!("\n{} errors in all", faults.errors()));
    }
    if faults.only_io() { Failure::Unread(text) } else { Failure::Input(text) }
}

pub(super) fn rendered(diagnostics: &Diagnostics, colour: bool) -> String {
    diagnostics.render(if colour { FaultStyle::Styled } else { FaultStyle::Plain })
}
