//! Goals as objectives and as rows that hold earlier ones.

use super::build::{HAIR, Program, kg};
use super::model::Affine;
use crate::load::{GoalKind, GoalValue, Share, Way};
use crate::quantity::Mass;
use crate::split::pins::Pins;

impl Program<'_, '_> {
    /// Sets the objective: always to be minimised.
    pub fn aim(&mut self, kind: GoalKind) {
        let objective = match kind {
            GoalKind::Wants => -self.wants(),
            GoalKind::Lightest => self.carried(),
            GoalKind::Even => self.peak(),
            GoalKind::Keeper => self.misplaced(),
            GoalKind::Hands => self.hands_used(),
        };
        self.model.minimise(&objective);
    }

    /// Rows that hold what earlier goals reached.
    pub fn pin(&mut self, pins: &Pins) {
        if let Some(least) = pins.wants {
            let wants = self.wants();
            self.model.at_least(&wants, least as f64 - 0.5);
        }
        if let Some(most) = pins.lightest {
            let carried = self.carried();
            self.model.at_most(&carried, kg(most) + HAIR);
        }
        if let Some(caps) = &pins.even {
            for t in 0..self.teams.len() {
                let members = &self.teams[t].members;
                if members.iter().any(|&c| caps[c] == u64::MAX) {
                    continue;
                }
                let spare =
                    members.iter().map(|&c| caps[c] as f64 - self.facts.carriers[c].burden as f64);
                let cap = spare.sum::<f64>() / 1e6 + HAIR;
                let kit = self.kit_mass(t);
                self.model.at_most(&kit, cap);
            }
        }
        if let Some(most) = pins.keeper {
            let misplaced = self.misplaced();
            self.model.at_most(&misplaced, most as f64 + 0.5);
        }
        if let Some(most) = pins.hands {
            let hands = self.hands_used();
            self.model.at_most(&hands, most as f64 + 0.5);
        }
    }

    /// Objectives of plans differ by whole multiples of this; zero: unknown.
    pub fn step(&self, kind: GoalKind) -> f64 {
        let gcd = |values: &mut dyn Iterator<Item = u64>| values.fold(0, gcd) as f64;
        match kind {
            GoalKind::Wants => {
                let values = &mut self.facts.order.wants.iter().map(|w| u64::from(w.value));
                gcd(values).max(1.0)
            }
            GoalKind::Lightest => {
                let held = self.facts.items.iter().filter(|f| f.held > 0);
                gcd(&mut held.map(|f| f.mass)) / 1e6
            }
            GoalKind::Even => 0.0,
            GoalKind::Keeper | GoalKind::Hands => 1.0,
        }
    }

    fn wants(&mut self) -> Affine {
        let mut sum = Affine::default();
        for want in &self.facts.order.wants {
            let there = self.there(want.item.0, want.party.0);
            let counted = self.model.real(0.0, f64::from(want.up_to));
            let mut link = there;
            link.add(counted, -1.0);
            self.model.at_least(&link, 0.0);
            sum.add(counted, f64::from(want.value));
        }
        sum
    }

    fn carried(&self) -> Affine {
        let mut sum = Affine::default();
        for (i, f) in self.facts.items.iter().enumerate() {
            sum.add_scaled(&self.outside(i), kg(f.mass));
        }
        sum
    }

    /// The peak share as a column that every share stays under.
    fn peak(&mut self) -> Affine {
        let peak = self.model.real(0.0, f64::INFINITY);
        for t in 0..self.teams.len() {
            let facts = self.facts;
            let members: Vec<_> =
                self.teams[t].members.iter().map(|&c| &facts.carriers[c]).collect();
            if !members.iter().all(|c| c.even) {
                continue;
            }
            let mut row = self.kit_mass(t);
            row.constant += members.iter().map(|c| kg(c.burden)).sum::<f64>();
            row.add(peak, -members.iter().map(|c| kg(c.limit)).sum::<f64>());
            self.model.at_most(&row, 0.0);
            // Each for itself before any kit, which a lump would average out.
            for c in members.iter().filter(|c| c.burden > 0 && c.limit > 0) {
                let mut own = Affine::constant(kg(c.burden));
                own.add(peak, -kg(c.limit));
                self.model.at_most(&own, 0.0);
            }
        }
        let mut sum = Affine::default();
        sum.add(peak, 1.0);
        sum
    }

    fn misplaced(&self) -> Affine {
        let away = |i: usize, t: usize| self.teams[t].misplaced(self.facts, i);
        let mut sum = Affine::default();
        for a in self.alone.iter().filter(|a| away(a.item, a.team)) {
            sum.add(a.col, 1.0);
        }
        for b in &self.between {
            if away(b.item, b.first) && away(b.item, b.second) {
                sum.add(b.col, 1.0);
            }
        }
        sum
    }

    fn hands_used(&self) -> Affine {
        let mut sum = Affine::default();
        for a in self.alone.iter().filter(|a| a.way == Way::Hand) {
            sum.add(a.col, f64::from(self.facts.items[a.item].hands));
        }
        for b in &self.between {
            sum.add(b.col, 2.0);
        }
        sum
    }
}

/// The greatest common divisor; of nothing and n it is n.
fn gcd(a: u64, b: u64) -> u64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

/// The bound on a goal that a solver's bound on the objective stands for,
/// rounded towards the better by less than a solver's tolerance and then to
/// the next value that a plan could have.
///
/// `step` is that of [`Program::step`].
pub(in crate::split) fn bound_value(kind: GoalKind, bound: f64, step: f64) -> GoalValue {
    let up = |v: f64| (v - 1e-6).ceil().max(0.0) as u64;
    match kind {
        GoalKind::Wants => GoalValue::Points((-bound + 1e-6).floor().max(0.0) as u64),
        GoalKind::Keeper | GoalKind::Hands => GoalValue::Count(up(bound)),
        // A milligram is 1e-6 kg: allow one for the solver's rounding.
        GoalKind::Lightest => {
            let step = (step * 1e6).round().max(1.0);
            GoalValue::Mass(Mass::from_mg(
                (((bound * 1e6 - 1.0) / step).ceil().max(0.0) * step) as u64,
            ))
        }
        GoalKind::Even => {
            let whole = 1_000_000_000_000u64;
            let load = ((bound - 1e-9) * whole as f64).floor().max(0.0) as u64;
            GoalValue::Share(Share { load: Mass::from_mg(load), limit: Mass::from_mg(whole) })
        }
    }
}
