//! `tumpline compare MOVE…`: loadouts side by side.

use super::args::Compare;
use super::{Code, Failure, World, files, interrupt, output, progress, vary};
use crate::ask::Oracle;
use crate::ask::compare::{Loadout, loadouts};
use crate::load::MoveOrder;
use crate::report::compare::render;

pub(super) fn run(args: &Compare, world: &mut World<'_>) -> Result<Code, Failure> {
    let env = world.env;
    let mut moves: Vec<(String, MoveOrder)> = Vec::new();
    let mut faults: Vec<Failure> = Vec::new();
    for path in &args.paths {
        match files::read_move(path, env.colour(world.colour, env.err_is_terminal)) {
            Ok(read) => {
                let _ = write!(world.err, "{}", read.warnings);
                output::not_read(args.output.as_deref(), &read.files)?;
                moves.push((read.order.name().to_string(), read.order));
            }
            Err(fault) => faults.push(fault),
        }
    }
    // Every faulty file is reported; the last one as the failure itself.
    if let Some(last) = faults.pop() {
        faults.iter().for_each(|f| drop(writeln!(world.err, "{f}")));
        return Err(last);
    }
    let varied = varied(&args.vary, &moves)?;
    moves.splice(1..1, varied);
    let to_file = args.output.is_some();
    let style = env.style(world.colour, args.looks.ascii, args.looks.width, to_file);
    let (options, watch) = (args.search.options(), interrupt::watch());
    let show = env.can_show() && !args.search.quiet;
    let units = moves.first().map(|(_, order)| order.units()).unwrap_or_default();
    let found = progress::during(show, options.time, units, &watch, || {
        loadouts(moves, &Oracle::new(&options, &watch))
    });
    let text = render(&found, args.format.into(), &style);
    output::put(world, args.output.as_ref(), &text)?;
    Ok(code(&found))
}

/// The first move with each set of changes. All that is wrong is reported at once.
fn varied(
    texts: &[String],
    moves: &[(String, MoveOrder)],
) -> Result<Vec<(String, MoveOrder)>, Failure> {
    let Some((_, first)) = moves.first() else { return Ok(Vec::new()) };
    let (mut varied, mut wrong) = (Vec::new(), Vec::new());
    for text in texts {
        match vary::read(text, first) {
            Ok(order) => varied.push((format!("{}: {}", first.name(), text.trim()), order)),
            Err(told) => wrong.extend(told),
        }
    }
    if wrong.is_empty() {
        return Ok(varied);
    }
    Err(Failure::Usage(wrong.join("\nerror: ")))
}

fn code(found: &[Loadout]) -> Code {
    if found.iter().any(Loadout::cut_short) {
        Code::Limit
    } else if found.iter().all(|l| l.planned().is_none()) {
        Code::No
    } else {
        Code::Ok
    }
}
