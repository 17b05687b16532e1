//! Goals as objectives and as rows that hold earlier ones.

use super::build::{HAIR, MG, Program, kg};
use super::model::{Affine, RowIx};
use super::teams::TeamIx;
use crate::load::{GoalKind, GoalValue, Measure, Way};
use crate::pins::Pins;

impl Program<'_, '_> {
    /// Sets the objective: always to be minimised.
    pub fn set_objective(&mut self, kind: GoalKind) {
        let objective = self.objective(kind);
        let grain = match kind.measure() {
            Measure::Mass => MG,
            // A share is not a whole multiple of anything.
            Measure::Share => 0.0,
            Measure::Points | Measure::Count => 1.0,
        };
        self.model.minimise_in(grain, &objective);
    }

    fn objective(&mut self, kind: GoalKind) -> Affine {
        match kind {
            GoalKind::Wants => -self.wants(),
            GoalKind::Lightest => self.carried(),
            GoalKind::Even => self.peak(),
            GoalKind::Keeper => self.misplaced(),
            GoalKind::Hands => self.hands_used(),
            GoalKind::Changes => self.changes(),
        }
    }

    /// Bounds the peak share from below by a proven bound: then a plan that has
    /// it is seen to be optimal. Set the objective first.
    pub fn bound_below(&mut self, bound: GoalValue) {
        if let (GoalValue::Share(share), [(peak, _)]) = (bound, &self.model.objective.terms[..]) {
            // Slightly less, for floating-point error.
            let low = share.ratio() - 1e-9;
            if low.is_finite() && low > 0.0 {
                self.model.columns[*peak].low = low;
            }
        }
    }

    /// Rows that hold what earlier goals reached.
    pub fn pin(&mut self, pins: &Pins) {
        let first = self.model.rows.len();
        self.pin_rows(pins);
        // `wants` links what counts to what is there: those hold anyhow.
        let rows = &self.model.rows;
        let pinned = (first..rows.len()).map(RowIx).filter(|&r| rows[r].low != 0.0);
        self.model.pins = pinned.collect();
    }

    fn pin_rows(&mut self, pins: &Pins) {
        if let Some(least) = pins.wants {
            let wants = self.wants();
            self.model.at_least(&wants, least as f64 - 0.5);
        }
        if let Some(most) = pins.lightest {
            let carried = self.carried();
            self.model.at_most_in(MG, &carried, kg(most) + HAIR);
        }
        if let Some(caps) = &pins.even {
            for t in self.all_teams() {
                let members = &self.teams[t].members;
                if members.iter().any(|&c| caps[c.0] == u64::MAX) {
                    continue;
                }
                let spare = members
                    .iter()
                    .map(|&c| caps[c.0] as f64 - self.facts.carriers[c].burden as f64);
                let cap = spare.sum::<f64>() / 1e6 + HAIR;
                let kit = self.kit_mass(t);
                self.model.at_most_in(MG, &kit, cap);
            }
        }
        for (kind, most) in &pins.counts {
            let counted = self.objective(*kind);
            self.model.at_most(&counted, *most as f64 + 0.5);
        }
    }

    fn wants(&mut self) -> Affine {
        let mut sum = Affine::default();
        for want in self.facts.order.wants() {
            let there = self.there(want.item.0, want.party.0);
            if there.terms.is_empty() {
                let counted = there.constant.min(f64::from(want.up_to));
                sum.constant += counted * f64::from(want.value);
                continue;
            }
            // A want that can never exceed its number needs no column of its
            // own.
            if self.most(&there) <= f64::from(want.up_to) {
                sum.add_scaled(&there, want.value.into());
                continue;
            }
            let counted = self.model.real_in(1.0, 0.0, f64::from(want.up_to));
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
        // Each for itself before any kit, which a lump would average out. And
        // nobody bears more than a limit allows: a whole is the most.
        let even = self.facts.carriers.iter().filter(|c| c.even && c.limit > 0);
        let worn = even.map(|c| c.burden as f64 / c.limit as f64).fold(0.0, f64::max);
        let stands = self.fixed_rest.as_ref().map_or(0.0, |s| s.peak);
        let least = f64::max((worn - 1e-12).clamp(0.0, 1.0), stands);
        let peak = self.model.real(least, f64::max(least, 1.0 + 1e-6));
        for t in self.all_teams() {
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
            for c in members.iter().filter(|c| !self.counts_only && c.burden > 0 && c.limit > 0) {
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
        let away = |i: usize, t: TeamIx| self.teams[t].misplaced(self.facts, i);
        let stands = self.fixed_rest.as_ref().map_or(0, |s| s.misplaced);
        let mut sum = Affine::constant(stands as f64);
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
        let stands = self.fixed_rest.as_ref().map_or(0, |s| s.hands);
        let mut sum = Affine::constant(stands as f64);
        for a in self.alone.iter().filter(|a| a.way == Way::Hand) {
            sum.add(a.col, f64::from(self.facts.items[a.item].hands));
        }
        for b in &self.between {
            sum.add(b.col, 2.0);
        }
        sum
    }
}
