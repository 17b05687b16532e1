//! Where the commands meet the reader of the files.

use super::exit::Failure;
use crate::kit::{self, Diagnostics, Style};
use crate::load::MoveOrder;
use std::path::Path;

/// The move order in a file, and warnings, rendered for the terminal.
pub(super) fn read_move(path: &Path, colour: bool) -> Result<(MoveOrder, String), Failure> {
    match kit::read_move(path) {
        Ok(read) => Ok((read.order, rendered(&read.warnings, colour))),
        Err(faults) => Err(failure(&faults, colour)),
    }
}

/// Faults as a failure: of the file system if it alone is at fault.
pub(super) fn failure(faults: &Diagnostics, colour: bool) -> Failure {
    let text = rendered(faults, colour);
    if faults.only_io() { Failure::Unread(text) } else { Failure::Input(text) }
}

pub(super) fn rendered(diagnostics: &Diagnostics, colour: bool) -> String {
    diagnostics.render(if colour { Style::Styled } else { Style::Plain })
}
