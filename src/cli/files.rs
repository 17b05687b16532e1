//! Where the commands meet the reader of the files.

use super::args::SchemaKind;
use super::exit::Failure;
use crate::load::MoveOrder;
use std::path::Path;

fn absent() -> Failure {
    Failure::Usage("the reader of the files is not part of this build".into())
}

pub(super) fn read_move(_path: &Path, _colour: bool) -> Result<MoveOrder, Failure> {
    Err(absent())
}

pub(super) fn check(_path: &Path, _colour: bool) -> Result<(), Failure> {
    Err(absent())
}

pub(super) fn schema(_kind: SchemaKind) -> Result<String, Failure> {
    Err(absent())
}
