//! `tumpline tidy PATH…`: files in order, in place; or what would change.

use super::args::Tidy;
use super::{Code, Failure, World, files, output};
use crate::kit::{self, Tidied, Untidied};
use similar::TextDiff;
use std::path::Path;
use tumpline_core::text::clean;

pub(super) fn run(args: &Tidy, world: &mut World<'_>) -> Result<Code, Failure> {
    let colour = world.env.colour(world.colour, world.env.err_is_terminal);
    let all = kit::tidy(&args.paths).map_err(|why| match why {
        Untidied::Faults(faults) => files::failure(&faults, colour),
        Untidied::Bug(path, what) => {
            Failure::Bug(format!("{}: {what}; the file is as it was", named(&path)))
        }
    })?;
    let changed: Vec<&Tidied> = all.iter().filter(|t| t.changed()).collect();
    let keep = args.check || args.diff;
    let mut said = String::new();
    for tidied in &changed {
        if !keep {
            output::replace(&tidied.path, &tidied.new)?;
        }
        match (args.diff, keep) {
            (true, _) => said.push_str(&diff(tidied, world.env.out_is_terminal)),
            (false, true) => said.push_str(&format!("not tidy: {}\n", named(&tidied.path))),
            (false, false) => said.push_str(&format!("changed: {}\n", named(&tidied.path))),
        }
    }
    if !args.diff {
        let (n, of) = (changed.len(), all.len());
        let files = if of == 1 { "file" } else { "files" };
        let what = if keep { "not tidy" } else { "changed" };
        said.push_str(&format!("{n} of {of} {files} {what}\n"));
    }
    output::page(world, &said)?;
    Ok(if args.check && !changed.is_empty() { Code::No } else { Code::Ok })
}

fn named(path: &Path) -> String {
    clean(&path.display().to_string())
}

/// A unified diff. On a terminal nothing of it can act; elsewhere it is exact.
fn diff(tidied: &Tidied, terminal: bool) -> String {
    let name = named(&tidied.path);
    let diff = TextDiff::from_lines(&tidied.old, &tidied.new);
    let text = diff.unified_diff().context_radius(3).header(&name, &name).to_string();
    if !terminal {
        return text;
    }
    let line = |l: &str| format!("{}\n", clean(l.trim_end_matches('\r')));
    text.split_terminator('\n').map(line).collect()
}
