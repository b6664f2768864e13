//! Second moments of two columns, gathered block by block.

/// Count, means and sums of squared and mixed deviations of pairs (x, y).
///
/// Deviations are taken from the block's own means before anything is squared, and blocks are
/// joined through the differences of their means (T. F. Chan, G. H. Golub and R. J. LeVeque, Am.
/// Stat. 37, 1983, 242, from memory), so that a constant added to a column costs no more digits than its
/// mean loses.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Pair {
    n: f64,
    x: f64,
    y: f64,
    xx: f64,
    yy: f64,
    xy: f64,
}

impl Pair {
    /// The moments of two columns of the same length, in the order of the rows.
    pub fn of(xs: &[f64], ys: &[f64]) -> Self {
        if xs.is_empty() {
            return Self::default();
        }
        let n = xs.len() as f64;
        let (x, y) = (mean(xs), mean(ys));
        let mut pair = Self {
            n,
            x,
            y,
            ..Self::default()
        };
        for (a, b) in xs.iter().zip(ys) {
            let (a, b) = (a - x, b - y);
            pair.xx += a * a;
            pair.yy += b * b;
            pair.xy += a * b;
        }
        pair
    }

    /// Adds the rows of `other`.
    pub fn merge(&mut self, other: &Self) {
        if other.n == 0.0 {
            return;
        }
        if self.n == 0.0 {
            *self = *other;
            return;
        }
        let n = self.n + other.n;
        let (dx, dy) = (other.x - self.x, other.y - self.y);
        let weight = self.n * other.n / n;
        self.xx += other.xx + dx * dx * weight;
        self.yy += other.yy + dy * dy * weight;
        self.xy += other.xy + dx * dy * weight;
        self.x += dx * other.n / n;
        self.y += dy * other.n / n;
        self.n = n;
    }

    /// Rows.
    pub fn count(&self) -> u64 {
        self.n as u64
    }

    /// Means of x and y; not a number without rows.
    pub fn means(&self) -> (f64, f64) {
        if self.n == 0.0 {
            return (f64::NAN, f64::NAN);
        }
        (self.x, self.y)
    }

    /// Unbiased variance of x; not a number below two rows.
    pub fn var_x(&self) -> f64 {
        self.unbiased(self.xx)
    }

    /// Unbiased variance of y.
    pub fn var_y(&self) -> f64 {
        self.unbiased(self.yy)
    }

    /// Unbiased covariance.
    pub fn cov(&self) -> f64 {
        self.unbiased(self.xy)
    }

    /// Mean squared distance of x from `origin`.
    pub fn square_x(&self, origin: f64) -> f64 {
        self.xx / self.n + (self.x - origin) * (self.x - origin)
    }

    /// Mean squared distance of y from `origin`.
    pub fn square_y(&self, origin: f64) -> f64 {
        self.yy / self.n + (self.y - origin) * (self.y - origin)
    }

    fn unbiased(&self, sum: f64) -> f64 {
        if self.n < 2.0 {
            return f64::NAN;
        }
        sum / (self.n - 1.0)
    }
}

/// Mean of a column that is not empty, through its first value, whose subtraction is exact where the
/// values lie close together.
fn mean(values: &[f64]) -> f64 {
    let origin = values[0];
    let sum: f64 = values.iter().map(|v| v - origin).sum();
    origin + sum / values.len() as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_columns_give_the_moments_worked_by_hand() {
        // x 1 2 6: deviations -2 -1 3; y 0 3 3: deviations -2 1 1.
        let p = Pair::of(&[1.0, 2.0, 6.0], &[0.0, 3.0, 3.0]);
        assert_eq!(p.means(), (3.0, 2.0));
        assert_eq!((p.var_x(), p.var_y(), p.cov()), (7.0, 3.0, 3.0));
        assert!((p.square_x(0.0) - 41.0 / 3.0).abs() < 1e-14);
        assert!((p.square_y(0.0) - 6.0).abs() < 1e-14);
    }

    #[test]
    fn merged_parts_are_the_whole_with_or_without_a_large_constant() {
        let xs: Vec<f64> = (0..97).map(|i| f64::from(i * i % 31)).collect();
        let ys: Vec<f64> = (0..97).map(|i| f64::from(i * 7 % 13)).collect();
        let whole = Pair::of(&xs, &ys);
        let far: Vec<f64> = xs.iter().map(|x| x + 1e6).collect();
        let mut merged = Pair::default();
        for rows in [0..0, 0..1, 1..40, 40..97] {
            merged.merge(&Pair::of(&far[rows.clone()], &ys[rows]));
        }
        assert_eq!(merged.count(), 97);
        assert!((merged.var_x() / whole.var_x() - 1.0).abs() < 1e-10);
        assert!((merged.cov() - whole.cov()).abs() < 1e-8);
        // The textbook difference of sums has lost half of its digits there.
        let squares: f64 = far.iter().map(|x| x * x).sum();
        let sum: f64 = far.iter().sum();
        assert!(((squares - sum * sum / 97.0) / 96.0 / whole.var_x() - 1.0).abs() > 1e-8);
    }

    #[test]
    fn too_few_rows_have_no_variance() {
        assert!(Pair::default().means().0.is_nan());
        assert!(Pair::of(&[1.0], &[2.0]).var_x().is_nan());
    }
}
