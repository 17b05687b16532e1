//! A load sheet of a plan in JSON: the plan is matched to its move as it is now
//! and audited again. One that does not hold gets no sheet.

use super::args::Sheet as Asked;
use super::files;
use super::sheet_ready::{Ready, by_scales, weighed};
use super::{Code, Failure, World, output};
use crate::ask::{taken, vary, with_masses};
use crate::kit::{self, MadePlan, quoted};
use crate::load::{CarrierIx, GoalKind, GoalValue, MoveOrder, Plan};
use crate::quantity::Units;
use crate::report::{More, holds, verdict};
use crate::split::{Findings, GoalResult, Planned, Status, audit};
use std::fs::File;
use std::io::Read as _;
use std::path::{Path, PathBuf};
use tumpline_core::text::clean;

const READ: &str = "Read from a plan made before, and audited anew for the move as it is now.";
const AS_OF_THEN: &str = "When the plan was made:";
const CHANGED: &str = "The move has changed since, so how good the plan is, is not known.";

/// Whether the file is a plan and no move order: by how it starts, since a move
/// order may be JSON too, and by its name where that does not tell.
pub(super) fn is_plan(path: &Path) -> bool {
    let ending = |wanted: &[&str]| {
        let ending = path.extension().and_then(|e| e.to_str());
        ending.is_some_and(|e| wanted.iter().any(|w| e.eq_ignore_ascii_case(w)))
    };
    let mut start = Vec::new();
    // What is read of a pipe is gone from it.
    if std::fs::metadata(path).is_ok_and(|m| !m.is_file()) {
        return ending(&["json"]);
    }
    let read = File::open(path).and_then(|f| f.take(4096).read_to_end(&mut start));
    let Ok(_) = read else { return ending(&["json"]) };
    let text = start.strip_prefix(b"\xef\xbb\xbf").unwrap_or(&start);
    let brace = text.iter().find(|b| !b.is_ascii_whitespace()) == Some(&b'{');
    let key = b"\"format_version\"";
    let version = text.windows(key.len()).any(|w| w == key);
    ending(&["json"]) || brace && (version || !ending(&["yaml", "yml"]))
}

/// The plan with its move, or the code of its not holding.
pub(super) fn ready(args: &Asked, world: &mut World<'_>) -> Result<Result<Ready, Code>, Failure> {
    let colour = world.env.colour(world.colour, world.env.err_is_terminal);
    let made = kit::read_made(&args.path).map_err(|d| files::failure(&d, colour))?;
    let mut read = files::read_move(&move_file(args, &made)?, colour)?;
    let _ = write!(world.err, "{}", read.warnings);
    read.files.push(args.path.clone());
    let mut notes = Vec::new();
    let scales = weighed(args, &mut read, colour)?;
    output::not_read(args.output.as_deref(), &read.files)?;
    let order = as_made(read.order, &made, scales, &mut notes);
    let order = order.with_tolerance(args.weights.tolerance().or(made.tolerance));
    let plan = kit::read_plan(&args.path, &order).map_err(|d| files::failure(&d, colour))?;
    let _ = write!(world.err, "{}", files::rendered(&plan.warnings, colour));
    let packed = plan.packed;
    let findings = audit(&order, &packed.before.plan);
    let mut faults: Vec<String> = Vec::new();
    let unknown = packed.lost.iter().map(|(name, _)| name);
    let unknown = unknown.chain(packed.strangers.iter().map(|s| &s.name));
    faults.extend(unknown.map(|name| format!("the move does not know {}", quoted(name))));
    faults.extend(findings.faults.iter().map(|f| f.sentence(&order)));
    if !faults.is_empty() {
        for fault in &faults {
            let _ = writeln!(world.err, "fault: {fault}");
        }
        let _ = writeln!(world.err, "no sheet: the plan does not hold for the move as it is now");
        return Ok(Err(Code::No));
    }
    notes.push(READ.into());
    notes.push(known(&made, &packed.before.plan, &findings, order.units()));
    notes.extend(holds(&order, &More::default()));
    // Its goals may have better plans by now: what was proven then is only reported.
    let (goals, plan) = (Vec::new(), packed.before.plan);
    let planned = Planned { plan, findings, goals, status: Status::Feasible };
    Ok(Ok(Ready { order, planned, stopped: None, notes, code: Code::Ok }))
}

/// Where the move order is: as given, else as the plan says, from here or from
/// where the plan is.
fn move_file(args: &Asked, made: &MadePlan) -> Result<PathBuf, Failure> {
    if let Some(path) = &args.move_file {
        return Ok(path.clone());
    }
    let plan = clean(&args.path.display().to_string());
    let Some(written) = &made.move_file else {
        let what = format!("`{plan}` does not say of which move it is; give that with `--move`");
        return Err(Failure::Usage(what));
    };
    let beside = args.path.parent().unwrap_or(Path::new("")).join(written);
    match [PathBuf::from(written), beside].into_iter().find(|p| p.exists()) {
        Some(path) => Ok(path),
        None => Err(Failure::Unread(format!(
            "error: the move order {} of `{plan}` is not there, neither from the current folder \
             nor from that of the plan; give it with `--move`",
            quoted(written)
        ))),
    }
}

/// The move as it was when the plan was made: by the scales, with what was used
/// up gone, and without those who had dropped out.
fn as_made(
    mut order: MoveOrder,
    made: &MadePlan,
    scales: Option<Vec<(crate::load::ItemIx, crate::quantity::Mass)>>,
    notes: &mut Vec<String>,
) -> MoveOrder {
    let by_plan = made.weighed.iter();
    let by_plan = by_plan.filter_map(|(id, mass)| Some((order.catalogue().find(id)?, *mass)));
    let mut masses: Vec<_> = by_plan.collect();
    for (item, mass) in scales.into_iter().flatten() {
        masses.retain(|(i, _)| *i != item);
        masses.push((item, mass));
    }
    if !masses.is_empty() {
        notes.push(by_scales(&order, &masses));
        order = with_masses(&order, &masses);
    }
    let find = |order: &MoveOrder, id: &str| {
        order.carriers().iter().position(|c| c.id == *id).map(CarrierIx)
    };
    for (id, from) in &made.used_up {
        let Some(item) = order.catalogue().find(id) else { continue };
        let used: u32 = from.iter().fold(0, |sum, (_, n)| sum.saturating_add(*n));
        notes.push(format!("Used up: {used} {}.", order.item(item).name));
        let from: Vec<_> = from
            .iter()
            .map(|(who, n)| (who.as_deref().and_then(|id| find(&order, id)), *n))
            .collect();
        taken(&mut order, item, &from);
    }
    for id in &made.without {
        let gone = find(&order, id);
        if let Some(c) = gone {
            notes.push(format!("Without {}.", order.carrier(c).name));
        }
        let fewer = gone.and_then(|c| vary::without_carrier(&order, c));
        order = fewer.unwrap_or(order);
    }
    order
}

/// How good the plan was known to be when it was made, if its goals are worth
/// now what they were worth then.
fn known(made: &MadePlan, plan: &Plan, findings: &Findings, units: Units) -> String {
    // `changes` is no goal of a move as it is read.
    let then: Vec<_> = made.goals.iter().filter(|g| g.kind != GoalKind::Changes).collect();
    let same = then.len() == findings.goals.len()
        && then
            .iter()
            .zip(&findings.goals)
            .all(|(g, now)| g.kind == now.0 && alike(g.value, now.1));
    if !same {
        return CHANGED.into();
    }
    let goals = made.goals.iter().map(|g| GoalResult {
        goal: g.kind,
        value: g.value,
        reached: g.reached,
        bound: g.bound,
    });
    let status = match made.status.as_str() {
        "proven-best" => Status::ProvenBest,
        "within-gap" => Status::WithinGap,
        _ => Status::Feasible,
    };
    let (plan, findings, goals) = (plan.clone(), findings.clone(), goals.collect());
    let then = verdict(&Planned { plan, findings, goals, status }, units);
    format!("{AS_OF_THEN} {then}")
}

/// Alike as far as a plan tells it: shares to six decimals.
fn alike(then: GoalValue, now: GoalValue) -> bool {
    match (then, now) {
        (GoalValue::Share(then), GoalValue::Share(now)) => {
            (then.ratio() - now.ratio()).abs() < 1e-6
        }
        _ => then == now,
    }
}
