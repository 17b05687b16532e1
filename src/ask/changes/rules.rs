//! A rule weakened, or left out where that does not do.

use super::{Bench, Least, Mend};
use crate::ask::change::Change;
use crate::ask::part::Part;
use crate::load::{CarrierIx, ItemIx, Reserve, RuleKind};
use crate::quantity::{Mass, Percent};

/// Carriers or items of a rule that are tried one by one.
const MOST_TRIED: usize = 12;
/// Exemptions of one rule that are reported.
const MOST_TOLD: usize = 3;
/// A reserve is lowered by grams, or by tenths of a percent.
const STEP: u64 = 1000;

impl Bench<'_, '_> {
    /// Numbers first; where none helps, one carrier or item taken out of the
    /// rule; where that does not help either, the rule left out.
    pub(super) fn rule(&self, rule: usize) -> Vec<Mend> {
        let kind = self.base.order.rules[rule].kind.clone();
        let change = |to| Change::Rule { rule, to };
        if let Some(mend) = self.number(&kind, change) {
            return vec![mend];
        }
        let mut found = Vec::new();
        for to in lighter(&kind) {
            let change = change(to);
            if found.len() < MOST_TOLD && self.works(&change) {
                found.push(Mend { change, least: Least::Whole });
            }
        }
        if found.is_empty() {
            let change = Change::LeaveOut(Part::Rule(rule));
            found.push(Mend { change, least: Least::Whole });
        }
        found
    }

    fn number(&self, kind: &RuleKind, change: impl Fn(RuleKind) -> Change) -> Option<Mend> {
        match kind {
            RuleKind::AtMost { count, items, carriers } => {
                let to = |n: u64| {
                    let (items, carriers) = (items.clone(), carriers.clone());
                    change(RuleKind::AtMost { count: n as u32, items, carriers })
                };
                let held = items.iter().map(|i| self.base.order.item(*i).held);
                let all = held.fold(0, u32::saturating_add);
                (all > *count && self.works(&to(all.into())))
                    .then(|| self.least((*count).into(), all.into(), to, None))
            }
            RuleKind::Fixed { item, count, carrier } => {
                let to = |n: u64| {
                    let (item, carrier) = (*item, *carrier);
                    change(RuleKind::Fixed { item, count: n as u32, carrier })
                };
                (*count > 1 && self.works(&to(1))).then(|| self.most(1, (*count).into(), to))
            }
            RuleKind::HandsFree { hands, carriers } => {
                let to = change(RuleKind::HandsFree { hands: 1, carriers: carriers.clone() });
                let works = *hands > 1 && self.works(&to);
                works.then_some(Mend { change: to, least: Least::Proven })
            }
            RuleKind::Reserve { reserve, carriers } => {
                let now = match reserve {
                    Reserve::Mass(m) => m.mg(),
                    Reserve::Share(p) => p.ppm(),
                };
                let to = |n: u64| {
                    let reserve = match reserve {
                        Reserve::Mass(_) => Reserve::Mass(Mass::from_mg(n * STEP)),
                        Reserve::Share(_) => Reserve::Share(Percent::from_ppm(n * STEP)),
                    };
                    change(RuleKind::Reserve { reserve, carriers: carriers.clone() })
                };
                let steps = now.div_ceil(STEP);
                (steps > 1 && self.works(&to(1))).then(|| self.most(1, steps, to))
            }
            RuleKind::Apart { .. } | RuleKind::Together { .. } | RuleKind::KeepOff { .. } => None,
        }
    }
}

/// The rule without one of its carriers or one of its items, as far as it still
/// says something.
fn lighter(kind: &RuleKind) -> Vec<RuleKind> {
    let mut out = Vec::new();
    let fewer = |all: &[ItemIx], least: usize| -> Vec<Vec<ItemIx>> {
        if all.len() <= least || all.len() > MOST_TRIED {
            return Vec::new();
        }
        let but = |k: usize| [&all[..k], &all[k + 1..]].concat();
        (0..all.len()).map(but).collect()
    };
    let others = |all: &[CarrierIx]| -> Vec<Vec<CarrierIx>> {
        if all.len() < 2 || all.len() > MOST_TRIED {
            return Vec::new();
        }
        (0..all.len()).map(|k| [&all[..k], &all[k + 1..]].concat()).collect()
    };
    match kind {
        RuleKind::Apart { items } => {
            out.extend(fewer(items, 2).into_iter().map(|items| RuleKind::Apart { items }));
        }
        RuleKind::Together { items } => {
            out.extend(fewer(items, 2).into_iter().map(|items| RuleKind::Together { items }));
        }
        RuleKind::KeepOff { items, carriers } => {
            let without = |carriers| RuleKind::KeepOff { items: items.clone(), carriers };
            out.extend(others(carriers).into_iter().map(without));
            let without = |items| RuleKind::KeepOff { items, carriers: carriers.clone() };
            out.extend(fewer(items, 1).into_iter().map(without));
        }
        RuleKind::AtMost { count, items, carriers } => {
            let without =
                |carriers| RuleKind::AtMost { count: *count, items: items.clone(), carriers };
            out.extend(others(carriers).into_iter().map(without));
        }
        RuleKind::HandsFree { hands, carriers } => {
            let without = |carriers| RuleKind::HandsFree { hands: *hands, carriers };
            out.extend(others(carriers).into_iter().map(without));
        }
        RuleKind::Reserve { reserve, carriers } => {
            let without = |carriers| RuleKind::Reserve { reserve: *reserve, carriers };
            out.extend(others(carriers).into_iter().map(without));
        }
        RuleKind::Fixed { .. } => {}
    }
    out
}
