//! `tumpline check PATH…`: every fault in the files, and no answer.

use super::args::Check;
use super::{Code, Failure, World, files, output};
use crate::report::clean;

/// Goes on after a fault, so that one run tells about every file. The worst
/// code wins: a file that cannot be read over one that is wrong.
pub(super) fn run(args: &Check, world: &mut World<'_>) -> Result<Code, Failure> {
    let colour = world.env.colour(world.colour, world.env.err_is_terminal);
    let mut worst = Code::Ok;
    for path in &args.paths {
        match files::check(path, colour) {
            Ok(()) => {
                let path = clean(&path.display().to_string());
                output::print(world.out, &format!("{path}: in order\n"))?;
            }
            Err(failure) => {
                // If standard error is gone, the exit code still tells.
                let _ = writeln!(world.err, "{failure}");
                if worst != Code::Io {
                    worst = failure.code();
                }
            }
        }
    }
    Ok(worst)
}
