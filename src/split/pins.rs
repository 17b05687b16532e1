//! Pins: what the goals before the current one reached, as limits that later
//! goals must keep.

use super::facts::Facts;
use super::findings::Findings;
use crate::load::{GoalKind, GoalValue, Share};
use std::collections::BTreeMap;

/// Those limits, in whole base units.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Pins {
    /// Least points of wants.
    pub wants: Option<u64>,
    /// Most mg that leave the store.
    pub lightest: Option<u64>,
    /// Most mg on each kit carrier, worn included.
    pub even: Option<Vec<u64>>,
    /// The most of each goal that counts something.
    pub counts: BTreeMap<GoalKind, u64>,
}

impl Pins {
    /// No share above this one, in whole milligrams of each limit.
    pub fn at_share(facts: &Facts, share: Share) -> Self {
        let mut pins = Pins::default();
        pins.cap(facts, share, 0);
        pins
    }

    /// Holds what a goal reached, less what the move lets later goals give up.
    pub fn hold(&mut self, facts: &Facts, kind: GoalKind, value: GoalValue) {
        let give = u128::from(facts.goal_give(kind));
        let part = |v: u64| (u128::from(v) * give / 1_000_000).min(u64::MAX.into()) as u64;
        match (kind, value) {
            (GoalKind::Wants, GoalValue::Points(v)) => self.wants = Some(v - part(v)),
            (GoalKind::Lightest, GoalValue::Mass(m)) => {
                self.lightest = Some(m.mg().saturating_add(part(m.mg())));
            }
            (kind, GoalValue::Count(v)) => {
                self.counts.insert(kind, v + part(v));
            }
            (GoalKind::Even, GoalValue::Share(s)) => {
                self.cap(facts, s, give);
            }
            _ => debug_assert!(false, "a goal and its value go together"),
        }
    }

    /// Holds every share at one, and so many millionths of it more.
    fn cap(&mut self, facts: &Facts, share: Share, give: u128) {
        // load / limit ≤ share · (1 + give), in whole milligrams.
        let top = u128::from(share.load.mg()) * (1_000_000 + give);
        let under = u128::from(share.limit.mg().max(1)) * 1_000_000;
        let cap = |limit: u64| {
            // top < 2^64 · 2^24 and limits < 2^37: no overflow.
            u64::try_from(top.saturating_mul(limit.into()) / under).unwrap_or(u64::MAX)
        };
        let caps = facts.carriers.iter().map(|c| if c.even { cap(c.limit) } else { u64::MAX });
        self.even = Some(caps.collect());
    }

    /// Whether an audited plan keeps them all.
    pub fn kept_by(&self, facts: &Facts, found: &Findings) -> bool {
        let counted = |(kind, most): (&GoalKind, &u64)| {
            let value = found.goals.iter().find(|(k, _)| k == kind);
            value.is_none_or(|(_, v)| !matches!(v, GoalValue::Count(n) if n > most))
        };
        self.wants.is_none_or(|least| found.wants_value >= least)
            && self.lightest.is_none_or(|most| found.total_carried.mg() <= most)
            && self.counts.iter().all(counted)
            && self.even.as_ref().is_none_or(|caps| {
                facts.carriers.iter().zip(caps).all(|(f, cap)| {
                    let on = found.carriers.iter().find(|c| c.carrier == f.ix);
                    on.is_none_or(|c| c.load.mg() <= *cap)
                })
            })
    }
}
