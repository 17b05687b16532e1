//! Which neighbourhoods a goal gets, in which order.

use super::anneal::anneal;
use super::balance::balance;
use super::drop_surplus::drop_surplus;
use super::drop_wants::drop_wants;
use super::exchange_wants::exchange_wants;
use super::iterated_search::iterated_search;
use super::ruin_and_recreate::ruin_and_recreate;
use super::score::Score;
use super::state::State;
use super::walk::Budget;
use crate::load::GoalKind;
use crate::options::Clock;

/// Annealing tries for each try of the other searches.
const WANDER: u64 = 6;

/// Repairs and improves a state for the goal. It ends at once when it is
/// feasible and as good as `enough`.
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
            drop_wants(state);
            let score = Score::of(state, kind);
            // What is lacking comes first.
            if score.penalty == 0 { exchange_wants(state, &short, clock) } else { score }
        }
        GoalKind::Even => balance(state, kind, &short, clock),
        GoalKind::Lightest => {
            drop_surplus(state);
            Score::of(state, kind)
        }
        GoalKind::Changes => {
            ruin_and_recreate(state, budget.tries, enough, budget.seed, clock);
            Score::of(state, kind)
        }
        _ => Score::of(state, kind),
    };
    if good(&score) {
        return;
    }
    score = iterated_search(state, kind, budget, clock);
    if kind == GoalKind::Even || state.is_overloaded() {
        score = balance(state, kind, budget, clock);
    }
    if kind == GoalKind::Wants && score.penalty == 0 && !good(&score) {
        score = exchange_wants(state, budget, clock);
    }
    let wanders = match kind {
        GoalKind::Even => score.penalty > 0,
        GoalKind::Wants | GoalKind::Lightest | GoalKind::Changes => false,
        _ => true,
    };
    if wanders && !good(&score) {
        anneal(state, kind, budget.tries * WANDER, budget.target, budget.seed, clock);
    }
}
