//! A rule weakened, or left out where that does not do.

use super::{Least, Remedy, RemedySearch};
use crate::ask::change::Change;
use crate::ask::part::Part;
use crate::load::{Reserve, RuleKind, RuleNumber};
use crate::quantity::{Mass, Percent};

/// Carriers or items of a rule that are tried one by one.
const MOST_TRIED: usize = 12;
/// Exemptions of one rule that are reported.
const MOST_TOLD: usize = 3;
/// A reserve is lowered by grams, or by tenths of a percent.
const STEP: u64 = 1000;

impl RemedySearch<'_, '_> {
    /// Numbers first; where none helps, one carrier or item taken out of the
    /// rule; where that does not help either, the rule left out.
    pub(super) fn rule(&self, rule: usize) -> Vec<Remedy> {
        let kind = self.base.order.rules()[rule].kind.clone();
        let change = |to| Change::Rule { rule, to };
        if let Some(remedy) = self.number(&kind, change) {
            return vec![remedy];
        }
        let mut found = Vec::new();
        for to in lighter(&kind) {
            let change = change(to);
            if found.len() < MOST_TOLD && self.works(&change) {
                found.push(Remedy { change, least: Least::Whole });
            }
        }
        if found.is_empty() {
            let change = Change::LeaveOut(Part::Rule(rule));
            found.push(Remedy { change, least: Least::Whole });
        }
        found
    }

    fn number(&self, kind: &RuleKind, change: impl Fn(RuleKind) -> Change) -> Option<Remedy> {
        let with = |number| change(kind.clone().with_number(number));
        let count = |n: u64| with(RuleNumber::Count(n as u32));
        match (kind, kind.number()?) {
            // More of it relaxes the rule: up to all that there are.
            (RuleKind::AtMost { items, .. }, RuleNumber::Count(now)) => {
                let held = items.iter().map(|i| self.base.order.item(*i).held);
                let all = held.fold(0, u32::saturating_add);
                (all > now && self.works(&count(all.into())))
                    .then(|| self.least(now.into(), all.into(), count, None))
            }
            // Less of it relaxes the rule, down to one.
            (_, RuleNumber::Count(now)) => {
                (now > 1 && self.works(&count(1))).then(|| self.most(1, now.into(), count))
            }
            (_, RuleNumber::Kept(reserve)) => {
                let now = match reserve {
                    Reserve::Mass(m) => m.mg(),
                    Reserve::Share(p) => p.ppm(),
                };
                let to = |n: u64| {
                    with(RuleNumber::Kept(match reserve {
                        Reserve::Mass(_) => Reserve::Mass(Mass::from_mg(n * STEP)),
                        Reserve::Share(_) => Reserve::Share(Percent::from_ppm(n * STEP)),
                    }))
                };
                let steps = now.div_ceil(STEP);
                (steps > 1 && self.works(&to(1))).then(|| self.most(1, steps, to))
            }
        }
    }
}

/// The rule without one of its carriers or one of its items, as far as it still
/// says something.
fn lighter(kind: &RuleKind) -> Vec<RuleKind> {
    fn but_one<T: Copy>(all: &[T], least: usize) -> Vec<Vec<T>> {
        if all.len() <= least || all.len() > MOST_TRIED {
            return Vec::new();
        }
        (0..all.len()).map(|k| [&all[..k], &all[k + 1..]].concat()).collect()
    }
    // Of one item, nothing is spread.
    let least = match kind {
        RuleKind::Apart { .. } | RuleKind::Together { .. } => 2,
        _ => 1,
    };
    let mut out = Vec::new();
    if kind.to().is_none() {
        let others = but_one(kind.carriers(), 1).into_iter();
        out.extend(others.map(|carriers| kind.clone().with_carriers(carriers)));
    }
    // Fewer things to count are another rule.
    if kind.number().is_none() {
        let fewer = but_one(kind.items(), least).into_iter();
        out.extend(fewer.map(|items| kind.clone().with_items(items)));
    }
    out
}
