//! Less asked for: of a need, of what an item requires.

use super::{Least, Remedy, RemedySearch};
use crate::ask::change::Change;
use crate::ask::part::{Part, pieces};
use crate::load::{Demand, ItemIx, NeedNode, Required};
use crate::quantity::{Amount, Percent, Span};

/// Slack is lowered in steps of a tenth of a percent, times of an hour or more
/// by minutes.
const TENTH: u64 = 1000;
const MINUTE: u64 = 60;

impl RemedySearch<'_, '_> {
    /// The most that can be asked for, by each number that can be lowered; the
    /// piece left out where none of them does.
    pub(super) fn need(&self, need: usize, piece: usize) -> Vec<Remedy> {
        let out =
            Remedy { change: Change::LeaveOut(Part::Need { need, piece }), least: Least::Whole };
        let node = self.base.order.needs().get(need).map(|n| pieces(&n.node));
        let Some(node) = node.and_then(|all| all.get(piece).copied().cloned()) else {
            return vec![out];
        };
        let change = |to| Change::Need { need, piece, to };
        let found: Vec<Remedy> = match &node {
            NeedNode::Item { item, count } => {
                let less = |n| change(NeedNode::Item { item: *item, count: n as u32 });
                self.most_asked(u64::from(*count), 1, less).into_iter().collect()
            }
            NeedNode::AtLeast { count, of } => {
                let less = |n| change(NeedNode::AtLeast { count: n as u32, of: of.clone() });
                self.most_asked(u64::from(*count), 1, less).into_iter().collect()
            }
            NeedNode::Supply(d) => self.demand(d, |d| change(NeedNode::Supply(d))),
            NeedNode::All(_) | NeedNode::Any(_) => Vec::new(),
        };
        if found.is_empty() { vec![out] } else { found }
    }

    /// The largest multiple of `step` over 0 and under `now` that does.
    fn most_asked(&self, now: u64, step: u64, change: impl Fn(u64) -> Change) -> Option<Remedy> {
        let steps = now.div_ceil(step);
        if steps < 2 || !self.works(&change(step)) {
            return None;
        }
        Some(self.most(1, steps, |n| change(n * step)))
    }

    fn demand(&self, d: &Demand, change: impl Fn(Demand) -> Change) -> Vec<Remedy> {
        let amount = |a: Amount, n| Some(Amount::new(a.dimension, n));
        let slack = |n| change(Demand { slack: Percent::from_ppm(n), ..d.clone() });
        let mut found = Vec::new();
        if let Some(a) = d.amount {
            let less = |n| change(Demand { amount: amount(a, n), ..d.clone() });
            found.extend(self.most_asked(a.base, 1, less));
        }
        if let Some(a) = d.per_person {
            let less = |n| change(Demand { per_person: amount(a, n), ..d.clone() });
            found.extend(self.most_asked(a.base, 1, less));
        }
        if let Some(t) = d.time {
            let step = if t >= Span::HOUR { MINUTE } else { 1 };
            let less = |n| change(Demand { time: Some(Span::from_s(n)), ..d.clone() });
            found.extend(self.most_asked(t.s(), step, less));
        }
        if d.slack > Percent::ZERO && self.works(&slack(0)) {
            let steps = d.slack.ppm().div_ceil(TENTH);
            found.push(self.most(0, steps, |n| slack(n * TENTH)));
        }
        found
    }

    pub(super) fn requires(&self, item: ItemIx, of: usize) -> Remedy {
        let now = self.base.order.item(item).requires.get(of).map(|r| r.count);
        if let Some(Required::Each(n)) = now {
            let less = |n| Change::Requires { item, of, to: Required::Each(n as u32) };
            if let Some(remedy) = self.most_asked(n.into(), 1, less) {
                return remedy;
            }
        }
        let change = Change::LeaveOut(Part::Requires { item, of });
        Remedy { change, least: Least::Whole }
    }
}
