//! Robust rows for uncertain weights (Bertsimas and Sim 2004, Operations
//! Research 52(1), 35-53; the rows from memory): of a carrier with load `w`,
//! kinds that could weigh `d_i` more and at most `off` of them at once,
//!
//! ```text
//! w + off · z + Σ p_i ≤ limit,    p_i + z ≥ d_i,    p_i, z ≥ 0
//! ```
//!
//! holds for some `p` and `z` if and only if `w` and the `off` largest `d_i`
//! together keep the limit: the two are duals. With `off` as large as there
//! are kinds it is the one row `w + Σ d_i ≤ limit` (Soyster 1973).
//!
//! Of a lump the rows are a relaxation: what its members could each have on top
//! is no less than what the lump as a whole could.

use super::build::{MG, Program, kg};
use super::model::Affine;
use super::teams::TeamIx;

impl Program<'_, '_> {
    /// `mass` is the kit on the team in kg, and `cap` what it may be.
    pub(super) fn uncertain(&mut self, t: TeamIx, mass: &Affine, cap: f64) {
        let facts = self.facts;
        // Where a limit is passed already, the row of the mass says it.
        if !facts.uncertain() || self.counts_only || cap < 0.0 {
            return;
        }
        let all: Vec<(Affine, f64)> = (0..facts.items.len())
            .map(|i| self.deviation(i, t))
            .map(|d| (self.most(&d), d))
            .filter(|(most, _)| *most > 0.0)
            .map(|(most, d)| (d, most))
            .collect();
        let most: f64 = all.iter().map(|(_, most)| most).sum();
        if self.most(mass) + most <= cap {
            return;
        }
        let mut row = mass.clone();
        if facts.off >= all.len() {
            all.iter().for_each(|(d, _)| row += d);
            self.model.at_most_in(MG, &row, cap);
            return;
        }
        if facts.off == 1 {
            // A row for each kind says it without columns of its own.
            for (d, _) in all {
                let mut row = mass.clone();
                row += &d;
                self.model.at_most_in(MG, &row, cap);
            }
            return;
        }
        // Where all masses are whole milligrams, some best `z` and `p` are.
        let largest = all.iter().map(|(_, most)| *most).fold(0.0, f64::max);
        let z = self.model.real_in(MG, 0.0, largest);
        row.add(z, facts.off as f64);
        for (d, most) in all {
            let p = self.model.real_in(MG, 0.0, most);
            row.add(p, 1.0);
            let mut over = -d;
            over.add(p, 1.0);
            over.add(z, 1.0);
            self.model.at_least_in(MG, &over, 0.0);
        }
        self.model.at_most_in(MG, &row, cap);
    }

    /// kg that the team's units of the item could weigh more.
    fn deviation(&self, i: usize, t: TeamIx) -> Affine {
        let (f, party) = (&self.facts.items[i], self.teams[t].party);
        let mut sum = Affine::default();
        if self.rest == Some(t) {
            sum.add_scaled(&self.loose(i, party), kg(f.deviation));
            return sum;
        }
        for a in self.alone_of_item(i).filter(|a| a.team == t) {
            sum.add(a.col, kg(f.deviation));
        }
        for b in self.between_of_item(i) {
            for (end, team) in [b.first, b.second].into_iter().enumerate() {
                if team == t {
                    sum.add(b.col, kg(f.pair_deviation[end]));
                }
            }
        }
        sum
    }
}
