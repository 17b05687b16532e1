//! What a plan in JSON says of itself: of which move it is, how good it was,
//! and what it was made under.

use super::{Fault, MOST_BYTES, document, find};
use crate::code::FaultCode;
use crate::diagnostic::{Diagnostic, Diagnostics, Sink, quoted};
use crate::load::{GoalKind, GoalValue, Tolerance};
use crate::plan_json::Goal;
use crate::quantity::{Mass, Percent};
use crate::source::{SourceId, Sources};
use std::path::Path;

/// Who had had units, and how many.
pub type HadBy = Vec<(Option<String>, u32)>;

/// What a plan says of itself. Ids are as written there.
#[derive(Debug, Clone, Default)]
pub struct MadePlan {
    /// Path of the move order, as it was given on the command line.
    pub move_file: Option<String>,
    /// `proven-best`, `within-gap` or `feasible`.
    pub status: String,
    /// Those that could be read, in their order.
    pub goals: Vec<MadeGoal>,
    /// Under which the plan was made.
    pub tolerance: Option<Tolerance>,
    /// What was weighed otherwise than the catalogue says.
    pub weighed: Vec<(String, Mass)>,
    /// Who had dropped out.
    pub without: Vec<String>,
    /// Per item: who had had the units that are used up, and how many. No
    /// carrier stands for the store or what is left.
    pub used_up: Vec<(String, HadBy)>,
}

/// A goal as the plan tells it. Shares are to six decimals.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MadeGoal {
    /// Which goal.
    pub kind: GoalKind,
    /// What the plan has.
    pub value: GoalValue,
    /// The best that was reached.
    pub reached: GoalValue,
    /// What no plan passes.
    pub bound: GoalValue,
}

/// Reads what a plan says of itself.
///
/// # Errors
/// The first thing that makes it no plan of ours, with its place.
pub fn read_made(path: &Path) -> Result<MadePlan, Diagnostics> {
    let mut sources = Sources::default();
    let read = sources.add_file_up_to(path, MOST_BYTES);
    read.and_then(|id| made(&sources, id)).map_err(|d| {
        let mut sink = Sink::default();
        sink.add(*d);
        sink.finish(sources)
    })
}

fn made(sources: &Sources, id: SourceId) -> Result<MadePlan, Fault> {
    let text = sources.get(id).map_or("", |s| s.text.as_str());
    let raw = document(sources, id)?;
    let wrong = |what: String, word| {
        Diagnostic::error(FaultCode::BadPlan, what).at(find(text, id, word), "here").boxed()
    };
    if !matches!(raw.status.as_ref(), "proven-best" | "within-gap" | "feasible") {
        return Err(wrong(format!("{} is no status of a plan", quoted(&raw.status)), "status"));
    }
    let tolerance = match raw.tolerance {
        None => None,
        Some(t) => match t.percent.percent() {
            Some(share) if share <= Percent::WHOLE => Some(Tolerance { share, off: t.off }),
            _ => {
                let what = format!(
                    "{} % is no tolerance; the most is 100 %",
                    quoted(&t.percent.to_string())
                );
                return Err(wrong(what, "tolerance"));
            }
        },
    };
    let (without, used_up) = raw.changes.map_or_else(Default::default, |c| (c.without, c.used_up));
    let used_up = used_up
        .into_iter()
        .map(|u| (u.id, u.from.into_iter().map(|f| (f.carrier, f.count)).collect()));
    let weighed = raw.weighed.into_iter().flat_map(|w| w.differences);
    Ok(MadePlan {
        move_file: raw.move_file,
        status: raw.status.into_owned(),
        goals: raw.goals.iter().filter_map(goal).collect(),
        tolerance,
        weighed: weighed.map(|d| (d.id, d.weighed_g.0)).collect(),
        without,
        used_up: used_up.collect(),
    })
}

/// Nothing, if it is no goal that is known here.
fn goal(raw: &Goal) -> Option<MadeGoal> {
    let kind = GoalKind::any().find(|k| k.word() == raw.name)?;
    let reached = raw.reached.of(&raw.unit)?;
    // Only a proven goal has no gap, and rounding may hide that it is proven.
    let bound = if raw.gap_percent.0 == 0.0 { reached } else { raw.bound.of(&raw.unit)? };
    Some(MadeGoal { kind, value: raw.value.of(&raw.unit)?, reached, bound })
}
