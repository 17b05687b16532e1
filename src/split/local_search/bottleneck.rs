//! Which carriers determine a goal's value: neighbourhoods free those first.

use super::state::State;
use crate::facts::KitIx;
use crate::load::GoalKind;

impl State<'_, '_> {
    /// How much of the goal depends on this carrier: the larger, the more there
    /// is to gain from what it has.
    pub fn bottleneck_weight(&self, kind: GoalKind, c: KitIx) -> f64 {
        let (facts, b) = (self.facts, &self.on[c]);
        match kind {
            GoalKind::Even if !facts.carriers[c].even => 0.0,
            GoalKind::Even => {
                (facts.carriers[c].burden + b.mass) as f64 / facts.carriers[c].limit.max(1) as f64
            }
            GoalKind::Keeper => {
                let away = b.entries.iter().filter(|e| facts.misplaced(e.item, c));
                away.map(|e| f64::from(e.count)).sum()
            }
            GoalKind::Hands => f64::from(b.hands),
            GoalKind::Changes => facts.before.as_ref().map_or(0.0, |before| {
                let here = b.entries.iter();
                here.map(|e| f64::from(e.count.saturating_sub(before.on[c.0][e.item]))).sum()
            }),
            _ => 0.0,
        }
    }

    /// Units that the carrier has, alone or with another.
    pub fn units_on(&self, c: KitIx) -> u32 {
        let b = &self.on[c];
        b.entries.iter().map(|e| e.count).sum::<u32>() + b.pairs.len() as u32
    }

    /// Who carries something between them with this carrier.
    pub fn partners(&self, c: KitIx) -> impl Iterator<Item = KitIx> + '_ {
        self.on[c].pairs.iter().map(move |&(_, a, b)| if a == c { b } else { a })
    }
}
