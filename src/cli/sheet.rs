//! `tumpline sheet MOVE|PLAN.json`: a plan on paper.

use super::args::{Sheet as Asked, SheetFormat};
use super::files;
use super::sheet_ready::{Ready, by_scales, weighed};
use super::{Code, Failure, World, interrupt, output, progress, run_conditions, run_split};
use super::{sheet_plan, split};
use crate::ask::{Changed, Conditions, Oracle, replan};
use crate::load::{ItemIx, MoveOrder};
use crate::quantity::Mass;
use crate::report::sheet::{Look, Sheet, board, html};
use crate::report::{More, holds};
use crate::split::{Answer, Outcome};

pub(super) fn run(args: &Asked, world: &mut World<'_>) -> Result<Code, Failure> {
    let ready = if sheet_plan::is_plan(&args.path) {
        sheet_plan::ready(args, world)?
    } else {
        of_move(args, world)?
    };
    let ready = match ready {
        Ok(ready) => ready,
        Err(code) => return Ok(code),
    };
    let Ready { order, planned, stopped, notes, code } = &ready;
    let sheet = Sheet { order, planned, stopped: *stopped, notes };
    let text = match args.format {
        SheetFormat::Html => html(&sheet, Look { paper: args.paper.into(), plain: args.plain }),
        SheetFormat::Svg => board(&sheet),
    };
    match &args.output {
        Some(path) => output::replace(path, &text)?,
        None => output::print(world.out, &text)?,
    }
    Ok(*code)
}

/// The plan that `split` would answer, or the code of there being none.
fn of_move(args: &Asked, world: &mut World<'_>) -> Result<Result<Ready, Code>, Failure> {
    if args.move_file.is_some() {
        return Err(Failure::Usage("`--move` goes with a plan in JSON".into()));
    }
    let colour = world.env.colour(world.colour, world.env.err_is_terminal);
    let mut read = files::read_move(&args.path, colour)?;
    let _ = write!(world.err, "{}", read.warnings);
    read.order = read.order.with_tolerance(args.weights.tolerance());
    let weighed = weighed(args, &mut read, colour)?;
    output::not_read(args.output.as_deref(), &read.files)?;
    let show = world.env.can_show() && !args.search.quiet;
    let mut notes = Vec::new();
    let (order, answer) = match weighed {
        None => {
            let options = args.search.options();
            let answer = match read.order.tolerance() {
                None => run_split::solve(&read.order, &options, show),
                Some(_) => {
                    let asked = Conditions::default();
                    run_conditions::solve(&read.order, asked, &options, show).answer
                }
            };
            (read.order, answer)
        }
        Some(masses) => {
            notes.push(by_scales(&read.order, &masses));
            by_weighed(args, &read.order, masses, show)?
        }
    };
    let code = Code::of(&answer);
    let Answer { outcome: Outcome::Plan(planned), stopped, .. } = answer else {
        let _ = split::note(&answer, world.err);
        return Ok(Err(code));
    };
    notes.extend(holds(&order, &More::default()));
    Ok(Ok(Ready { order, planned: *planned, stopped, notes, code }))
}

/// As `split --weighed`: with the fewest changes from the plan by the catalogue.
fn by_weighed(
    args: &Asked,
    order: &MoveOrder,
    masses: Vec<(ItemIx, Mass)>,
    show: bool,
) -> Result<(MoveOrder, Answer), Failure> {
    let options = args.search.options();
    let watch = interrupt::watch();
    let change = Changed { weighed: Some(masses), ..Changed::default() };
    let found = progress::during(show, options.time, order.units(), &watch, || {
        replan(order, change, &Oracle::new(&options, &watch))
    });
    // Nothing is said to be used up, so nothing can be short.
    let found = found.map_err(|_| Failure::Usage("more is used up than there was".into()))?;
    Ok((found.order, found.answer))
}
