//! How good a plan is known to be, what ended the search, and what to do where
//! that is not enough: in words, once for all reports.

use super::words::{goal_value, percent, plural};
use crate::load::{GoalKind, GoalValue, Measure};
use crate::quantity::Units;
use crate::split::{Answer, GoalResult, Outcome, Planned, Status, Stop};
use std::time::Duration;
use tumpline_core::sentence::fill;

/// Times that are advised, in seconds: those that people say.
const TIMES: [u64; 10] = [10, 20, 30, 60, 120, 300, 600, 1_200, 1_800, 3_600];

/// Gaps that are advised, in percent.
const GAPS: [u32; 6] = [1, 2, 5, 10, 20, 50];

/// Shorter than this, a tenth of a second makes a difference.
const TENTHS: Duration = Duration::from_secs(3);

/// How good the plan is, and which goals ended off what they had reached.
pub(crate) fn verdict(planned: &Planned, units: Units) -> String {
    let gave: Vec<String> =
        planned.goals.iter().filter(|g| gave_way(g)).map(|g| format!("`{}`", g.goal)).collect();
    let known = known(planned, units);
    match gave.is_empty() {
        true => known,
        false => format!("{known} Then {} gave way, as the move allows.", gave.join(" and ")),
    }
}

fn known(planned: &Planned, units: Units) -> String {
    match planned.status {
        Status::ProvenBest => {
            "Proven best: no plan does better on these goals in this order.".into()
        }
        Status::WithinGap => match worst_gap(planned) {
            Some(gap) => {
                let gap = percent(gap);
                format!("Good enough as asked: every goal came within {gap} of the best possible.")
            }
            None => {
                "Good enough as asked: every goal came within the gap that was asked for.".into()
            }
        },
        Status::Feasible => {
            let open = open(planned, units);
            match open.is_empty() {
                true => "It works, but a better plan may exist.".into(),
                false => format!("It works, but a better plan may exist: {}.", open.join("; ")),
            }
        }
    }
}

/// In percent, of the goals that are not proven.
fn worst_gap(planned: &Planned) -> Option<f64> {
    let open = planned.goals.iter().filter(|g| !g.proven());
    open.map(GoalResult::gap_percent).max_by(f64::total_cmp)
}

/// What the plan has of each goal that is not proven, and what may be possible.
pub(super) fn open(planned: &Planned, units: Units) -> Vec<String> {
    let open = planned.goals.iter().filter(|g| !g.proven());
    open.map(|g| format!("{}, and {}", has(g, units), possible(g, units))).collect()
}

/// `12 things are away from their keeper`.
fn has(g: &GoalResult, units: Units) -> String {
    let value = goal_value(g.value, units);
    let one = matches!(g.value, GoalValue::Count(1));
    fill(g.goal.words().has, |_| value.clone(), |_| one)
}

/// `as few as 9 may be possible`: the bound, in words.
pub(super) fn possible(g: &GoalResult, units: Units) -> String {
    let bound = goal_value(g.bound, units);
    // Too near each other to differ as they are printed.
    if bound == goal_value(g.value, units) {
        let less = if g.goal.up() { "more" } else { "less" };
        return format!("up to {} {less} may be possible", percent(g.gap_percent()));
    }
    let most = match g.goal.measure() {
        Measure::Points => "up to",
        Measure::Mass | Measure::Share => "as little as",
        Measure::Count => "as few as",
    };
    format!("{most} {bound} may be possible")
}

/// What a goal had before it gave some of it up for the goals after it.
pub(super) fn goal_gave_way(g: &GoalResult, units: Units) -> Option<String> {
    let reached = goal_value(g.reached, units);
    gave_way(g).then(|| format!("had reached {reached}, then gave way to later goals"))
}

/// Whether the plan ended worse on the goal than it had been. (Where a later
/// goal happened to better it, there is nothing to tell.)
fn gave_way(g: &GoalResult) -> bool {
    let (value, reached) = (g.value.number(), g.reached.number());
    if g.goal.up() { value < reached } else { value > reached }
}

/// What ended the search early, if anything did, and what to do about a plan
/// that is not settled.
pub(super) fn stopped(answer: &Answer) -> Option<String> {
    let stop = answer.stopped?;
    let took = told(answer.elapsed);
    let ended = match stop {
        Stop::Deadline => format!("Stopped for want of time, after {took}."),
        Stop::Interrupt => format!("Stopped on request, after {took}."),
        Stop::Unsettled => format!("The search ended by itself, after {took}."),
    };
    Some(match &answer.outcome {
        Outcome::Plan(planned) => {
            format!("{ended} {}", advice(stop, planned, Some(answer.elapsed)))
        }
        Outcome::NoPlan(_) | Outcome::NoneFound => ended,
    })
}

/// The same without a clock, for what must be the same bytes each time.
pub(super) fn stopped_whenever(stop: Stop, planned: &Planned) -> String {
    let ended = match stop {
        Stop::Deadline => "The search was stopped for want of time.",
        Stop::Interrupt => "The search was stopped on request.",
        Stop::Unsettled => "The search ended by itself.",
    };
    format!("{ended} {}", advice(stop, planned, None))
}

/// What may settle a plan that was stopped short of what was asked.
fn advice(stop: Stop, planned: &Planned, elapsed: Option<Duration>) -> String {
    match (stop, elapsed) {
        (Stop::Deadline, Some(took)) => format!("For more of it, add `--time {}`.", longer(took)),
        (Stop::Deadline, None) => "For more of it, give a longer `--time`.".into(),
        (Stop::Interrupt, _) => "Left to run, it may find better.".into(),
        (Stop::Unsettled, _) => {
            let ways = [give(planned), gap(planned)].into_iter().flatten().collect::<Vec<_>>();
            let ways = match ways.is_empty() {
                true => "loosen a rule, a need or a limit".into(),
                false => ways.join(", or "),
            };
            format!("More time will hardly help. What may: {ways}.")
        }
    }
}

/// A goal that leaves room for those after it makes them easier to settle.
fn give(planned: &Planned) -> Option<String> {
    let first = planned.goals.iter().position(|g| !g.proven())?;
    let measured = |k: &GoalKind| matches!(k.measure(), Measure::Mass | Measure::Share);
    let before = planned.goals[..first].iter().map(|g| g.goal).rfind(measured)?;
    Some(format!("let `{before}` give a little, as in `{{{before}: 1 %}}` under `goals`"))
}

/// A gap that the plan keeps as it is.
fn gap(planned: &Planned) -> Option<String> {
    let worst = worst_gap(planned)?;
    let gap = GAPS.into_iter().find(|g| f64::from(*g) >= worst)?;
    Some(format!("ask for less with `--gap {gap}%`"))
}

/// That there is no plan, that it is no proof, and what to try.
pub(super) fn none_found(answer: &Answer) -> [String; 3] {
    let loosen = "loosen a rule, a need or a limit";
    let advice = match answer.stopped {
        Some(Stop::Unsettled) => format!("More time will hardly help: {loosen}."),
        Some(Stop::Interrupt) => format!("Let it run on, or {loosen}."),
        _ => format!("Give it more time, as in `--time {}`, or {loosen}.", longer(answer.elapsed)),
    };
    [NONE_FOUND.into(), NO_PROOF.into(), advice]
}

pub(super) const NONE_FOUND: &str = "No plan was found.";
pub(super) const NO_PROOF: &str = "That is no proof that none exists.";

/// Where several searches had a share of the time each.
pub(super) const MORE_OR_LOOSER: &str =
    "Give it more time, as in `--time 60s`, or loosen a rule, a need or a limit.";

/// Several times what it took, as an argument: `60s`, `5min`.
pub(super) fn longer(took: Duration) -> String {
    let least = took.as_secs().saturating_mul(4);
    match TIMES.into_iter().find(|t| *t >= least.max(1)) {
        Some(s) if s < 120 => format!("{s}s"),
        Some(s) => format!("{}min", s / 60),
        None => format!("{}min", least.div_ceil(3_600).saturating_mul(60)),
    }
}

/// A time as it is true: tenths where a second is much.
fn told(took: Duration) -> String {
    let tenths = (took.as_millis() + 50) / 100;
    match tenths {
        0 => "less than 0.1 seconds".into(),
        n if took < TENTHS && n % 10 != 0 => format!("{}.{} seconds", n / 10, n % 10),
        n if took < TENTHS => plural((n / 10) as usize, "second", "seconds"),
        _ => plural(took.as_secs() as usize, "second", "seconds"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_time_is_told_in_tenths() {
        let told = |ms| told(Duration::from_millis(ms));
        assert_eq!(told(12), "less than 0.1 seconds");
        assert_eq!(told(400), "0.4 seconds");
        assert_eq!(told(1_020), "1 second");
        assert_eq!(told(2_960), "3 seconds");
        assert_eq!(told(10_090), "10 seconds");
    }

    #[test]
    fn several_times_what_it_took_is_advised() {
        let longer = |s| longer(Duration::from_secs(s));
        assert_eq!(longer(0), "10s");
        assert_eq!(longer(4), "20s");
        assert_eq!(longer(10), "60s");
        assert_eq!(longer(30), "2min");
        assert_eq!(longer(60), "5min");
        assert_eq!(longer(1_000), "120min");
    }

    fn goal(goal: GoalKind, value: GoalValue, bound: GoalValue) -> GoalResult {
        GoalResult { goal, value, reached: value, bound }
    }

    #[test]
    fn a_goal_is_told_by_what_it_counts() {
        use GoalValue::{Count, Mass, Points, Share};
        let told = |k, v, b| {
            let g = goal(k, v, b);
            format!("{}, and {}", has(&g, Units::Metric), possible(&g, Units::Metric))
        };
        assert_eq!(
            told(GoalKind::Keeper, Count(12), Count(9)),
            "12 things are away from their keepers, and as few as 9 may be possible"
        );
        assert_eq!(
            told(GoalKind::Hands, Count(1), Count(0)),
            "1 hand is in use, and as few as 0 may be possible"
        );
        assert_eq!(
            told(GoalKind::Wants, Points(45), Points(46)),
            "wants worth 45 are taken, and up to 46 may be possible"
        );
        let mass = |g: u64| Mass(crate::quantity::Mass::from_mg(g * 1_000));
        assert_eq!(
            told(GoalKind::Lightest, mass(21_400), mass(21_000)),
            "21.40 kg is carried, and as little as 21.00 kg may be possible"
        );
        let share = |g: u64| {
            let mass = crate::quantity::Mass::from_mg;
            Share(crate::load::Share { load: mass(g), limit: mass(1_000_000) })
        };
        assert_eq!(
            told(GoalKind::Even, share(900_000), share(880_000)),
            "the fullest load is at 90.0 % of its limit, and as little as 88.0 % may be possible"
        );
        // The same as printed.
        assert_eq!(
            told(GoalKind::Even, share(900_000), share(899_950)),
            "the fullest load is at 90.0 % of its limit, and up to 0.01 % less may be possible"
        );
        assert_eq!(
            told(GoalKind::Changes, Count(2), Count(1)),
            "2 units change hands, and as few as 1 may be possible"
        );
    }
}
