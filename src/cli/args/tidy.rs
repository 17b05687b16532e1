//! `tumpline tidy`.

use super::CODES;
use clap::Args;
use std::path::PathBuf;

#[derive(Debug, Args)]
#[command(after_long_help = CODES)]
pub(crate) struct Tidy {
    /// Files of a kit, or folders of them
    ///
    /// Of a folder, every `*.yaml` and `*.yml` in it and in the folders inside
    /// it. If any file has a fault, none is changed.
    #[arg(value_name = "PATH", required = true)]
    pub paths: Vec<PathBuf>,

    /// Change nothing; name the files that are not tidy, with code 1 if any
    #[arg(long)]
    pub check: bool,

    /// Change nothing; print what would change as a unified diff
    #[arg(long)]
    pub diff: bool,
}
