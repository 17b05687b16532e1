//! The dual simplex method on a dense tableau, for the relaxations of a search:
//! from node to node only bounds move, so each goes on from where the last one
//! ended.
//!
//! Every column and every row's value has two finite ends (of a row without
//! one, what its columns can make of it), so any basis is dual feasible once
//! each non-basic one is put at the end that its cost likes: there is no first
//! phase. With the long-step ratio test, which passes over ends as long as that
//! gains (Fourer 1994; Maros 2003), and largest infeasibility.
//!
//! What it finds is not believed: bounds and refutations are made anew from the
//! values of its rows, safe against rounding (`dual_bound.rs`) or in whole numbers
//! (`conflict_search/relaxation.rs`).

/// How far a value may be outside its ends, rows scaled to 1.
const OUTSIDE: f64 = 1e-9;
/// Smaller entries of the tableau are no pivots.
const PIVOT: f64 = 1e-8;
/// Costs nearer than this tie.
const TIE: f64 = 1e-10;

/// A model to be minimised in boxes: `values of rows = A · columns`.
pub(crate) struct Simplex {
    /// Columns.
    n: usize,
    /// Rows.
    m: usize,
    rows: Vec<Vec<(usize, f64)>>,
    /// What each row was divided by.
    scale: Vec<f64>,
    costs: Vec<f64>,
    /// Basic = tableau · non-basic, row by row.
    tableau: Vec<f64>,
    /// Cost of each non-basic.
    cost: Vec<f64>,
    /// Columns are 0 to n - 1, the value of row r is n + r.
    basic: Vec<usize>,
    nonbasic: Vec<usize>,
    at_high: Vec<bool>,
    low: Vec<f64>,
    high: Vec<f64>,
    /// Values of the basic ones.
    value: Vec<f64>,
    /// Since the tableau was made anew.
    pivots: usize,
    /// Entries of the tableau gone through in all.
    pub work: u64,
}

/// How a solve ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ended {
    Optimal,
    /// The basic one in this row cannot get back to its end.
    Infeasible {
        row: usize,
        below: bool,
    },
    /// Rounding or cycling got the better of it.
    Unknown,
}

/// What columns can make of the terms within their ends, a hair wider; and how
/// large the sum of the terms' sizes can be.
pub(crate) fn activity(
    terms: &[(usize, f64)],
    ends: impl Fn(usize) -> (f64, f64),
) -> ((f64, f64), f64) {
    let (mut least, mut most, mut size) = (0.0, 0.0, 0.0);
    for &(c, k) in terms {
        let (low, high) = ends(c);
        let (a, b) = (k * low, k * high);
        least += a.min(b);
        most += a.max(b);
        size += a.abs().max(b.abs());
    }
    let hair = 1e-9 * (1.0 + size);
    ((least - hair, most + hair), size)
}

impl Simplex {
    /// All rows' values basic. `costs`: by column.
    pub fn new(n: usize, rows: &[&[(usize, f64)]], costs: &[(usize, f64)]) -> Self {
        let m = rows.len();
        let scale: Vec<f64> = rows
            .iter()
            .map(|r| r.iter().map(|t| t.1.abs()).fold(0.0, f64::max))
            .map(|s| if s > 0.0 { s } else { 1.0 })
            .collect();
        let scaled =
            |(r, s): (&&[(usize, f64)], &f64)| r.iter().map(|(c, k)| (*c, k / s)).collect();
        let rows: Vec<Vec<(usize, f64)>> = rows.iter().zip(&scale).map(scaled).collect();
        let mut all = vec![0.0; n];
        costs.iter().for_each(|&(c, k)| all[c] += k);
        let mut simplex = Simplex {
            n,
            m,
            rows,
            scale,
            costs: all,
            tableau: vec![0.0; m * n],
            cost: vec![0.0; n],
            basic: Vec::new(),
            nonbasic: Vec::new(),
            at_high: vec![false; n],
            low: vec![0.0; n + m],
            high: vec![0.0; n + m],
            value: vec![0.0; m],
            pivots: 0,
            work: 0,
        };
        simplex.fresh();
        simplex
    }

    /// Whether a model of this size is worth a dense tableau.
    pub fn fits(columns: usize, rows: usize) -> bool {
        rows.saturating_mul(columns) <= 600_000
    }

    fn fresh(&mut self) {
        self.tableau.fill(0.0);
        for (r, row) in self.rows.iter().enumerate() {
            row.iter().for_each(|&(c, k)| self.tableau[r * self.n + c] += k);
        }
        self.basic = (self.n..self.n + self.m).collect();
        self.nonbasic = (0..self.n).collect();
        self.pivots = 0;
    }

    /// Moves the ends: of the columns, then of the rows' values.
    pub fn bound(
        &mut self,
        columns: impl Iterator<Item = (f64, f64)>,
        rows: impl Iterator<Item = (f64, f64)>,
    ) {
        for (c, (low, high)) in columns.enumerate() {
            (self.low[c], self.high[c]) = (low, high);
        }
        for (r, (low, high)) in rows.enumerate() {
            let s = self.scale[r];
            (self.low[self.n + r], self.high[self.n + r]) = (low / s, high / s);
        }
    }

    /// Minimises within the ends as they are.
    pub fn solve(&mut self) -> Ended {
        for attempt in 0..2 {
            let ended = self.attempt();
            if ended == Ended::Unknown || self.drifted() {
                if attempt == 1 {
                    return Ended::Unknown;
                }
                self.rebuild();
                continue;
            }
            return ended;
        }
        Ended::Unknown
    }

    fn attempt(&mut self) -> Ended {
        self.start();
        let most = 200 + 6 * (self.m + self.n);
        let mut moves: Vec<(f64, f64, usize)> = Vec::new();
        for step in 0..most {
            // Where many costs tie at nothing, steps can go in circles.
            if step == self.m + 50 {
                self.perturb();
            }
            let Some((row, below)) = self.leaving() else { return Ended::Optimal };
            if self.pivots > 0 && self.pivots.is_multiple_of(400) {
                return Ended::Unknown;
            }
            let var = self.basic[row];
            let end = if below { self.low[var] } else { self.high[var] };
            // Towards its end: who can push it there, and at which cost.
            let sign = if below { 1.0 } else { -1.0 };
            let line = &self.tableau[row * self.n..(row + 1) * self.n];
            moves.clear();
            for (j, &a) in line.iter().enumerate() {
                let push = a * sign * if self.at_high[j] { -1.0 } else { 1.0 };
                if push > PIVOT && self.width(self.nonbasic[j]) > 0.0 {
                    moves.push((self.cost[j].abs() / push, push, j));
                }
            }
            moves.sort_by(|a, b| a.0.total_cmp(&b.0).then(b.1.total_cmp(&a.1)).then(a.2.cmp(&b.2)));
            let mut missing = (end - self.value[row]).abs();
            let mut entering = None;
            for (k, &(_, push, j)) in moves.iter().enumerate() {
                let gain = push * self.width(self.nonbasic[j]);
                // What is as good as enough is enough: then it is at the edge.
                if gain < missing - OUTSIDE {
                    missing -= gain;
                    continue;
                }
                entering = Some(k);
                break;
            }
            let Some(mut k) = entering else { return Ended::Infeasible { row, below } };
            // Of those that tie, the largest pivot.
            let tie = moves[k].0 + TIE;
            for other in k + 1..moves.len() {
                if moves[other].0 > tie {
                    break;
                }
                if moves[other].1 > moves[k].1 * 2.0 {
                    k = other;
                }
            }
            let until = entering.unwrap_or(0);
            for &(_, _, j) in &moves[..until] {
                self.flip(j);
            }
            let (_, push, j) = moves[k];
            if push < 1e-6 && self.pivots > 20 {
                return Ended::Unknown;
            }
            self.pivot(row, j, end, !below);
        }
        Ended::Unknown
    }

    fn width(&self, var: usize) -> f64 {
        self.high[var] - self.low[var]
    }

    /// Costs anew, every non-basic one at the end that its cost likes, and the
    /// values that follow.
    fn start(&mut self) {
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

    fn at(&self, j: usize) -> f64 {
        let var = self.nonbasic[j];
        if self.at_high[j] { self.high[var] } else { self.low[var] }
    }

    /// The basic one that is furthest outside its ends.
    fn leaving(&self) -> Option<(usize, bool)> {
        let mut worst: Option<(f64, usize, bool)> = None;
        for (r, &v) in self.value.iter().enumerate() {
            let var = self.basic[r];
            let (under, over) = (self.low[var] - v, v - self.high[var]);
            let (off, below) = if under > over { (under, true) } else { (over, false) };
            let allowed = OUTSIDE * (1.0 + v.abs());
            if off > allowed && worst.is_none_or(|w| off > w.0) {
                worst = Some((off, r, below));
            }
        }
        worst.map(|(_, r, below)| (r, below))
    }

    fn flip(&mut self, j: usize) {
        let by = self.width(self.nonbasic[j]) * if self.at_high[j] { -1.0 } else { 1.0 };
        self.at_high[j] = !self.at_high[j];
        for r in 0..self.m {
            self.value[r] += self.tableau[r * self.n + j] * by;
        }
    }

    /// The basic one of `row` goes to `end`, the `j`-th non-basic one takes its
    /// place.
    fn pivot(&mut self, row: usize, j: usize, end: f64, high: bool) {
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

    fn exchange(&mut self, row: usize, j: usize) {
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

    /// Every cost away from zero by a little, on the side where it is.
    fn perturb(&mut self) {
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

    /// Whether the tableau has lost touch with the rows.
    fn drifted(&self) -> bool {
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

    /// The tableau of the same basis, made anew from the rows.
    fn rebuild(&mut self) {
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

    /// Values of the columns.
    pub fn values(&self) -> Vec<f64> {
        let mut values = vec![0.0; self.n];
        for j in 0..self.n {
            if self.nonbasic[j] < self.n {
                values[self.nonbasic[j]] = self.at(j);
            }
        }
        for r in 0..self.m {
            if self.basic[r] < self.n {
                values[self.basic[r]] = self.value[r];
            }
        }
        values
    }

    /// What each row is worth at the optimum.
    pub fn duals(&self) -> Vec<f64> {
        let mut duals = vec![0.0; self.m];
        for (j, &var) in self.nonbasic.iter().enumerate().filter(|(_, v)| **v >= self.n) {
            duals[var - self.n] = self.cost[j] / self.scale[var - self.n];
        }
        duals
    }

    /// Weights of the rows whose sum nothing in the boxes can satisfy.
    pub fn refutation(&self, row: usize, below: bool) -> Vec<f64> {
        let sign = if below { 1.0 } else { -1.0 };
        let mut weights = vec![0.0; self.m];
        if self.basic[row] >= self.n {
            let r = self.basic[row] - self.n;
            weights[r] = sign / self.scale[r];
        }
        for (j, &var) in self.nonbasic.iter().enumerate().filter(|(_, v)| **v >= self.n) {
            let r = var - self.n;
            weights[r] = -sign * self.tableau[row * self.n + j] / self.scale[r];
        }
        weights
    }
}
