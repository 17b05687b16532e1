//! `tumpline check PATH…`: what is in the files, every fault, and no answer.

use super::args::Check;
use super::{Code, Failure, World, files, output};
use crate::kit;

/// What was read goes to standard output, what is wrong with it to the other;
/// a file with faults is named on both.
pub(super) fn run(args: &Check, world: &mut World<'_>) -> Result<Code, Failure> {
    let checked = kit::check(&args.paths);
    let read: String = checked.files.iter().map(|file| format!("{file}\n")).collect();
    output::page(world, &read)?;
    let colour = world.env.colour(world.colour, world.env.err_is_terminal);
    if checked.diagnostics.errors() > 0 {
        return Err(files::failure(&checked.diagnostics, colour));
    }
    // Warnings alone: if standard error is gone, the exit code still tells.
    let _ = write!(world.err, "{}", files::rendered(&checked.diagnostics, colour));
    Ok(Code::Ok)
}
