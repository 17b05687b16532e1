//! What a solve ended with: values of the columns, duals, and the Farkas weights
//! of a refutation.

use super::Simplex;

impl Simplex {
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

    /// The duals of the rows at the optimum.
    pub fn duals(&self) -> Vec<f64> {
        let mut duals = vec![0.0; self.m];
        for (j, &var) in self.nonbasic.iter().enumerate().filter(|(_, v)| **v >= self.n) {
            duals[var - self.n] = self.cost[j] / self.scale[var - self.n];
        }
        duals
    }

    /// Farkas weights: the rows' sum with them is infeasible within the boxes.
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
