//! `tumpline split MOVE` after something changed: `--after`, `--without`,
//! `--emptied`, `--weighed`.

use super::args::{AnewArgs, Split};
use super::files::{self, Read};
use super::split::{Reported, causes, possible, report};
use super::{Code, Failure, World, find, interrupt, output, progress, run_split};
use crate::ask::{Changed, NoDropOut, Oracle, Used, UsedTooMuch, may_drop_out, replan};
use crate::kit::{self, Diagnostics, quoted};
use crate::load::{CarrierIx, MoveOrder};
use crate::report::More;
use std::io::Write;
use std::path::Path;

pub(super) fn run(args: &Split, world: &mut World<'_>) -> Result<Code, Failure> {
    possible(args, world)?;
    let colour = world.env.colour(world.colour, world.env.err_is_terminal);
    let mut read = files::read_move(&args.path, colour)?;
    let _ = write!(world.err, "{}", read.warnings);
    read.order = read.order.with_tolerance(args.bear.tolerance());
    let change = change(&args.anew, &mut read, colour, world.err)?;
    output::not_read(args.output.as_deref(), &read.files)?;
    let options = args.search.options();
    let watch = interrupt::watch();
    let show = world.env.can_show() && !args.search.quiet;
    let order = &read.order;
    let answered = progress::during(show, options.time, order.units(), &watch, || {
        replan(order, change, &Oracle::new(&options, &watch))
    });
    let answered = answered.map_err(|short| Failure::Usage(too_few(order, &short)))?;
    if answered.no_base {
        let _ = writeln!(
            world.err,
            "note: the move has no plan as it stands, so there is none to change"
        );
    }
    let (order, answer) = (&answered.order, &answered.answer);
    let why = causes(args, answer, &options, |options| run_split::explain(order, options, show));
    let more = More {
        move_file: args.path.to_str(),
        anew: (!answered.no_base).then_some(&answered),
        brief: args.anew.brief,
        explanation: why.as_ref(),
        ..More::default()
    };
    report(args, world, &Reported { order, answer, more })
}

/// What is asked, each fault with what is allowed.
fn change(
    args: &AnewArgs,
    read: &mut Read,
    colour: bool,
    err: &mut dyn Write,
) -> Result<Changed, Failure> {
    let order = &read.order;
    let mut change = Changed::default();
    for id in &args.without {
        let who = find::carrier(order, id)?;
        may_drop_out(order, who).map_err(|why| Failure::Usage(no_drop_out(order, id, why)))?;
        if change.without.contains(&who) {
            return Err(Failure::Usage(format!("{} drops out once, not twice", quoted(id))));
        }
        change.without.push(who);
    }
    // Together they may be all that a party has.
    for &who in &change.without {
        let party = order.party_of(who).map(|p| order.party(p));
        let stays = |c: &CarrierIx| order.carrier(*c).person().is_some();
        let somebody =
            party.is_some_and(|p| p.who.iter().any(|c| stays(c) && !change.without.contains(c)));
        if let (Some(p), false) = (party, somebody) {
            let what = format!("with all of these out, nobody of {} is left", quoted(&p.id));
            return Err(Failure::Usage(what));
        }
    }
    change.used = args.emptied.iter().map(|text| used(order, text)).collect::<Result<_, _>>()?;
    if let Some(path) = &args.after {
        let plan = kit::read_plan(path, order).map_err(|d| files::failure(&d, colour))?;
        warn(&plan.warnings, colour, err);
        change.packed = Some(plan.packed);
    }
    if let Some(path) = &args.weighed {
        let weighed = kit::read_weighed(path, order).map_err(|d| files::failure(&d, colour))?;
        change.weighed = Some(weighed.masses);
    }
    let more = [&args.after, &args.weighed].into_iter().flatten();
    read.files.extend(more.map(|p: &std::path::PathBuf| Path::to_path_buf(p)));
    Ok(change)
}

fn warn(warnings: &Diagnostics, colour: bool, err: &mut dyn Write) {
    // If standard error is gone, the report remains.
    let _ = write!(err, "{}", files::rendered(warnings, colour));
}

fn no_drop_out(order: &MoveOrder, id: &str, why: NoDropOut) -> String {
    let id = quoted(id);
    let party = |p| quoted(&order.party(p).id);
    match why {
        NoDropOut::Vehicle => format!("{id} is a vehicle; people drop out"),
        NoDropOut::NoParty => format!("{id} goes with no party of the move"),
        NoDropOut::Rides(p) => {
            format!("{id} rides with {} and carries nothing; people on foot drop out", party(p))
        }
        NoDropOut::Last(p) => format!("without {id} nobody of {} is left on foot", party(p)),
    }
}

/// `ITEM=COUNT` or `ITEM=COUNT@CARRIER`.
fn used(order: &MoveOrder, text: &str) -> Result<Used, Failure> {
    let form = || {
        let what = format!(
            "`--emptied` takes an item and how many, as in `meal=2` or `meal=2@ann`, not {}",
            quoted(text)
        );
        Failure::Usage(what)
    };
    let (id, rest) = text.split_once('=').ok_or_else(form)?;
    let (count, by) = match rest.split_once('@') {
        Some((count, by)) => (count, Some(by)),
        None => (rest, None),
    };
    let digits = !count.is_empty() && count.bytes().all(|b| b.is_ascii_digit());
    let count = count.parse().ok().filter(|n: &u32| digits && *n > 0).ok_or_else(form)?;
    let item = find::item(order, id)?;
    let by = by.map(|by| find::carrier(order, by)).transpose()?;
    Ok(Used { item, count, by })
}

fn too_few(order: &MoveOrder, short: &UsedTooMuch) -> String {
    let UsedTooMuch { used, have } = short;
    let item = quoted(&order.item(used.item).id);
    let whose = match used.by {
        Some(c) => format!("{} has", quoted(&order.carrier(c).id)),
        None => "the plan has".into(),
    };
    format!("{} of {item} are said to be used up, {whose} {have}", used.count)
}
