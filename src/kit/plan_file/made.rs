//! What a plan in JSON says of itself: of which move it is, how good it was,
//! and what it was made under.

use super::raw::{Milligrams, RawVersion};
use super::{Fault, MOST_BYTES, find, no_plan, of_version, refused_status};
use crate::code::Code;
use crate::diagnostic::{Diagnostic, Diagnostics, Sink, quoted};
use crate::load::{GoalKind, GoalValue, Share, Tolerance};
use crate::quantity::{Mass, Percent};
use crate::source::{SourceId, Sources};
use serde::Deserialize;
use serde_json::Number;
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
    pub kind: GoalKind,
    pub value: GoalValue,
    pub reached: GoalValue,
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

#[derive(Deserialize)]
struct RawMade {
    #[serde(default)]
    move_file: Option<String>,
    status: String,
    #[serde(default)]
    goals: Vec<RawGoal>,
    #[serde(default)]
    tolerance: Option<RawTolerance>,
    #[serde(default)]
    weighed: Option<RawWeighed>,
    #[serde(default)]
    changes: Option<RawChanges>,
}

#[derive(Deserialize)]
struct RawGoal {
    name: String,
    unit: String,
    value: Option<Number>,
    reached: Option<Number>,
    bound: Option<Number>,
    gap_percent: Number,
}

#[derive(Deserialize)]
struct RawTolerance {
    percent: Number,
    off: Option<u32>,
}

#[derive(Deserialize)]
struct RawWeighed {
    differences: Vec<RawDifference>,
}

#[derive(Deserialize)]
struct RawDifference {
    id: String,
    weighed_g: Milligrams,
}

#[derive(Deserialize)]
struct RawChanges {
    without: Vec<String>,
    used_up: Vec<RawUsed>,
}

#[derive(Deserialize)]
struct RawUsed {
    id: String,
    from: Vec<RawFrom>,
}

#[derive(Deserialize)]
struct RawFrom {
    carrier: Option<String>,
    count: u32,
}

fn made(sources: &Sources, id: SourceId) -> Result<MadePlan, Fault> {
    let text = sources.get(id).map_or("", |s| s.text.as_str());
    let version: RawVersion = serde_json::from_str(text).map_err(|e| no_plan(sources, id, &e))?;
    of_version(text, id, &version)?;
    let raw: RawMade = serde_json::from_str(text).map_err(|e| no_plan(sources, id, &e))?;
    refused_status(text, id, &raw.status)?;
    let wrong = |what: String, word| {
        Diagnostic::error(Code::BadPlan, what).at(find(text, id, word), "here").boxed()
    };
    if !matches!(raw.status.as_str(), "proven-best" | "within-gap" | "feasible") {
        return Err(wrong(format!("{} is no status of a plan", quoted(&raw.status)), "status"));
    }
    let tolerance = match raw.tolerance {
        None => None,
        Some(t) => match format!("{} %", t.percent).parse::<Percent>() {
            Ok(share) if share <= Percent::WHOLE => Some(Tolerance { share, off: t.off }),
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
        status: raw.status,
        goals: raw.goals.iter().filter_map(goal).collect(),
        tolerance,
        weighed: weighed.map(|d| (d.id, Mass::from_mg(d.weighed_g.0))).collect(),
        without,
        used_up: used_up.collect(),
    })
}

/// Nothing, if it is no goal that is known here.
fn goal(raw: &RawGoal) -> Option<MadeGoal> {
    let kinds = GoalKind::ALL.into_iter().chain([GoalKind::Changes]);
    let kind = kinds.into_iter().find(|k| k.word() == raw.name)?;
    let value = |number: &Option<Number>| {
        let number = number.as_ref()?;
        match raw.unit.as_str() {
            "points" => number.as_u64().map(GoalValue::Points),
            "count" => number.as_u64().map(GoalValue::Count),
            "g" => format!("{number} g").parse().ok().map(GoalValue::Mass),
            "share" => {
                let millionths = (number.as_f64()? * 1e6).round();
                let load = Mass::from_mg(millionths as u64);
                Some(GoalValue::Share(Share { load, limit: Mass::from_mg(1_000_000) }))
            }
            _ => None,
        }
    };
    let reached = value(&raw.reached)?;
    // Only a proven goal has no gap, and rounding may hide that it is proven.
    let proven = raw.gap_percent.as_f64() == Some(0.0);
    let bound = if proven { reached } else { value(&raw.bound)? };
    Some(MadeGoal { kind, value: value(&raw.value)?, reached, bound })
}
