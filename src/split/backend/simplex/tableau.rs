//! The tableau: pivots, bound flips, and refactoring it where rounding has made
//! it inexact.

use super::{PIVOT, Simplex, TIE};

impl Simplex {
    pub(super) fn fresh(&mut self) {
        self.tableau.fill(0.0);
        for (r, row) in self.rows.iter().enumerate() {
            row.iter().for_each(|&(c, k)| self.tableau[r * self.n + c] += k);
        }
        self.basic = (self.n..self.n + self.m).collect();
        self.nonbasic = (0..self.n).collect();
        self.pivots = 0;
    }

    /// Recomputes reduced costs, puts every non-basic variable at the end that
    /// its cost prefers, and computes the values that follow.
    pub(super) fn start(&mut self) {
        let (n, m) = (self.n, self.m);
        for j in 0..n {
            let var = self.nonbasic[j];
            self.cost[j] = if var < n { self.costs[var] } else { 0.0 };
        }
        for r in 0..m {
            let c = if self.basic[r] < n { self.costs[self.basic[r]] } else { 0.0 };
            if c != 0.0 {
                let line = &self.tableau[r * n..(r + 1) * n];
                self.cost.iter_mut().zip(line).for_each(|(d, a)| *d += c * a);
            }
        }
        for j in 0..n {
            if self.cost[j] > TIE {
                self.at_high[j] = false;
            } else if self.cost[j] < -TIE {
                self.at_high[j] = true;
            }
        }
        self.work += (m * n) as u64;
        let at: Vec<f64> = (0..n).map(|j| self.at(j)).collect();
        for r in 0..m {
            let line = &self.tableau[r * n..(r + 1) * n];
            self.value[r] = line.iter().zip(&at).map(|(a, v)| a * v).sum();
        }
    }

    pub(super) fn width(&self, var: usize) -> f64 {
        self.high[var] - self.low[var]
    }

    pub(super) fn at(&self, j: usize) -> f64 {
        let var = self.nonbasic[j];
        if self.at_high[j] { self.high[var] } else { self.low[var] }
    }

    pub(super) fn flip(&mut self, j: usize) {
        let by = self.width(self.nonbasic[j]) * if self.at_high[j] { -1.0 } else { 1.0 };
        self.at_high[j] = !self.at_high[j];
        for r in 0..self.m {
            self.value[r] += self.tableau[r * self.n + j] * by;
        }
    }

    /// The basic one of `row` goes to `end`, the `j`-th non-basic one takes its
    /// place.
    pub(super) fn pivot(&mut self, row: usize, j: usize, end: f64, high: bool) {
        let n = self.n;
        let pivot = self.tableau[row * n + j];
        let by = (end - self.value[row]) / pivot;
        let entering = self.at(j) + by;
        for r in 0..self.m {
            self.value[r] += self.tableau[r * n + j] * by;
        }
        self.value[row] = entering;
        self.exchange(row, j);
        self.at_high[j] = high;
    }

    pub(super) fn exchange(&mut self, row: usize, j: usize) {
        let n = self.n;
        let pivot = self.tableau[row * n + j];
        let mut line: Vec<f64> =
            self.tableau[row * n..(row + 1) * n].iter().map(|a| -a / pivot).collect();
        line[j] = 1.0 / pivot;
        self.work += self.m as u64;
        for r in (0..self.m).filter(|r| *r != row) {
            let mine = &mut self.tableau[r * n..(r + 1) * n];
            let k = mine[j];
            if k != 0.0 {
                self.work += n as u64;
                mine[j] = 0.0;
                mine.iter_mut().zip(&line).for_each(|(a, b)| *a += k * b);
            }
        }
        let k = self.cost[j];
        if k != 0.0 {
            self.cost[j] = 0.0;
            self.cost.iter_mut().zip(&line).for_each(|(a, b)| *a += k * b);
        }
        self.tableau[row * n..(row + 1) * n].copy_from_slice(&line);
        std::mem::swap(&mut self.basic[row], &mut self.nonbasic[j]);
        self.pivots += 1;
    }

    /// Perturbs every reduced cost away from zero, on the side where it is.
    pub(super) fn perturb(&mut self) {
        let mut seed = 0x9e37_79b9_u64;
        for j in 0..self.n {
            seed = seed
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            let part = 1.0 + (seed >> 40) as f64 / (1u64 << 24) as f64;
            let by = 1e-7 * part * (1.0 + self.cost[j].abs());
            self.cost[j] += if self.at_high[j] { -by } else { by };
        }
    }

    /// Whether the tableau has drifted from the rows by rounding.
    pub(super) fn drifted(&self) -> bool {
        let values = self.values();
        (0..self.m).any(|r| {
            let var = self.basic[r];
            if var < self.n {
                return false;
            }
            let row = &self.rows[var - self.n];
            let sum: f64 = row.iter().map(|(c, k)| k * values[*c]).sum();
            (sum - self.value[r]).abs() > 1e-7 * (1.0 + sum.abs())
        })
    }

    /// Rebuilds the tableau of the same basis from the rows.
    pub(super) fn rebuild(&mut self) {
        let mut wanted: Vec<usize> = self.basic.iter().copied().filter(|v| *v < self.n).collect();
        wanted.sort_unstable();
        let mut free = vec![true; self.m];
        // Rows whose values are basic keep them.
        self.basic.iter().filter(|v| **v >= self.n).for_each(|v| free[v - self.n] = false);
        self.fresh();
        for c in wanted {
            // Its row: one whose value is to leave, with the largest pivot.
            let size = |r: usize| self.tableau[r * self.n + c].abs();
            let rows = (0..self.m).filter(|&r| free[r]);
            let best = rows.max_by(|&a, &b| size(a).total_cmp(&size(b)).then(b.cmp(&a)));
            let Some(row) = best.filter(|&r| size(r) > PIVOT) else { continue };
            // The column has not moved yet: it is at its own place.
            debug_assert_eq!(self.nonbasic[c], c);
            self.exchange(row, c);
            free[row] = false;
        }
        self.pivots = 0;
    }
}
