//! By limit: the share of their limits that people on foot may use.

use super::asked::Asked;
use super::walk::{Found, Walk, Walked};
use super::{Below, MOST_OVER, Shed, Step, caps, changes, wanted};
use crate::ask::{Oracle, vary};
use crate::load::{MoveOrder, Need};
use std::time::Duration;

/// Every step from all wants, or from [`MOST_OVER`], down to where no plan
/// meets the needs; with `needs`, on from there, the needs that have a priority
/// given up one after the other. The limits as declared come first, and some of
/// the time is kept for what is above and below.
pub fn by_limit(order: &MoveOrder, oracle: &Oracle<'_>, needs: bool) -> Shed {
    let wanted = wanted(order);
    let part = oracle.left() / 4;
    let after = if needs { part / 2 } else { Duration::ZERO };
    let asked = Asked::default();
    let declared = Walk { oracle, order, moved: order.clone(), raised: false, floor: None, asked };
    let mut walked = declared.all(part + after);
    // Vehicles are never loaded beyond their payload.
    let walks = !vary::walkers(order).is_empty();
    let all_fit = |w: &Walked| w.steps.first().is_some_and(|s| s.value >= wanted);
    let none_within = |w: &Walked| w.steps.is_empty() && w.end == Below::NoPlan;
    let mut over = (walks && !all_fit(&walked)).then(|| {
        // Below the limits shares are those of the declared move: also where there
        // was no time to see whether it has a plan.
        let over = above(order, oracle, !none_within(&walked));
        let walked = over.all(after);
        (over, walked)
    });
    // What the one left of the time is for the other.
    if declared.loose(&walked) > 0 && !oracle.over() {
        let again = declared.all(after);
        if declared.replaces(&again, &walked) {
            walked = again;
        }
        let floor = (!none_within(&walked)).then(caps::whole);
        if all_fit(&walked) {
            over = None;
        } else if let Some((over, old)) = over.as_mut().filter(|(o, _)| o.floor != floor) {
            over.floor = floor;
            let again = over.all(after);
            if over.replaces(&again, old) {
                *old = again;
            } else {
                // It went down to another floor.
                old.end = Below::Unknown;
            }
        }
    }
    let none_within = none_within(&walked);
    let Walked { mut steps, end, mut none, .. } = walked;
    let mut below = rows(steps.len(), end);
    if let Some((_, mut walked)) = over {
        // Below the last are the steps within the limits, if all went well.
        if !none_within && (walked.end != Below::Next || steps.is_empty()) {
            walked.end = Below::Unknown;
        }
        let mut under = rows(walked.steps.len(), walked.end);
        let (mut above, mut most) = (walked.steps, walked.under);
        if let Some(first) = steps.first_mut() {
            // What is to be had within the limits does not come back above them.
            while let Some(step) = above.pop_if(|s| s.value <= first.value) {
                most = most.max(step.value_bound);
                under.pop();
                under.last_mut().into_iter().for_each(|b| *b = Below::Next);
            }
            let before = above.last().map_or(u64::MAX, |s| s.value.saturating_sub(1));
            for step in above.iter_mut().filter(|s| s.value > first.value_bound) {
                // More than the limits as declared let anybody have.
                step.from_bound = step.from_bound.max(caps::whole()).min(step.from);
            }
            first.value_bound = first.value_bound.max(most).min(before).max(first.value);
        }
        // That there is none within the limits says less.
        none = if none_within { walked.none.filter(|_| above.is_empty()) } else { None };
        steps.splice(0..0, above);
        below.splice(0..0, under);
    }
    if needs && below.last() == Some(&Below::NoPlan) {
        given_up_one_by_one(&declared, &mut steps, &mut below);
    }
    let mut before: Vec<u32> = order.wants().iter().map(|w| w.up_to).collect();
    for step in &mut steps {
        (step.goes, step.comes) = changes(&before, &step.planned.findings.wants);
        before.clone_from(&step.planned.findings.wants);
    }
    let none = none.filter(|_| steps.is_empty());
    let cut_short = below.contains(&Below::Unknown)
        || steps.is_empty() && none.is_none()
        || steps.iter().any(|s| !s.within(oracle.gap()));
    Shed { steps, below, none, wanted, cut_short }
}

/// What would come back above the limits as declared, down to them if there may
/// be steps `within` them.
fn above<'a>(order: &'a MoveOrder, oracle: &'a Oracle<'a>, within: bool) -> Walk<'a> {
    let moved = caps::raised(order, MOST_OVER);
    let floor = within.then(caps::whole);
    Walk { oracle, order, moved, raised: true, floor, asked: Asked::default() }
}

/// Between steps is nothing but the next step.
fn rows(steps: usize, end: Below) -> Vec<Below> {
    let mut below = vec![Below::Next; steps];
    if let Some(last) = below.last_mut() {
        *last = end;
    }
    below
}

/// The order in which needs are given up: the highest number first, of equals
/// the one written last; those without a number never.
pub fn given_up(needs: &[Need]) -> Vec<usize> {
    let mut those: Vec<usize> = (0..needs.len()).filter(|n| needs[*n].priority.is_some()).collect();
    those.sort_by_key(|n| std::cmp::Reverse((needs[*n].priority, *n)));
    those
}

/// One need after the other. Wants are not taken up again in their stead.
fn given_up_one_by_one(declared: &Walk<'_>, steps: &mut Vec<Step>, below: &mut Vec<Below>) {
    let (order, oracle) = (declared.order, declared.oracle);
    let (mut gone, mut since) = (Vec::new(), 0);
    let mut end = Below::NoPlan;
    for need in given_up(order.needs()) {
        gone.push(need);
        let kept = (0..order.needs().len()).filter(|n| !gone.contains(n));
        let kept = kept.map(|n| order.needs()[n].clone()).collect();
        let moved = vary::changed(order, |parts| {
            parts.wants.clear();
            parts.needs = kept;
        });
        let walk = Walk { moved, asked: Asked::default(), ..declared.clone() };
        let share = steps.last().map(|s| s.from_bound);
        if let Some(nothing) = share.and_then(|s| walk.nothing_below(s)) {
            end = nothing;
            break;
        }
        oracle.step(format!("without {}", gone.len()));
        if oracle.over() {
            end = Below::Unknown;
            break;
        }
        match walk.step(share, None, oracle.left() / 4) {
            Found::Step(mut step) => {
                step.needs = gone[since..].to_vec();
                since = gone.len();
                set(below, Below::Next);
                steps.push(*step);
                below.push(Below::NoPlan);
            }
            // The next one as well, then.
            Found::No(_) | Found::Done(_) => {}
            Found::Unknown => {
                end = Below::Unknown;
                break;
            }
        }
    }
    set(below, end);
}

fn set(below: &mut [Below], end: Below) {
    if let Some(last) = below.last_mut() {
        *last = end;
    }
}
