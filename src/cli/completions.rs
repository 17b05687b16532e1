//! `tumpline completions SHELL`.

use super::args::{Cli, Completions};
use super::{Code, Failure, World, output};
use clap::CommandFactory;

pub(super) fn run(args: &Completions, world: &mut World<'_>) -> Result<Code, Failure> {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut Cli::command(), "tumpline", &mut script);
    output::print(world.out, &script)?;
    Ok(Code::Ok)
}
