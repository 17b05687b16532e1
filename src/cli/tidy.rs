//! `tumpline tidy PATH…`.

use super::args::Tidy;
use super::{Code, Failure, World};

pub(super) fn run(_args: &Tidy, _world: &mut World<'_>) -> Result<Code, Failure> {
    Err(Failure::Usage("not yet".into()))
}
