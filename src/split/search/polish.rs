//! Which searches a goal gets, in which order.

use super::anneal::anneal;
use super::improve::improve;
use super::level::level;
use super::rehand::rehand;
use super::score::Score;
use super::shed::shed;
use super::state::State;
use super::strip::strip;
use super::trade::trade;
use super::walk::Budget;
use crate::load::GoalKind;
use crate::options::Clock;

/// Annealing tries for each try of the other searches.
const WANDER: u64 = 6;

/// Mends and improves a state for the goal. It ends at once when it is whole
/// and as good as `enough`.
pub(crate) fn polish(
    state: &mut State,
    kind: GoalKind,
    budget: &Budget,
    enough: f64,
    clock: &Clock,
) {
    let good = |s: &Score| s.penalty == 0 && s.goal <= enough;
    let short = Budget { target: enough, ..budget.clone() };
    let mut score = match kind {
        GoalKind::Wants => {
            shed(state);
            let score = Score::of(state, kind);
            // What is lacking comes first.
            if score.penalty == 0 { trade(state, &short, clock) } else { score }
        }
        GoalKind::Even => level(state, kind, &short, clock),
        GoalKind::Lightest => {
            strip(state);
            Score::of(state, kind)
        }
        GoalKind::Changes => {
            rehand(state, budget.tries, enough, budget.seed, clock);
            Score::of(state, kind)
        }
        GoalKind::Keeper | GoalKind::Hands => Score::of(state, kind),
    };
    if good(&score) {
        return;
    }
    score = improve(state, kind, budget, clock);
    if kind == GoalKind::Even || state.is_overloaded() {
        score = level(state, kind, budget, clock);
    }
    if kind == GoalKind::Wants && score.penalty == 0 && !good(&score) {
        score = trade(state, budget, clock);
    }
    let wanders = match kind {
        GoalKind::Keeper | GoalKind::Hands => true,
        GoalKind::Even => score.penalty > 0,
        GoalKind::Wants | GoalKind::Lightest | GoalKind::Changes => false,
    };
    if wanders && !good(&score) {
        anneal(state, kind, budget.tries * WANDER, budget.target, budget.seed, clock);
    }
}
