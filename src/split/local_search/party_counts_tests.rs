//! The search's own parts, on small random moves.

use super::random::Random;
use super::state::{State, Step};
use super::*;
use crate::audit::audit;
use crate::common::cases::cases;
use crate::common::random_move;
use crate::facts::Facts;
use crate::load::GoalKind;
use crate::options::{Clock, Watch};
use crate::pins::Pins;
use std::time::Duration;

fn clock() -> Clock {
    Clock::new(Duration::from_secs(600), &Watch::default())
}

/// Step by step and recomputed, the same.
#[test]
fn what_a_step_does_not_touch_stays() {
    for seed in 0..200 {
        let order = random_move::small(seed);
        let facts = Facts::new(&order);
        let pins = Pins { wants: Some(seed % 5), ..Pins::default() };
        let mut state = State::new(&facts, pins);
        let mut random = Random::new(seed);
        let parties: Vec<usize> = (0..facts.by_party.len())
            .filter(|p| Some(*p) != facts.store() && !facts.by_party[*p].is_empty())
            .collect();
        let pick = |random: &mut Random, of: usize| random.below(of);
        for _ in 0..60 {
            let item = pick(&mut random, facts.items.len());
            let party = parties[pick(&mut random, parties.len())];
            let all = construct::spots(&state, item, party);
            if all.is_empty() {
                continue;
            }
            let to = Some(all[pick(&mut random, all.len())]);
            let held: Vec<_> = state.placed().filter(|p| p.0 == item).map(|p| p.1).collect();
            let step = if state.left(item) > 0 {
                Step { item, from: None, to }
            } else if held.is_empty() {
                continue;
            } else {
                let from = Some(held[pick(&mut random, held.len())]);
                let away = pick(&mut random, 2) == 0;
                Step { item, from, to: if away { None } else { to } }
            };
            state.make(&[step]);
            let mut again = state.clone();
            again.refresh();
            assert_eq!(state.penalty(), again.penalty(), "seed {seed}");
            assert_eq!(state.party_penalty, again.party_penalty, "seed {seed}");
            assert_eq!(state.party_wants, again.party_wants, "seed {seed}");
        }
    }
}

/// Most small moves that have a plan get one by the greedy counts alone; what comes of
/// it without a penalty passes the audit.
#[test]
fn drafts_become_plans() {
    let (mut plans, mut whole) = (0, 0);
    for seed in 0..cases(100, 400) {
        let order = random_move::small(seed);
        let Ok(Some(_)) = crate::common::enumerate::best(&order) else { continue };
        plans += 1;
        let facts = Facts::new(&order);
        let clock = clock();
        let counts = choose_counts(&facts, None, &clock);
        let mut state = State::new(&facts, Pins::default());
        place(&mut state, &counts, GoalKind::Wants, &clock);
        fill(&mut state, None, u64::MAX, GoalKind::Wants, &clock);
        let before: u64 = state.party_wants.iter().sum();
        let penalty = state.penalty();
        swap_wants(&mut state, GoalKind::Wants, &clock);
        let after: u64 = state.party_wants.iter().sum();
        assert!(state.penalty() < penalty || after >= before, "seed {seed}: a bad trade");
        if state.penalty() == 0 {
            let findings = audit(&order, &write(&state));
            // Several vehicles of a store are distinguished only by the writing.
            let one_bed = facts.store().is_none_or(|s| facts.by_party[s].len() == 1);
            if one_bed {
                assert_eq!(findings.faults, [], "seed {seed}");
            }
            assert_eq!(findings.wants_value, after, "seed {seed}");
            whole += 1;
        }
    }
    assert!(plans > cases(15, 60) && whole * 10 >= plans * 7, "{whole} of {plans}");
}
